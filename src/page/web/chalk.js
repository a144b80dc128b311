// Chalk on the cloth: lines of tile, block, halves and thirds; rulers along two edges; the frame of the motif in hand.

import { by, dye, make } from './dom.js';
import { ruling, show } from './units.js';

const DEEP = 22;
/** A smaller frame has no handles, which would cover what is in it; in CSS pixels. */
const SMALL = 64;

export class Chalk {
  constructor(table) {
    this.table = table;
    this.context = by('chalk').getContext('2d');
    /** 0 is none, 1 tile and block, 2 halves and thirds as well. */
    this.lines = 0;
    this.frame = by('frame');
  }

  draw() {
    const { context } = this;
    const { cloth } = this.table;
    const { camera, facts } = cloth;
    if (context.canvas.width !== camera.size[0] || context.canvas.height !== camera.size[1]) {
      [context.canvas.width, context.canvas.height] = camera.size;
    }
    context.clearRect(0, 0, ...camera.size);
    if (!facts?.tile) return;
    // What is moved is moved against the tile.
    if (this.lines || this.table.held.change) this.grid(context, camera, facts);
    this.tested(context, camera);
    if (this.table.pulled?.mark) this.mark(context, camera, this.table.pulled.mark);
    this.ruler(context, camera, facts, 0);
    this.ruler(context, camera, facts, 1);
    this.frames();
    const percent = camera.zoom * 100;
    by('zoom').textContent = `${percent < 10 ? percent.toFixed(1) : Math.round(percent)} %`;
  }

  /** Lines at every so many print pixels, from the tile's corner. */
  grid(context, camera, facts) {
    const [w, h] = facts.tile.px;
    const [bw, bh] = facts.block;
    const rows = [[[w, h], 2, []], [[bw, bh], 1, [10, 6]]];
    if (this.lines > 1) rows.push([[bw / 2, bh / 2], 1, [3, 5]], [[bw / 3, bh / 3], 1, [1, 5]]);
    for (const [step, width, dash] of rows.reverse()) {
      for (const [color, wide] of [['#1f2d4d99', width + 2], ['#ffffff', width]]) {
        context.strokeStyle = color;
        context.lineWidth = wide * devicePixelRatio;
        context.setLineDash(color === '#ffffff' ? dash.map((n) => n * devicePixelRatio) : []);
        context.beginPath();
        for (const axis of [0, 1]) {
          const [low, high] = [camera.seen[axis], camera.seen[axis + 2]];
          if ((high - low) / step[axis] > 200) continue;
          for (let n = Math.ceil(low / step[axis]); n * step[axis] <= high; n++) {
            const at = Math.round(camera.toScreen([n * step[0], n * step[1]])[axis]);
            if (axis === 0) context.moveTo(at, 0), context.lineTo(at, camera.size[1]);
            else context.moveTo(0, at), context.lineTo(camera.size[0], at);
          }
        }
        context.stroke();
      }
    }
    context.setLineDash([]);
  }

  /** Where the linen tester lies. */
  tested(context, camera) {
    const { tester } = this.table;
    if (!tester || tester.element.hidden || !tester.at) return;
    const half = tester.reach / 2;
    const [a, b] = [-half, half].map((by) => camera.toScreen([tester.at[0] + by, tester.at[1] + by]));
    context.lineWidth = 2 * devicePixelRatio;
    context.strokeStyle = '#3a332c';
    context.strokeRect(a[0], a[1], Math.max(8, b[0] - a[0]), Math.max(8, b[1] - a[1]));
  }

  /** What a string is tied to: a bare circle, a bare band, a window where ink lies thin. */
  mark(context, camera, { x, y, circle, band, square, degrees = 0 }) {
    const [sx, sy] = camera.scale;
    const long = 2 * Math.hypot(...camera.size);
    context.save();
    context.translate(...camera.toScreen([x, y]));
    context.scale(sx, sy);
    context.rotate((degrees * Math.PI) / 180);
    context.beginPath();
    if (circle) context.arc(0, 0, circle / 2, 0, 2 * Math.PI);
    if (band) context.rect(-long / sx, -band / 2, (2 * long) / sx, band);
    if (square) context.rect(-square / 2, -square / 2, square, square);
    context.restore();
    context.fillStyle = '#ffffff66';
    context.fill();
    for (const [color, wide, dash] of [['#1f2d4d', 5, []], ['#ffffff', 3, [9, 6]]]) {
      context.strokeStyle = color;
      context.lineWidth = wide * devicePixelRatio;
      context.setLineDash(dash.map((n) => n * devicePixelRatio));
      context.stroke();
    }
    context.setLineDash([]);
  }

