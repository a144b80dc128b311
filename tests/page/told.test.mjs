// What a person is told, and what their hands can't do by mistake: the mending that came of people at the table.

import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { MOTIFS, drop, folder, look, onScreen, rest, run, serve, state, until } from './table.mjs';

const svg = (name) => fs.readFileSync(path.join(MOTIFS, `${name}.svg`), 'utf8');
const settled = (page) => page.evaluate(() => globalThis.seamfast.last);

/** Motifs laid on a new design, open in a browser. */
async function laid(t, names, how) {
  const cwd = folder(t);
  for (const name of names) fs.writeFileSync(path.join(cwd, `${name}.svg`), svg(name));
  const table = await serve(t, cwd, ...names.map((name) => `${name}.svg`));
  const seen = await look(t, table.address, how);
  await rest(seen.page);
  return { cwd, ...table, ...seen };
}

async function picture(page, name) {
  if (process.env.PICTURES) await page.screenshot({ path: path.join(process.env.PICTURES, `told-${name}.png`) });
}

test('an empty table names the designs beside it, refused files are all named, and a lost server by its design', async (t) => {
  const cwd = folder(t);
  fs.writeFileSync(path.join(cwd, 'kelp.svg'), svg('kelp'));
  run(cwd, 'new', 'kelp.svg', '--name', 'shore');
  const { address, server } = await serve(t, cwd);
  const { page } = await look(t, address);
  await page.getByText('seamfast open shore.toml').waitFor();
  await picture(page, 'empty');
  const text = svg('limpet').replace('</svg>', '<text x="0" y="20" font-family="Harbour Script">dory</text></svg>');
  await drop(page, [['rope.png', 'no picture'], ['crab.svg', svg('crab')], ['words.svg', text], ['half.svg', '<svg']], [700, 400]);
  const alert = page.locator('#trouble');
  await alert.getByText('3 of 4 files').waitFor();
  const said = await alert.innerText();
  await picture(page, 'refused');
  assert.match(said, /rope\.png: this is no PNG/);
  assert.match(said, /words\.svg: 1 thing in the drawing/);
  assert.match(said, /half\.svg:/);
  assert.ok(!said.includes(cwd) && !/allow it/.test(said), said);
  assert.equal((await state(page)).facts.motifs.length, 1);
  server.kill();
  await page.getByText(`seamfast open cloth.toml`).waitFor();
});

test('motifs alternate where the layout does, and what became of the sizes is said', async (t) => {
  const { page } = await laid(t, ['limpet', 'kelp', 'tern']);
  await page.locator('#fact-layout').click();
  await page.getByRole('button', { name: 'checker', exact: true }).click();
  await until(page, () => globalThis.seamfast.state.facts.places === 2);
  const kinds = async () => (await state(page)).facts.motifs.map((one) => one.written.place);
  assert.deepEqual(await kinds(), [1, 2, 1]);
  assert.match(await page.locator('#fact-layout').innerText(), /checker of 2/);
  await page.locator('#layouts').getByText('the tile is 8 × 16 in now; the block stays 4 × 8 in').waitFor();
  await page.waitForFunction(() => document.getElementById('layouts').dataset.filled);
  await picture(page, 'checker');
  await page.keyboard.press('Escape');
  await page.locator('.motifs button').first().click();
  await page.locator('#tag-place').selectOption({ label: 'place 2 of 2' });
  await until(page, () => globalThis.seamfast.state.facts.motifs[0].written.place === 2);
  await rest(page);
  await picture(page, 'place');
  await drop(page, [['dory.svg', fs.readFileSync(path.join(MOTIFS, 'dory.svg'), 'utf8')]], [700, 400]);
  await page.locator('#note').getByText('dory lies on every place').waitFor();
  assert.deepEqual(await kinds(), [2, 2, 1, null]);
  await page.locator('#fact-layout').click();
  await page.getByRole('button', { name: 'straight', exact: true }).click();
  await until(page, () => globalThis.seamfast.state.facts.layout === 'straight');
  assert.deepEqual(await kinds(), [null, null, null, null]);
});

test('where motifs alternate they can be tossed, and each press throws anew', async (t) => {
  const { page } = await laid(t, ['limpet', 'kelp']);
  await page.locator('#fact-layout').click();
  await page.getByRole('button', { name: 'checker', exact: true }).click();
  await until(page, () => globalThis.seamfast.state.facts.places === 2);
  const thrown = async (number) => {
    const before = JSON.stringify((await state(page)).facts.motifs.map(({ written }) => written.at));
    await page.locator('.toss button').click();
    await page.waitForFunction(([number, before]) => document.querySelector('.toss input[name=seed]').value === String(number + 1)
      && JSON.stringify(globalThis.seamfast.state.facts.motifs.map(({ written }) => written.at)) !== before, [number, before], { timeout: 60000 });
    await rest(page);
    return (await state(page)).facts.motifs.map(({ written }) => [written.place, written.at]);
  };
  const first = await thrown(1);
  assert.deepEqual([...new Set(first.map(([place]) => place))].sort(), [1, 2]);
  assert.notDeepEqual(await thrown(2), first);
});

