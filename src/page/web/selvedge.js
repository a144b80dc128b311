// The selvedge: the strip along the cloth's edge with its facts, each of which is also what changes it; its inks;
// its motifs; and the strings.

import { by, fill, make } from './dom.js';
import { move, set } from './engine.js';
import { named } from './names.js';
import { ask } from './said.js';
import { Strings } from './strings.js';
import { chooseUnit, rough, showBoth, theUnit, typed, units } from './units.js';

export class Selvedge {
  constructor(table) {
    this.table = table;
    this.element = by('selvedge');
    this.name = make('button', { id: 'fact-name', class: 'name', title: 'Another name' , onclick: () => this.rename() });
    this.dots = make('ol', { class: 'dots', 'aria-label': 'Inks' });
    this.facts = make('div', { class: 'facts' });
    this.motifs = make('ol', { class: 'motifs' });
    this.units = make('div', { class: 'row units', role: 'group', 'aria-label': 'Unit' });
    this.place = make('p', { class: 'more' });
    this.strings = new Strings(table);
    this.inks = make('div', { class: 'inks' }, make('span', { class: 'label' }, 'Inks'), this.dots);
    this.undo = this.button('Undo', () => table.step_back('undo'), 'Ctrl Z');
    this.redo = this.button('Redo', () => table.step_back('redo'), 'Ctrl Shift Z');
    this.element.append(
      make('div', { class: 'weave', 'aria-hidden': 'true' }),
      make('div', { class: 'strip' },
        make('h1', {}, this.name), this.place, this.inks, this.facts,
        make('div', { class: 'row' }, this.undo, this.redo, this.units),
        this.strings.element,
        make('div', { class: 'group' }, make('h2', {}, 'Motifs'), this.motifs,
          make('button', { class: 'wide', onclick: () => by('files').click() }, 'Lay a motif …'))),
    );
  }

  button(label, work, keys) {
    return make('button', { onclick: work, title: keys ?? false }, label);
  }

  /** Shows a state. */
  show(state) {
    const { facts } = state;
    this.undo.disabled = !state.undo;
    this.redo.disabled = !state.redo;
    this.inks.hidden = !facts?.tile;
    this.strings.show(state);
    this.place.textContent = state.kept ? `${state.file}, in ${state.folder.split(/[\\/]/).pop()}` : 'not kept in a file yet';
    this.place.title = state.folder;
    this.name.textContent = facts?.name ?? state.file.replace(/\.toml$/, '');
    if (!facts?.tile) {
      fill(this.facts, make('p', {}, 'No motif lies here yet.'));
      fill(this.motifs);
      fill(this.dots);
      return;
    }
    this.showInks(facts);
    this.showFacts(facts);
    this.showMotifs(facts);
  }

  rename() {
    const help = 'what its files are called';
    ask(this.table, this.name, { label: 'Name', old: this.name.textContent, help }, (text) => [set('', null, { name: text.trim() })]);
  }

  showInks({ inks, ground }) {
    const dot = (ink, number) => {
      const mark = make('li', { title: ink.color ?? ink.name });
      const spot = make('span', { class: 'dot' }, String(number + 1));
      spot.style.background = ink.color ?? 'linear-gradient(135deg, #1f2d4d, #d8a72a)';
      spot.style.color = light(ink.color) ? '#1f2d4d' : '#ffffff';
      mark.append(spot, make('span', { class: 'unseen' }, ink.color ?? ink.name));
      return mark;
    };
    const shown = inks.filter((ink) => ink.color !== ground).slice(0, 12);
    fill(this.dots, ...shown.map(dot));
  }

  showFacts(facts) {
    const { table } = this;
    const { written } = facts;
    const fact = (label, value, more, work, id) =>
      make('button', { class: 'fact', id, onclick: work },
        make('span', { class: 'label' }, label), make('span', { class: 'value' }, value), more ? make('span', { class: 'more' }, more) : null);
    const gap = Math.max(...facts.tile.um.map(Math.abs));
    const left = gap < 0.05 ? 'exactly as asked' : `${gap.toFixed(0)} µm over a tile, ${Math.max(...facts.tile.mm_per_10_m.map(Math.abs)).toFixed(2)} mm in 10 m`;
    const asks = (id, label, old, help, make_edit, color) => () => ask(table, by(id), { label, old, help, color }, make_edit);
    const values = [
      fact('Layout', named(facts.layout), `${facts.motifs.length} ${facts.motifs.length === 1 ? 'motif' : 'motifs'}, ${facts.copies} copies on a tile`, () => table.layouts.toggle(), 'fact-layout'),
      fact('Tile', showBoth(facts.tile.in), `${facts.tile.px[0]} × ${facts.tile.px[1]} px · ${left}`,
        asks('fact-tile', 'Tile', written.tile ?? facts.tile.in.map(rough).join(' x '), 'for example 8in, 20 x 25 cm or 2048px',
          (text) => [set('repeat', null, { tile: typed(text), block: null })]), 'fact-tile'),
      fact('Block', showBoth(facts.block.map((n) => n / facts.dpi)), written.tile ? 'follows from the tile' : null,
        asks('fact-block', 'Block', written.block ?? facts.block.map((n) => rough(n / facts.dpi)).join(' x '), 'the smallest part that repeats, for example 4 x 8 in',
          (text) => [set('repeat', null, { block: typed(text), tile: null })]), 'fact-block'),
      fact('Print', `${Number(facts.dpi.toFixed(3))} dpi`, null,
        asks('fact-dpi', 'Resolution', String(Number(facts.dpi.toFixed(3))), '150 is usual for cloth, 300 for paper',
          (text) => [set('deliver', 0, { dpi: Number(text) || text.trim() })]), 'fact-dpi'),
      fact('Ground', facts.ground ?? 'none', null,
        asks('fact-ground', 'Ground', facts.ground ?? 'none', 'a color such as #f3eee3 or linen, or none',
          (text) => [set('', null, { ground: text.trim() })], true), 'fact-ground'),
    ];
    const chosen = units.map((name) => {
      const button = make('button', { 'aria-pressed': String(name === theUnit()), onclick: () => { chooseUnit(name); table.show(); } }, name);
      return button;
    });
    fill(this.facts, ...values);
    fill(this.units, ...chosen);
    const swatch = make('span', { class: 'dot ground' });
    if (facts.ground) swatch.style.background = facts.ground;
    by('fact-ground').append(swatch);
  }

  showMotifs({ motifs }) {
    const { table } = this;
    const own = (motif, entry) => {
      const held = table.held.entry === entry;
      const button = make('button', { 'aria-pressed': String(held), onclick: () => { table.chooseEntry(entry); by('surface').focus(); } },
        make('span', { class: 'value' }, motif.name ?? motif.file), make('span', { class: 'more' }, motif.in ? showBoth(motif.in) : ''));
      button.addEventListener('keydown', (event) => {
        const to = { ArrowUp: entry - 1, ArrowDown: entry + 1 }[event.key];
        if (to === undefined || !event.altKey || to < 0 || to >= motifs.length) return;
        event.preventDefault();
        table.edit([move('motif', entry, to)]);
      });
      return make('li', {}, button);
    };
    fill(this.motifs, ...motifs.map(own));
  }
}

/** Whether dark letters are read better on a color (relative luminance, WCAG 2.2). */
function light(color) {
  if (!color) return false;
  const [r, g, b] = [1, 3, 5].map((at) => parseInt(color.slice(at, at + 2), 16) / 255).map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b > 0.35;
}
