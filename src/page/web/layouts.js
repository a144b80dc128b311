// Layouts and symmetries as small cloths with the person's own motifs, and the toss.

import { by, fill, make, rested } from './dom.js';
import { set } from './engine.js';
import { ALTERNATING, GROUPS, isLaid, KINDS, LAYOUTS, named, SHAPES } from './names.js';
import { say } from './said.js';
import { rough, showBoth, theUnit, typed } from './units.js';

const WIDTH = 132;
const HEIGHT = 100;
/** How many blocks a small cloth shows across and down, at least: so many tell a drop from a brick. */
const BLOCKS = [2.2, 1.8];
/** What can be asked for, in pixels an inch. */
const LEAST = 1;
const MOST = 10000;
/** A gap to begin with, as it is said in each unit. */
const GAP = { in: '0.125 in', cm: '0.3 cm', mm: '3 mm' };

export class Layouts {
  constructor(table) {
    this.table = table;
    this.element = by('layouts');
    this.element.addEventListener('keydown', (event) => event.key === 'Escape' && this.close());
    this.round = 0;
    this.cells = [...LAYOUTS, ...GROUPS].map((name) => this.cell(name));
    this.became = make('p', { class: 'more' });
    this.toss = make('div', { class: 'group' });
    const small = (names) => make('div', { class: 'cloths' }, ...this.cells.filter((one) => names.includes(one.name)).map((one) => one.button));
    this.element.append(
      make('div', { class: 'head' }, make('h2', {}, 'Layout'), this.became, make('button', { onclick: () => this.close() }, 'Close')),
      this.toss,
      small(LAYOUTS),
      make('h2', {}, 'Symmetry'),
      make('p', {}, 'The seventeen ways in which a cloth can be carried onto itself, by their International Tables names.'),
      small(GROUPS));
    this.paint = rested(250, () => this.fill());
  }

  cell(name) {
    const canvas = make('canvas', { width: WIDTH * devicePixelRatio, height: HEIGHT * devicePixelRatio, 'aria-hidden': 'true' });
    const why = make('span', { class: 'more' });
    const button = make('button', { onclick: () => this.choose(name) }, canvas, make('span', {}, named(name)), why);
    return { name, canvas, button, why };
  }

  toggle() {
    if (!this.element.hidden) return this.close();
    const { table } = this;
    // They would lie half under it.
    table.choose(null);
    table.ticket.fold();
    table.tester.element.hidden = true;
    this.element.hidden = false;
    this.became.textContent = '';
    this.show(table.state);
    this.element.querySelector('.head button').focus();
  }

  close() {
    this.element.hidden = true;
    this.round += 1;
    this.shown = null;
    by('fact-layout')?.focus();
  }

  /** What is chosen, what can be strewn; the small cloths keep their old pixels until the new ones are there. */
  show({ facts, number, round }) {
    if (this.element.hidden || !facts?.tile) return;
    for (const { name, button } of this.cells) button.setAttribute('aria-pressed', String(isLaid(facts, name)));
    const now = `${number}.${round} ${theUnit()}`;
    if (this.shown === now) return;
    this.shown = now;
    this.showToss(facts);
    this.paint();
  }

  /** The changes that choose an arrangement. Where it wants a block of another shape, the block becomes as high as
   * that asks for its width; where it alternates, motifs that have no places take them in turn. */
  choice(name) {
    const { facts } = this.table.state;
    const { motifs } = facts;
    const group = GROUPS.includes(name);
    const values = group ? { symmetry: name, layout: null, alternate: null } : { layout: name, symmetry: null, alternate: null };
    const shape = SHAPES[name];
    const [width, height] = facts.block;
    if (shape && Math.abs(height / width / shape - 1) > 0.005) Object.assign(values, { block: rough(width / facts.dpi), tile: null });
    // The person's own block comes back with a layout that takes it.
    else if (!shape && this.own && facts.written.block === this.own.forced) Object.assign(values, { block: this.own.block, tile: this.own.tile });
    const placed = motifs.some(({ written }) => written.place);
    const places = motifs.map((motif, n) => {
      if (!ALTERNATING.includes(name)) return placed && motif.written.place ? set('motif', n, { place: null }) : null;
      return !placed && motifs.length > 1 ? set('motif', n, { place: (n % KINDS) + 1 }) : null;
    });
    return [set('repeat', null, values), ...places.filter(Boolean)];
  }

