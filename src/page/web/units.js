// Lengths as a person reads and writes them.

const PER_INCH = { in: 1, cm: 2.54, mm: 25.4 };
const DIGITS = { in: 3, cm: 2, mm: 1 };
const CSS_PX = 96;

let unit = localStorage.getItem('seamfast-unit') ?? (/^en-US/.test(navigator.language) ? 'in' : 'cm');
/** Device pixels in a millimetre of this screen, when a person has measured it. */
let screenPx = Number(localStorage.getItem('seamfast-screen')) || null;

export const units = Object.keys(PER_INCH);
export const theUnit = () => unit;

export function chooseUnit(name) {
  unit = name;
  localStorage.setItem('seamfast-unit', name);
}

/** How far one press of an arrow moves a motif. */
export const STEPS = ['1 px', '0.5 mm', '1 mm', '5 mm', '1 cm', '0.1 in', '1 in'];
export const theStep = () => localStorage.getItem('seamfast-step') ?? STEPS[0];
export const chooseStep = (step) => localStorage.setItem('seamfast-step', step);

/** A step in inches; a print pixel has none of its own. */
export function stepInches(step) {
  const [count, unit] = step.split(' ');
  return unit in PER_INCH ? Number(count) / PER_INCH[unit] : NaN;
}

const trim = (text) => (text.includes('.') ? text.replace(/\.?0+$/, '') : text);

/** Inches in the person's unit, to be read. */
export const show = (inches, digits = DIGITS[unit]) => `${trim((inches * PER_INCH[unit]).toFixed(digits))} ${unit}`;

/** Two sides, to be read. */
export const showBoth = ([width, height]) => `${show(width).replace(/ \w+$/, '')} × ${show(height)}`;

/** Inches as a design has them: so exact that a whole pixel stays one. */
export const written = (inches) => `${trim((inches * PER_INCH[unit]).toFixed(DIGITS[unit] + 3))}${unit}`;

/** Inches rounded as a person would write them. */
export const rough = (inches) => `${trim((inches * PER_INCH[unit]).toFixed(DIGITS[unit]))}${unit}`;

/** What a person typed, with their unit where they gave none. */
export const typed = (text) => (/^\s*[-−+]?[\d.,/ ½¼¾]+\s*$/.test(text) ? `${text.trim()}${unit}` : text.trim());

/** Units as a design may spell them; a pixel is none here. */
const SPELLED = { ...PER_INCH, inch: 1, inches: 1, '"': 1, '″': 1, ft: 1 / 12, "'": 1 / 12, '′': 1 / 12, yd: 1 / 36, m: 0.0254, pt: 72 };

/** Inches of what was typed, read as a design's lengths are: a number, a fraction or both, and a unit; NaN if it is none. */
export function inchesOf(text) {
  const parts = { '½': ' 1/2', '¼': ' 1/4', '¾': ' 3/4' };
  const plain = typed(text).replace(/[½¼¾]/, (part) => parts[part]).toLowerCase();
  const [, sign, number, over, under, name] = /^([-−+]?)\s*(\d*\.?\d*)(?:\s*\b(\d+)\/(\d+))?\s*(\D+)$/.exec(plain) ?? [];
  if (!Object.hasOwn(SPELLED, name) || !(/\d/.test(number) || over)) return NaN;
  const size = (Number(number) + (over ? Number(over) / Number(under) : 0)) / SPELLED[name];
  return '-−'.includes(sign || ' ') ? -size : size;
}

/** How many inches of the unit a ruler's numbers stand apart, for so many device pixels an inch. */
export function ruling(pxPerInch) {
  const per = PER_INCH[unit];
  const steps = [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
  const step = steps.find((step) => (step / per) * pxPerInch >= 64) ?? 1000;
  return { inches: step / per, step, unit };
}

/** Device pixels in an inch of this screen: as measured, or as the system says. */
export const screenDpi = () => (screenPx ? screenPx * 25.4 : CSS_PX * devicePixelRatio);
export const isMeasured = () => screenPx !== null;

export function measured(pxPerMm) {
  screenPx = pxPerMm;
  localStorage.setItem('seamfast-screen', String(pxPerMm));
}
