// The table: holds the state, and lets cloth, hand, selvedge, ticket and tester know of one another.

import { Camera } from './camera.js';
import { Chalk, handles } from './chalk.js';
import { Cloth } from './cloth.js';
import { by, fill, make, once } from './dom.js';
import { Engine, set } from './engine.js';
import { Hand, place } from './hand.js';
import { Held } from './held.js';
import { Layouts } from './layouts.js';
import { Selvedge } from './selvedge.js';
import { Start } from './start.js';
import { Tag } from './tag.js';
import { Tester } from './tester.js';
import { Ticket } from './ticket.js';
import { calibrate, distances } from './sight.js';
import { stepInches, theStep } from './units.js';

class Table {
  constructor(engine) {
    this.engine = engine;
    this.state = null;
    this.camera = new Camera();
    this.cloth = new Cloth(engine, this.camera);
    this.held = new Held(engine, this.cloth);
    this.held.redraw = once(() => this.held.draw());
    this.chalk = new Chalk(this);
    this.tester = new Tester(this);
    this.selvedge = new Selvedge(this);
    this.layouts = new Layouts(this);
    this.ticket = new Ticket(this);
    this.start = new Start(this);
    this.tag = new Tag(this);
    handles(by('frame'));
    this.hand = new Hand(this);
    this.held.onDraw = () => this.chalk.draw();
    this.cloth.onDraw = () => this.held.draw();
    this.cloth.onRest = () => this.rested();
    this.cloth.onTrouble = (trouble) => this.trouble(trouble);
    new ResizeObserver(() => this.cloth.resize()).observe(by('surface'));
    this.cloth.resize();
    by('files').addEventListener('change', (event) => {
      this.layAll([...event.target.files]);
      event.target.value = '';
    });
    document.addEventListener('dragover', (event) => event.preventDefault());
    document.addEventListener('drop', (event) => {
      event.preventDefault();
      this.layAll([...event.dataTransfer.files], this.hand.at(event));
    });
    document.addEventListener('keydown', (event) => this.keys(event));
    distances(this);
  }

  keys(event) {
    if (event.key === 'Escape') by('trouble').hidden = true;
    const command = event.ctrlKey || event.metaKey;
    if (!command || event.target.matches('input, select')) return;
    if (event.key.toLowerCase() === 'z') this.step_back(event.shiftKey ? 'redo' : 'undo');
    else if (event.key.toLowerCase() === 'y') this.step_back('redo');
    else return;
    event.preventDefault();
  }

  /** Hears what is new, for as long as the page is open. */
  async listen() {
    for (;;) {
      try {
        this.take(await this.engine.state(this.state?.seen));
        this.lost = false;
      } catch (trouble) {
        this.trouble(trouble);
        this.lost = true;
        await new Promise((done) => setTimeout(done, 1500));
      }
    }
  }

  /** Takes a state, unless a newer one is here. */
  take(state) {
    if (this.state && state.seen < this.state.seen && !this.lost) return;
    const before = this.state;
    this.state = state;
    const dpi = before?.facts?.dpi;
    if (state.facts?.tile) this.cloth.take(state.facts, `${state.number}.${state.round}`);
    // At another resolution the copy in hand lies on other pixels.
    if (dpi && state.facts?.tile && this.held.copy) this.held.copy.middle = this.held.copy.middle.map((n) => (n * state.facts.dpi) / dpi);
    this.tossed(before, state);
    if (this.held.entry !== null && !this.held.motif) this.held.drop();
    // What was moved has its new place now; how it was turned and sized its old picture still lacks.
    if (before && before.number !== state.number && this.held.change) this.held.change = { ...this.held.change, move: [0, 0], kept: true };
    if (before && before.number !== state.number && this.held.motif && this.held.copy) this.follow();
    if (state.error) this.trouble({ message: state.error.what, hint: state.error.hint, line: state.error.line, file: state.file });
    else if (before?.error || this.lost) by('trouble').hidden = true;
    if (before?.kept && !state.kept) this.trouble({ message: `${state.file} is gone from the disk`, hint: 'all of it is here still, and the next change writes it again' });
    this.show();
    clearTimeout(this.judging);
    if (state.facts?.tile && !state.error) this.judging = setTimeout(() => this.judge(), 1200);
  }

