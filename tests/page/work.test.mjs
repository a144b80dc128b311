// The job from end to end, as a person does it: a motif dropped, dragged over a corner, nudged, undone, laid out, sized,
// delivered; and the file is what the command line makes of the saved design, byte for byte.

import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { MOTIFS, drop, folder, look, onScreen, png, rest, run, serve, state, until } from './table.mjs';

async function drag(page, from, to) {
  await page.mouse.move(...from);
  await page.mouse.down();
  await until(page, () => globalThis.seamfast.hand.drag?.kind !== 'wait');
  for (let n = 1; n <= 8; n++) await page.mouse.move(...[0, 1].map((axis) => from[axis] + ((to[axis] - from[axis]) * n) / 8));
  await page.mouse.up();
}

/** Types a value over one of the selvedge's facts. */
async function fact(page, id, value) {
  await page.locator(`#${id}`).click();
  await page.locator('.asked input').fill(value);
  await page.keyboard.press('Enter');
  await page.waitForSelector('.asked', { state: 'detached' });
}

test('a motif becomes proven files', async (t) => {
  const cwd = folder(t);
  const { address, file } = await serve(t, cwd);
  const { page, wrong } = await look(t, address);
  await page.waitForSelector('#start .cloths button');
  await drop(page, [['starfish.svg', fs.readFileSync(path.join(MOTIFS, 'starfish.svg'), 'utf8')]], [700, 400]);
  await rest(page);
  assert.equal((await state(page)).facts.motifs.length, 1);

  // Straight, so that the tile's corner is a corner of the block; then over that corner.
  await page.locator('#fact-layout').click();
  await page.getByRole('button', { name: 'straight', exact: true }).click();
  await until(page, () => globalThis.seamfast.state.facts.layout === 'straight');
  await page.keyboard.press('Escape');
  await rest(page);
  const before = await state(page);
  const [spot] = before.facts.motifs[0].places;
  await drag(page, await onScreen(page, spot), await onScreen(page, [0, 0]));
  await page.waitForFunction(([x, y]) => globalThis.seamfast.state.facts.motifs[0].places[0].every((n, axis) => n !== [x, y][axis]), spot);
  await rest(page);
  const corner = await state(page);
  assert.equal(corner.facts.copies, 1, 'one copy, though the corner cuts it in four');

  // Ten quick nudges are ten pixels, and one step of undo.
  const { undo } = corner;
  const [from] = corner.facts.motifs[0].places;
  for (let n = 0; n < 10; n++) await page.keyboard.press('ArrowRight');
  const [w] = corner.facts.tile.px;
  await page.waitForFunction(([want, w]) => Math.abs((globalThis.seamfast.state.facts.motifs[0].places[0][0] - want + 2 * w) % w) < 0.01, [from[0] + 10, w]);
  await page.evaluate(() => globalThis.seamfast.last);
  assert.ok((await state(page)).undo <= undo + 2, 'nudges that follow one another are undone together');
  while ((await state(page)).undo > undo) {
    await page.keyboard.press('Control+z');
    await page.evaluate(() => globalThis.seamfast.last);
  }
  assert.deepEqual((await state(page)).facts.motifs[0].places, [from]);

  await page.locator('#fact-layout').click();
  await page.getByRole('button', { name: 'half-drop', exact: true }).click();
  await until(page, () => globalThis.seamfast.state.facts.layout === 'half-drop');
  await page.locator('#layouts .head button').click();
  await fact(page, 'fact-tile', '8in');
  await fact(page, 'fact-dpi', '300');
  await fact(page, 'fact-dpi', '150');
  const sized = await state(page);
  assert.deepEqual(sized.facts.tile.px, [1200, 1200]);

  await page.getByRole('button', { name: 'Mill ticket' }).click();
  for (const kind of ['svg', 'png']) {
    await page.locator('.kind', { hasText: new RegExp(`^${kind}`) }).locator('input').uncheck();
    await page.evaluate(() => globalThis.seamfast.last);
  }
  await until(page, () => globalThis.seamfast.state.facts.kinds.join() === 'tiff');
  await until(page, () => globalThis.seamfast.state.errand.running === null);
  await page.getByRole('button', { name: 'Deliver', exact: true }).click();
  await page.getByText('delivered and proven').waitFor();
  const [download] = await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'cloth.tif' }).click()]);
  const taken = fs.readFileSync(await download.path());
  run(cwd, 'make', file, '--out', 'again');
  const made = fs.readFileSync(path.join(cwd, 'again/cloth.tif'));
  assert.ok(taken.equals(made), 'the file is what seamfast make writes from the saved design');
  assert.deepEqual(fs.readdirSync(path.join(cwd, 'out')), ['cloth.tif']);
  assert.deepEqual(wrong, []);
});

