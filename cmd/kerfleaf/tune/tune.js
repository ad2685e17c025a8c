// The page: what is wished for, and what came of it.

import { ask, home, post, start } from './ask.js';
import { Knobs } from './knobs.js';
import { Look } from './look.js';
import { Marks } from './marks.js';
import { Ties } from './ties.js';
import { Tip } from './tip.js';
import { View } from './view.js';

const $ = (id) => document.getElementById(id);
let wish = { command: 'box', flags: {} };
let settled = '', picture = '';
const before = []; // for undo, as JSON

const view = new View($('view'), () => {
  $('marks').classList.toggle('far', view.k < 8);
  marks.place();
  ties.place();
  tip.place();
  $('scale').textContent = `${view.k >= 10 ? view.k.toFixed(0) : view.k.toFixed(1)} px to the mm`;
});
const tip = new Tip(view, $('tip'));
const marks = new Marks(view, $('marks'), $('faults'), tip);
const ties = new Ties(view, $('marks'), $('card'), tip, { change: (f) => { f(wish.flags); tidy(); changed(true); knobs.show(); }, say });
const knobs = new Knobs($('knobs'), () => wish, changed);
const look = new Look($('look'), (since) => timed('front', since));
view.extra = (c, px) => { marks.paint(c, px); ties.paint(c, px); };

function tidy() { for (const f of ['pin', 'no-bridge-at']) if (!wish.flags[f]?.length) delete wish.flags[f]; }

// changed asks for a new picture; done says that the hand has let go.
function changed(done) {
  const since = performance.now();
  const now = JSON.stringify(wish);
  if (done && now !== settled) {
    if (settled) before.push(settled);
    settled = now;
    $('undo').disabled = !before.length;
  }
  say('');
  $('replace').hidden = true;
  showPins();
  document.body.dataset.state = 'asking';
  ask(wish, done, since, take);
}

$('undo').addEventListener('click', undo);
function undo() {
  if (!before.length) return;
  settled = before.pop();
  wish = JSON.parse(settled);
  $('undo').disabled = !before.length;
  changed(true);
  knobs.show();
}
document.addEventListener('keydown', (e) => {
  if ((e.ctrlKey || e.metaKey) && !e.shiftKey && e.key.toLowerCase() === 'z' && e.target.type !== 'text') { e.preventDefault(); undo(); }
});

// take is given each piece of an answer as it comes.
function take(p, q) {
  switch (p.piece) {
    case 'lines':
      q.drawn = true;
      view.root.classList.remove('late');
      $('line').textContent = p.line;
      $('about').textContent = p.about + '.';
      $('line-canvas').setAttribute('aria-label', `Cut lines: ${p.about}`);
      knobs.came(p.values);
      view.setLines(p);
      ties.set(p);
      marks.old(true);
      if (p.picture !== picture) { picture = p.picture; fetchDrawing(); }
      timed('lines', q.since);
      look.want(q.wish, q.since);
      break;
    case 'verdict': {
      marks.set(p);
      view.drawOver();
      timed('picture', q.since, (ms) => { $('speed').textContent = `Drawn in ${ms.toFixed(0)} ms.`; });
      const v = $('verdict'), text = p.verdict[0].toUpperCase() + p.verdict.slice(1) + '.';
      if (v.textContent !== text) v.textContent = text;
      v.className = p.fails ? 'bad' : 'good';
      $('nothing').hidden = p.faults.length > 0;
      break;
    }
    case 'box':
      $('facts').textContent = p.facts.join('; ') + '.';
      break;
    case 'failed':
      view.root.classList.toggle('late', !q.drawn);
      $('verdict').textContent = p.why;
      $('verdict').className = 'bad';
      if (p.line) $('line').textContent = p.line;
      knobs.wrong();
  }
  if (p.piece === 'done' || p.piece === 'failed') document.body.dataset.state = 'settled';
  if (q.wish.command !== 'box') $('facts').textContent = '';
}

// timed measures from the knob's move to what is now on the screen.
function timed(name, since, tell) {
  requestAnimationFrame(() => {
    const painted = new MessageChannel();
    painted.port1.onmessage = () => {
      const { duration } = performance.measure(name, { start: since, end: performance.now() });
      tell?.(duration);
    };
    painted.port2.postMessage(0);
  });
}