  /** A toss that could not be is said, and what was written for it taken back. */
  tossed(before, state) {
    const { toss } = state.errand.ended;
    if (!toss?.error || JSON.stringify(before?.errand.ended.toss) === JSON.stringify(toss) || !before) return;
    this.trouble({ message: toss.error.what, hint: toss.error.hint });
    if (toss.number === state.number) this.inOrder(async () => this.take(await this.engine.undo(this.state.number).catch(() => this.state)));
  }

  /** After a change the copy in hand may be another one: the nearest of its own. */
  follow() {
    const { held, cloth } = this;
    const [hx, hy] = held.copy.middle;
    let best = null;
    for (const spot of held.motif.places) {
      cloth.facts.images.forEach(([a, b, c, d, e, f], mark) => {
        const [x, y] = [a * spot[0] + c * spot[1] + e, b * spot[0] + d * spot[1] + f];
        const [across, shift, down] = cloth.facts.row;
        const row = cloth.facts.border ? 0 : Math.round((hy - y) / down);
        const column = Math.round((hx - x - row * shift) / across);
        const at = [x + row * shift + column * across, y + row * down];
        const far = Math.hypot(at[0] - hx, at[1] - hy);
        if (!best || far < best.far) best = { far, mark, middle: at };
      });
    }
    held.copy = { mark: best.mark, middle: best.middle };
  }

  /** The new pixels are on the cloth. */
  rested() {
    const { held } = this;
    if (held.change && !this.hand.drag) held.change = null;
    held.layers = null;
    held.ready();
    this.tester.draw();
  }

  /** Looks at the joins when nothing has changed for a while. */
  judge() {
    const { errand, number, round } = this.state;
    const judged = errand.ended.check;
    if (errand.running || (judged && judged.number === number && judged.round === round)) return;
    this.engine.send('check').then((state) => this.take(state), () => {});
  }

  show() {
    if (!this.state) return;
    document.title = `${this.state.facts?.name ?? this.state.file} · Seamfast`;
    this.selvedge.show(this.state);
    this.ticket.show(this.state);
    const empty = !this.state.facts?.tile && !this.state.error;
    document.body.classList.toggle('empty', empty);
    this.start.show(empty);
    this.tag.show();
    this.chalk.draw();
  }

  /** One after the other: each sees what came of the one before. */
  inOrder(work) {
    return (this.last = (this.last ?? Promise.resolve()).then(work));
  }

  /** Makes changes; `true` if they were made. */
  edit(edits, together = null) {
    return this.inOrder(() => this.editNow(edits, together));
  }

  async editNow(edits, together = null) {
    if (!edits.length) return false;
    try {
      this.take(await this.engine.edit(this.state.number, edits, together));
      by('trouble').hidden = true;
      return true;
    } catch (trouble) {
      this.held.change = null;
      this.held.draw();
      this.trouble(trouble);
      if (trouble.old) this.take(await this.engine.state());
      return false;
    }
  }

  step_back(way) {
    return this.inOrder(async () => {
      try {
        this.take(await this.engine[way](this.state.number));
        by('trouble').hidden = true;
      } catch (trouble) {
        this.say(trouble.message);
      }
    });
  }

  /** Chooses a copy that was touched, or nothing. */
  choose(hit) {
    if (!hit || hit.entry === null) this.held.drop();
    else if (this.held.entry === hit.entry) this.held.copy = hit;
    else this.held.take(hit.entry, hit);
    this.held.draw();
    this.show();
  }

  chooseEntry(entry) {
    const [place] = this.state.facts.motifs[entry].places;
    const [a, b, c, d, e, f] = this.state.facts.images[0];
    this.choose({ entry, mark: 0, middle: [a * place[0] + c * place[1] + e, b * place[0] + d * place[1] + f] });
    const [x, y] = this.held.copy.middle;
    const [left, top, right, bottom] = this.camera.seen;
    if (x < left || x > right || y < top || y > bottom) {
      this.camera.middle = [x, y];
      this.cloth.moved();
    }
  }

