// Layouts and symmetries as small cloths with the person's own motifs, and the toss.

import { by, make, picture } from './dom.js';
import { set } from './engine.js';
import { rough, typed } from './units.js';

const LAYOUTS = ['straight', 'half-drop', 'brick', 'drop=1/3', 'brick=1/3', 'mirror', 'mirror-across', 'mirror-down', 'mirror-drop', 'turn', 'turn-drop', 'pinwheel', 'ogee', 'diamond', 'hexagonal', 'satin=5', 'stripes', 'rows', 'checker', 'border'];
const GROUPS = ['p1', 'p2', 'pm', 'pg', 'cm', 'p2mm', 'p2mg', 'p2gg', 'c2mm', 'p4', 'p4mm', 'p4gm', 'p3', 'p3m1', 'p31m', 'p6', 'p6mm'];
/** How many times as high as wide a block has to be. */
const SHAPES = { pinwheel: 1, hexagonal: Math.sqrt(3), p4: 1, p4mm: 1, p4gm: 1, p3: Math.sqrt(3), p3m1: Math.sqrt(3), p31m: Math.sqrt(3), p6: Math.sqrt(3), p6mm: Math.sqrt(3) };
const WIDTH = 132;
const HEIGHT = 100;
/** How many blocks a small cloth shows across. */
const BLOCKS = 3;

/** A name as it is said. */
const named = (name) => name.replace('=1/3', ' 1/3').replace('=5', ' of 5').replace(/^mirror-/, 'mirror, ').replace('turn-drop', 'turn, dropped').replace('mirror, drop', 'mirror, dropped');

export class Layouts {
  constructor(table) {
    this.table = table;
    this.element = by('layouts');
    this.element.addEventListener('keydown', (event) => event.key === 'Escape' && this.close());
    this.round = 0;
  }

  toggle() {
    if (!this.element.hidden) return this.close();
    this.element.hidden = false;
    this.paint();
    this.element.querySelector('button')?.focus();
  }

  close() {
    this.element.hidden = true;
    this.round += 1;
    by('fact-layout')?.focus();
  }

  /** The changes that choose an arrangement; where it wants a block of another shape, the block becomes as high as
   * that asks for its width. */
  choice(name) {
    const { facts } = this.table.state;
    const group = GROUPS.includes(name);
    const values = group ? { symmetry: name, layout: null, alternate: null } : { layout: name, symmetry: null, alternate: null };
    const shape = SHAPES[name];
    const [width, height] = facts.block;
    if (shape && Math.abs(height / width / shape - 1) > 0.005) Object.assign(values, { block: rough(width / facts.dpi), tile: null });
    // The person's own block comes back with a layout that takes it.
    else if (!shape && this.own && facts.written.block === this.own.forced) Object.assign(values, { block: this.own.block, tile: this.own.tile });
    return [set('repeat', null, values)];
  }

  paint() {
    const { facts } = this.table.state;
    const cell = (name) => {
      const canvas = make('canvas', { width: WIDTH * devicePixelRatio, height: HEIGHT * devicePixelRatio, 'aria-hidden': 'true' });
      const now = facts.written.symmetry === name || (!facts.written.symmetry && facts.layout === name);
      const button = make('button', { 'aria-pressed': String(now), onclick: () => this.choose(name) }, canvas, make('span', {}, named(name)));
      return { name, canvas, button };
    };
    const [layouts, groups] = [LAYOUTS.map(cell), GROUPS.map(cell)];
    const toss = make('form', { class: 'toss', onsubmit: (event) => { event.preventDefault(); this.toss(new FormData(event.target)); } },
      make('h2', {}, 'Toss'),
      make('p', {}, 'Strews the motifs evenly over the block, by their outlines. Another number strews them another way.'),
      make('label', {}, 'Gap ', make('input', { name: 'gap', value: '3mm', size: 8 })),
      make('label', {}, 'Number ', make('input', { name: 'seed', value: '1', size: 4, inputmode: 'numeric' })),
      make('label', {}, 'Turns ', make('select', { name: 'turns' }, ...['any', 'four-way', 'two-way', 'one-way'].map((turns) => make('option', {}, turns)))),
      make('button', {}, facts.tossed ? 'Toss again' : 'Toss the motifs'));
    this.element.replaceChildren(
      make('div', { class: 'head' }, make('h2', {}, 'Layout'), make('button', { onclick: () => this.close() }, 'Close')),
      make('div', { class: 'cloths' }, ...layouts.map((one) => one.button)),
      make('h2', {}, 'Symmetry'),
      make('p', {}, 'The seventeen ways in which a cloth can be carried onto itself, by their International Tables names.'),
      make('div', { class: 'cloths' }, ...groups.map((one) => one.button)),
      facts.croquis ? '' : toss);
    this.fill([...layouts, ...groups]);
  }

  /** One small cloth after the other, as long as the panel is open. */
  async fill(cells) {
    const round = ++this.round;
    const { table } = this;
    const { facts } = table.state;
    const dpi = Math.max(1, (WIDTH * devicePixelRatio * facts.dpi) / (BLOCKS * facts.block[0]));
    for (const { name, canvas, button } of cells) {
      if (round !== this.round) return;
      try {
        const window = [0, 0, canvas.width, canvas.height];
        const { data } = await table.engine.pixels({ edits: this.choice(name), dpi, window });
        canvas.getContext('2d').drawImage(picture(data, [canvas.width, canvas.height]), 0, 0);
      } catch (trouble) {
        button.disabled = true;
        button.title = trouble.message;
        button.append(make('span', { class: 'more' }, trouble.message));
      }
    }
  }

  async choose(name) {
    const edits = this.choice(name);
    const { block } = edits[0].set.values;
    const { written } = this.table.state.facts;
    if (!(await this.table.edit(edits))) return;
    if (SHAPES[name] && block) this.own = { forced: block, block: this.own?.block ?? written.block, tile: this.own?.tile ?? written.tile };
    else if (block !== undefined) this.own = null;
    this.paint();
    this.element.querySelector('[aria-pressed=true]')?.focus();
  }

  /** Writes what is to be strewn, the motifs as they are, and sends for it. */
  async toss(form) {
    const { table } = this;
    const { facts } = table.state;
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
    if (await table.edit(edits)) table.send({ toss: { seed } });
  }
}
