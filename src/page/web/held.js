// The motif in hand: while it moves, a quick picture of it on every copy, between what lies under and over it.

import { by, picture } from './dom.js';

/** A picture of a motif has at most so many pixels a side. */
const MOST = 2048;
/** No finer resolution can be asked for, in pixels an inch. */
const FINEST = 10000;
/** So far beyond the window the layers under and over it reach, in pixels of theirs. */
const AROUND = 200;
const IDENTITY = { move: [0, 0], turn: 0, size: 1 };

export class Held {
  constructor(engine, cloth) {
    this.engine = engine;
    this.cloth = cloth;
    this.glow = by('glow').getContext('2d');
    this.over = by('over').getContext('2d');
    /** Its number in the design; null for none. */
    this.entry = null;
    /** Which of its copies is in hand: the place it comes from, and which image of that. */
    this.copy = null;
    this.sprite = null;
    this.layers = null;
    /** What is being done to it; null at rest. */
    this.change = null;
  }

  get motif() {
    return this.entry === null ? null : this.cloth.facts?.motifs?.[this.entry] ?? null;
  }

  take(entry, copy) {
    this.entry = entry;
    this.copy = copy;
    this.sprite = this.layers = null;
    this.ready();
  }

  drop() {
    this.entry = this.copy = this.sprite = this.layers = this.change = null;
    this.draw();
  }

  /** Fetches its picture. */
  async ready() {
    const { entry, cloth } = this;
    const { motif } = this;
    if (!motif?.ink) return this.draw();
    const longest = Math.max(motif.ink[2] - motif.ink[0], motif.ink[3] - motif.ink[1], 1);
    const times = Math.min(cloth.camera.zoom, MOST / longest, 4, FINEST / cloth.facts.dpi);
    const key = `${cloth.version} ${entry} ${times}`;
    if (this.sprite?.key === key) return this.draw();
    const got = await this.engine.sprite(entry, cloth.facts.dpi * times).catch(() => null);
    if (!got || entry !== this.entry || !key.startsWith(cloth.version)) return;
    const image = picture(got.data, got.size);
    this.sprite = { key, image, spot: got.spot, times, edge: outlined(image) };
    this.draw();
  }

  /** Before it moves: what lies under it and over it, apart. */
  async lift() {
    const { entry, cloth } = this;
    if (this.layers || this.lifting) return;
    this.lifting = true;
    const wanted = cloth.wanted(AROUND);
    const layer = (part) => cloth.view({ ...wanted, part: { [part]: entry } });
    try {
      const [under, over] = [await layer('under'), await layer('over')];
      if (entry === this.entry) this.layers = { under, over };
    } catch {
      // It is moved over the cloth as it is, then.
    }
    this.lifting = false;
    this.draw();
  }

  /** Where the copy in hand has its middle, in print pixels. */
  middle(change = this.change ?? IDENTITY) {
    const [x, y] = this.copy.middle;
    return [x + change.move[0], y + change.move[1]];
  }

  /** The frame around the ink of the copy in hand, which turns with it: its corners in print pixels from the upper left
   *  one on, as the motif stands upright; its sides; and how it is turned, as two columns. */
  frame() {
    // A change that is in the design already is in its numbers, too.
    const change = (this.change?.kept ? null : this.change) ?? IDENTITY;
    const { upright, turn: own } = this.motif;
    const [a, b, c, d] = this.cloth.facts.images[this.copy.mark];
    const angle = (own + (this.mirrored ? -change.turn : change.turn)) * (Math.PI / 180);
    const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
    const turn = [a * cos + c * sin, b * cos + d * sin, c * cos - a * sin, d * cos - b * sin];
    const box = upright.map((n) => n * change.size);
    const middle = this.middle(change);
    const corners = [[0, 1], [2, 1], [2, 3], [0, 3]].map(([i, j]) => [0, 1].map((axis) => middle[axis] + turn[axis] * box[i] + turn[axis + 2] * box[j]));
    return { corners, sides: [box[2] - box[0], box[3] - box[1]], turn };
  }

  /** What a move of the copy in hand is for the place it comes from. */
  home([x, y]) {
    const [a, b, c, d] = this.cloth.facts.images[this.copy.mark];
    const det = a * d - b * c;
    return [(d * x - c * y) / det, (a * y - b * x) / det];
  }

  /** Whether the copy in hand is a mirror image: it turns the other way. */
  get mirrored() {
    const [a, b, c, d] = this.cloth.facts.images[this.copy.mark];
    return a * d - b * c < 0;
  }

