// Strings: as a cloth inspector ties them at the selvedge beside a flaw, one for each thing to be looked at. Pulling one
// takes the cloth there; what has a shape of its own is marked in chalk.

import { fill, make } from './dom.js';
import { say } from './said.js';
import { show } from './units.js';

export class Strings {
  constructor(table) {
    this.table = table;
    this.list = make('ul', { class: 'strings', 'aria-label': 'Strings: what was found' });
    this.verdict = make('p', { class: 'verdict' });
    this.element = make('div', { class: 'group' },
      make('h2', {}, 'Strings'), make('p', { class: 'more' }, 'What was found on the cloth. Pull one, and you see it.'), this.verdict, this.list);
  }

  show(state) {
    const { table } = this;
    this.element.hidden = !state.facts?.tile;
    if (!state.facts?.tile) return;
    const strings = stringsOf(state);
    const hung = strings.map((string) =>
      make('li', { class: string.severity },
        make('button', { onclick: () => pull(table, string), class: table.pulled?.what === string.what ? 'pulled' : false },
          make('span', { class: 'value' }, string.what), string.remedy ? make('span', { class: 'more' }, string.remedy) : null)));
    const judged = state.errand.ended.check;
    const fresh = judged && judged.number === state.number && judged.round === state.round;
    this.list.classList.toggle('old', Boolean(judged) && !fresh);
    const verdict = judged?.answer?.files?.[0]?.verdict;
    const is = fresh && verdict;
    this.verdict.className = `verdict ${is ? verdict : ''}`;
    this.verdict.textContent = is
      ? `Both joins were looked at: ${verdict}${hung.length ? '' : ', and nothing hangs here'}.`
      : hung.length && judged ? 'Looking again: these are from before your last change.' : 'Every pixel of the joins is looked at …';
    fill(this.list, ...hung);
  }
}

/** Lengths in the person's unit; where it is, the cloth shows. */
const inUnit = (text) => text
  .replace(/[\d.]+ px \(([\d.]+) in, [\d.]+ cm\)/g, (_, inches) => show(Number(inches)))
  .replace(/ around x -?\d+, y -?\d+ px/, '');

/** What has a shape of its own on the cloth, in print pixels. */
function marks({ bald_spots: bald, alleys, lumps }) {
  const [spot] = bald?.largest ?? [];
  const [alley] = alleys ?? [];
  return {
    'bald-spot': spot && { x: spot.x, y: spot.y, circle: spot.diameter_px },
    alley: alley && { x: alley.x, y: alley.y, band: alley.width_px, degrees: alley.degrees },
    lump: lumps && { x: lumps.least.x, y: lumps.least.y, square: lumps.window_px },
  };
}

/** What hangs at the selvedge, worst first. */
export function stringsOf(state) {
  const strings = [];
  const file = state.errand.ended.check?.answer?.files?.[0];
  for (const join of file?.joins ?? []) {
    for (const fault of join.faults) strings.push({ severity: 'fault', what: inUnit(fault.message), remedy: fault.remedy, area: [fault.x, fault.y, fault.width, fault.height] });
  }
  const shapes = marks(file?.evenness ?? {});
  for (const finding of file?.findings ?? []) {
    if (finding.accepted) continue;
    const area = finding.x === undefined || finding.x === null ? null : [finding.x, finding.y, finding.width, finding.height];
    strings.push({ severity: finding.severity, what: inUnit(finding.message), remedy: finding.remedy, area, mark: shapes[finding.code] ?? null });
  }
  for (const what of state.facts?.warnings ?? []) strings.push({ severity: 'warning', what, remedy: null, area: null });
  const order = { fault: 0, error: 0, warning: 1, note: 2 };
  return strings.sort((a, b) => (order[a.severity] ?? 3) - (order[b.severity] ?? 3));
}

/** Pulls a string: the cloth comes to the place. */
function pull(table, string) {
  const { camera, cloth, tester } = table;
  const { area, mark, what, remedy } = string;
  table.pulled = string;
  table.selvedge.show(table.state);
  say(remedy ? `${what}: ${remedy}` : what);
  if (mark) {
    const around = 1.5 * (mark.circle ?? mark.band ?? mark.square);
    camera.show([mark.x - around, mark.y - around, mark.x + around, mark.y + around]);
    cloth.moved();
  } else if (area) {
    const [x, y, width, height] = area;
    camera.middle = [x + width / 2, y + height / 2];
    camera.zoom = Math.max(1, camera.zoom);
    cloth.moved();
    tester.set([x + width / 2, y + height / 2]);
  }
}
