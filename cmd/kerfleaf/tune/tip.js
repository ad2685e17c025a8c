// A word beside what is under the hand or has the focus.

export class Tip {
  constructor(view, p) {
    this.view = view;
    this.p = p;
    document.addEventListener('keydown', (e) => { if (e.key === 'Escape') this.hide(); });
  }

  show(at, text) {
    this.at = at;
    this.p.textContent = text;
    this.p.hidden = false;
    this.place();
  }

  hide() { this.p.hidden = true; }

  place() {
    if (this.p.hidden) return;
    const [x, y] = this.view.toScreen(this.at), { clientWidth: w, clientHeight: h } = this.view.root;
    const below = y + 16 + this.p.offsetHeight < h;
    this.p.style.left = `${Math.min(Math.max(x + 16, 4), w - this.p.offsetWidth - 4)}px`;
    this.p.style.top = `${below ? y + 16 : y - 16 - this.p.offsetHeight}px`;
  }
}
