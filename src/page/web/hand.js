// The person's hand on the cloth: pointer, wheel, touch and keys.

import { by } from './dom.js';
import { place, sized } from './changes.js';
import { CORNERS } from './chalk.js';
import { set } from './engine.js';
import { MAC } from './keys.js';

/** A press that moves less, in CSS pixels, is a touch and no drag. */
const STILL = 4;
/** Each step of zoom by keys. */
const STEP = Math.SQRT2;

export class Hand {
  constructor(table) {
    this.table = table;
    const { cloth } = table;
    this.surface = by('surface');
    this.pointers = new Map();
    const on = (name, work, options) => this.surface.addEventListener(name, work, options);
    on('pointerdown', (event) => this.down(event));
    on('pointermove', (event) => this.moved(event));
    on('pointerup', (event) => this.up(event));
    on('pointercancel', (event) => this.up(event));
    on('wheel', (event) => this.wheel(event), { passive: false });
    on('dblclick', (event) => table.tester.set(cloth.camera.toCloth(this.at(event))));
    on('keydown', (event) => this.key(event));
    for (const handle of document.querySelectorAll('.handle')) {
      handle.addEventListener('pointerdown', (event) => this.grip(event, handle.dataset));
    }
  }

  /** A pointer's place in pixels of the screen. */
  at(event) {
    const box = this.surface.getBoundingClientRect();
    return [(event.clientX - box.left) * devicePixelRatio, (event.clientY - box.top) * devicePixelRatio];
  }

  async down(event) {
    if (event.button > 1) return;
    this.surface.focus({ preventScroll: true });
    this.surface.setPointerCapture(event.pointerId);
    this.pointers.set(event.pointerId, this.at(event));
    if (this.pointers.size === 2) return this.pinch();
    const { cloth, held } = this.table;
    const from = this.at(event);
    const drag = (this.drag = { kind: 'wait', from, last: from, id: event.pointerId });
    if (event.button === 1 || this.space || !cloth.facts?.motifs?.length) {
      drag.kind = 'pan';
      return;
    }
    const [x, y] = cloth.camera.toCloth(from);
    if (this.table.tester.holds([x, y], (event.pointerType === 'touch' ? 22 : 4) * devicePixelRatio / cloth.camera.zoom)) {
      drag.kind = 'tester';
      return;
    }
    const reach = (event.pointerType === 'touch' ? 12 : 3) * devicePixelRatio / cloth.camera.zoom;
    const hit = await this.table.engine.pick(x, y, reach).catch(() => null);
    if (this.drag !== drag && drag.kind === 'wait') {
      // It was a touch, and is over: choose.
      this.table.choose(hit);
      return;
    }
    if (hit && hit.entry !== null) {
      this.table.choose(hit);
      held.lift();
      drag.kind = 'motif';
    } else if (drag.kind === 'wait') {
      drag.kind = 'pan';
      drag.empty = true;
    }
  }

  pinch() {
    const [a, b] = [...this.pointers.values()];
    this.table.held.change = null;
    this.drag = { kind: 'pinch', span: Math.hypot(a[0] - b[0], a[1] - b[1]), zoom: this.table.cloth.camera.zoom, last: middle(a, b) };
  }

  moved(event) {
    const { drag } = this;
    if (!this.pointers.has(event.pointerId) || !drag) return;
    const at = this.at(event);
    this.pointers.set(event.pointerId, at);
    const { cloth, held } = this.table;
    const { camera } = cloth;
    if (drag.kind === 'pinch') {
      const [a, b] = [...this.pointers.values()];
      const now = middle(a, b);
      camera.pan([now[0] - drag.last[0], now[1] - drag.last[1]]);
      camera.zoomTo((drag.zoom * Math.hypot(a[0] - b[0], a[1] - b[1])) / drag.span, now);
      drag.last = now;
      cloth.moved();
      return;
    }
    const far = Math.hypot(at[0] - drag.from[0], at[1] - drag.from[1]) > STILL * devicePixelRatio;
    if (!drag.going && !far) return;
    drag.going = true;
    if (drag.kind === 'pan') {
      camera.pan([at[0] - drag.last[0], at[1] - drag.last[1]]);
      drag.last = at;
      cloth.moved();
    } else if (drag.kind === 'tester') {
      this.table.tester.set(camera.toCloth(at));
    } else if (drag.kind === 'motif') {
      const [sx, sy] = camera.scale;
      const by = [(at[0] - drag.from[0]) / sx, (at[1] - drag.from[1]) / sy];
      this.pull({ move: by.map(Math.round), turn: 0, size: 1 });
    } else if (drag.kind === 'size') {
      // The corner across stays where it is.
      const [still, own] = [drag.corners[(drag.corner + 2) % 4], drag.middle];
      const [p, q] = [drag.from, at].map((on) => camera.toCloth(on).map((n, axis) => n - still[axis]));
      const size = Math.max(0.05, (p[0] * q[0] + p[1] * q[1]) / (p[0] ** 2 + p[1] ** 2));
      this.pull({ move: [0, 1].map((axis) => (still[axis] - own[axis]) * (1 - size)), turn: 0, size });
    } else if (drag.kind === 'turn') {
      const middle = camera.toScreen(drag.middle);
      const [p, q] = [drag.from, at].map(([x, y]) => Math.atan2(y - middle[1], x - middle[0]));
      let turn = ((q - p) * 180) / Math.PI;
      if (event.shiftKey) turn = Math.round(turn / 15) * 15;
      this.pull({ move: [0, 0], turn: Math.round(turn), size: 1 });
    }
  }

