// The sheet on the table: the drawing with the lines over it, to be moved and enlarged. Points are mm in the drawing's frame; on the
// screen, pixels of CSS from the view's top left.

const paper = '#fdfbf6', ink = '#1d2933', accent = '#b44a2a';
const closest = 400; // pixels a mm

export class View {
  constructor(root, moved) {
    this.root = root;
    this.moved = moved; // called after the sheet has moved on the screen
    [this.under, this.over] = root.querySelectorAll('canvas');
    this.k = 0;
    this.x = this.y = 0;
    this.lines = null;
    this.levels = [];
    this.seeDrawing = true;
    this.extra = null; // draws what is under the hand
    new ResizeObserver(() => this.#resize()).observe(root);
    this.#listen();
  }

  // setDrawing takes the drawing as a picture; smaller ones are kept for when it is seen whole.
  async setDrawing(blob) {
    const levels = [await createImageBitmap(blob)];
    while (Math.max(levels[0].width, levels[0].height) > 1200) {
      const b = levels[0];
      levels.unshift(await createImageBitmap(b, { resizeWidth: Math.ceil(b.width / 2), resizeHeight: Math.ceil(b.height / 2), resizeQuality: 'high' }));
    }
    this.levels = levels;
    this.draw();
  }

  setLines(piece) {
    const before = this.lines;
    const path = (d) => (d ? new Path2D(d) : null);
    this.lines = { ...piece, cutPath: path(piece.cut), toolPath: path(piece.tool), strapPaths: piece.straps.map((s) => path(s.shape)) };
    const moved = before?.frame.join() !== piece.frame.join() || before.size.join() !== piece.size.join();
    if (!before || moved && this.whole) this.fit();
    else if (moved) this.draw();
    else this.drawOver();
  }

  fit() {
    const f = this.lines?.frame, { clientWidth: w, clientHeight: h } = this.root;
    if (!f || !w) return;
    const gap = Math.min(28, w / 20);
    this.k = Math.min((w - 2 * gap) / (f[2] - f[0]), (h - 2 * gap) / (f[3] - f[1]));
    this.x = (w - this.k * (f[0] + f[2])) / 2;
    this.y = (h - this.k * (f[1] + f[3])) / 2;
    this.least = this.k / 2;
    this.whole = true;
    this.draw();
  }

  // enlarge keeps the point at (x, y) on the screen where it is.
  enlarge(by, x = this.root.clientWidth / 2, y = this.root.clientHeight / 2) {
    const k = Math.min(Math.max(this.k * by, this.least), closest);
    this.x = x - (x - this.x) * k / this.k;
    this.y = y - (y - this.y) * k / this.k;
    this.k = k;
    this.whole = false;
    this.draw();
  }

  move(dx, dy) {
    this.x += dx;
    this.y += dy;
    this.whole = false;
    this.draw();
  }

  // goTo brings a place into the middle, at least so near that reach mm are an inch or so.
  goTo([x, y], reach) {
    this.k = Math.min(Math.max(this.k, 90 / Math.max(reach, 0.5)), closest);
    this.x = this.root.clientWidth / 2 - this.k * x;
    this.y = this.root.clientHeight / 2 - this.k * y;
    this.whole = false;
    this.draw();
  }

  toScreen([x, y]) { return [x * this.k + this.x, y * this.k + this.y]; }
  toSheet(x, y) { return [(x - this.x) / this.k, (y - this.y) / this.k]; }
  place(event) { const r = this.root.getBoundingClientRect(); return [event.clientX - r.left, event.clientY - r.top]; }

  #resize() {
    const d = devicePixelRatio;
    for (const c of [this.under, this.over]) {
      c.width = Math.round(this.root.clientWidth * d);
      c.height = Math.round(this.root.clientHeight * d);
    }
    if (this.whole || !this.k) this.fit();
    else this.draw();
  }

  draw() {
    this.all = true;
    this.drawOver();
  }

  // drawOver leaves the drawing as it is.
  drawOver() {
    this.frameWanted ??= requestAnimationFrame(() => {
      this.frameWanted = undefined;
      if (this.all) {
        this.#paintUnder();
        this.moved();
        this.all = false;
      }
      this.#paintOver();
    });
  }

