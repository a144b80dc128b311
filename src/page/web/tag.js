// The tag at the motif in hand: its numbers, and what can be done with it.

import { deeds, place, sized } from './changes.js';
import { by, fill, make } from './dom.js';
import { set } from './engine.js';
import { placeWord } from './names.js';
import { trouble } from './said.js';
import { chooseStep, inchesOf, show, STEPS, theStep, typed } from './units.js';

/** Between the frame and the tag, and what the ruler takes at the edge; in CSS pixels. */
const GAP = 18;
const EDGE = 34;

export class Tag {
  constructor(table) {
    this.table = table;
    this.element = by('tag');
    this.element.addEventListener('keydown', (event) => event.key === 'Escape' && !event.target.matches('input') && this.letGo());
  }

  show() {
    const { table, element } = this;
    const { motif, entry } = table.held;
    if (!motif) return;
    const typing = document.activeElement;
    if (element.contains(typing) && typing.matches('input') && typing.value !== typing.defaultValue) return;
    const { facts } = table.state;
    const at = table.held.copy.middle.map((n) => n / facts.dpi);
    const change = (values) => table.edit([set('motif', entry, values)]);
    const deed = (label, name) => make('button', { onclick: () => table.edit(deeds[name](motif, entry, facts.motifs.length)) }, label);
    fill(element,
      make('div', { class: 'head' }, make('h2', {}, motif.name), make('button', { onclick: () => this.letGo() }, 'Let go')),
      this.field('Width', 'tag-width', show(motif.in[0]), (text) => change({ ...sized(motif, 1), width: typed(text), height: null })),
      this.field('Turn °', 'tag-turn', String(motif.turn), (text) => this.turn(text, change)),
      this.field('Across', 'tag-x', show(at[0]), (text) => this.to(0, text, change)),
      this.field('Down', 'tag-y', show(at[1]), (text) => this.to(1, text, change)),
      make('label', {}, make('span', {}, 'One arrow key'), make('select', { id: 'tag-step', onchange: (event) => chooseStep(event.target.value) },
        ...STEPS.map((step) => make('option', { selected: step === theStep() }, step)))),
      facts.places > 1 ? this.places(facts, motif, change) : null,
      deed('Flip ↔', 'across'), deed('Flip ↕', 'down'), deed('Over', 'forward'), deed('Under', 'back'),
      make('button', { onclick: () => this.again() }, 'Once more'),
      make('button', { onclick: () => this.takeOff() }, 'Take off'));
  }

  /** On which kind of place it lies, where motifs alternate. */
  places({ layout, places }, { written }, change) {
    const word = placeWord({ layout });
    const kinds = Array.from({ length: places }, (_, n) => make('option', { value: n + 1, selected: written.place === n + 1 }, `${word} ${n + 1} of ${places}`));
    return make('label', {}, make('span', {}, 'Lies on'),
      make('select', { id: 'tag-place', onchange: ({ target }) => change({ place: Number(target.value) || null }) },
        make('option', { value: 0, selected: !written.place }, `every ${word}`), ...kinds));
  }

  /** Beside the frame from `a` to `b`, in CSS pixels; ticket, rulers and the buttons below stay free. */
  lie(a, b) {
    const { element, table } = this;
    const { ticket } = table;
    const room = element.parentElement;
    const right = room.clientWidth - (ticket.open ? ticket.element.offsetWidth + EDGE : 0) - EDGE;
    const top = ticket.open ? 8 : ticket.element.offsetTop + ticket.element.offsetHeight + 8;
    const bottom = by('distance').offsetTop - 8;
    const left = b[0] + GAP + element.offsetWidth < right ? b[0] + GAP : a[0] - GAP - element.offsetWidth;
    element.style.left = `${Math.max(8, Math.min(Math.max(8, left), right - element.offsetWidth - 8))}px`;
    element.style.top = `${Math.max(8, Math.min(Math.max(top, a[1]), bottom - element.offsetHeight))}px`;
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

  /** Lays the copy in hand at a number of the rulers; the design says where the first of them lies. */
  async to(axis, text, change) {
    const { held, state: { facts } } = this.table;
    const [home] = held.motif.places;
    const by = [0, 0];
    by[axis] = inchesOf(text) * facts.dpi - held.copy.middle[axis];
    const at = place(facts, home, [0, 0]);
    if (held.copy.middle.every((n, axis) => Math.abs(n - home[axis]) < 0.01)) at[axis] = typed(text);
    else if (Number.isFinite(by[axis])) at.splice(0, 2, ...place(facts, home, held.home(by)));
    else return trouble({ message: `"${text}" is no length`, hint: 'write a number and its unit, for example 2.5 in or 40 mm' });
    return change({ at });
  }

  async turn(text, change) {
    const degrees = Number(text.replace('°', '').trim());
    if (text.trim() !== '' && Number.isFinite(degrees)) return change({ turn: degrees || null });
    return trouble({ message: `"${text}" is no turn`, hint: 'write degrees, clockwise, for example 15 or -30' });
  }

  letGo() {
    this.table.choose(null);
    by('surface').focus({ preventScroll: true });
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
