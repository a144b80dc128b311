// The engine: all that the page knows of the craft. Here it is asked over HTTP; whatever answers the same questions
// in the same way could stand in its place.

const KEY = 'x-seamfast-key';

/** The command that opens a design. */
export const opens = (file) => `seamfast open ${/[^\w.-]/.test(file) ? `"${file}"` : file}`.trim();

/** Why something was not done: what, perhaps what to do, perhaps the line of the design file. */
export class Trouble extends Error {
  constructor({ what, hint, line }, old = false) {
    super(what);
    this.hint = hint ?? null;
    this.line = line ?? null;
    /** The design is another by now. */
    this.old = old;
  }
}

export class Engine {
  #key;

  /** @param {string} key the secret of this run */
  constructor(key) {
    this.#key = key;
    /** The design's `file` and `folder`, for who has to start again. */
    this.file = null;
  }

  async #send(method, path, body) {
    const headers = { [KEY]: this.#key };
    let answer;
    try {
      answer = await fetch(path, { method, headers, body, cache: 'no-store' });
    } catch {
      const { file = '', folder = null } = this.file ?? {};
      const hint = `start it again${folder ? ` in ${folder}` : ''} with: ${opens(file)}. What you changed is in the design file.`;
      throw Object.assign(new Trouble({ what: 'Seamfast does not answer any more', hint }), { gone: true });
    }
    const trouble = answer.headers.get('x-seamfast-trouble');
    if (answer.ok && !trouble) return answer;
    const said = await answer.json().catch(() => ({}));
    throw new Trouble(said.error ?? { what: `the answer was ${answer.status}` }, trouble === 'old');
  }

  async #post(path, value) {
    return this.#send('POST', path, JSON.stringify(value));
  }

  /** The state, as soon as it is another than `after`. */
  async state(after) {
    const path = after === undefined ? '/state' : `/state?after=${after}`;
    return (await this.#send('GET', path)).json();
  }

  /** Changes design text `number`. Changes of one `together` are undone as one. */
  async edit(number, edits, together = null) {
    return (await this.#post('/edit', { number, edits, together })).json();
  }

  async undo(number) {
    return (await this.#post('/undo', { number })).json();
  }

  async redo(number) {
    return (await this.#post('/redo', { number })).json();
  }

  /** Pixels of the cloth: `{ tile, row, window, data }`, straight RGBA; `row` is how far across it repeats, how far each
   *  next row is moved, and how high one is. `edits` are tried, not made. */
  async pixels({ dpi = null, window = null, part = null, edits = null }) {
    const { head, bytes } = await this.#ask({ pixels: { dpi, window, part } }, edits);
    return { ...head, data: new Uint8ClampedArray(bytes) };
  }

  /** The topmost motif at a place in print pixels, or null. */
  async pick(x, y, reach) {
    return (await this.#ask({ pick: { x, y, reach } })).head;
  }

  /** One motif alone: `{ size, spot, data }`, or null if it has no ink. */
  async sprite(entry, dpi) {
    const { head, bytes } = await this.#ask({ sprite: { entry, dpi } });
    return head && { ...head, data: new Uint8ClampedArray(bytes) };
  }

  async #ask(ask, edits = null) {
    const answer = await this.#post('/ask', { ask, edits });
    return { head: JSON.parse(answer.headers.get('x-seamfast')), bytes: await answer.arrayBuffer() };
  }

  /** Lays a file, or a shipped motif by its name, on the cloth; see `parcels.rs`. */
  async lay(file, number, edits, most) {
    const shipped = typeof file === 'string' ? file : null;
    const json = JSON.stringify({ name: file.name ?? null, shipped, number, edits, most });
    return (await this.#send('PUT', `/motif?json=${encodeURIComponent(json)}`, shipped ? null : file)).json();
  }

  /** Sends for files: `make`, `check`, `{ proof: { cloth } }`, `{ toss: { seed } }`. */
  async send(errand) {
    return (await this.#post('/errand', { errand })).json();
  }

  async stop() {
    return (await this.#post('/stop', {})).json();
  }

  async made(name) {
    return (await this.#send('GET', `/made?name=${encodeURIComponent(name)}`)).blob();
  }

  async shipped() {
    return (await this.#send('GET', '/shipped')).json();
  }
}

/** Values of a section of the design, as one change. */
export const set = (name, number, values) => ({ set: { section: { name, number }, values } });
export const remove = (name, number) => ({ remove: { section: { name, number } } });
export const move = (name, number, to) => ({ move: { section: { name, number }, to } });
