// The knobs: each is a slider with a field beside it. A knob that is not set shows what the paper or the picture makes of it, in grey.

const units = { length: 'mm', area: 'mm²', number: '' };
const typed = { length: 'mm', area: 'mm2', number: '' };

export class Knobs {
  constructor(form, wish, changed) {
    this.form = form;
    this.wish = wish;
    this.changed = changed; // changed(settled)
    this.values = {};
    this.knobs = {};
    for (const div of form.querySelectorAll('.length, .area, .number')) this.#build(div);
    for (const box of form.querySelectorAll('input[type=checkbox][data-flag]')) {
      box.addEventListener('change', () => this.#set(box.dataset.flag, box.checked ? [box.dataset.on ?? 'true'] : null, true));
    }
    for (const list of form.querySelectorAll('select[data-flag]')) {
      list.addEventListener('change', () => this.#set(list.dataset.flag, [list.value], true));
    }
    this.tie = form.querySelector('#tie');
    this.tie.addEventListener('change', () => {
      const v = this.tie.value;
      this.#set('bridge', v === '' ? null : [v === 'own' ? `${short(this.values.bridge ?? 2)}mm` : v], true);
    });
    for (const r of form.querySelectorAll('input[name=command]')) {
      r.addEventListener('change', () => { this.wish().command = r.value; this.changed(true); this.show(); });
    }
    form.addEventListener('submit', (e) => e.preventDefault());
  }

  #build(div) {
    const { flag, name, note, auto, min = 0, max, step } = div.dataset;
    const kind = ['length', 'area', 'number'].find((k) => div.classList.contains(k));
    const id = `knob-${flag}`;
    div.innerHTML = `<label for="${id}">${name}<span class="of" id="${id}-of">${note}</span></label>` +
      `<input type="range" class="slide" min="${min}" max="${max}" step="${step}" aria-label="${name}, slider">` +
      `<input type="text" id="${id}" inputmode="decimal" spellcheck="false" aria-describedby="${id}-of">` +
      `<button type="button" class="back" title="back to ${auto ?? 'what the paper needs'}" aria-label="${name}: back to ${auto ?? 'what the paper needs'}">↺</button>`;
    const [slide, field] = div.querySelectorAll('input');
    const knob = { div, kind, slide, field, step: Number(step), min: Number(min), max: Number(max), name };
    this.knobs[flag] = knob;
    const put = (v, settled) => this.#set(flag, [`${short(v)}${typed[kind]}`], settled);
    slide.addEventListener('input', () => { put(slide.valueAsNumber, false); this.#write(knob, slide.valueAsNumber); });
    slide.addEventListener('change', () => put(slide.valueAsNumber, true));
    field.addEventListener('change', () => {
      const text = field.value.trim().replace(/\s*mm²$/, 'mm2');
      this.#set(flag, text === '' ? null : [/^[-+]?[\d.,]+$/.test(text) ? text.replace(',', '.') + typed[kind] : text], true);
    });
    field.addEventListener('keydown', (e) => {
      const way = { ArrowUp: 1, ArrowDown: -1, PageUp: 10, PageDown: -10 }[e.key];
      if (!way) return;
      e.preventDefault();
      const v = Math.min(Math.max((this.values[flag] ?? 0) + way * knob.step, knob.min), knob.max);
      this.values[flag] = v;
      this.#write(knob, v, true);
      put(v, false);
    });
    field.addEventListener('keyup', (e) => { if (/^(Arrow|Page)(Up|Down)$/.test(e.key)) this.changed(true); });
    div.querySelector('.back').addEventListener('click', () => { this.#set(flag, null, true); field.focus(); });
  }

  #set(flag, values, settled) {
    const flags = this.wish().flags;
    this.touched = flag;
    if (values === null) delete flags[flag];
    else flags[flag] = values;
    this.changed(settled);
    this.show();
  }

  #write(knob, v, force) {
    const text = knob.kind === 'number' ? short(v) : `${short(v)} ${units[knob.kind]}`;
    knob.slide.setAttribute('aria-valuetext', text);
    if (force || document.activeElement !== knob.field) knob.field.value = text;
  }

  // came takes over what every knob comes to.
  came(values) {
    this.values = values;
    for (const [flag, knob] of Object.entries(this.knobs)) {
      knob.field.removeAttribute('aria-invalid');
      if (document.activeElement !== knob.slide) knob.slide.value = values[flag];
      const touching = document.activeElement === knob.field;
      this.#write(knob, values[flag], touching && flag === this.touched && !/[a-z/]/i.test(knob.field.value.replace(/mm²?$/, '')));
    }
    this.show();
  }

  // wrong marks the knob that was turned last.
  wrong() { this.knobs[this.touched]?.field.setAttribute('aria-invalid', 'true'); }

  // show brings everything but the numbers up to date.
  show() {
    const { command, flags } = this.wish();
    for (const [flag, knob] of Object.entries(this.knobs)) {
      const set = flag in flags && !(flag === 'bridge' && ['auto', 'off'].includes(flags.bridge[0]));
      knob.div.classList.toggle('set', set);
    }
    for (const box of this.form.querySelectorAll('input[type=checkbox][data-flag]')) {
      box.checked = flags[box.dataset.flag]?.[0] === (box.dataset.on ?? 'true');
    }
    for (const list of this.form.querySelectorAll('select[data-flag]')) list.value = flags[list.dataset.flag]?.[0] ?? list.dataset.usual;
    const tie = flags.bridge?.[0];
    this.tie.value = tie === undefined ? '' : ['auto', 'off'].includes(tie) ? tie : 'own';
    this.tie.options[0].text = command === 'box' ? 'as usual: yes, in a box' : 'as usual: no, in a cut-out alone';
    this.form.querySelector(`input[name=command][value=${command}]`).checked = true;
    this.form.querySelector('.for-box').hidden = command !== 'box';
    const paper = this.form.querySelector('#paper');
    this.form.querySelector('#paper-note').textContent = paper.selectedOptions[0]?.dataset.note ?? '';
  }
}

// short writes a number with at most three decimals.
export function short(v) { return String(Math.round(v * 1000) / 1000); }
