// The linen tester: the folding magnifier of the cloth trade. It shows print pixels, large and square, with the joins.

import { by, dye, make, picture } from './dom.js';
import { say } from './said.js';
import { stringsOf } from './strings.js';
import { mod } from './tile.js';
import { ruling, show } from './units.js';

const SIDE = 304;
const EDGE = 22;
const POWERS = [8, 16, 32];

/** Follows a pointer until it is let go. */
function following(event, moved) {
  const { currentTarget: from, pointerId } = event;
  from.setPointerCapture(pointerId);
  from.addEventListener('pointermove', moved);
  const end = () => from.removeEventListener('pointermove', moved);
  from.addEventListener('pointerup', end, { once: true });
  from.addEventListener('pointercancel', end, { once: true });
}

export class Tester {
  constructor(table) {
    this.table = table;
    this.element = by('tester');
    this.power = 8;
    this.at = null;
    this.stop = -1;
    this.canvas = make('canvas', { role: 'img', tabindex: 0, 'aria-label': 'Print pixels' });
    this.canvas.style.width = this.canvas.style.height = `${SIDE}px`;
    this.place = make('p', { class: 'place', 'aria-live': 'polite' });
    const powers = POWERS.map((power) => make('button', { onclick: () => this.look(power), 'data-power': power }, `${power} ×`));
    this.element.append(
      make('div', { class: 'row head' }, make('h2', {}, 'Linen tester'), make('button', { onclick: () => this.fold() }, 'Fold')),
      this.canvas, this.place,
      make('div', { class: 'row' }, ...powers,
        make('button', { onclick: () => this.step(-1), title: 'The join or string before' }, '‹ Back'),
        make('button', { onclick: () => this.step(1), title: 'The next join or string' }, 'Next ›')));
    this.canvas.addEventListener('pointerdown', (event) => this.drag(event));
    this.element.addEventListener('pointerdown', (event) => this.carry(event));
    this.element.addEventListener('keydown', (event) => {
      const by = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (by && this.at) {
        this.set([this.at[0] + by[0], this.at[1] + by[1]]);
        event.preventDefault();
      } else if (event.key === 'Escape') this.fold();
    });
  }

  /** Sets it down on a place in print pixels. */
  set(at) {
    if (!this.table.cloth.facts?.tile) return;
    const was = this.element.hidden;
    this.element.hidden = false;
    this.at = at.map(Math.floor);
    this.draw();
    if (was) this.makeRoom();
  }

  /** Whether the square that it looks at, chalked on the cloth, holds a place. */
  holds(at, reach) {
    return !this.element.hidden && this.at !== null && [0, 1].every((axis) => Math.abs(at[axis] - this.at[axis]) <= this.reach / 2 + reach);
  }

  /** Goes to a corner where it leaves free what it looks at, and the motif in hand with its handles and tag. */
  makeRoom() {
    const { element } = this;
    if (element.hidden || !this.at) return;
    const table = element.parentElement.getBoundingClientRect();
    const [frame, tag, ticket] = [by('frame'), by('tag'), by('ticket')].map((one) => one.getBoundingClientRect());
    const here = this.table.camera.toScreen(this.at).map((n, axis) => n / devicePixelRatio + [table.left, table.top][axis]);
    const taken = by('frame').hidden ? [] : [[frame.left - 24, frame.top - 60, frame.right + 24, frame.bottom + 24], [tag.left, tag.top, tag.right, tag.bottom]];
    taken.push([ticket.left, ticket.top, ticket.right, ticket.bottom], [here[0] - 40, here[1] - 40, here[0] + 40, here[1] + 40]);
    const [width, height] = [element.offsetWidth, element.offsetHeight];
    const [right, bottom] = [table.width - width - 34, by('distance').offsetTop - height - 12];
    const free = ([x, y]) => taken.every(([l, t, r, b]) => table.left + x > r || table.left + x + width < l || table.top + y > b || table.top + y + height < t);
    const now = [element.offsetLeft, element.offsetTop];
    const [x, y] = [now, [16, 16], [right, 64], [16, bottom], [right, bottom]].find(free) ?? now;
    [element.style.left, element.style.top] = [`${x}px`, `${y}px`];
  }

  look(power) {
    this.power = power;
    this.draw();
  }

  fold() {
    this.element.hidden = true;
    this.table.show();
    by('surface').focus();
  }

  toggle() {
    if (!this.element.hidden) return this.fold();
    this.step(1);
  }

  /** Where there is something to see: the joins where most crosses them, the corner, the strings. */
  async stops() {
    const { facts } = this.table.state;
    const sides = [[0, await this.busiest(0), 'the left-right join']];
    if (!facts.border) sides.push([await this.busiest(1), 0, 'the top-bottom join'], [0, 0, 'the corner']);
    const strings = stringsOf(this.table.state).filter((string) => string.area);
    return [...sides, ...strings.map(({ area, what }) => [area[0] + area[2] / 2, area[1] + area[3] / 2, what])];
  }

  /** Where along a join the colors change most. */
  async busiest(axis) {
    const long = this.table.state.facts.tile.px[1 - axis];
    const window = axis === 0 ? [0, 0, 1, long] : [0, 0, long, 1];
    const { data } = await this.table.engine.pixels({ window });
    const change = (n) => [0, 1, 2].reduce((sum, c) => sum + Math.abs(data[n * 4 + c] - data[(n - 1) * 4 + c]), 0);
    const reach = 16;
    let [best, most, sum] = [Math.floor(long / 2), 0, 0];
    for (let n = 1; n < long; n++) {
      sum += change(n) - (n > reach ? change(n - reach) : 0);
      if (sum > most) [best, most] = [Math.max(0, n - reach / 2), sum];
    }
    return best;
  }