  #pen(canvas) {
    const c = canvas.getContext('2d'), d = devicePixelRatio;
    c.setTransform(1, 0, 0, 1, 0, 0);
    c.clearRect(0, 0, canvas.width, canvas.height);
    c.setTransform(this.k * d, 0, 0, this.k * d, this.x * d, this.y * d);
    c.lineJoin = c.lineCap = 'round';
    return c;
  }

  #paintUnder() {
    if (!this.lines) return;
    const c = this.#pen(this.under), [l, t, r, b] = this.lines.frame, d = devicePixelRatio;
    c.shadowColor = 'rgb(40 30 15 / .45)';
    c.shadowBlur = 14 * d;
    c.shadowOffsetY = 4 * d;
    c.fillStyle = paper;
    c.fillRect(l, t, r - l, b - t);
    c.shadowColor = 'transparent';
    if (!this.seeDrawing || !this.levels.length) return;
    const [w, h] = this.lines.size, full = this.levels.at(-1).width;
    const picture = this.levels.find((p) => p.width >= w * this.k * d) ?? this.levels.at(-1);
    c.globalCompositeOperation = 'multiply';
    c.globalAlpha = 0.3;
    c.imageSmoothingEnabled = this.k * d * w / full < 4; // close up, one sees the pixels
    c.drawImage(picture, 0, 0, w, h);
    c.globalCompositeOperation = 'source-over';
    c.globalAlpha = 1;
  }

  #paintOver() {
    const g = this.lines;
    if (!g) return;
    const c = this.#pen(this.over), px = 1 / this.k;
    if (!this.seeDrawing) {
      c.fillStyle = '#3a2d26';
      c.fill(g.cutPath, 'evenodd');
    } else {
      c.fillStyle = 'rgb(180 74 42 / .2)';
      c.fill(g.cutPath, 'evenodd');
    }
    if (g.fold) {
      c.strokeStyle = ink;
      c.lineWidth = px;
      c.setLineDash([10 * px, 4 * px, 1 * px, 4 * px]); // ISO 128: a mountain fold
      c.strokeRect(g.fold[0], g.fold[1], g.fold[2] - g.fold[0], g.fold[3] - g.fold[1]);
      c.setLineDash([]);
    }
    c.strokeStyle = this.seeDrawing ? accent : '#f0a27f';
    c.lineWidth = 1.6 * px;
    c.stroke(g.cutPath);
    if (g.toolPath) {
      c.strokeStyle = this.seeDrawing ? ink : paper;
      c.lineWidth = 0.9 * px;
      c.setLineDash([5 * px, 3 * px]);
      c.stroke(g.toolPath);
      c.setLineDash([]);
    }
    for (const p of g.strapPaths) {
      c.fillStyle = 'rgb(253 251 246 / .85)';
      c.fill(p);
      c.strokeStyle = ink;
      c.lineWidth = 1.4 * px;
      c.setLineDash([4 * px, 3 * px]);
      c.stroke(p);
      c.setLineDash([]);
    }
    this.extra?.(c, px);
  }

  #listen() {
    const fingers = new Map();
    const r = this.root;
    let apart = 0;
    r.addEventListener('wheel', (e) => {
      e.preventDefault();
      const step = e.deltaMode === 1 ? 30 : 1;
      this.enlarge(Math.exp(-e.deltaY * step * (e.ctrlKey ? 0.01 : 0.0016)), ...this.place(e));
    }, { passive: false });
    r.addEventListener('pointerdown', (e) => {
      if (e.target.closest('button, #card') || e.button > 0) return;
      r.setPointerCapture(e.pointerId);
      fingers.set(e.pointerId, this.place(e));
      r.classList.add('dragging');
    });
    r.addEventListener('pointermove', (e) => {
      const was = fingers.get(e.pointerId);
      if (!was) return;
      const now = this.place(e);
      fingers.set(e.pointerId, now);
      if (fingers.size === 1) this.move(now[0] - was[0], now[1] - was[1]);
      else if (fingers.size === 2) {
        const [a, b] = fingers.values(), d = Math.hypot(a[0] - b[0], a[1] - b[1]);
        this.move((now[0] - was[0]) / 2, (now[1] - was[1]) / 2);
        if (apart) this.enlarge(d / apart, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
        apart = d;
      }
    });
    const up = (e) => { fingers.delete(e.pointerId); apart = 0; if (!fingers.size) r.classList.remove('dragging'); };
    r.addEventListener('pointerup', up);
    r.addEventListener('pointercancel', up);
    r.addEventListener('keydown', (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey || e.defaultPrevented || e.target.closest('#card')) return;
      const far = e.shiftKey ? 160 : 40;
      const keys = {
        ArrowLeft: () => this.move(far, 0), ArrowRight: () => this.move(-far, 0), ArrowUp: () => this.move(0, far), ArrowDown: () => this.move(0, -far),
        '+': () => this.enlarge(1.25), '=': () => this.enlarge(1.25), '-': () => this.enlarge(0.8), 0: () => this.fit(),
      };
      if (!keys[e.key]) return;
      e.preventDefault();
      keys[e.key]();
    });
  }
}
