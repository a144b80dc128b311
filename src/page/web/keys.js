// Keys that work wherever the focus is, and the list of all of them.

import { by, make } from './dom.js';
import { hush } from './said.js';

export const MAC = /^Mac|^iP/.test(navigator.platform);
const COMMAND = MAC ? '⌘' : 'Ctrl';

/** No letter does anything by itself: what was meant for a field must not change the cloth. */
const LIST = [
  ['Arrow keys', 'move the motif in hand by the step that stands at it, with Shift by ten; with none in hand, the cloth'],
  [MAC ? 'Delete' : 'Del', 'takes the motif off'],
  [`${COMMAND} D`, 'lays it once more'],
  ['Esc', 'lets go of it; closes what is open'],
  [`${COMMAND} Z, ${COMMAND} Shift Z`, 'undo, redo'],
  ['+  −', 'nearer, farther away'],
  ['Space and drag', 'pulls the cloth, also where a motif lies'],
  ['Double click', 'sets the linen tester down'],
  ['Alt ↑, Alt ↓', 'in the list of motifs: under or over the others'],
  ['?', 'this list'],
];

export function showKeys() {
  const dialog = by('keylist');
  dialog.replaceChildren(
    make('h2', { id: 'keylist-title' }, 'Keys'),
    make('dl', {}, ...LIST.flatMap(([key, what]) => [make('dt', {}, key), make('dd', {}, what)])),
    make('button', { onclick: () => dialog.close() }, 'Close'));
  dialog.showModal();
}

export function keys(table, event) {
  if (event.key === 'Escape') {
    hush();
    // The cloth hears it itself.
    if (event.target === document.body) table.choose(null);
  }
  if (event.target.matches('input, select') || document.querySelector('dialog[open]')) return;
  const command = event.ctrlKey || event.metaKey;
  const key = event.key.toLowerCase();
  if (command && key === 'z') table.step_back(event.shiftKey ? 'redo' : 'undo');
  else if (command && key === 'y') table.step_back('redo');
  else if (command && key === 'd' && table.held.motif) table.tag.again();
  else if (!command && key === '?') showKeys();
  else return;
  event.preventDefault();
}
