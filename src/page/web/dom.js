// Small helps with the document.

/** The element with an id. */
export const by = (id) => document.getElementById(id);

/** Makes an element: attributes, listeners (`onclick`), and children, which are nodes or text. */
export function make(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith('on')) element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, '');
    else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
  }
  element.append(...children.filter((child) => child !== null && child !== undefined));
  return element;
}

const CAN_FOCUS = 'button, input, select';

/** Puts new children in the place of the old ones; what had the focus has it again, and what was marked in it. */
export function fill(element, ...children) {
  const { selectionStart: from, selectionEnd: end, value } = document.activeElement;
  const at = [...element.querySelectorAll(CAN_FOCUS)].indexOf(document.activeElement);
  element.replaceChildren(...children.filter((child) => child !== null && child !== undefined));
  if (at < 0) return;
  const now = element.querySelectorAll(CAN_FOCUS);
  const next = now[Math.min(at, now.length - 1)];
  next?.focus({ preventScroll: true });
  if (typeof from !== 'number' || typeof next?.selectionStart !== 'number') return;
  // What a Tab marked is replaced by what is typed, though it was shown anew meanwhile.
  const all = end > from && end - from === value.length;
  next.setSelectionRange(...(all ? [0, next.value.length] : [from, end]));
}

/** A color of the page as it is now, in daylight or lamplight, for what is painted on a canvas. */
export const dye = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

/** A canvas that holds straight RGBA. */
export function picture(data, [width, height]) {
  const canvas = make('canvas', { width, height });
  canvas.getContext('2d').putImageData(new ImageData(data, width, height), 0, 0);
  return canvas;
}

/** Calls `work` at the next frame, once, however often it is asked. */
export function once(work) {
  let asked = false;
  return () => {
    if (asked) return;
    asked = true;
    requestAnimationFrame(() => {
      asked = false;
      work();
    });
  };
}

/** Calls `work` when nobody has asked for so many milliseconds. */
export function rested(milliseconds, work) {
  let timer;
  return () => {
    clearTimeout(timer);
    timer = setTimeout(work, milliseconds);
  };
}