  showToss(facts) {
    const { gap = GAP[theUnit()], seed = '1', turns = 'any' } = this.wish ?? {};
    const ways = ['any', 'four-way', 'two-way', 'one-way'].map((way) => make('option', { selected: way === turns }, way));
    const form = make('form', { class: 'toss', onsubmit: (event) => { event.preventDefault(); this.strew(new FormData(event.target)); } },
      make('label', {}, 'Gap ', make('input', { name: 'gap', value: gap, size: 8 })),
      make('label', {}, 'Turns ', make('select', { name: 'turns' }, ...ways)),
      make('label', { title: 'Any whole number; in the design file it is the seed' }, 'Throw ', make('input', { name: 'seed', value: seed, size: 4, inputmode: 'numeric' })),
      make('button', {}, facts.tossed ? 'Toss again' : 'Toss the motifs'));
    this.toss.hidden = facts.croquis;
    fill(this.toss, make('h2', {}, 'Toss'),
      make('p', {}, 'Strews the motifs evenly over the block, by their outlines. Each throw has a number: another one lays them another way, the same one as before.'),
      form);
  }

  /** One small cloth after the other, as long as the panel is open. */
  async fill() {
    if (this.element.hidden) return;
    const round = ++this.round;
    const { table } = this;
    const { facts } = table.state;
    const dpi = Math.min(...[WIDTH, HEIGHT].map((side, axis) => (side * devicePixelRatio * facts.dpi) / (BLOCKS[axis] * facts.block[axis])));
    for (const { name, canvas, button, why } of this.cells) {
      if (round !== this.round) return;
      let trouble = null;
      try {
        const window = [0, 0, canvas.width, canvas.height];
        const { data } = await table.engine.pixels({ edits: this.choice(name), dpi: Math.min(Math.max(dpi, LEAST), MOST), window });
        canvas.getContext('2d').putImageData(new ImageData(data, canvas.width, canvas.height), 0, 0);
      } catch (refused) {
        trouble = refused.message;
      }
      button.disabled = trouble !== null;
      button.title = why.textContent = trouble ?? '';
    }
    this.element.dataset.filled = this.shown;
  }

  async choose(name) {
    const { table } = this;
    const edits = this.choice(name);
    const { block } = edits[0].set.values;
    const before = table.state.facts;
    if (!(await table.edit(edits))) return;
    if (SHAPES[name] && block) this.own = { forced: block, block: this.own?.block ?? before.written.block, tile: this.own?.tile ?? before.written.tile };
    else if (block !== undefined) this.own = null;
    const { facts } = table.state;
    const dealt = edits.length > 1 && ALTERNATING.includes(name) ? '; the motifs take the places in turn' : '';
    this.became.textContent = `${became('tile', before.tile.in, facts.tile.in)}; ${became('block', inches(before), inches(facts))}${dealt}.`;
    say(`${named(facts.layout)}: ${this.became.textContent}`);
  }

  /** Writes what is to be strewn, the motifs as they are, and sends for it. */
  async strew(form) {
    const { table } = this;
    const { facts } = table.state;
    this.wish = Object.fromEntries(form);
    const seed = Math.max(1, Math.round(Number(form.get('seed')) || 1));
    const kinds = new Map();
    for (const motif of facts.motifs) if (!kinds.has(motif.file)) kinds.set(motif.file, motif);
    // What lies there goes when the others have found their places, and not before.
    const edits = facts.tossed ? [] : facts.motifs.map((_, n) => set('motif', n, { tossed: true }));
    edits.push(set('toss', null, { gap: typed(String(form.get('gap'))), turns: String(form.get('turns')) }));
    if (!facts.tossed) {
      [...kinds.values()].forEach((motif, n) => {
        edits.push(set('toss.motif', n, { file: motif.file, width: motif.written.width ?? `${motif.in[0].toFixed(3)}in` }));
      });
    }
    if (!(await table.edit(edits))) return;
    table.send({ toss: { seed } });
    // The next press throws anew.
    this.wish.seed = String(seed + 1);
    this.showToss(table.state.facts);
  }
}

const inches = ({ block, dpi }) => block.map((n) => n / dpi);

/** What became of a size. */
function became(what, before, now) {
  const same = before.every((n, axis) => Math.abs(n - now[axis]) < 1e-3);
  return same ? `the ${what} stays ${showBoth(now)}` : `the ${what} is ${showBoth(now)} now`;
}
