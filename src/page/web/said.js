// What the page says: trouble that stays until it is closed, a note that passes; and the one value that it asks for.

import { by, fill, make } from './dom.js';

/** So long a note stays to be read, in milliseconds. */
const READ = 9000;

/** A file's name keeps its small letter. */
const sentence = (text) => (/^[^\s:]+\.\w+/.test(text) ? text : text.charAt(0).toUpperCase() + text.slice(1));

const whole = ({ message, line, file }) => sentence(file && line ? `${file}, line ${line}: ${message}` : message);

/** Says what could not be done, and what helps; several things as one, with a `list`. */
export function trouble({ message, hint, line, file, list = [] }) {
  const element = by('trouble');
  element.hidden = false;
  const listed = list.map((one) => make('li', {}, whole(one), one.hint ? make('p', { class: 'more' }, sentence(one.hint)) : null));
  fill(element,
    make('p', {}, whole({ message, line, file })),
    hint ? make('p', { class: 'more' }, sentence(hint)) : null,
    listed.length ? make('ul', { class: 'listed' }, ...listed) : null,
    make('button', { onclick: hush }, 'Close'));
}

export function hush() {
  by('trouble').hidden = true;
}

let passing;

/** Says it beside the cloth, and to who can't see it. */
export function say(text) {
  by('note').textContent = text;
  clearTimeout(passing);
  passing = setTimeout(() => (by('note').textContent = ''), READ);
}

/** One value typed over a fact, or a color chosen; what is wrong with it is said beside it. */
export function ask(table, anchor, { label, old, help, color = false }, edits) {
  const input = make('input', { value: old, 'aria-label': label, size: 14, oninput: () => shown() });
  const picker = color ? make('input', { type: 'color', 'aria-label': `${label}, by eye`, oninput: (event) => (input.value = event.target.value) }) : null;
  const shown = () => { if (picker && /^#[0-9a-f]{6}$/i.test(input.value)) picker.value = input.value; };
  const wrong = make('div', { class: 'wrong', role: 'alert', hidden: true });
  const close = () => {
    form.remove();
    by(anchor.id)?.focus();
  };
  const form = make('form', { class: 'asked', onsubmit: async (event) => {
    event.preventDefault();
    const refused = await table.attempt(edits(input.value));
    if (!refused) return close();
    wrong.hidden = false;
    fill(wrong, make('p', {}, whole(refused)), refused.hint ? make('p', { class: 'more' }, sentence(refused.hint)) : null);
    input.select();
  } },
  make('label', {}, label, make('span', { class: 'row' }, input, picker)), make('p', { class: 'more' }, help), wrong,
  make('div', { class: 'row' }, make('button', { class: 'main' }, 'Set'), make('button', { type: 'button', onclick: close }, 'Cancel')));
  form.addEventListener('keydown', (event) => event.key === 'Escape' && close());
  document.querySelectorAll('.asked').forEach((other) => other.remove());
  by('selvedge').append(form);
  shown();
  const box = anchor.getBoundingClientRect();
  form.style.top = `${Math.max(8, Math.min(box.top, innerHeight - 280))}px`;
  form.style.left = `${Math.min(box.left + 24, innerWidth - 300)}px`;
  input.focus();
  input.select();
}
