// What falls out or tears, marked where it is, and as a list.

export class Marks {
  constructor(view, box, list, tip) {
    this.view = view;
    this.box = box;
    this.list = list;
    this.tip = tip;
    this.faults = [];
    this.buttons = [];
    this.seen = true;
    view.root.addEventListener('keydown', (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey || e.target.closest('#card') || !this.buttons.length || !this.seen) return;
      const way = { n: 1, N: 1, p: -1, P: -1 }[e.key];
      if (!way) return;
      e.preventDefault();
      const at = this.buttons.indexOf(document.activeElement);
      this.choose((at + way + this.buttons.length + (at < 0 && way < 0 ? 1 : 0)) % this.buttons.length);
    });
  }

  set(verdict) {
    this.faults = verdict.faults;
    const had = this.buttons.indexOf(document.activeElement);
    while (this.buttons.length > this.faults.length) this.buttons.pop().remove();
    while (this.buttons.length < this.faults.length) this.buttons.push(this.#button(this.buttons.length));
    this.shapes = this.faults.map((f) => (f.shape ? new Path2D(f.shape) : null));
    this.list.replaceChildren(...this.faults.map((f, i) => this.#item(f, i)));
    if (verdict.more) {
      const li = document.createElement('li');
      li.className = 'note';
      li.textContent = `and ${verdict.more} more`;
      this.list.append(li);
    }
    this.faults.forEach((f, i) => {
      const b = this.buttons[i];
      b.className = `mark ${f.kind === 'island' ? 'falls' : ''} ${f.caution ? 'caution' : ''}`;
      b.setAttribute('aria-label', f.text);
    });
    if (had >= this.faults.length) this.view.root.focus();
    this.place();
  }

  old(is) { for (const b of this.buttons) b.classList.toggle('old', is); }

  show(is) {
    this.seen = is;
    for (const b of this.buttons) b.hidden = !is;
  }

  place() {
    this.buttons.forEach((b, i) => {
      const [x, y] = this.view.toScreen(this.faults[i].at);
      b.style.left = `${x}px`;
      b.style.top = `${y}px`;
    });
  }

  choose(i) {
    const f = this.faults[i];
    this.view.goTo(f.at, Math.max(f.width * 4, Math.sqrt(f.area || 0), 2));
    this.buttons[i]?.focus({ preventScroll: true });
    this.tell(i);
  }

  tell(i) {
    this.told = i;
    this.view.drawOver();
    const f = this.faults[i];
    if (f) this.tip.show(f.at, f.text);
    else this.hush();
  }

  hush() {
    this.tip.hide();
    this.told = undefined;
    this.view.drawOver();
  }

  // paint fills what falls out, or would with the mark under the hand, and measures what is narrow.
  paint(c, px) {
    if (!this.seen) return;
    this.faults.forEach((f, i) => {
      if (this.shapes[i] && (f.kind === 'island' || i === this.told)) {
        c.fillStyle = 'rgb(162 62 32 / .45)';
        c.fill(this.shapes[i], 'evenodd');
      }
      if (f.across && this.view.k * f.width > 3) {
        c.strokeStyle = f.caution ? '#1d2933' : '#a23e20';
        c.lineWidth = 2.5 * px;
        c.beginPath();
        c.moveTo(...f.across[0]);
        c.lineTo(...f.across[1]);
        c.stroke();
      }
    });
  }

  #button(i) {
    const b = document.createElement('button');
    b.type = 'button';
    b.tabIndex = i ? -1 : 0;
    b.hidden = !this.seen;
    b.addEventListener('pointerenter', () => this.tell(i));
    b.addEventListener('pointerleave', () => { if (document.activeElement !== b) this.hush(); });
    b.addEventListener('focus', () => this.tell(i));
    b.addEventListener('blur', () => this.hush());
    b.addEventListener('click', () => this.choose(i));
    this.box.append(b);
    return b;
  }

  #item(f, i) {
    const li = document.createElement('li'), b = document.createElement('button');
    b.type = 'button';
    b.className = f.caution ? 'caution' : '';
    b.textContent = f.text;
    b.addEventListener('click', () => this.choose(i));
    li.append(b);
    return li;
  }
}
