// Laying files on the cloth: dropped, chosen, or shipped motifs by their names.

import { by } from './dom.js';
import { place } from './changes.js';
import { set } from './engine.js';
import { placeWord } from './names.js';
import { hush, say, trouble } from './said.js';

/** Lays one after the other, the first where it was dropped; says of all that were refused why. */
export async function layAll(table, files, at) {
  const refused = [];
  for (const file of files) {
    const why = await table.inOrder(() => lay(table, file, at));
    if (why) refused.push(why);
    else at = undefined;
    if (why?.gone) break;
  }
  if (refused.length === 1) trouble(refused[0]);
  else if (refused.length) trouble({ message: `${refused.length} of ${files.length} files were not laid:`, list: refused });
}

/** Why it could not be laid; nothing if it could. */
async function lay(table, file, at) {
  const { facts, number } = table.state;
  const count = facts?.motifs?.length ?? 0;
  const there = facts?.tile && at
    ? place(facts, table.camera.toCloth(at), [0, 0])
    : [`${Math.round((50 + count * 23) % 100)}%`, `${Math.round((50 + count * 31) % 100)}%`];
  const most = facts?.tile ? facts.block.map((n) => (n / facts.dpi) * 0.6) : [2.5, 5];
  try {
    table.take(await table.engine.lay(file, number, [set('motif', count, { file: '$FILE', width: '$WIDTH', at: there })], most));
  } catch (why) {
    return why;
  }
  hush();
  table.chooseEntry(count);
  const { places, motifs } = table.state.facts;
  if (places > 1) say(`${motifs[count].name} lies on every ${placeWord(table.state.facts)}; “Lies on” beside it chooses one.`);
  by('surface').focus();
  return null;
}
