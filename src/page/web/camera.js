// Where the person looks, and from how far.

/** The farthest and the nearest, in screen pixels for each print pixel. */
const FAR = 1 / 200;
const NEAR = 32;
/** No coarser resolution is asked for, in pixels an inch, and no smaller tile, in pixels of the screen. */
const COARSEST = 1.5;
const SMALLEST = 12;

/** The cloth is measured in print pixels, the screen in its own pixels. */
export class Camera {
  constructor() {
    /** What lies in the middle of the window. */
    this.middle = [0, 0];
    this.zoom = 1;
    /** Far away the tile is whole pixels too, so it is a little wider or higher than the zoom says. */
    this.stretch = [1, 1];
    this.size = [1, 1];
    this.far = FAR;
  }

  /** How far away a cloth can be seen. */
  reach({ tile, dpi }) {
    this.far = Math.min(1, Math.max(FAR, COARSEST / dpi, SMALLEST / Math.max(...tile.px)));
    this.zoom = Math.max(this.zoom, this.far);
  }

  get scale() {
    return [this.zoom * this.stretch[0], this.zoom * this.stretch[1]];
  }

  toScreen([x, y]) {
    const [sx, sy] = this.scale;
    return [(x - this.middle[0]) * sx + this.size[0] / 2, (y - this.middle[1]) * sy + this.size[1] / 2];
  }

  toCloth([x, y]) {
    const [sx, sy] = this.scale;
    return [(x - this.size[0] / 2) / sx + this.middle[0], (y - this.size[1] / 2) / sy + this.middle[1]];
  }

  /** What is seen: left, top, right, bottom. */
  get seen() {
    return [...this.toCloth([0, 0]), ...this.toCloth(this.size)];
  }

  /** Comes to a place that is out of sight; whether it had to. */
  comeTo([x, y]) {
    const [left, top, right, bottom] = this.seen;
    const isSeen = x >= left && x <= right && y >= top && y <= bottom;
    if (!isSeen) this.middle = [x, y];
    return !isSeen;
  }

  pan([x, y]) {
    const [sx, sy] = this.scale;
    this.middle = [this.middle[0] - x / sx, this.middle[1] - y / sy];
  }

  /** Another zoom; what lies at a point of the screen stays there. */
  zoomTo(zoom, at = [this.size[0] / 2, this.size[1] / 2]) {
    const fixed = this.toCloth(at);
    this.zoom = Math.min(Math.max(zoom, this.far), NEAR);
    const now = this.toCloth(at);
    this.middle = [this.middle[0] + fixed[0] - now[0], this.middle[1] + fixed[1] - now[1]];
  }

  /** At rest print pixels are whole screen pixels, as soon as they are as large. */
  snap(at) {
    if (this.zoom > 0.8) this.zoomTo(Math.max(1, Math.round(this.zoom)), at);
  }

  /** At rest the tile's corner lies on a corner of a screen pixel. */
  align() {
    const corner = this.toScreen([0, 0]);
    this.pan([Math.round(corner[0]) - corner[0], Math.round(corner[1]) - corner[1]]);
  }

  /** Shows an area whole, or as near as print pixels go. */
  show([left, top, right, bottom], most = 1) {
    this.middle = [(left + right) / 2, (top + bottom) / 2];
    const zoom = Math.min(this.size[0] / (right - left), this.size[1] / (bottom - top)) * 0.9;
    this.zoom = Math.min(Math.max(zoom, this.far), most);
  }
}
