// The empty table: undyed cloth, a place to drop a drawing, and the shipped motifs to begin with.

import { by, make } from './dom.js';
import { opens } from './engine.js';
import { layAll } from './laying.js';

const FIRST = 6;

export class Start {
  constructor(table) {
    this.table = table;
    this.element = by('start');
    this.filled = false;
  }

  async show(empty) {
    this.element.hidden = !empty;
    if (!empty || this.filled) return;
    this.filled = true;
    const motifs = await this.table.engine.shipped().catch(() => []);
    const cell = ({ name, svg }) => {
      const small = make('span', { class: 'small', 'aria-hidden': 'true' });
      // Quoted, since a drawing may hold brackets.
      small.style.backgroundImage = [0, 1].map(() => `url("data:image/svg+xml,${encodeURIComponent(svg).replace(/'/g, '%27')}")`).join(', ');
      return make('button', { onclick: () => layAll(this.table, [name]) }, small, make('span', {}, name));
    };
    const { designs } = this.table.state;
    const lies = designs.map((name) => make('li', {}, make('code', {}, opens(name))));
    this.element.append(
      make('h2', {}, 'Lay a motif on the cloth'),
      make('p', {}, 'Drop drawings (SVG) or pictures (PNG, JPEG, TIFF, WebP) here. They stay on this machine; a copy is kept beside the design.'),
      make('button', { class: 'main', onclick: () => by('files').click() }, 'Choose files …'),
      make('p', {}, 'Or begin with one of ours:'),
      make('div', { class: 'cloths' }, ...motifs.slice(0, FIRST).map(cell)),
      lies.length ? make('p', {}, 'Designs lie in this folder, too. This opens one:') : '',
      make('ul', { class: 'commands' }, ...lies));
  }
}