  /** One press of an arrow, in print pixels. */
  step() {
    return stepInches(theStep()) * this.state.facts.dpi || 1;
  }

  /** Lays files on the cloth, one after the other; the first where it was dropped. */
  async layAll(files, at) {
    for (const file of files) {
      await this.lay(file, at);
      at = undefined;
    }
  }

  /** Lays a file, or a shipped motif by its name. */
  lay(file, at) {
    return this.inOrder(() => this.layNow(file, at));
  }

  async layNow(file, at) {
    const { facts, number } = this.state;
    const count = facts?.motifs?.length ?? 0;
    const there = facts?.tile && at
      ? place(facts, this.camera.toCloth(at), [0, 0])
      : [`${Math.round((50 + count * 23) % 100)}%`, `${Math.round((50 + count * 31) % 100)}%`];
    const most = facts?.tile ? facts.block.map((n) => (n / facts.dpi) * 0.6) : [2.5, 5];
    try {
      this.take(await this.engine.lay(file, number, [set('motif', count, { file: '$FILE', width: '$WIDTH', at: there })], most));
      by('trouble').hidden = true;
      this.chooseEntry(count);
      by('surface').focus();
    } catch (trouble) {
      this.trouble(trouble);
    }
  }

  /** Pulls a string: the cloth comes to the place. */
  pull({ area, what, remedy }) {
    this.pulled = what;
    this.selvedge.show(this.state);
    this.say(remedy ? `${what}: ${remedy}` : what);
    if (area) {
      const [x, y, width, height] = area;
      this.camera.middle = [x + width / 2, y + height / 2];
      this.camera.zoom = Math.max(1, this.camera.zoom);
      this.cloth.moved();
      this.tester.set([x + width / 2, y + height / 2]);
    }
  }

  async send(errand) {
    try {
      this.take(await this.engine.send(errand));
    } catch (trouble) {
      this.trouble(trouble);
    }
  }

  trouble({ message, hint, line, file }) {
    const element = by('trouble');
    element.hidden = false;
    fill(element,
      make('p', {}, sentence(file && line ? `${file}, line ${line}: ${message}` : message)),
      hint ? make('p', { class: 'more' }, sentence(hint)) : null,
      make('button', { onclick: () => (element.hidden = true) }, 'Close'));
  }

  say(text) {
    by('note').textContent = text;
  }

  calibrate() {
    calibrate(this);
  }

  /** One value typed over a fact. */
  ask(anchor, { label, old, help }, edits) {
    const input = make('input', { value: old, 'aria-label': label, size: 14 });
    const form = make('form', { class: 'asked', onsubmit: async (event) => {
      event.preventDefault();
      if (await this.edit(edits(input.value))) form.remove();
    } }, make('label', {}, label, input), make('p', { class: 'more' }, help), make('div', { class: 'row' }, make('button', { class: 'main' }, 'Set'), make('button', { type: 'button', onclick: () => { form.remove(); by(anchor.id)?.focus(); } }, 'Leave')));
    form.addEventListener('keydown', (event) => { if (event.key === 'Escape') { form.remove(); by(anchor.id)?.focus(); } });
    document.querySelectorAll('.asked').forEach((other) => other.remove());
    by('selvedge').append(form);
    const box = anchor.getBoundingClientRect();
    form.style.top = `${Math.max(8, Math.min(box.top, innerHeight - 190))}px`;
    form.style.left = `${Math.min(box.left + 24, innerWidth - 280)}px`;
    input.focus();
    input.select();
  }
}

const sentence = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// The secret stands behind the # and is kept for this tab only.
if (location.hash.length > 1) {
  sessionStorage.setItem('seamfast-key', location.hash.slice(1));
  history.replaceState(null, '', '/');
}
const table = new Table(new Engine(sessionStorage.getItem('seamfast-key') ?? ''));
globalThis.seamfast = table;
table.listen();