test('numbers are typed one after the other, and Escape lets go from any button', async (t) => {
  const { page } = await laid(t, ['limpet']);
  await page.locator('.motifs button').first().click();
  await rest(page);
  await page.locator('#tag-width').focus();
  await page.locator('#tag-width').selectText();
  for (const text of ['2in', '30', '1in', '2.5in']) {
    await page.keyboard.type(text);
    await page.keyboard.press('Tab');
    await page.waitForTimeout(500);
  }
  const [motif] = (await state(page)).facts.motifs;
  assert.deepEqual([motif.written.width, motif.turn, motif.written.at], ['2in', 30, ['1in', '2.5in']]);
  await page.locator('#tag').getByRole('button', { name: 'Let go' }).focus();
  await page.keyboard.press('Escape');
  await page.locator('#tag').waitFor({ state: 'hidden' });
  // Of another copy, half a tile further in the dropped row, the rulers' numbers are shown and taken, too.
  const { facts } = await state(page);
  const other = [1 + facts.tile.in[0] / 2, 2.5 + facts.tile.in[1] / 2];
  await page.mouse.click(...(await onScreen(page, other.map((n) => n * facts.dpi))));
  await page.locator('#tag').waitFor();
  const shown = () => page.locator('#tag').evaluate((tag) => ['tag-x', 'tag-y'].map((id) => parseFloat(tag.querySelector(`#${id}`).value)));
  assert.deepEqual(await shown(), other);
  await page.locator('#tag-x').fill(`${other[0] + 0.5} in`);
  await page.keyboard.press('Tab');
  await until(page, () => globalThis.seamfast.state.facts.motifs[0].written.at[0] === '1.5in');
  assert.deepEqual((await state(page)).facts.motifs[0].written.at, ['1.5in', '2.5in']);
  assert.deepEqual(await shown(), [other[0] + 0.5, other[1]]);
});

test('a length is read at any copy as a design reads it', async (t) => {
  const { page } = await laid(t, ['limpet']);
  const texts = ['-1 1/2in', '7½″', '1/2in', '71/2 in', '.5in', '−3 pt', "2'", '1yd', '0.0508 m', '+10mm', '2 inches'];
  const read = (texts) => page.evaluate(async (texts) => {
    const { inchesOf } = await import(new URL('units.js', document.querySelector('script[src]').src).href);
    return texts.map((text) => Number(inchesOf(text).toFixed(6)));
  }, texts);
  assert.deepEqual(await read(texts), [-1.5, 7.5, 0.5, 35.5, 0.5, -0.041667, 24, 36, 2, 0.393701, 2]);
  const none = await read(['', 'in', '2,5in', '3 px', '1 2in', '1e3mm', 'constructor', '5 toString']);
  assert.ok(none.every(Number.isNaN), String(none));
});

test('without its key a page shows why, and nothing that could be pressed in vain', async (t) => {
  const { page, address } = await laid(t, ['limpet']);
  assert.ok(await page.locator('#ticket').isVisible());
  const other = await page.context().newPage();
  await other.goto(new URL('/', address).href);
  await other.locator('#trouble').getByText('opened without its key').waitFor();
  for (const part of ['#ticket', '#selvedge', '#distance']) assert.equal(await other.locator(part).isVisible(), false, part);
});

test('the cloth comes along to where the linen tester goes', async (t) => {
  const { page } = await laid(t, ['limpet']);
  const sees = () => page.evaluate(() => {
    const { camera, tester } = globalThis.seamfast;
    const [left, top, right, bottom] = camera.seen;
    return tester.at[0] >= left && tester.at[0] <= right && tester.at[1] >= top && tester.at[1] <= bottom;
  });
  for (const far of [[9000, 300], [-400, -7000]]) {
    await page.evaluate((far) => {
      Object.assign(globalThis.seamfast.camera, { middle: far, zoom: 1 });
      globalThis.seamfast.cloth.moved();
    }, far);
    await page.getByRole('button', { name: 'Linen tester', exact: true }).click();
    await page.waitForFunction(() => !globalThis.seamfast.tester.element.hidden);
    assert.ok(await sees(), String(far));
    await page.getByRole('button', { name: 'Fold', exact: true }).click();
  }
});