  /** After a change the copy in hand may be another one: the nearest of its own. */
  follow() {
    const { facts } = this.cloth;
    const [hx, hy] = this.copy.middle;
    let best = null;
    for (const spot of this.motif.places) {
      facts.images.forEach(([a, b, c, d, e, f], mark) => {
        const [x, y] = [a * spot[0] + c * spot[1] + e, b * spot[0] + d * spot[1] + f];
        const [across, shift, down] = facts.row;
        const row = facts.border ? 0 : Math.round((hy - y) / down);
        const column = Math.round((hx - x - row * shift) / across);
        const at = [x + row * shift + column * across, y + row * down];
        const far = Math.hypot(at[0] - hx, at[1] - hy);
        if (!best || far < best.far) best = { far, mark, middle: at };
      });
    }
    this.copy = { mark: best.mark, middle: best.middle };
  }

  draw() {
    const { glow, over, cloth, sprite, motif, change } = this;
    for (const context of [glow, over]) {
      if (context.canvas.width !== cloth.camera.size[0] || context.canvas.height !== cloth.camera.size[1]) {
        [context.canvas.width, context.canvas.height] = cloth.camera.size;
      }
      context.setTransform(1, 0, 0, 1, 0, 0);
      context.clearRect(0, 0, ...cloth.camera.size);
    }
    cloth.canvas.classList.toggle('lifted', Boolean(change && this.layers));
    if (!motif || !sprite || !this.copy) return this.onDraw?.();
    if (change && this.layers) {
      cloth.lay(glow, this.layers.under);
      this.copies(glow, sprite.image, change, 1);
      cloth.lay(over, this.layers.over);
    } else if (change) {
      this.copies(glow, sprite.image, change, 1);
    }
    this.copies(over, sprite.edge, change ?? IDENTITY, 0.55);
    this.onDraw?.();
  }

  /** Draws it on every copy in the window; the one in hand always fully. */
  copies(context, image, change, faint) {
    const { cloth, sprite, motif } = this;
    const { camera, facts } = cloth;
    const [sx, sy] = camera.scale;
    const pad = image === sprite.edge ? EDGE : 0;
    const [moveX, moveY] = this.home(change.move);
    const turn = (this.mirrored ? -change.turn : change.turn) * (Math.PI / 180);
    const [cos, sin] = [Math.cos(turn) * change.size, Math.sin(turn) * change.size];
    const radius = Math.hypot(image.width, image.height) / sprite.times * change.size;
    const [left, top, right, bottom] = camera.seen;
    const window = [left - radius, top - radius, right + radius, bottom + radius];
    const hand = this.middle(change);
    context.imageSmoothingEnabled = true;
    for (const place of motif.places) {
      for (const [a, b, c, d, e, f] of facts.images) {
        const spot = [place[0] + moveX, place[1] + moveY];
        const middle = [a * spot[0] + c * spot[1] + e, b * spot[0] + d * spot[1] + f];
        for (const [x, y] of steps(facts, middle, window)) {
          const held = Math.abs(x - hand[0]) < 0.6 && Math.abs(y - hand[1]) < 0.6;
          context.globalAlpha = held ? 1 : faint;
          const [tx, ty] = camera.toScreen([x, y]);
          // First the change, then the image of it.
          const m = [a * cos + c * sin, b * cos + d * sin, -a * sin + c * cos, -b * sin + d * cos].map((n) => n / sprite.times);
          context.setTransform(m[0] * sx, m[1] * sy, m[2] * sx, m[3] * sy, tx, ty);
          context.drawImage(image, -sprite.spot[0] - pad, -sprite.spot[1] - pad);
        }
      }
    }
    context.globalAlpha = 1;
    context.setTransform(1, 0, 0, 1, 0, 0);
  }
}

/** Where a spot repeats in a window of print pixels. */
export function* steps(facts, [x, y], [left, top, right, bottom]) {
  const [across, shift, down] = facts.row;
  const rows = facts.border ? [0, 0] : [Math.ceil((top - y) / down), Math.floor((bottom - y) / down)];
  for (let row = rows[0]; row <= rows[1]; row++) {
    const start = x + row * shift;
    for (let n = Math.ceil((left - start) / across); start + n * across <= right; n++) yield [start + n * across, y + row * down];
  }
}

/** How wide the glow is, in pixels of the picture. */
const EDGE = 8;

/** The line around a picture's ink. */
function outlined(image) {
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [image.width + 2 * EDGE, image.height + 2 * EDGE];
  const context = canvas.getContext('2d');
  const spread = (radius) => {
    for (let n = 0; n < 20; n++) {
      const angle = (n / 20) * 2 * Math.PI;
      context.drawImage(image, EDGE + radius * Math.cos(angle), EDGE + radius * Math.sin(angle));
    }
  };
  spread(6.5);
  context.globalCompositeOperation = 'source-in';
  context.fillStyle = '#d8a72a';
  context.fillRect(0, 0, canvas.width, canvas.height);
  // What is left is a line beside the ink; slits in it have none.
  context.globalCompositeOperation = 'destination-out';
  spread(3.5);
  context.drawImage(image, EDGE, EDGE);
  return canvas;
}
