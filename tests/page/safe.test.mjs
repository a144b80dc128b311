// What others may try: other sites, other names, no key, paths that lead elsewhere, too much, too fast; and what the
// disk, an editor, another page or hostile artwork may do meanwhile. Refused or survived, and nothing lost.

import assert from 'node:assert/strict';
import fs from 'node:fs';
import http from 'node:http';
import path from 'node:path';
import { test } from 'node:test';
import { MOTIFS, ask, folder, look, rest, serve, state, until } from './table.mjs';

const QUICK = process.env.SWEEP ? 10000 : 300;

/** A request with headers that fetch would not send. */
const raw = ({ base }, method, where, headers = {}, body = '') => new Promise((done, failed) => {
  const { port } = new URL(base);
  const request = http.request({ host: '127.0.0.1', port, method, path: where, headers }, (answer) => {
    let text = '';
    answer.on('data', (part) => (text += part));
    answer.on('end', () => done({ status: answer.statusCode, text, headers: answer.headers }));
  });
  request.on('error', failed);
  request.end(body);
});

const ground = (color) => [{ set: { section: { name: '' }, values: { ground: color } } }];
const limpet = () => fs.readFileSync(path.join(MOTIFS, 'limpet.svg'));

async function laid(t) {
  const cwd = folder(t);
  fs.writeFileSync(path.join(cwd, 'limpet.svg'), limpet());
  return { cwd, ...(await serve(t, cwd, 'limpet.svg')) };
}

test('nobody but this page is let in', async (t) => {
  const table = await laid(t);
  const { host } = new URL(table.base);
  const key = { 'x-seamfast-key': table.key };
  const edit = JSON.stringify({ number: 2, edits: ground('black') });
  const before = fs.readFileSync(table.file, 'utf8');
  const refused = [
    ['GET', '/state', { host }],
    ['GET', '/state', { host, 'x-seamfast-key': table.key.replace(/./g, '0') }],
    ['GET', '/', { host: 'harbour.example' }],
    ['GET', '/state', { host: 'harbour.example', ...key }],
    ['POST', '/edit', { host, origin: 'http://harbour.example', ...key }, edit],
    ['POST', '/edit', { host, 'sec-fetch-site': 'cross-site', ...key }, edit],
    ['POST', '/edit', { host, origin: 'null', ...key }, edit],
    ['POST', '/edit', { host, 'content-type': 'text/plain' }, edit],
    ['OPTIONS', '/edit', { host, origin: 'http://harbour.example', 'access-control-request-headers': 'x-seamfast-key' }],
    ['POST', '/', { host }],
  ];
  for (const [method, where, headers, body] of refused) {
    const answer = await raw(table, method, where, headers, body);
    assert.equal(answer.status, 403, `${method} ${where} ${JSON.stringify(headers)}: ${answer.text}`);
    assert.equal(answer.headers['access-control-allow-origin'], undefined);
  }
  assert.equal(fs.readFileSync(table.file, 'utf8'), before);
  assert.equal((await raw(table, 'GET', '/', { host })).status, 200);
});

