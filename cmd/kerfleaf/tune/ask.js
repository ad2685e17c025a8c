// Asks the program for pictures. One question is under way at a time. While a knob moves, the next goes out once the lines and marks of
// the one before have come, or once that took too long; when the knob is let go, at once. Going out calls off what is still under way, so
// that nothing ever waits behind something stale.

const shortest = 80; // ms that a question gets for its lines while the knob moves on
const marking = 40; // and then for its marks
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
  next(settled);
}

// next lets the question that waits go out, or sets the time when it will.
function next(now) {
  clearTimeout(timer);
  if (!waiting) return;
  const left = underway && !now ? underway.until - performance.now() : 0;
  if (left > 0) timer = setTimeout(go, left);
  else go();
}

function patience() {
  const sorted = took.toSorted((a, b) => a - b);
  return Math.max(shortest, 2 * (sorted[sorted.length >> 1] ?? 0));
}

async function go() {
  const q = waiting, sent = performance.now();
  waiting = null;
  underway?.stop.abort();
  const mine = underway = { stop: new AbortController(), until: sent + patience(), asked: q.asked };
  try {
    const answer = await post('lines', q.wish, { signal: mine.stop.signal });
    if (!answer.ok) throw new Error(await answer.text());
    for await (const come of pieces(answer.body)) {
      for (const piece of come) {
        if (mine !== underway) return;
        q.take(piece, q);
        switch (piece.piece) {
          case 'lines':
            mine.until = performance.now() + marking;
            took.push(performance.now() - sent);
            if (took.length > 15) took.shift();
            break;
          case 'verdict':
            mine.until = 0;
            break;
          case 'done': case 'failed':
            mine.ended = true;
            mine.until = 0;
        }
      }
      next(false);
    }
  } catch (e) {
    if (mine === underway && e.name !== 'AbortError') q.take({ piece: 'failed', why: e.message }, q);
  } finally {
    if (mine === underway) {
      underway = null;
      next(true);
    }
  }
}

// pieces gives those that have come together.
async function* pieces(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = '';
  for (;;) {
    const { done, value } = await reader.read();
    if (done) return;
    const lines = (rest + value).split('\n');
    rest = lines.pop();
    if (lines.length) yield lines.map((l) => JSON.parse(l));
  }
}