test('at rest the screen shows the print pixels, every one of them', async (t) => {
  const cwd = folder(t);
  fs.cpSync(MOTIFS, path.join(cwd, 'motifs'), { recursive: true });
  const { address, file } = await serve(t, cwd, 'motifs/shore.toml');
  const { page } = await look(t, address);
  await rest(page);
  run(cwd, 'make', file, '--as', 'png', '--out', 'made');
  const tile = png(fs.readFileSync(path.join(cwd, 'made/shore.png')));
  await page.getByRole('button', { name: '1:1 pixels', exact: true }).click();
  await rest(page);
  const shot = { x: 420, y: 90, width: 600, height: 560 };
  for (const [zoom, by] of [[1, [0, 0]], [1, [-931, 1277]], [3, [40, -77]]]) {
    await page.evaluate(([zoom, by]) => {
      const { camera, cloth } = globalThis.seamfast;
      camera.zoomTo(zoom);
      camera.pan(by);
      cloth.moved();
    }, [zoom, by]);
    await page.waitForTimeout(300);
    await rest(page);
    const screen = png(await page.screenshot({ clip: shot }));
    const [ox, oy] = (await onScreen(page, [0, 0])).map(Math.round);
    let different = 0;
    for (let y = 0; y < shot.height; y++) {
      for (let x = 0; x < shot.width; x++) {
        const [tx, ty] = [[x + shot.x - ox, tile.width], [y + shot.y - oy, tile.height]].map(([n, by]) => {
          const px = Math.floor(n / zoom);
          return ((px % by) + by) % by;
        });
        const [a, b] = [(y * shot.width + x) * 4, (ty * tile.width + tx) * 4];
        if ([0, 1, 2].some((c) => screen.data[a + c] !== tile.data[b + c])) different++;
      }
    }
    assert.equal(different, 0, `at ${zoom} ×, moved by ${by}`);
  }
});

test('far away it is painted anew, and no join shows', async (t) => {
  const cwd = folder(t);
  fs.cpSync(MOTIFS, path.join(cwd, 'motifs'), { recursive: true });
  const { address } = await serve(t, cwd, 'motifs/shore.toml');
  const { page } = await look(t, address);
  await rest(page);
  await page.getByRole('button', { name: 'From 3 m' }).click();
  await page.waitForTimeout(300);
  await rest(page);
  // One tile of the screen is the next one, pixel by pixel.
  const step = await page.evaluate(() => globalThis.seamfast.cloth.shown.tile);
  const screen = png(await page.screenshot({ clip: { x: 300, y: 60, width: 600, height: 560 } }));
  let different = 0;
  for (let y = 0; y + step[1] < screen.height; y++) {
    for (let x = 0; x + step[0] < screen.width; x++) {
      const [a, b] = [(y * screen.width + x) * 4, ((y + step[1]) * screen.width + x + step[0]) * 4];
      if (screen.data.readUInt32LE(a) !== screen.data.readUInt32LE(b)) different++;
    }
  }
  assert.ok(step[0] < 300, `the tile is small there: ${step}`);
  assert.equal(different, 0);
});

test('fingers move a motif, and two of them the cloth', async (t) => {
  const cwd = folder(t);
  fs.cpSync(MOTIFS, path.join(cwd, 'motifs'), { recursive: true });
  const { address } = await serve(t, cwd, 'motifs/shore.toml');
  const { page, context } = await look(t, address, { width: 820, height: 1180, touch: true });
  await rest(page);
  const fingers = await context.newCDPSession(page);
  const touch = (type, ...points) => fingers.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const { facts } = await state(page);
  const crab = facts.motifs.findIndex((one) => one.name === 'crab');
  const [spot] = facts.motifs[crab].places;
  const [x, y] = await onScreen(page, spot);
  await touch('touchStart', [x, y]);
  await until(page, () => globalThis.seamfast.hand.drag?.kind === 'motif');
  await touch('touchMove', [x + 30, y]);
  await touch('touchMove', [x + 60, y]);
  await touch('touchEnd');
  await page.waitForFunction(([n, x]) => globalThis.seamfast.state.facts.motifs[n].places[0][0] > x + 20, [crab, spot[0]]);
  await rest(page);
  const before = await page.evaluate(() => globalThis.seamfast.camera.zoom);
  await touch('touchStart', [300, 200], [500, 200]);
  await touch('touchMove', [250, 200], [550, 200]);
  await touch('touchMove', [200, 200], [600, 200]);
  await touch('touchEnd');
  await page.waitForFunction((before) => globalThis.seamfast.camera.zoom > 1.5 * before, before);
});
