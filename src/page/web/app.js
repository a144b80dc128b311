// The table: holds the state, and lets cloth, hand, selvedge, ticket and tester know of one another.

import { Camera } from './camera.js';
import { Chalk, handles } from './chalk.js';
import { Cloth } from './cloth.js';
import { by, once } from './dom.js';
import { Engine } from './engine.js';
import { Hand } from './hand.js';
import { Held } from './held.js';
import { keys } from './keys.js';
import { layAll } from './laying.js';
import { Layouts } from './layouts.js';
import { hush, say, trouble } from './said.js';
import { Selvedge } from './selvedge.js';
import { calibrate, distances } from './sight.js';
import { Start } from './start.js';
import { Tag } from './tag.js';
import { Tester } from './tester.js';
import { Ticket } from './ticket.js';
import { stepInches, theStep } from './units.js';

class Table {
  constructor(engine) {
    this.engine = engine;
    this.state = null;
    /** The string that was pulled last. */
    this.pulled = null;
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
    this.cloth.onTrouble = trouble;
    new ResizeObserver(() => this.cloth.resize()).observe(by('surface'));
    this.cloth.resize();
    by('files').addEventListener('change', (event) => {
      layAll(this, [...event.target.files]);
      event.target.value = '';
    });
    document.addEventListener('dragover', (event) => event.preventDefault());
    document.addEventListener('drop', (event) => {
      event.preventDefault();
      layAll(this, [...event.dataTransfer.files], this.hand.at(event));
    });
    document.addEventListener('keydown', (event) => keys(this, event));
    matchMedia('(prefers-color-scheme: dark)').addEventListener('change', () => this.rested());
    distances(this);
  }

  /** Hears what is new, for as long as the page is open. */
  async listen() {
    for (;;) {
      try {
        this.take(await this.engine.state(this.state?.seen));
        this.lost = false;
      } catch (why) {
        trouble(why);
        this.lost = true;
        // Without a design there is nothing to show but why.
        document.body.classList.toggle('shut', !this.state);
        await new Promise((done) => setTimeout(done, 1500));
      }
    }
  }

  /** Takes a state, unless a newer one is here. */
  take(state) {
    if (this.state && state.seen < this.state.seen && !this.lost) return;
    const before = this.state;
    this.state = state;
    this.engine.file = state;
    const dpi = before?.facts?.dpi;
    if (state.facts?.tile) this.cloth.take(state.facts, `${state.number}.${state.round}`);
    // At another resolution the copy in hand lies on other pixels.
    if (dpi && state.facts?.tile && this.held.copy) this.held.copy.middle = this.held.copy.middle.map((n) => (n * state.facts.dpi) / dpi);
    this.tossed(before, state);
    if (this.held.entry !== null && !this.held.motif) this.held.drop();
    if (before && before.number !== state.number) {
      this.pulled = null;
      // What was moved has its new place now; how it was turned and sized its old picture still lacks.
      if (this.held.change) this.held.change = { ...this.held.change, move: [0, 0], kept: true };
      if (this.held.motif && this.held.copy) this.held.follow();
    }
    if (state.error) trouble({ message: state.error.what, hint: state.error.hint, line: state.error.line, file: state.file });
    else if (before?.error || this.lost) hush();
    if (before?.kept && !state.kept) trouble({ message: `${state.file} is gone from the disk`, hint: 'all of it is here still, and the next change writes it again' });
    this.show();
    clearTimeout(this.judging);
    if (state.facts?.tile && !state.error) this.judging = setTimeout(() => this.judge(), 1200);
  }

  /** A toss that could not be is said, and what was written for it taken back. */
  tossed(before, state) {
    const { toss } = state.errand.ended;
    if (!toss?.error || JSON.stringify(before?.errand.ended.toss) === JSON.stringify(toss) || !before) return;
    trouble({ message: toss.error.what, hint: toss.error.hint });
    if (toss.number === state.number) this.inOrder(async () => this.take(await this.engine.undo(this.state.number).catch(() => this.state)));
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
    document.body.classList.remove('shut');
    document.title = `${this.state.facts?.name ?? this.state.file} · Seamfast`;
    this.selvedge.show(this.state);
    this.ticket.show(this.state);
    this.layouts.show(this.state);
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

  /** Makes changes; `true` if they were made. What was refused is said. */
  edit(edits, together = null) {
    return this.inOrder(() => this.editNow(edits, together));
  }

  async editNow(edits, together = null) {
    if (!edits.length) return false;
    const refused = await this.tried(edits, together);
    if (refused) trouble(refused);
    return !refused;
  }

  /** Makes changes; why they were refused, for who says it in a place of its own. */
  attempt(edits) {
    return this.inOrder(() => this.tried(edits, null));
  }

  async tried(edits, together) {
    try {
      this.take(await this.engine.edit(this.state.number, edits, together));
      hush();
      return null;
    } catch (refused) {
      this.held.change = null;
      this.held.draw();
      if (refused.old) this.take(await this.engine.state());
      return refused;
    }
  }

  step_back(way) {
    return this.inOrder(async () => {
      try {
        this.take(await this.engine[way](this.state.number));
        hush();
      } catch (why) {
        say(why.message);
      }
    });
  }

  /** Chooses a copy that was touched, or nothing. */
  choose(hit) {
    if (!hit || hit.entry === null) this.held.drop();
    else if (this.held.entry === hit.entry) this.held.copy = hit;
    else this.held.take(hit.entry, hit);
    if (!this.held.motif) this.pulled = null;
    this.held.draw();
    this.show();
    this.tester.makeRoom();
  }

  chooseEntry(entry) {
    const [place] = this.state.facts.motifs[entry].places;
    const [a, b, c, d, e, f] = this.state.facts.images[0];
    this.choose({ entry, mark: 0, middle: [a * place[0] + c * place[1] + e, b * place[0] + d * place[1] + f] });
    if (this.camera.comeTo(this.held.copy.middle)) this.cloth.moved();
  }

  /** One press of an arrow, in print pixels. */
  step() {
    return stepInches(theStep()) * this.state.facts.dpi || 1;
  }

  async send(errand) {
    try {
      this.take(await this.engine.send(errand));
    } catch (why) {
      trouble(why);
    }
  }

  calibrate() {
    calibrate(this);
  }
}

// The secret stands behind the # and is kept for this tab only.
if (location.hash.length > 1) {
  sessionStorage.setItem('seamfast-key', location.hash.slice(1));
  history.replaceState(null, '', '/');
}
const table = new Table(new Engine(sessionStorage.getItem('seamfast-key') ?? ''));
globalThis.seamfast = table;
table.listen();