  /** Shows a change of the motif in hand. */
  pull(change) {
    const { held } = this.table;
    held.change = change;
    held.redraw();
  }

  grip(event, { grip: kind, corner }) {
    event.preventDefault();
    this.surface.setPointerCapture(event.pointerId);
    const at = this.at(event);
    this.pointers.set(event.pointerId, at);
    const { held } = this.table;
    this.drag = { kind, from: at, last: at, id: event.pointerId, corner: CORNERS.indexOf(corner), corners: held.frame().corners, middle: held.middle({ move: [0, 0] }) };
    held.lift();
  }

  up(event) {
    this.pointers.delete(event.pointerId);
    const { drag } = this;
    if (!drag || drag.id !== event.pointerId) {
      if (drag?.kind === 'pinch' && this.pointers.size < 2) this.drag = null;
      return;
    }
    this.drag = null;
    if (drag.kind === 'pan' && drag.empty && !drag.going) this.table.choose(null);
    const { held } = this.table;
    if (!held.change) return;
    if (event.type === 'pointercancel') {
      held.change = null;
      held.draw();
      return;
    }
    this.keep(held.change);
  }

  /** Makes what was done to the motif in hand the design's. */
  keep(change, together = null) {
    return this.table.inOrder(() => this.#keep(change, together));
  }

  async #keep({ move, turn, size }, together) {
    const { held, cloth } = this.table;
    const { motif, entry } = held;
    if (!motif) return;
    const values = {};
    if (move[0] || move[1]) values.at = place(cloth.facts, motif.places[0], held.home(move));
    if (turn) values.turn = round(motif.turn + (held.mirrored ? -turn : turn));
    if (size !== 1) Object.assign(values, sized(motif, motif.in[0] * size));
    const { copy } = held;
    const before = copy?.middle;
    if (copy) copy.middle = held.middle({ move });
    const made = await this.table.editNow([set('motif', entry, values)], together);
    if (copy && !made) copy.middle = before;
  }

  wheel(event) {
    event.preventDefault();
    const { cloth } = this.table;
    const at = this.at(event);
    // A mouse's wheel comes in whole notches; two fingers on a trackpad push the cloth.
    const mouse = event.deltaMode !== 0 || (event.deltaX === 0 && Math.abs(event.deltaY) >= 100 && Number.isInteger(event.deltaY));
    if (event.ctrlKey || event.metaKey || mouse) {
      const notches = event.deltaMode !== 0 ? event.deltaY / 3 : event.deltaY / 100;
      cloth.camera.zoomTo(cloth.camera.zoom * STEP ** (event.ctrlKey && !mouse ? -notches * 3 : -notches), at);
    } else {
      cloth.camera.pan([-event.deltaX * devicePixelRatio, -event.deltaY * devicePixelRatio]);
    }
    cloth.moved();
  }

  key(event) {
    const { table } = this;
    const { cloth, held } = table;
    const { camera } = cloth;
    const command = event.ctrlKey || event.metaKey;
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const arrow = arrows[event.key];
    const deeper = { '+': STEP, '=': STEP, '-': 1 / STEP }[event.key];
    if (arrow && held.motif) {
      const step = event.shiftKey ? table.step() * 10 : table.step();
      this.keep({ move: arrow.map((n) => n * step), turn: 0, size: 1 }, `nudge ${held.entry}`);
    } else if (arrow) {
      camera.pan(arrow.map((n) => -n * 80 * devicePixelRatio));
      cloth.moved();
    } else if (deeper && !command) {
      const zoom = camera.zoom * deeper;
      camera.zoomTo(zoom > 1 ? (deeper > 1 ? Math.ceil(zoom) : Math.floor(zoom)) : zoom);
      cloth.moved();
    } else if (event.key === ' ') {
      this.space = true;
      this.surface.addEventListener('keyup', () => (this.space = false), { once: true });
    } else if (event.key === 'Escape') {
      table.choose(null);
    } else if (held.motif && (event.key === 'Delete' || (MAC && event.key === 'Backspace'))) {
      table.tag.takeOff();
    } else {
      return;
    }
    event.preventDefault();
  }
}

const middle = (a, b) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
const round = (degrees) => Math.round((((degrees % 360) + 540) % 360) * 100 - 18000) / 100;
