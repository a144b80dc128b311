// Layouts by name, as a design has them and as they are said.

export const LAYOUTS = ['straight', 'half-drop', 'brick', 'drop=1/3', 'brick=1/3', 'mirror', 'mirror-across', 'mirror-down', 'mirror-drop', 'turn', 'turn-drop', 'pinwheel', 'ogee', 'diamond', 'hexagonal', 'satin=5', 'stripes', 'rows', 'checker', 'border'];
export const GROUPS = ['p1', 'p2', 'pm', 'pg', 'cm', 'p2mm', 'p2mg', 'p2gg', 'c2mm', 'p4', 'p4mm', 'p4gm', 'p3', 'p3m1', 'p31m', 'p6', 'p6mm'];
/** How many times as high as wide a block has to be. */
export const SHAPES = { pinwheel: 1, hexagonal: Math.sqrt(3), p4: 1, p4mm: 1, p4gm: 1, p3: Math.sqrt(3), p3m1: Math.sqrt(3), p31m: Math.sqrt(3), p6: Math.sqrt(3), p6mm: Math.sqrt(3) };
/** Layouts whose motifs lie on different places in turn, two kinds of them unless the design says more. */
export const ALTERNATING = ['stripes', 'rows', 'checker'];
export const KINDS = 2;

/** A name as it is said. */
export function named(name) {
  const [layout, ...more] = name.split(', ');
  const said = layout
    .replace(/^(stripes|rows|checker)=(\d+)$/, '$1 of $2')
    .replace(/^satin=(\d+)(?:\/(\d+))?$/, (_, ends, step) => `satin of ${ends}${step ? `, step ${step}` : ''}`)
    .replace(/^mirror-drop$/, 'mirror, dropped')
    .replace(/^turn-drop$/, 'turn, dropped')
    .replace(/^mirror-/, 'mirror, ')
    .replace('=', ' ');
  const others = more.map((one) => one.replace(/^(columns|rows)=(\d+)$/, 'in turns of $2 $1').replace(/^checker=(\d+)$/, 'in turns, checker of $1'));
  return [said, ...others].join(', ');
}

/** Whether a layout or symmetry is the one that a design has. */
export function isLaid({ layout, written }, name) {
  if (written.symmetry) return written.symmetry === name;
  return !written.alternate && (layout === name || layout.startsWith(`${name}/`) || (ALTERNATING.includes(name) && layout.startsWith(`${name}=`)));
}

/** What a kind of place is called where motifs alternate. */
export function placeWord({ layout }) {
  if (/(stripes|columns)=/.test(layout)) return 'column';
  return /rows=/.test(layout) ? 'row' : 'place';
}
