// The finished front, as the program draws it: small while a knob moves, in full once it rests.

import { post } from './ask.js';

const quick = 280; // pixels
const rest = 300; // ms

export class Look {
  constructor(canvas, drawn) {
    this.canvas = canvas;
    this.drawn = drawn; // called with when the wish was made
    this.wish = null;
    this.busy = null; // the request under way
    this.timer = this.next = this.free = 0;
  }

  // want asks for the picture of a wish that was made at since.
  want(wish, since) {
    this.wish = wish;
    this.since = since;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.#go(true), rest);
    if (this.busy?.full) this.busy.stop.abort();
    else if (!this.busy) this.#soon();
  }

  // #soon asks for a small picture. They take half of the time at most, so that they do not hold up the lines.
  #soon() { this.next ||= setTimeout(() => { this.next = 0; if (!this.busy) this.#go(false); }, this.free - performance.now()); }

  async #go(full) {
    const { wish, since } = this, begun = performance.now();
    const mine = { full, stop: new AbortController() };
    this.busy?.stop.abort();
    this.busy = mine;
    const most = Math.min(2000, Math.max(400, Math.round(this.canvas.clientWidth * devicePixelRatio * 1.25)));
    try {
      const answer = await post('look', wish, { pixels: full ? most : quick, signal: mine.stop.signal });
      this.canvas.classList.toggle('late', !answer.ok);
      if (!answer.ok) return;
      const picture = await createImageBitmap(await answer.blob());
      if (mine !== this.busy) return;
      this.canvas.width = picture.width;
      this.canvas.height = picture.height;
      this.canvas.getContext('2d').drawImage(picture, 0, 0);
      this.drawn(since);
    } catch (e) {
      if (e.name !== 'AbortError') throw e;
    } finally {
      if (mine === this.busy) {
        this.busy = null;
        this.free = 2 * performance.now() - begun;
        if (wish !== this.wish) this.#soon();
      }
    }
  }
}
