// How far the person stands from the cloth, and how large their screen really is.

import { by, make } from './dom.js';
import { showKeys } from './keys.js';
import { say } from './said.js';
import { isMeasured, measured, screenDpi } from './units.js';

/** ISO/IEC 7810 ID-1: a bank card, in millimetres. */
const CARD = [85.6, 53.98];
/** A screen is looked at from here, in metres (common practice, no source). */
const ARM = 0.6;

/** The buttons of the distances. */
export function distances(table) {
  const { camera, cloth } = table;
  const to = (zoom) => () => {
    if (!cloth.facts?.tile) return;
    camera.zoomTo(zoom());
    cloth.moved();
  };
  const truly = () => screenDpi() / cloth.facts.dpi;
  const whole = () => {
    if (!cloth.facts?.tile) return;
    camera.show([0, 0, ...cloth.facts.tile.px]);
    cloth.moved();
  };
  by('distance').append(
    make('output', { id: 'zoom', title: 'At 100 % each print pixel is one pixel of the screen' }),
    make('button', { onclick: whole, title: 'One tile, whole' }, 'Whole tile'),
    make('button', { onclick: to(() => (truly() * ARM) / 3), title: 'As it looks from three metres away' }, 'From 3 m'),
    make('button', { onclick: () => { to(truly)(); if (!isMeasured()) calibrate(table); }, title: 'As large as it will be printed' }, 'True size'),
    make('button', { onclick: to(() => 1), title: 'Each print pixel one pixel of the screen' }, '1:1 pixels'),
    make('button', { 'aria-pressed': 'false', onclick: ({ currentTarget }) => { table.chalk.lines = (table.chalk.lines + 1) % 3; currentTarget.setAttribute('aria-pressed', String(table.chalk.lines > 0)); table.chalk.draw(); say(['No chalk lines.', 'Chalk lines: tile and block.', 'Chalk lines: halves and thirds.'][table.chalk.lines]); }, title: 'Lines of tile and block, then of halves and thirds, then none' }, 'Chalk lines'),
    make('button', { onclick: () => table.tester.toggle(), title: 'The magnifier: every join and string in turn' }, 'Linen tester'),
    make('button', { class: 'fine', onclick: showKeys, title: 'What the keys do (?)' }, 'Keys'));
}

/** Lays a bank card on the screen and makes its picture as large. */
export function calibrate(table) {
  const dialog = by('card');
  let px = screenDpi() / 25.4 / devicePixelRatio;
  const card = make('div', { class: 'card', 'aria-hidden': 'true' });
  const fit = () => {
    [card.style.width, card.style.height] = CARD.map((side) => `${side * px}px`);
  };
  const slide = make('input', { type: 'range', min: 2, max: 12, step: 0.005, value: px, 'aria-label': 'Size of the card on the screen', oninput: (event) => { px = Number(event.target.value); fit(); } });
  const done = () => {
    measured(px * devicePixelRatio);
    dialog.close();
    table.camera.zoomTo(screenDpi() / table.cloth.facts.dpi);
    table.cloth.moved();
  };
  fit();
  dialog.replaceChildren(
    make('h2', { id: 'card-title' }, 'How large is your screen?'),
    make('p', {}, 'Lay a bank card on the screen and slide until the picture is as large (85.60 × 53.98 mm, ISO/IEC 7810 ID-1). It is kept for this browser.'),
    card, slide,
    make('div', { class: 'row' }, make('button', { class: 'main', onclick: done }, 'It is the size of my card'), make('button', { onclick: () => dialog.close() }, 'Cancel')));
  dialog.showModal();
}
