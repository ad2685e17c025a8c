// The finished front, as the program draws it: small while a knob moves, in full once it rests.

import { post } from './ask.js';

const quick = 360, rest = 250; // pixels; ms

export class Look {
  constructor(canvas) {
    this.canvas = canvas;
    this.wish = null;
    this.busy = false;
    this.timer = 0;
  }

  want(wish) {
    this.wish = wish;
    this.fine = false;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => { this.fine = true; this.#go(true); }, rest);
    this.#go(false);
  }

  async #go(now) {
    if (this.busy && !now) return;
    this.stop?.abort();
    this.stop = new AbortController();
    const { wish, stop } = this;
    const full = Math.min(2000, Math.max(400, Math.round(this.canvas.clientWidth * devicePixelRatio * 1.25)));
    this.busy = true;
    try {
      const answer = await post('look', wish, { pixels: now ? full : quick, signal: stop.signal });
      if (answer.ok) {
        const picture = await createImageBitmap(await answer.blob());
        if (stop === this.stop) {
          this.canvas.width = picture.width;
          this.canvas.height = picture.height;
          this.canvas.getContext('2d').drawImage(picture, 0, 0);
        }
      }
    } catch (e) {
      if (e.name !== 'AbortError') throw e;
    } finally {
      if (stop === this.stop) {
        this.busy = false;
        if (wish !== this.wish && !now) this.#go(false);
      }
    }
  }
}
