// Bridges under the hand: an island shows what ties it, and a bridge can be kept, moved or forbidden. The program lays every bridge; the
// page only says where one is wanted (--pin) and where not (--no-bridge-at).

import { nearest, holding, ringsOf } from './rings.js';

const spot = ([x, y]) => `${Math.max(0, x).toFixed(2)},${Math.max(0, y).toFixed(2)}`;
const middle = (a, b) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const apart = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);

export class Ties {
  // change(flags => …) changes the wish; say tells what happened.
  constructor(view, box, card, tip, { change, say }) {
    Object.assign(this, { view, box, card, tip, change, say });
    this.straps = [];
    this.buttons = [];
    view.root.addEventListener('keydown', (e) => this.#key(e), true);
    let down = null;
    view.root.addEventListener('pointerdown', (e) => { down = e.target.closest('button, #card') ? null : view.place(e); });
    view.root.addEventListener('pointerup', (e) => {
      const at = view.place(e);
      if (down && apart(down, at) < 4) this.#click(view.toSheet(...at));
      down = null;
    });
  }

  set(lines) {
    this.straps = lines.straps;
    this.lines = lines;
    this.rings = null; // read when needed
    this.island = null;
    this.moving = null;
    while (this.buttons.length > this.straps.length) this.buttons.pop().remove();
    while (this.buttons.length < this.straps.length) this.buttons.push(this.#button(this.buttons.length));
    this.straps.forEach((s, i) => {
      this.buttons[i].className = `strap ${s.pinned ? 'pinned' : ''}`;
      this.buttons[i].setAttribute('aria-label', `${this.#name(s)}; press Enter for what can be done`);
    });
    this.close();
    this.place();
  }

  place() {
    this.buttons.forEach((b, i) => {
      const s = this.straps[i], [x, y] = this.view.toScreen(middle(...(this.moving?.strap === s ? this.moving.to : [s.from, s.to])));
      b.style.left = `${x}px`;
      b.style.top = `${y}px`;
    });
    if (!this.card.hidden) this.#putCard();
  }

  // paint draws the chosen island's edge, and a bridge on its way.
  paint(c, px) {
    if (this.island) {
      c.strokeStyle = '#1d2933';
      c.lineWidth = 2.5 * px;
      c.beginPath();
      this.island.points.forEach((p, i) => (i ? c.lineTo(...p) : c.moveTo(...p)));
      c.closePath();
      c.stroke();
    }
    if (this.moving?.to) {
      const { to: [a, b], strap } = this.moving;
      c.lineCap = apart(a, b) < strap.width ? 'square' : 'butt'; // a short one could not be seen
      c.strokeStyle = 'rgb(162 62 32 / .6)';
      c.lineWidth = strap.width;
      c.beginPath();
      c.moveTo(...a);
      c.lineTo(...b);
      c.stroke();
    }
  }

  #name(s) {
    return `${s.pinned ? 'your bridge' : s.second ? 'second bridge' : 'bridge'}, ${s.width.toFixed(1)} mm wide, ${s.length.toFixed(1)} mm long`;
  }

  #tell(i) { if (this.card.hidden && !this.moving) this.tip.show(middle(this.straps[i].from, this.straps[i].to), this.#name(this.straps[i])); }

  #rings() { return (this.rings ??= ringsOf(this.lines.bare || this.lines.cut)); }

  // #click chooses the island under the hand and one of its bridges.
  #click(at) {
    const ring = holding(this.#rings(), at);
    this.#choose(ring);
    if (!ring) return this.close();
    const mine = this.#holding(ring);
    if (mine.length) this.open(mine[0]);
    else this.#open(at, 'Nothing ties this island: it will fall out.', [['Tie the islands', () => this.change((f) => { f.bridge = ['auto']; })]]);
  }

  // #choose draws an island's edge and marks its bridges.
  #choose(ring) {
    this.island = ring;
    const mine = ring ? this.#holding(ring) : [];
    this.buttons.forEach((b, i) => b.classList.toggle('chosen', mine.includes(i)));
    this.view.drawOver();
  }