  /** A ruler along the lower or the right edge, in the person's unit from the tile's corner. */
  ruler(context, camera, facts, axis) {
    const deep = DEEP * devicePixelRatio;
    const px = camera.scale[axis] * facts.dpi;
    const { inches, step, unit } = ruling(px / devicePixelRatio);
    const long = camera.size[axis];
    context.fillStyle = dye('paper');
    if (axis === 0) context.fillRect(0, camera.size[1] - deep, long, deep);
    else context.fillRect(camera.size[0] - deep, 0, deep, long - deep);
    context.fillStyle = context.strokeStyle = dye('text');
    context.lineWidth = devicePixelRatio;
    context.font = `${11 * devicePixelRatio}px system-ui, sans-serif`;
    const zero = camera.toScreen([0, 0])[axis];
    const each = inches * px;
    context.beginPath();
    for (let n = Math.floor(-zero / each); zero + n * each < long; n++) {
      for (let part = 0; part < 10; part++) {
        const at = Math.round(zero + (n + part / 10) * each) + 0.5;
        const tick = (part === 0 ? 9 : part === 5 ? 6 : 3) * devicePixelRatio;
        if (axis === 0) context.moveTo(at, camera.size[1] - deep), context.lineTo(at, camera.size[1] - deep + tick);
        else if (at < long - deep) context.moveTo(camera.size[0] - deep, at), context.lineTo(camera.size[0] - deep + tick, at);
      }
      const text = `${Number((n * step).toFixed(3))}${n === 0 && axis === 0 ? ` ${unit}` : ''}`;
      const at = zero + n * each + 3 * devicePixelRatio;
      if (axis === 0) context.fillText(text, at, camera.size[1] - 4 * devicePixelRatio);
      else if (at < long - 2 * deep) {
        context.save();
        context.translate(camera.size[0] - 3 * devicePixelRatio, at);
        context.rotate(-Math.PI / 2);
        context.textAlign = 'right';
        context.fillText(text, 0, 0);
        context.restore();
      }
    }
    context.stroke();
  }

  /** The frame with its handles around the copy in hand. */
  frames() {
    const { held, cloth } = this.table;
    const { motif, copy } = held;
    const shown = Boolean(motif?.ink && copy);
    this.frame.hidden = !shown;
    by('tag').hidden = !shown;
    if (!shown) return;
    const { corners, sides, turn } = held.frame();
    const shows = corners.map((corner) => cloth.camera.toScreen(corner).map((n) => n / devicePixelRatio));
    const [a, b] = [Math.min, Math.max].map((most) => [0, 1].map((axis) => most(...shows.map((corner) => corner[axis]))));
    const [width, height] = sides.map((n, axis) => (n * cloth.camera.scale[axis]) / devicePixelRatio);
    const middle = [0, 1].map((axis) => (a[axis] + b[axis]) / 2);
    const { style } = this.frame;
    [style.left, style.top, style.width, style.height] = [middle[0] - width / 2, middle[1] - height / 2, width, height].map((n) => `${n}px`);
    style.transform = `matrix(${turn}, 0, 0)`;
    this.frame.classList.toggle('tight', Math.min(width, height) < SMALL);
    if (held.change && !held.change.kept) this.numbers(motif, held.change, held, cloth.facts);
    this.table.tag.lie(a, b);
  }

  /** The numbers at the motif follow it while it moves. */
  numbers(motif, change, held, facts) {
    const at = held.middle(change).map((n) => n / facts.dpi);
    const values = { 'tag-width': show(motif.in[0] * change.size), 'tag-turn': String(motif.turn + (held.mirrored ? -change.turn : change.turn)), 'tag-x': show(at[0]), 'tag-y': show(at[1]) };
    for (const [id, value] of Object.entries(values)) if (by(id)) by(id).value = value;
  }
}

/** The frame's corners, in the order of `Held.frame`. */
export const CORNERS = ['nw', 'ne', 'se', 'sw'];

/** The four corners and the turning knob, once. */
export function handles(frame) {
  for (const corner of CORNERS) {
    frame.append(make('span', { class: `handle ${corner}`, 'data-grip': 'size', 'data-corner': corner, title: 'Drag to size' }));
  }
  frame.append(make('span', { class: 'handle knob', 'data-grip': 'turn', title: 'Drag to turn; with Shift in steps of 15°' }));
}
