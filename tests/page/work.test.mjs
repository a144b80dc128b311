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

test('what the window shows comes first, the rest after it, and nothing piles up', async (t) => {
  const cwd = folder(t);
  fs.cpSync(MOTIFS, path.join(cwd, 'motifs'), { recursive: true });
  const { address } = await serve(t, cwd, 'motifs/shore.toml');
  const { page, wrong } = await look(t, address);
  await rest(page);
  await page.evaluate(() => {
    const { engine } = globalThis.seamfast;
    const real = engine.pixels.bind(engine);
    globalThis.asked = { windows: [], now: 0, most: 0 };
    // The rest of the tile is held back until what the window shows was looked at.
    asked.held = new Promise((done) => (asked.release = done));
    engine.pixels = async (what) => {
      asked.windows.push(what.window);
      asked.most = Math.max(asked.most, ++asked.now);
      const isFirst = asked.windows.length === 1;
      return (isFirst ? real(what) : asked.held.then(() => real(what))).finally(() => asked.now--);
    };
  });
  await page.getByRole('button', { name: '1:1 pixels', exact: true }).click();
  await rest(page);
  // At rest with a part of the tile: a pull then shows what stood there before, and no hole.
  const { part, first, tile, holes } = await page.evaluate(() => {
    const { cloth, camera } = globalThis.seamfast;
    const part = !cloth.shown.whole;
    camera.pan([777, -555]);
    cloth.draw();
    const { data } = cloth.context.getImageData(0, 0, ...camera.size);
    asked.release();
    return { part, first: asked.windows[0], tile: cloth.facts.tile.px, holes: data.filter((n, at) => at % 4 === 3 && n < 255).length };
  });
  assert.ok(part && first[2] * first[3] < 0.6 * tile[0] * tile[1], `${first} of ${tile}`);
  assert.equal(holes, 0);
  // A second of pulling, and of other distances: what is asked for waits for what is on its way.
  await page.evaluate(async () => {
    const { cloth, camera } = globalThis.seamfast;
    for (let n = 0; n < 60; n++) {
      camera.pan([31, 17]);
      if (n % 12 === 0) camera.zoomTo([1, 0.9, 2, 0.7, 1][n / 12]);
      cloth.moved();
      cloth.settle();
      await new Promise((done) => setTimeout(done, 16));
    }
  });
  await rest(page);
  assert.ok(await page.evaluate(() => asked.most) <= 2, 'one part that is waited for, and one of the rest');
  assert.ok(await page.evaluate(() => asked.windows.length) < 60);

  // The tile that came in parts is the print, in every layout that steps in another way.
  for (const layout of ['straight', 'brick', 'drop=1/3', 'mirror-drop', 'border', 'half-drop']) {
    await page.evaluate((layout) => {
      asked.windows = [];
      return globalThis.seamfast.layouts.choose(layout);
    }, layout);
    await rest(page);
    await until(page, () => globalThis.seamfast.cloth.shown.whole);
    const { different, parts } = await page.evaluate(async () => {
      const { cloth, engine } = globalThis.seamfast;
      const parts = asked.windows.length;
      const { tile, data } = await engine.pixels({});
      const [want, have] = [data, cloth.shown.context.getImageData(0, 0, ...tile).data].map(({ buffer }) => new Uint32Array(buffer));
      return { parts, different: want.reduce((sum, pixel, n) => sum + Number(pixel !== have[n]), 0) };
    });
    assert.equal(different, 0, layout);
    assert.ok(parts > 1, `${layout} came in ${parts} parts`);
  }
  assert.deepEqual(wrong, []);
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