test('keys do what was meant, on the motif that was chosen', async (t) => {
  const { page, wrong } = await laid(t, ['limpet', 'kelp']);
  await page.locator('.motifs button').last().click();
  const [[x]] = (await state(page)).facts.motifs[1].places;
  await page.keyboard.press('ArrowRight');
  await page.waitForFunction((x) => globalThis.seamfast.state.facts.motifs[1].places[0][0] === x + 1, x);
  const { number } = await state(page);
  await page.keyboard.type('wide');
  await page.keyboard.press('Backspace');
  await settled(page);
  assert.equal((await state(page)).number, number, 'letters change nothing');
  await page.keyboard.press('Control+d');
  await until(page, () => globalThis.seamfast.state.facts.motifs.length === 3);
  await page.keyboard.press('Delete');
  await until(page, () => globalThis.seamfast.state.facts.motifs.length === 2);
  await page.keyboard.press('?');
  await page.locator('#keylist').getByText('lays it once more').waitFor();
  await picture(page, 'keys');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Mill ticket' }).focus();
  await page.locator('#surface').focus();
  for (const key of ['-', '+']) {
    for (let n = 0; n < 60; n++) await page.keyboard.press(key);
    await page.waitForTimeout(300);
    await rest(page);
    await picture(page, key === '-' ? 'far' : 'near');
    assert.ok(await page.locator('#trouble').isHidden());
  }
  assert.equal(await page.locator('#zoom').innerText(), '3200 %');
  await page.locator('#fact-ground').click();
  await page.locator('.asked input[type=color]').fill('#7c8f6a');
  assert.equal(await page.locator('.asked input').first().inputValue(), '#7c8f6a');
  await page.locator('.asked input').first().fill('harbor');
  await page.keyboard.press('Enter');
  await page.locator('.asked .wrong').getByText('harbor').waitFor();
  await picture(page, 'ground');
  assert.ok(await page.locator('#trouble').isHidden(), 'it is said beside the field');
  assert.deepEqual(wrong, []);
});

test('a string about a bare place shows it, in the unit of the rulers', async (t) => {
  const { page } = await laid(t, ['starfish']);
  await until(page, () => globalThis.seamfast.state.errand.ended.check);
  const string = page.locator('.strings button', { hasText: 'a bare' }).first();
  await page.getByRole('button', { name: 'mm', exact: true }).click();
  const said = await string.innerText();
  assert.ok(/\d mm/.test(said) && !/px/.test(said), said);
  const before = await page.evaluate(() => globalThis.seamfast.camera.middle);
  await string.click();
  const { middle, mark } = await page.evaluate(() => ({ middle: globalThis.seamfast.camera.middle, mark: globalThis.seamfast.pulled.mark }));
  assert.notDeepEqual(middle, before);
  assert.ok(Math.hypot(middle[0] - mark.x, middle[1] - mark.y) < 2, JSON.stringify({ middle, mark }));
  await page.waitForTimeout(400);
  await picture(page, 'bare');
});

test('a motif whose file is gone is said once, and no more when it is back', async (t) => {
  const { page, cwd } = await laid(t, ['limpet', 'kelp']);
  await page.getByRole('button', { name: 'Mill ticket' }).click();
  fs.renameSync(path.join(cwd, 'kelp.svg'), path.join(cwd, 'away.svg'));
  await page.locator('#trouble').getByText('kelp.svg').waitFor();
  await page.waitForTimeout(200);
  await picture(page, 'gone');
  assert.ok(await page.getByRole('button', { name: 'Deliver', exact: true }).isDisabled());
  assert.equal(await page.locator('#ticket .wrong').count(), 0);
  fs.renameSync(path.join(cwd, 'away.svg'), path.join(cwd, 'kelp.svg'));
  await page.locator('#trouble').waitFor({ state: 'hidden' });
  await page.getByRole('button', { name: 'Deliver', exact: true }).click();
  await page.getByText('delivered and proven').waitFor();
});

test('a finger moves the linen tester, and takes no motif beneath it', async (t) => {
  const { page, context } = await laid(t, ['limpet'], { width: 1180, height: 820, touch: true });
  const fingers = await context.newCDPSession(page);
  const touch = (type, ...points) => fingers.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const [spot] = (await state(page)).facts.motifs[0].places;
  await page.evaluate((spot) => globalThis.seamfast.tester.set(spot), spot);
  await page.waitForFunction(() => document.querySelector('#tester canvas').dataset.rest);
  const [x, y] = await onScreen(page, spot);
  await touch('touchStart', [x, y]);
  await touch('touchMove', [x + 20, y + 30]);
  await touch('touchMove', [x + 40, y + 60]);
  await touch('touchEnd');
  const { at, held } = await page.evaluate(() => ({ at: globalThis.seamfast.tester.at, held: globalThis.seamfast.held.entry }));
  assert.ok(at[0] > spot[0] + 20 && at[1] > spot[1] + 30, `${at} from ${spot}`);
  assert.equal(held, null);
  const box = await page.locator('#tester').boundingBox();
  await touch('touchStart', [box.x + 30, box.y + 30]);
  await touch('touchMove', [box.x + 60, box.y + 40]);
  await touch('touchMove', [box.x + 130, box.y + 60]);
  await touch('touchEnd');
  const after = await page.locator('#tester').boundingBox();
  assert.ok(after.x > box.x + 60, JSON.stringify([box, after]));
  await page.evaluate(() => globalThis.seamfast.chooseEntry(0));
  await until(page, () => globalThis.seamfast.held.sprite);
  await picture(page, 'tester');
});