  async step(by) {
    const stops = await this.stops().catch(() => []);
    if (!stops.length) return;
    this.stop = (this.stop + by + stops.length) % stops.length;
    const [x, y, what] = stops[this.stop];
    const { camera, cloth } = this.table;
    if (camera.comeTo([x, y])) cloth.moved();
    this.set([x, y]);
    say(`The linen tester lies on ${what}.`);
  }

  /** Carries it to another place on the table. */
  carry(event) {
    if (event.target.closest('button, canvas')) return;
    const box = this.element.getBoundingClientRect();
    const table = this.element.parentElement.getBoundingClientRect();
    const [dx, dy] = [event.clientX - box.left, event.clientY - box.top];
    following(event, (event) => {
      this.element.style.left = `${Math.min(Math.max(event.clientX - dx - table.left, 0), table.width - 80)}px`;
      this.element.style.top = `${Math.min(Math.max(event.clientY - dy - table.top, 0), table.height - 80)}px`;
    });
  }

  drag(event) {
    let last = [event.clientX, event.clientY];
    following(event, (event) => {
      const by = [event.clientX - last[0], event.clientY - last[1]].map((n) => Math.round((n * devicePixelRatio) / this.power));
      if (!by[0] && !by[1]) return;
      last = [event.clientX, event.clientY];
      this.set([this.at[0] - by[0], this.at[1] - by[1]]);
    });
  }

  async draw() {
    const { table, canvas, power } = this;
    const { facts } = table.cloth;
    if (this.element.hidden || !this.at || !facts?.tile) return;
    for (const button of this.element.querySelectorAll('[data-power]')) button.setAttribute('aria-pressed', String(Number(button.dataset.power) === power));
    const side = Math.round(SIDE * devicePixelRatio);
    const edge = Math.round(EDGE * devicePixelRatio);
    const count = Math.ceil((side - 2 * edge) / power);
    const [x, y] = this.at.map((n) => n - Math.floor(count / 2));
    this.reach = count;
    table.chalk.draw();
    const version = table.cloth.version;
    const key = `${version} ${x} ${y} ${count}`;
    const { data } = await table.engine.pixels({ window: [x, y, count, count] }).catch(() => ({}));
    if (!data || version !== table.cloth.version) return;
    [canvas.width, canvas.height] = [side, side];
    canvas.dataset.rest = key;
    const context = canvas.getContext('2d');
    context.fillStyle = dye('paper');
    context.fillRect(0, 0, side, side);
    context.imageSmoothingEnabled = false;
    context.save();
    context.beginPath();
    context.rect(edge, edge, side - 2 * edge, side - 2 * edge);
    context.clip();
    context.drawImage(picture(data, [count, count]), edge, edge, count * power, count * power);
    this.joins(context, [x, y], count, edge, facts);
    context.restore();
    this.scale(context, [x, y], edge, side, facts);
    const [tx, ty] = facts.tile.px;
    const here = [mod(this.at[0], tx), mod(this.at[1], ty)];
    this.place.textContent = `x ${here[0]}, y ${here[1]} px · ${show(here[0] / facts.dpi)}, ${show(here[1] / facts.dpi)}`;
  }

  /** Chalk beside the joins, never on the pixels that are looked at. */
  joins(context, from, count, edge, facts) {
    context.fillStyle = '#a8402f';
    for (const axis of facts.border ? [0] : [0, 1]) {
      const step = facts.tile.px[axis];
      for (let n = Math.ceil(from[axis] / step); n * step <= from[axis] + count; n++) {
        const at = edge + (n * step - from[axis]) * this.power;
        const long = count * this.power;
        const thick = Math.max(1, Math.round(devicePixelRatio));
        for (let dash = 0; dash < long; dash += 12) {
          if (axis === 0) context.fillRect(at - thick / 2, edge + dash, thick, 5);
          else context.fillRect(edge + dash, at - thick / 2, 5, thick);
        }
      }
    }
  }

  /** The graduated edge, in the person's unit. */
  scale(context, from, edge, side, facts) {
    const px = facts.dpi * this.power;
    const { inches, step } = ruling(px / devicePixelRatio);
    context.strokeStyle = context.fillStyle = dye('text');
    context.lineWidth = 1;
    context.font = `${10 * devicePixelRatio}px system-ui, sans-serif`;
    context.strokeRect(edge - 0.5, edge - 0.5, side - 2 * edge + 1, side - 2 * edge + 1);
    context.beginPath();
    for (const axis of [0, 1]) {
      const each = (inches * px) / 10;
      const start = (from[axis] / facts.dpi / inches) * 10;
      for (let n = Math.ceil(start); (n - start) * each < side - 2 * edge; n++) {
        const at = Math.round(edge + (n - start) * each) + 0.5;
        const tick = edge - (n % 10 === 0 ? 9 : n % 5 === 0 ? 6 : 3) * devicePixelRatio;
        if (axis === 0) context.moveTo(at, edge), context.lineTo(at, tick);
        else context.moveTo(edge, at), context.lineTo(tick, at);
        if (axis === 0 && n % 10 === 0) context.fillText(String(Number(((n / 10) * step).toFixed(3))), at + 2, edge - 10 * devicePixelRatio);
      }
    }
    context.stroke();
  }
}
