// The finished front, as the program draws it: small while a knob moves, in full once it rests.

import { post } from './ask.js';

const quick = 360; // pixels
const often = 200, rest = 300; // ms

export class Look {
  constructor(canvas, drawn) {
    this.canvas = canvas;
    this.drawn = drawn; // called with when the wish was made
    this.wish = null;
    this.busy = false;
    this.timer = this.next = this.last = 0;
  }

  want(wish, since) {
    this.wish = wish;
    this.since = since;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.#go(true), rest);
    this.next ||= setTimeout(() => { this.next = 0; this.#go(false); }, Math.max(this.last + often - performance.now(), often / 4));
  }

  async #go(now) {
    if (this.busy && !now) return;
    this.last = performance.now();
    this.stop?.abort();
    this.stop = new AbortController();
    const { wish, since, stop } = this;
    const full = Math.min(2000, Math.max(400, Math.round(this.canvas.clientWidth * devicePixelRatio * 1.25)));
    this.busy = true;
    try {
      const answer = await post('look', wish, { pixels: now ? full : quick, signal: stop.signal });
      this.canvas.classList.toggle('late', !answer.ok);
      if (answer.ok) {
        const picture = await createImageBitmap(await answer.blob());
        if (stop === this.stop) {
          this.canvas.width = picture.width;
          this.canvas.height = picture.height;
          this.canvas.getContext('2d').drawImage(picture, 0, 0);
          this.drawn(since);
        }
      }
    } catch (e) {
      if (e.name !== 'AbortError') throw e;
    } finally {
      if (stop === this.stop) {
        this.busy = false;
      }
    }
  }
}
