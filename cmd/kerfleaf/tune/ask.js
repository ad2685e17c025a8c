// Asks the program for pictures. One question is under way at a time. While a knob moves, the next goes out once the lines of the one
// before have come, or once that took too long; when the knob is let go, at once. Going out calls off what is still under way, so that
// nothing ever waits behind something stale.

const shortest = 80; // ms that a question gets while the knob moves on
let underway = null, waiting = null, timer = 0, number = 0;
const took = []; // ms from question to lines, the latest

export const home = { page: 0 };

export async function start() {
  const answer = await fetch('start');
  if (!answer.ok) throw new Error(await answer.text());
  const begin = await answer.json();
  home.page = begin.page;
  return begin;
}

export function post(what, wish, more = {}) {
  const { signal, ...rest } = more;
  return fetch(what, {
    method: 'POST', signal, headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ page: home.page, number: ++number, wish, ...rest }),
  });
}

export function ask(wish, settled, since, take) {
  const asked = JSON.stringify(wish);
  if (underway?.asked === asked && !underway.ended) { waiting = null; return; } // as when a knob is let go where it was
  waiting = { wish: structuredClone(wish), asked, since, take };
  clearTimeout(timer);
  const left = underway && !underway.shown && !settled ? underway.sent + patience() - performance.now() : 0;
  if (left > 0) timer = setTimeout(go, left);
  else go();
}

function patience() {
  const sorted = took.toSorted((a, b) => a - b);
  return Math.max(shortest, 2 * (sorted[sorted.length >> 1] ?? 0));
}

async function go() {
  if (!waiting) return;
  const q = waiting;
  waiting = null;
  underway?.stop.abort();
  underway = { stop: new AbortController(), sent: performance.now(), shown: false, asked: q.asked };
  const mine = underway;
  try {
    const answer = await post('lines', q.wish, { signal: mine.stop.signal });
    if (!answer.ok) throw new Error(await answer.text());
    for await (const piece of pieces(answer.body)) {
      if (mine !== underway) return;
      if (piece.piece === 'done' || piece.piece === 'failed') mine.ended = true;
      q.take(piece, q);
      if (piece.piece === 'lines') {
        mine.shown = true;
        took.push(performance.now() - mine.sent);
        if (took.length > 15) took.shift();
        if (waiting) { clearTimeout(timer); go(); return; }
      }
    }
  } catch (e) {
    if (mine === underway && e.name !== 'AbortError') q.take({ piece: 'failed', why: e.message }, q);
  } finally {
    if (mine === underway) {
      underway = null;
      if (waiting) { clearTimeout(timer); go(); }
    }
  }
}

async function* pieces(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const lines = (rest + value).split('\n');
    rest = lines.pop();
    for (const l of lines) yield JSON.parse(l);
  }
}
