// The mill ticket: what leaves the house. Files, size, resolution, proven or not.

import { by, fill, make } from './dom.js';
import { set } from './engine.js';
import { named } from './names.js';
import { say, trouble } from './said.js';
import { showBoth } from './units.js';

const KINDS = {
  svg: 'vector; every copy is drawn', png: 'pixels, lossless', tiff: 'pixels, lossless, for print', jpeg: 'pixels, small', pdf: 'vector, true size',
  'pattern-svg': 'SVG that holds the tile as a pattern and fills its page with it', 'pattern-pdf': 'the same as PDF',
  'plain-svg': 'SVG of nothing but paths, cut at the tile’s edge, for cutters and simple programs',
};

export class Ticket {
  constructor(table) {
    this.table = table;
    this.element = by('ticket');
    this.open = false;
    this.body = make('div', { class: 'body', id: 'ticket-body' });
    this.head = make('button', { class: 'head', 'aria-expanded': 'false', 'aria-controls': 'ticket-body', onclick: () => this.turn() });
    this.element.append(this.head, this.body);
  }

  /** Opens it, or folds it away; a motif in hand is put down, or its numbers would lie on the ticket. */
  turn() {
    this.open = !this.open;
    if (this.open) {
      this.table.choose(null);
      say('');
    }
    this.show(this.table.state);
  }

  fold() {
    if (this.open) this.turn();
  }

  show(state) {
    const { facts, errand } = state;
    this.element.hidden = !facts?.tile;
    if (!facts?.tile) return;
    const made = errand.ended.make;
    const fresh = made?.answer && made.number === state.number && made.round === state.round;
    // The joins are looked at all the while; that keeps nobody waiting.
    const busy = errand.running && errand.running !== 'check';
    const word = state.error ? 'can’t be made as it is' : errand.running === 'make' ? 'being made …' : fresh ? 'delivered and proven' : 'not delivered yet';
    fill(this.head, make('span', { class: 'value' }, 'Mill ticket'), make('span', { class: `more ${fresh ? 'proven' : ''}` }, word));
    this.head.setAttribute('aria-expanded', String(this.open));
    this.body.hidden = !this.open;
    if (!this.open) return;
    const boxes = Object.entries(KINDS).map(([kind, about]) =>
      make('label', { class: 'kind' },
        make('input', { type: 'checkbox', checked: facts.kinds.includes(kind), disabled: busy, onchange: (event) => this.kind(kind, event.target.checked) }),
        make('span', { class: 'value' }, kind), make('span', { class: 'more' }, about)));
    fill(this.body,
      make('p', {}, `${facts.name}: ${showBoth(facts.tile.in)}, ${facts.tile.px[0]} × ${facts.tile.px[1]} px at ${Number(facts.dpi.toFixed(3))} dpi. ${upload(facts)}`),
      make('fieldset', {}, make('legend', {}, 'Files'), ...boxes),
      make('div', { class: 'row' },
        make('button', { class: 'main', disabled: busy || Boolean(state.error), onclick: () => this.table.send('make') }, 'Deliver'),
        make('button', { disabled: busy || Boolean(state.error), onclick: () => this.table.send({ proof: { cloth: '54inx1yd' } }) }, 'Proof page and cloth'),
        busy ? make('button', { onclick: () => this.table.engine.stop() }, 'Stop') : null),
      busy ? progress(errand) : null,
      ...['make', 'proof'].map((kind) => this.result(kind, errand.ended[kind], state)));
  }

  /** What came of it. */
  result(kind, ended, state) {
    if (!ended) return null;
    const fresh = ended.number === state.number && ended.round === state.round;
    if (ended.error) {
      // What has changed since may go; what is wrong with the design now is said already.
      return !fresh || state.error ? null : make('div', { class: 'wrong' }, make('p', {}, ended.error.what), ended.error.hint ? make('p', { class: 'more' }, ended.error.hint) : null);
    }
    const files = ended.answer.files ?? [];
    const name = (path) => path.split(/[\\/]/).pop();
    const proven = kind === 'make' ? 'Each was read back from the disk by another reader, and is what was painted.' : 'Open the page in a browser; it needs nothing else.';
    return make('div', { class: 'made' },
      make('p', {}, fresh ? proven : 'These were made before your last change.'),
      make('ul', {}, ...files.map((file) => make('li', {},
        make('button', { onclick: () => this.take(name(file.path)) }, name(file.path)), make('span', { class: 'more' }, ` ${size(file.bytes)}`)))),
      make('p', { class: 'more' }, `They also lie in ${state.folder}, in the folder out.`));
  }

  kind(kind, wanted) {
    const { kinds } = this.table.state.facts;
    const next = wanted ? [...kinds, kind] : kinds.filter((one) => one !== kind);
    if (next.length) this.table.edit([set('deliver', 0, { as: next })]);
    else this.show(this.table.state);
  }

  /** Saves a file through the browser. */
  async take(name) {
    try {
      const address = URL.createObjectURL(await this.table.engine.made(name));
      make('a', { href: address, download: name }).click();
      setTimeout(() => URL.revokeObjectURL(address), 60000);
    } catch (why) {
      trouble(why);
    }
  }
}

/** What to choose where the file is uploaded. */
function upload({ layout, border }) {
  if (border) return 'Have it repeated across only.';
  return layout === 'straight' ? 'Have it printed as a straight repeat.' : `Have it printed as a straight repeat: the ${named(layout)} is inside the tile already.`;
}

function progress({ done, running }) {
  const bar = make('progress', { max: 1000, 'aria-label': running });
  if (done >= 0) bar.value = done;
  return bar;
}

const size = (bytes) => (bytes < 1e6 ? `${Math.ceil(bytes / 1e3)} kB` : `${(bytes / 1e6).toFixed(1)} MB`);
