// The cloth at rest: our own pixels, tile by tile, each on whole pixels of the screen.

import { by, once, picture, rested } from './dom.js';

/** A tile of so many pixels is fetched whole; of a larger one, what is seen. */
const WHOLE = 6e6;
/** So many pixels are kept of what was looked at. */
const KEPT = 40e6;
/** How far beyond the window pixels are fetched, in screen pixels. */
const MARGIN = 200;
/** Smaller tiles are laid side by side first, so that a frame has few of them. */
const SMALL = 300;

export class Cloth {
  constructor(engine, camera) {
    this.engine = engine;
    this.camera = camera;
    this.canvas = by('cloth');
    this.context = this.canvas.getContext('2d', { alpha: true });
    this.facts = null;
    /** Which text, in which round, is shown. */
    this.version = '';
    /** What was fetched: by version, resolution and part. */
    this.images = new Map();
    this.shown = null;
    /** Called after each drawing, and when the pixels of a rest are there. */
    this.onDraw = () => {};
    this.onRest = () => {};
    this.onTrouble = () => {};
    this.redraw = once(() => this.draw());
    this.rest = rested(120, () => this.settle());
    this.asked = null;
  }

  /** Takes another design, or the same one after a change. */
  take(facts, version) {
    const first = this.facts === null;
    if (!first && facts.dpi !== this.facts.dpi) {
      // As large as before, of other pixels.
      const times = facts.dpi / this.facts.dpi;
      this.camera.zoom /= times;
      this.camera.middle = this.camera.middle.map((n) => n * times);
    }
    this.facts = facts;
    this.camera.reach(facts);
    if (version === this.version) return;
    this.version = version;
    if (first) this.camera.show([0, 0, facts.tile.px[0], facts.tile.px[1]]);
    this.settle();
  }

  resize() {
    const { clientWidth, clientHeight } = this.canvas;
    const size = [Math.round(clientWidth * devicePixelRatio), Math.round(clientHeight * devicePixelRatio)];
    [this.canvas.width, this.canvas.height] = size;
    this.camera.size = size;
    this.moved();
  }

  /** The camera has moved. */
  moved() {
    this.redraw();
    this.rest();
  }

  /** The resolution for this zoom; null is the delivery's. */
  dpi() {
    return this.camera.zoom < 1 ? this.facts.dpi * this.camera.zoom : null;
  }

  /** What is to be fetched for the eye as it is now: resolution and, of a large tile, the window. */
  wanted() {
    const { camera, facts } = this;
    const dpi = this.dpi();
    const part = dpi === null ? 1 : camera.zoom;
    const [width, height] = facts.tile.px.map((px) => px * part);
    if (width * height <= WHOLE) return { dpi, window: null };
    const margin = MARGIN / camera.zoom;
    const [left, top, right, bottom] = camera.seen;
    const [x, y] = [left - margin, top - margin].map((n) => Math.floor(n * part));
    const [w, h] = [right - left + 2 * margin, bottom - top + 2 * margin].map((n) => Math.ceil(n * part));
    return { dpi, window: [x, y, w, h] };
  }

  /** Fetches pixels for a part of the design; whole tiles are kept. */
  async fetch({ dpi, window, part = null }) {
    const key = `${this.version} ${dpi} ${JSON.stringify(part)}`;
    if (!window && this.images.has(key)) return this.images.get(key);
    const version = this.version;
    const { tile, window: got, data } = await this.engine.pixels({ dpi, window, part });
    const image = { canvas: picture(data, [got[2], got[3]]), tile, at: [got[0], got[1]], whole: !window, dpi, version };
    if (image.whole) {
      this.images.set(key, image);
      this.forget();
    }
    return image;
  }

  /** Lets go of what is old, and of the oldest where there is much. */
  forget() {
    let pixels = 0;
    for (const [key, { canvas }] of [...this.images].reverse()) {
      pixels += canvas.width * canvas.height;
      if (!key.startsWith(`${this.version} `) || (pixels > KEPT && pixels > canvas.width * canvas.height)) this.images.delete(key);
    }
  }

  /** Comes to rest: the zoom, then the pixels for it. One request at a time; the last wish counts. */
  async settle() {
    if (!this.facts || this.camera.size[0] < 2) return;
    this.camera.snap();
    const wanted = { ...this.wanted(), version: this.version };
    if (this.asked) {
      this.asked.again = true;
      return;
    }
    const asked = (this.asked = { again: false });
    try {
      const image = await this.fetch(wanted);
      if (image.version === this.version && wanted.dpi === this.dpi()) {
        this.shown = image;
        const zoom = wanted.dpi === null ? [1, 1] : image.tile.map((px, axis) => px / (this.facts.tile.px[axis] * this.camera.zoom));
        this.camera.stretch = zoom;
        this.camera.align();
        this.draw();
        this.canvas.dataset.rest = `${this.version} ${this.camera.zoom}`;
        this.onRest();
      } else {
        asked.again = true;
      }
    } catch (trouble) {
      this.onTrouble(trouble);
    }
    this.asked = null;
    if (asked.again) this.settle();
  }

  draw() {
    const { context, camera } = this;
    context.setTransform(1, 0, 0, 1, 0, 0);
    context.clearRect(0, 0, ...camera.size);
    if (this.shown) this.lay(context, this.shown);
    this.onDraw();
  }

  /** Lays an image on a canvas: a tile wherever it repeats, a window in its place. */
  lay(context, image) {
    const { camera, facts } = this;
    const each = [0, 1].map((axis) => (camera.scale[axis] * facts.tile.px[axis]) / image.tile[axis]);
    const nearly = (n) => Math.abs(n - Math.round(n)) < 1e-6;
    context.imageSmoothingEnabled = !(nearly(each[0]) && nearly(each[1]));
    context.imageSmoothingQuality = 'high';
    const { canvas } = image;
    if (!image.whole) {
      const [x, y] = camera.toScreen([0, 1].map((axis) => (image.at[axis] * facts.tile.px[axis]) / image.tile[axis]));
      context.drawImage(canvas, Math.round(x), Math.round(y), canvas.width * each[0], canvas.height * each[1]);
      return;
    }
    const many = image.tile.map((px) => (image.dpi === null ? 1 : Math.max(1, Math.ceil(SMALL / px))));
    if (facts.border) many[1] = 1;
    const source = many[0] * many[1] > 1 ? (image.sheet ??= sheet(canvas, many)) : canvas;
    const step = [source.width * each[0], source.height * each[1]];
    const [x0, y0] = camera.toScreen([0, 0]);
    const one = facts.border;
    // Edges on whole pixels: also in motion no ground shows between tiles.
    const edges = (from, step, size, only) => {
      const first = only ? 0 : Math.floor(-from / step);
      const last = only ? 0 : Math.ceil((size - from) / step) - 1;
      return Array.from({ length: Math.max(0, last - first + 1) }, (_, n) => [first + n, first + n + 1].map((k) => Math.round(from + k * step)));
    };
    for (const [top, bottom] of edges(y0, step[1], camera.size[1], one)) {
      for (const [left, right] of edges(x0, step[0], camera.size[0], false)) {
        context.drawImage(source, left, top, right - left, bottom - top);
      }
    }
  }
}

/** A tile laid side by side. */
function sheet(tile, [across, down]) {
  const sheet = document.createElement('canvas');
  [sheet.width, sheet.height] = [tile.width * across, tile.height * down];
  const context = sheet.getContext('2d');
  for (let y = 0; y < down; y++) for (let x = 0; x < across; x++) context.drawImage(tile, x * tile.width, y * tile.height);
  return sheet;
}
