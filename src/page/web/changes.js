// Changes of the design that the hand and the tag make, as the design writes them.

import { move, remove, set } from './engine.js';
import { rough, written } from './units.js';

/** A place moved by print pixels, brought home to the tile. */
export function inside(facts, [x, y], [dx, dy]) {
  const [width, height] = facts.tile.px;
  const home = (n, by) => n - Math.floor(n / by) * by;
  return [home(x + dx, width), facts.border ? y + dy : home(y + dy, height)];
}

/** The same as a design has it. */
export function place(facts, at, by) {
  return inside(facts, at, by).map((n) => written(n / facts.dpi));
}

/** A motif as wide as that; its proportions stay. */
export function sized(motif, inches) {
  const values = { width: rough(inches), height: null, scale: null };
  if (motif.written.width && motif.written.height) values.height = rough((inches * motif.in[1]) / motif.in[0]);
  return values;
}

/** Mirrored left to right, or top to bottom, once more. */
const ACROSS = { across: null, down: 'both', both: 'down' };
const DOWN = { down: null, across: 'both', both: 'across' };

/** Changes that buttons make to the motif in hand. */
export const deeds = {
  across: (motif, entry) => [set('motif', entry, { flip: motif.flip in ACROSS ? ACROSS[motif.flip] : 'across' })],
  down: (motif, entry) => [set('motif', entry, { flip: motif.flip in DOWN ? DOWN[motif.flip] : 'down' })],
  forward: (motif, entry, count) => (entry + 1 < count ? [move('motif', entry, entry + 1)] : []),
  back: (motif, entry) => (entry > 0 ? [move('motif', entry, entry - 1)] : []),
  take: (motif, entry) => [remove('motif', entry)],
};