  // #holding are the bridges that end on the island.
  #holding(ring) {
    return this.straps.flatMap((s, i) => ([s.from, s.to].some((p) => apart(nearest([ring], p).at, p) < 0.3) ? [i] : []));
  }

  // #islandOf is the island that a bridge ties: of the two edges that it joins the one within the other.
  #islandOf(s) {
    const ends = [s.from, s.to].map((p) => nearest(this.#rings(), p).ring);
    return ends.reduce((a, b) => (b.area < a.area ? b : a));
  }

  open(i) {
    const s = this.straps[i];
    this.chosen = i;
    this.tip.hide();
    if (!this.island) this.#choose(this.#islandOf(s));
    this.#open(middle(s.from, s.to), `${this.#name(s).replace(/^./, (c) => c.toUpperCase())}.`, [
      ['Move', () => this.#begin(i, middle(s.from, s.to), true)],
      s.pinned ? ['Let go', () => this.change((f) => this.#unpin(f, s))] : ['Keep here', () => this.change((f) => this.#pin(f, s.from, s.to))],
      ['Forbid here', () => this.change((f) => {
        if (s.pinned) this.#unpin(f, s);
        (f['no-bridge-at'] ??= []).push(spot(middle(s.from, s.to)));
      })],
    ]);
  }

  #open(at, text, acts) {
    const p = document.createElement('p'), row = document.createElement('div');
    p.textContent = text;
    row.className = 'row';
    for (const [name, act] of acts) {
      const b = document.createElement('button');
      b.type = 'button';
      b.textContent = name;
      b.addEventListener('click', () => { this.close(); act(); });
      row.append(b);
    }
    this.card.replaceChildren(p, row);
    this.card.hidden = false;
    this.cardAt = at;
    this.#putCard();
    row.firstChild?.focus({ preventScroll: true });
  }

  #putCard() {
    const [x, y] = this.view.toScreen(this.cardAt), { clientWidth: w, clientHeight: h } = this.view.root;
    const { offsetWidth: cw, offsetHeight: ch } = this.card;
    this.card.style.left = `${Math.min(Math.max(x + 20, 6), w - cw - 6)}px`;
    this.card.style.top = `${Math.min(Math.max(y + 20, 6), h - ch - 6)}px`;
  }

  close() {
    if (this.card.hidden) return;
    const inside = this.card.contains(document.activeElement);
    this.card.hidden = true;
    this.#choose(null);
    if (inside) (this.buttons[this.chosen] ?? this.view.root).focus({ preventScroll: true });
  }

  // #begin takes a bridge into the hand.
  #begin(i, at, byKeys) {
    this.tip.hide();
    const strap = this.straps[i], rings = this.#rings(), island = this.#islandOf(strap);
    const [one, two] = [strap.from, strap.to].map((p) => nearest(rings, p).ring);
    const others = rings.filter((r) => r !== island && (r.of === island.of || one.of !== two.of));
    this.moving = { strap, island, others, at };
    this.#choose(island);
    if (byKeys) {
      this.view.root.focus({ preventScroll: true });
      this.say('Arrows move the bridge, Enter puts it down, Escape leaves it where it was.');
    }
    this.#carry(at);
  }

  // #carry finds where the bridge would run: from the island to the nearest other edge of the cut area round it.
  #carry(at) {
    const { island, others } = this.moving;
    this.moving.at = at;
    const a = nearest([island], at).at;
    this.moving.to = [a, nearest(others, a).at];
    this.place();
    this.view.drawOver();
  }

  #drop() {
    const { strap, to } = this.moving;
    this.#stop();
    if (apart(...to) < 0.05) return;
    this.change((f) => { if (strap.pinned) this.#unpin(f, strap); this.#pin(f, ...to); });
    this.say('The bridge was moved.');
  }

  #stop() {
    this.moving = null;
    this.#choose(null);
    this.place();
  }

  #pin(f, a, b) { (f.pin ??= []).push(`${spot(a)}-${spot(b)}`); }

  #unpin(f, s) {
    const at = middle(s.from, s.to);
    const far = (pin) => { const [a, b] = pin.split('-').map((p) => p.split(',').map(Number)); return apart(middle(a, b), at); };
    const i = (f.pin ?? []).reduce((best, p, j, all) => (best < 0 || far(p) < far(all[best]) ? j : best), -1);
    if (i >= 0) f.pin.splice(i, 1);
  }

  #key(e) {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (this.moving) {
      const step = (e.shiftKey ? 0.2 : 1), way = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[e.key];
      if (way) this.#carry([this.moving.at[0] + way[0], this.moving.at[1] + way[1]]);
      else if (e.key === 'Enter') this.#drop();
      else if (e.key === 'Escape') { this.#stop(); this.say('The bridge stays.'); } else return;
    } else if (e.key === 'Escape' && !this.card.hidden) this.close();
    else if (/^b$/i.test(e.key) && this.buttons.length && !e.target.closest('#card')) {
      const i = (this.buttons.indexOf(document.activeElement) + 1) % this.buttons.length;
      const s = this.straps[i];
      this.view.goTo(middle(s.from, s.to), Math.max(s.length * 2, 8));
      this.buttons[i].focus({ preventScroll: true });
    } else return;
    e.preventDefault();
    e.stopPropagation();
  }

  #button(i) {
    const b = document.createElement('button');
    b.type = 'button';
    b.tabIndex = i ? -1 : 0;
    let down = null;
    b.addEventListener('pointerdown', (e) => { down = this.view.place(e); b.setPointerCapture(e.pointerId); });
    b.addEventListener('pointermove', (e) => {
      if (!down) return;
      const at = this.view.place(e);
      if (!this.moving && apart(down, at) > 5) { this.close(); this.#begin(i, this.view.toSheet(...at), false); }
      if (this.moving) this.#carry(this.view.toSheet(...at));
    });
    b.addEventListener('pointerup', () => {
      down = null;
      if (this.moving) { this.#drop(); b.dataset.dragged = 'yes'; }
    });
    b.addEventListener('pointercancel', () => { down = null; this.#stop(); });
    b.addEventListener('pointerenter', () => this.#tell(i));
    b.addEventListener('focus', () => this.#tell(i));
    b.addEventListener('pointerleave', () => this.tip.hide());
    b.addEventListener('blur', () => this.tip.hide());
    b.addEventListener('click', () => { if (b.dataset.dragged) delete b.dataset.dragged; else this.open(i); });
    this.box.append(b);
    return b;
  }
}
