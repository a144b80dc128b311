// The tag at the motif in hand: its numbers, and what can be done with it.

import { by, fill, make } from './dom.js';
import { set } from './engine.js';
import { deeds, place, sized } from './hand.js';
import { chooseStep, show, STEPS, theStep, typed } from './units.js';

export class Tag {
  constructor(table) {
    this.table = table;
    this.element = by('tag');
  }

  show() {
    const { table, element } = this;
    const { motif, entry } = table.held;
    if (!motif) return;
    const typing = document.activeElement;
    if (element.contains(typing) && typing.matches('input') && typing.value !== typing.defaultValue) return;
    const { facts } = table.state;
    const at = motif.places[0].map((n) => n / facts.dpi);
    const here = place(facts, motif.places[0], [0, 0]);
    const change = (values) => table.edit([set('motif', entry, values)]);
    const deed = (label, name) => make('button', { onclick: () => table.edit(deeds[name](motif, entry, facts.motifs.length)) }, label);
    fill(element,
      make('h2', {}, motif.name),
      this.field('Width', 'tag-width', show(motif.in[0]), (text) => change({ ...sized(motif, 1), width: typed(text), height: null })),
      this.field('Turn °', 'tag-turn', String(motif.turn), (text) => this.turn(text, change)),
      this.field('Across', 'tag-x', show(at[0]), (text) => change({ at: [typed(text), here[1]] })),
      this.field('Down', 'tag-y', show(at[1]), (text) => change({ at: [here[0], typed(text)] })),
      make('label', {}, make('span', {}, 'Arrows'), make('select', { id: 'tag-step', onchange: (event) => chooseStep(event.target.value) },
        ...STEPS.map((step) => make('option', { selected: step === theStep() }, step)))),
      deed('Flip ↔', 'across'), deed('Flip ↕', 'down'), deed('Over', 'forward'), deed('Under', 'back'),
      make('button', { onclick: () => this.again() }, 'Once more'),
      make('button', { onclick: () => this.takeOff() }, 'Take off'));
  }

  /** A number that can be typed: what was typed is taken, or what was there comes back. */
  field(label, id, value, work) {
    const entered = async ({ target }) => {
      const text = target.value;
      target.value = target.defaultValue;
      await work(text);
      this.show();
    };
    const leave = (event) => {
      if (event.key !== 'Escape') return;
      event.target.value = event.target.defaultValue;
      by('surface').focus();
    };
    return make('label', {}, make('span', {}, label), make('input', { id, value, size: 9, onchange: entered, onkeydown: leave }));
  }

  async turn(text, change) {
    const degrees = Number(text.replace('°', '').trim());
    if (text.trim() !== '' && Number.isFinite(degrees)) return change({ turn: degrees || null });
    return this.table.trouble({ message: `"${text}" is no turn`, hint: 'write degrees, clockwise, for example 15 or -30' });
  }

  takeOff() {
    const { table } = this;
    const { entry, motif } = table.held;
    table.held.drop();
    table.edit(deeds.take(motif, entry)).then(() => by('surface').focus());
  }

  /** The motif in hand once more, beside itself. */
  async again() {
    const { table } = this;
    const { motif } = table.held;
    const { facts } = table.state;
    const aside = (motif.ink[2] - motif.ink[0]) / 2;
    const { width, height, scale, trim, place: kind, overlap } = motif.written;
    const at = place(facts, motif.places[0], [aside, aside / 2]);
    const values = { file: motif.file, width, height, scale, trim: trim || null, at, place: kind, turn: motif.turn || null, flip: motif.flip, layer: motif.layer || null, overlap: overlap || null };
    if (await table.edit([set('motif', facts.motifs.length, values)])) table.chooseEntry(table.state.facts.motifs.length - 1);
  }
}