test('no path leads out of the folder', async (t) => {
  const table = await laid(t);
  const { host } = new URL(table.base);
  const headers = { host, 'x-seamfast-key': table.key };
  for (const where of ['/../Cargo.toml', '/..%2f..%2fetc%2fpasswd', '//etc/passwd', '/limpet.toml', '/made?name=../limpet.toml', '/made?name=%2Fetc%2Fpasswd', '/made?name=limpet.toml']) {
    const { status, text } = await raw(table, 'GET', where, headers);
    assert.ok(status === 404 || JSON.parse(text).error, `${where}: ${status} ${text}`);
  }
  for (const name of ['../away.svg', '/srv/away.svg', '..', 'a\0.svg', 'C:\\away.svg', '.hidden.svg', 'limpet.toml']) {
    const json = JSON.stringify({ name, edits: [] });
    const said = await ask(table, 'PUT', `/motif?json=${encodeURIComponent(json)}`, limpet());
    assert.ok(said.error, name);
  }
  // A design may name any file of its owner's, but a page may not make it name one.
  const { number } = await ask(table, 'GET', '/state');
  for (const file of ['/etc/passwd', '../away.svg']) {
    const said = await ask(table, 'POST', '/edit', { number, edits: [{ set: { section: { name: 'motif', number: 1 }, values: { file } } }] });
    assert.match(said.error.what, /outside the design's folder/);
  }
  assert.deepEqual(fs.readdirSync(table.cwd).sort(), ['limpet.svg', 'limpet.toml']);
});

test('too much is refused, and takes no memory', async (t) => {
  const table = await laid(t);
  const { host, port } = new URL(table.base);
  const most = Number(fs.readFileSync(`/proc/${table.server.pid}/status`, 'utf8').match(/VmHWM:\s+(\d+)/)[1]);
  const piece = Buffer.alloc(1 << 20, 'a');
  const json = encodeURIComponent(JSON.stringify({ name: 'big.svg', edits: [] }));
  const sent = await new Promise((done) => {
    let count = 0;
    const request = http.request({ host: '127.0.0.1', port, method: 'PUT', path: `/motif?json=${json}`, headers: { host, 'x-seamfast-key': table.key } });
    const write = () => {
      while (count < 1024) {
        count++;
        if (!request.write(piece)) return request.once('drain', write);
      }
      request.end();
    };
    request.on('response', (answer) => { answer.resume(); done(count); request.destroy(); });
    request.on('error', () => done(count));
    write();
  });
  const now = Number(fs.readFileSync(`/proc/${table.server.pid}/status`, 'utf8').match(/VmHWM:\s+(\d+)/)[1]);
  assert.ok(sent < 1024, `all of a gigabyte was taken: ${sent}`);
  assert.ok(now - most < 400 * 1024, `${now - most} kB more`);
  assert.ok((await ask(table, 'GET', '/state')).facts.tile);
  const large = await ask(table, 'POST', '/ask', { ask: { pixels: { dpi: null, window: [0, 0, 1000000, 1000000], part: null } } });
  assert.match(large.error.what, /./);
});

test('quick changes come one after the other, and stale ones not at all', async (t) => {
  const table = await laid(t);
  let { number } = await ask(table, 'GET', '/state');
  for (let n = 0; n < QUICK; n++) {
    const color = `#${(n % 0xffffff).toString(16).padStart(6, '0')}`;
    const said = await ask(table, 'POST', '/edit', { number, edits: ground(color), together: 'quick' });
    assert.ok(!said.error, JSON.stringify(said.error));
    number = said.number;
  }
  // All of these have seen the same text: one of them is made.
  const many = await Promise.all(Array.from({ length: 40 }, (_, n) => ask(table, 'POST', '/edit', { number, edits: ground(`#0000${(10 + n).toString(16)}`) })));
  assert.equal(many.filter((said) => !said.error).length, 1);
  const { facts } = await ask(table, 'GET', '/state');
  assert.ok(fs.readFileSync(table.file, 'utf8').includes(facts.ground));
});

test('an editor, a deletion, another page: nothing is lost', async (t) => {
  const table = await laid(t);
  const first = await look(t, table.address);
  const second = await look(t, table.address);
  await rest(first.page);
  await rest(second.page);
  // Both pages see one change.
  await first.page.evaluate(() => globalThis.seamfast.edit([{ set: { section: { name: '' }, values: { ground: '#d8a72a' } } }]));
  await until(second.page, () => globalThis.seamfast.state.facts.ground === '#d8a72a');
  // An editor's change and comments come to both.
  const text = fs.readFileSync(table.file, 'utf8');
  fs.writeFileSync(table.file, `# by hand\n${text.replace('#d8a72a', '#7c8f6a')}`);
  for (const { page } of [first, second]) await until(page, () => globalThis.seamfast.state.facts.ground === '#7c8f6a');
  await first.page.evaluate(() => globalThis.seamfast.edit([{ set: { section: { name: '' }, values: { ground: '#1f2d4d' } } }]));
  assert.ok(fs.readFileSync(table.file, 'utf8').startsWith('# by hand\n'));
  // A slip in the editor is said, and what was seen stays; undoing brings the text before it back.
  fs.writeFileSync(table.file, 'ground = = "red"\n');
  await first.page.getByRole('alert').waitFor();
  assert.ok((await state(first.page)).facts.tile);
  await first.page.keyboard.press('Control+z');
  await until(first.page, () => globalThis.seamfast.state.facts.ground === '#1f2d4d' && !globalThis.seamfast.state.error);
  // The file is deleted: the design is still here, and the next change writes it.
  fs.unlinkSync(table.file);
  await until(first.page, () => globalThis.seamfast.state.kept === false);
  await second.page.evaluate(() => globalThis.seamfast.edit([{ set: { section: { name: '' }, values: { ground: '#f3eee3' } } }]));
  assert.ok(fs.readFileSync(table.file, 'utf8').includes('# by hand'));
  assert.deepEqual([...first.wrong, ...second.wrong], []);
});

test('a motif saved in a drawing program shows at once', async (t) => {
  const table = await laid(t);
  const { page } = await look(t, table.address);
  await rest(page);
  fs.writeFileSync(path.join(table.cwd, 'limpet.svg'), limpet().toString().replaceAll('#1f2d4d', '#a8402f'));
  await until(page, () => globalThis.seamfast.state.round > 0 && globalThis.seamfast.state.facts.inks.some((ink) => ink.color === '#a8402f'));
  await rest(page);
});

test('hostile artwork does not stop the page', async (t) => {
  const table = await laid(t);
  const many = Array.from({ length: 12 }, (_, n) => `<g id="g${n + 1}">${`<use href="#g${n}"/>`.repeat(10)}</g>`).join('');
  const hostile = {
    'bomb.svg': `<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><g id="g0"><circle r="3"/></g>${many}<use href="#g12"/></svg>`,
    'entity.svg': '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;">]><svg xmlns="http://www.w3.org/2000/svg"><text>&b;</text></svg>',
    'outside.svg': '<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in"><image href="file:///etc/passwd" width="10" height="10"/></svg>',
    'none.png': 'no picture',
  };
  const edits = [{ set: { section: { name: 'motif', number: 1 }, values: { file: '$FILE', width: '$WIDTH' } } }];
  for (const [name, text] of Object.entries(hostile)) {
    const json = encodeURIComponent(JSON.stringify({ name, edits }));
    const said = await ask(table, 'PUT', `/motif?json=${json}`, Buffer.from(text));
    assert.ok(said.error?.what, `${name} was taken`);
    assert.ok(!fs.existsSync(path.join(table.cwd, name)), `${name} was kept`);
    assert.equal((await ask(table, 'GET', '/state')).facts.motifs.length, 1);
  }
  // What only shows when it is painted ends a worker, and no more.
  const slow = '<svg xmlns="http://www.w3.org/2000/svg" width="2in" height="2in" viewBox="0 0 200 200"><filter id="f"><feTurbulence baseFrequency="0.7" numOctaves="1000"/></filter><rect width="200" height="200" filter="url(#f)"/></svg>';
  const { number } = await ask(table, 'POST', '/edit', { number: (await ask(table, 'GET', '/state')).number, edits: [{ set: { section: { name: 'limits' }, values: { time: '1s', octaves: 1000 } } }] });
  const json = encodeURIComponent(JSON.stringify({ name: 'slow.svg', number, edits }));
  const both = await ask(table, 'PUT', `/motif?json=${json}`, Buffer.from(slow));
  assert.equal(both.facts?.motifs.length, 2, JSON.stringify(both.error));
  const painted = await ask(table, 'POST', '/ask', { ask: { pixels: { dpi: null, window: null, part: null } } });
  assert.match(painted.error.what, /slow: painting it takes longer than/);
  const back = await ask(table, 'POST', '/undo', { number: both.number });
  assert.equal(back.facts.motifs.length, 1);
  const again = await fetch(`${table.base}/ask`, { method: 'POST', headers: { 'x-seamfast-key': table.key }, body: JSON.stringify({ ask: { pixels: { dpi: 50, window: null, part: null } } }) });
  assert.ok((await again.arrayBuffer()).byteLength > 1e5);
});
