// A picture of the cloth as far as it is here: of a tile what the window shows comes first and the rest after it; of a
// tile too large to keep there is only a window.

import { make, picture } from './dom.js';

/** So many pixels are fetched at once of what is not seen; who asks for more meanwhile waits for no more than that. */
const BAND = 1.2e6;

/** One tile, kept; what has not come yet is what stood there before. */
export class Tile {
  /** @param {{ tile: number[], row: number[], dpi: number | null, version: string, border: boolean }} of
   *  @param {Tile | null} before another picture of the tile, of whatever size */
  constructor(of, before) {
    Object.assign(this, of);
    this.canvas = make('canvas', { width: of.tile[0], height: of.tile[1] });
    this.context = this.canvas.getContext('2d');
    if (before) this.context.drawImage(before.canvas, 0, 0, ...of.tile);
    /** The windows that are here, and how many rows of the lattice's row, which holds the whole cloth. */
    this.windows = [];
    this.rows = 0;
  }

  get whole() {
    return this.rows >= this.row[2];
  }

  /** Puts in the pixels of a window, which may reach over the tile's edges. */
  put(window, data) {
    const [x, y, width, height] = window;
    const image = new ImageData(data, width, height);
    const [w, h] = this.tile;
    const [across, shift, down] = this.row;
    if (String(window) === String(this.next())) {
      for (let row = 0; row * down < h; row++) {
        for (let left = row * shift; left < row * shift + w; left += across) this.#lay(image, left, y + row * down);
      }
      this.rows += height;
    } else {
      this.#lay(image, x, y);
      this.windows.push(window);
      if (String(window) === String([0, 0, w, h])) this.rows = down;
    }
    this.sheet = null;
  }

  /** Lays pixels on the tile, and over its edges. What is clear replaces what stood there. */
  #lay(image, x, y) {
    const over = (from, long, side) => Array.from({ length: Math.ceil((mod(from, side) + long) / side) }, (_, n) => mod(from, side) - n * side);
    for (const top of this.border ? [y] : over(y, image.height, this.tile[1])) {
      for (const left of over(x, image.width, this.tile[0])) this.context.putImageData(image, left, top);
    }
  }

  /** Whether all that a window shows is here. */
  holds(window) {
    return this.whole || (window !== null && this.windows.some((held) => within(window, held, this)));
  }

  /** The next rows that are missing. */
  next() {
    const [across, , down] = this.row;
    return [0, this.rows, across, Math.min(Math.ceil(BAND / across), down - this.rows)];
  }
}

/** A window alone; not repeated. */
export class View {
  constructor(of, window, data) {
    Object.assign(this, of);
    this.window = window;
    this.whole = true;
    this.canvas = picture(data, [window[2], window[3]]);
  }

  holds(window) {
    return window !== null && within(window, this.window, this);
  }
}

/** Whether one window shows nothing that another one does not. */
function within(inner, outer, { tile, border }) {
  return [0, 1].every((axis) => {
    const [from, to] = [inner, outer].map((window) => [window[axis], window[axis] + window[axis + 2]]);
    if (axis === 1 && border) [from[0], from[1]] = [Math.max(from[0], 0), Math.min(from[1], tile[1])];
    else if (outer[axis + 2] >= tile[axis]) return true;
    return from[0] >= to[0] && from[1] <= to[1];
  });
}

/** Where something lies on a side that repeats. */
export const mod = (n, by) => ((n % by) + by) % by;
