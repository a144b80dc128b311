// The cloth at rest: our own pixels, tile by tile, each on whole pixels of the screen.

import { by, once, rested } from './dom.js';
import { Tile, View } from './tile.js';

/** A tile of so many pixels is kept, what is seen of it first; of a larger one there is only what is seen. */
const WHOLE = 6e6;
/** Where a window has so much of a tile's pixels, the tile is fetched at once. */
const ALL = 0.6;
/** So many pixels are kept of what was looked at. */
const KEPT = 40e6;
/** How far beyond the window pixels are fetched where nothing else follows. */
const MARGIN = 200;
/** And else: the cloth is moved onto whole pixels, and far away stretched a little, when they are here. */
const RIM = 4;
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
    /** The tiles that are kept, by version and resolution. */
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
    delete this.canvas.dataset.rest;
    this.redraw();
    this.rest();
  }

  /** The resolution for this zoom; null is the delivery's. */
  dpi() {
    return this.camera.zoom < 1 ? this.facts.dpi * this.camera.zoom : null;
  }

  /** What is to be fetched for the eye as it is now: resolution and window, counted from the tile that it begins in. */
  wanted(rim) {
    const { camera, facts } = this;
    const dpi = this.dpi();
    const part = dpi === null ? 1 : camera.zoom;
    const tile = facts.tile.px.map((px) => px * part);
    const kept = tile[0] * tile[1] <= WHOLE;
    const beyond = rim ?? (kept ? RIM : MARGIN);
    const corner = [0, 1].map((axis) => camera.middle[axis] - camera.size[axis] / 2 / camera.zoom);
    const home = [0, 1].map((axis) => (facts.border && axis ? 0 : Math.floor(corner[axis] / facts.tile.px[axis])));
    const [x, y] = [0, 1].map((axis) => Math.floor((corner[axis] - home[axis] * facts.tile.px[axis]) * part) - beyond);
    const [w, h] = camera.size.map((px) => Math.ceil((px / camera.zoom) * part) + 1 + 2 * beyond);
    const all = kept && w * h > ALL * tile[0] * tile[1];
    return { dpi, home, kept, window: all ? null : [x, y, w, h] };
  }

  /** Fetches what is wanted; of a tile that is kept, what is not here yet. */
  async fetch({ dpi, home, kept, window }) {
    const { version } = this;
    const key = `${version} ${dpi}`;
    const known = () => this.images.get(key);
    if (known()?.holds(window)) return known();
    if (!kept) return this.view({ dpi, home, window });
    const { tile, row, window: got, data } = await this.engine.pixels({ dpi, window });
    const image = known() ?? new Tile({ tile, row, dpi, version, border: this.facts.border }, this.before());
    image.put(got, data);
    this.images.set(key, image);
    this.forget();
    return image;
  }

  /** What is wanted by itself, of the design or a part of it. */
  async view({ dpi, home, window, part = null }) {
    const { version, facts } = this;
    const { tile, row, window: got, data } = await this.engine.pixels({ dpi, window, part });
    const of = { tile, row, dpi, version, home, border: facts.border };
    if (window) return new View(of, got, data);
    const whole = new Tile(of, null);
    whole.put(got, data);
    return whole;
  }

  /** What stands in for pixels that are not here yet: what was seen last. */
  before() {
    return [this.shown, ...[...this.images.values()].reverse()].find((image) => image instanceof Tile) ?? null;
  }

  /** Fetches the rest of the tile that is shown, part by part, while nothing else is asked for. */
  async fill() {
    if (this.filling) return;
    this.filling = true;
    try {
      while (!this.asked && this.shown?.version === this.version && !this.shown.whole) {
        const image = this.shown;
        const { data, window } = await this.engine.pixels({ dpi: image.dpi, window: image.next() });
        // An answer for another text would be told apart by nothing else.
        if (image.version === this.version) image.put(window, data);
      }
    } catch {
      // Said when it is looked at.
    }
    this.filling = false;
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
    if (this.asked) {
      this.asked.again = true;
      return;
    }
    const asked = (this.asked = { again: false });
    try {
      const image = await this.fetch(this.wanted());
      if (image.version === this.version && image.dpi === this.dpi()) {
        this.shown = image;
        this.camera.stretch = image.dpi === null ? [1, 1] : image.tile.map((px, axis) => px / (this.facts.tile.px[axis] * this.camera.zoom));
        this.camera.align();
        this.draw();
        if (this.holds()) {
          this.canvas.dataset.rest = `${this.version} ${this.camera.zoom}`;
          this.onRest();
        } else {
          this.rest();
        }
      } else {
        asked.again = true;
      }
    } catch (trouble) {
      this.onTrouble(trouble);
    }
    this.asked = null;
    if (asked.again) this.settle();
    else this.fill();
  }

  /** Whether every pixel in the window is the print's. */
  holds() {
    const { home, window } = this.wanted(0);
    const { shown } = this;
    return shown.holds(window) && (shown instanceof Tile || home.every((n, axis) => n === shown.home[axis]));
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
    if (image instanceof View) {
      const [x, y] = camera.toScreen([0, 1].map((axis) => (image.window[axis] / image.tile[axis] + image.home[axis]) * facts.tile.px[axis]));
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