async function fetchDrawing() {
  const area = wish.flags['min-area']?.[0];
  const answer = await fetch('drawing' + (area ? `?min-area=${encodeURIComponent(area)}` : ''));
  if (answer.ok) await view.setDrawing(await answer.blob());
}

function showPins() {
  const rows = [];
  for (const [flag, name] of [['pin', 'kept'], ['no-bridge-at', 'none near']]) {
    (wish.flags[flag] ?? []).forEach((place, i) => {
      const li = document.createElement('li'), b = document.createElement('button');
      li.append(`${name} ${place.replace('-', ' to ')}`, b);
      b.type = 'button';
      b.textContent = '×';
      b.setAttribute('aria-label', `remove: ${name} ${place}`);
      b.addEventListener('click', () => { wish.flags[flag].splice(i, 1); tidy(); changed(true); });
      rows.push(li);
    });
  }
  $('pins').replaceChildren(...rows);
  $('own-bridges').hidden = !rows.length;
}

function say(text, kind = '') {
  $('said').className = kind;
  $('said').textContent = text;
  $('more').hidden = true;
}

async function write(replace) {
  $('write').disabled = true;
  $('replace').hidden = true;
  say('Writing.');
  try {
    const answer = await post('write', wish, { replace });
    if (!answer.ok) return say(await answer.text(), 'bad');
    const w = await answer.json();
    if (w.code === 1 || w.code === 2) say(w.said.replace(/^kerfleaf: /gm, ''), 'bad');
    else {
      say(`Wrote ${w.out.slice(w.out.lastIndexOf('\nwrote') + 6).trim().split(/\s*\n\s*/).join(', ')}.`, 'good');
      $('more').querySelector('pre').textContent = w.said.replace(/^kerfleaf: /gm, '') + w.out;
      $('more').hidden = false;
    }
    $('replace').hidden = !w.exists;
    if (w.exists) $('replace').focus();
  } catch (e) {
    say(e.message, 'bad');
  } finally {
    $('write').disabled = false;
  }
}
$('write').addEventListener('click', () => write(false));
$('replace').addEventListener('click', () => write(true));
$('copy').addEventListener('click', async () => {
  try {
    await navigator.clipboard.writeText($('line').textContent);
    say('Copied.');
  } catch {
    getSelection().selectAllChildren($('line'));
    say('Press Ctrl-C to copy the marked line.');
  }
});
$('closer').addEventListener('click', () => view.enlarge(1.5));
$('farther').addEventListener('click', () => view.enlarge(1 / 1.5));
$('whole').addEventListener('click', () => view.fit());
$('see-drawing').addEventListener('change', (e) => { view.seeDrawing = e.target.checked; view.draw(); });
$('see-marks').addEventListener('change', (e) => { marks.show(e.target.checked); view.drawOver(); });

// live keeps a line to the program open; once it is cut for good, the program has ended.
function live() {
  const pulse = new EventSource(`pulse?page=${home.page}`);
  pulse.addEventListener('drawing', () => { changed(true); say('The drawing was changed and read again.'); });
  pulse.onerror = async () => {
    pulse.close();
    for (let wait = 200; wait < 3000; wait *= 2) {
      await new Promise((r) => setTimeout(r, wait));
      try { await start(); live(); changed(true); return; } catch { /* not yet, or never more */ }
    }
    $('verdict').textContent = 'kerfleaf has ended: this page can be closed.';
    $('verdict').className = 'bad';
    for (const b of document.querySelectorAll('button, input, select')) b.disabled = true;
  };
}

try {
  const begin = await start();
  wish = begin.wish;
  $('name').textContent = begin.drawing;
  $('out').textContent = begin.out;
  document.title = `${begin.drawing} - kerfleaf`;
  for (const [id, usual] of [['paper', 'card'], ['base', 'watercolour']]) {
    $(id).dataset.usual = usual;
    $(id).append(...begin.papers.map((p) => { const o = new Option(p.name, p.name); o.dataset.note = p.note; return o; }));
  }
  live();
  knobs.show();
  changed(true);
  say(begin.notes.join('\n'));
} catch (e) {
  $('verdict').textContent = e.message;
  $('verdict').className = 'bad';
}
