// How quick the page is: `node tests/speed/page.mjs`. Prints a table and asserts nothing.
//
// Scenes: a flower of 200 placements on a 2 100 px tile, as the other benches have it. A view is settled when a frame
// has been shown in which every pixel of the window is the print's; they are compared behind the clock. What the
// window doesn't show comes after that, and is timed to its end as well. Frames are counted by requestAnimationFrame
// while the pointer drags a motif; without a graphics card, as the tests run.

import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { look, onScreen, rest, serve } from '../page/table.mjs';

const FLOWER = `<svg xmlns="http://www.w3.org/2000/svg" width="1in" height="1in" viewBox="0 0 100 100">${Array.from({ length: 7 }, (_, n) =>
  `<ellipse cx="50" cy="27" rx="13" ry="24" fill="#a8402f" transform="rotate(${(n * 360) / 7} 50 50)"/>`).join('')}<circle cx="50" cy="50" r="11" fill="#d8a72a"/></svg>`;

const ends = [];
const t = { after: (end) => ends.push(end) };
const cwd = fs.mkdtempSync(path.join(os.tmpdir(), 'seamfast-speed-'));
fs.writeFileSync(path.join(cwd, 'flower.svg'), FLOWER);
let seed = 7;
const chance = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
const motifs = Array.from({ length: 200 }, () =>
  `[[motif]]\nfile = "flower.svg"\nwidth = "${(0.5 + chance() * 0.6).toFixed(2)}in"\nat = ["${(chance() * 100).toFixed(2)}%", "${(chance() * 100).toFixed(2)}%"]\nturn = ${(chance() * 360).toFixed(0)}\n`);
fs.writeFileSync(path.join(cwd, 'field.toml'), `ground = "#f3eee3"\n[repeat]\nlayout = "half-drop"\ntile = "2100px"\n[[deliver]]\ndpi = 300\n${motifs.join('\n')}`);

const { address } = await serve(t, cwd, 'field.toml');
const { page, context } = await look(t, address);
await rest(page);
const paint = await page.evaluate(() => performance.getEntriesByType('paint').map((entry) => `${entry.name} ${entry.startTime.toFixed(0)} ms`));
console.log(`load: ${paint.join(', ')}`);

const second = await context.newPage();
await second.goto(address);
await rest(second);
console.log(`load again: ${(await second.evaluate(() => performance.getEntriesByType('paint').map((entry) => `${entry.name} ${entry.startTime.toFixed(0)} ms`))).join(', ')}`);
await second.close();

const middle = (times) => `${times.sort((a, b) => a - b)[times.length >> 1].toFixed(0)} ms (${times[0].toFixed(0)} to ${times.at(-1).toFixed(0)})`;

/** From a wish to the pixels on the screen, and to all of the tile, with nothing kept; and how many pixels are wrong. */
const settle = (zoom) => page.evaluate(async (zoom) => {
  const { cloth, camera, engine } = globalThis.seamfast;
  const shown = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  camera.zoomTo(zoom);
  cloth.images.clear();
  const start = performance.now();
  await cloth.settle();
  await shown();
  const settled = performance.now() - start;
  while (!cloth.shown.whole) await new Promise((done) => setTimeout(done, 1));
  const whole = performance.now() - start;
  const [w, h] = camera.size;
  const [x, y] = camera.toScreen([0, 0]).map((n) => -Math.round(n));
  const { data } = await engine.pixels({ dpi: cloth.dpi(), window: [x, y, w, h] });
  const [want, have] = [data, cloth.context.getImageData(0, 0, w, h).data].map(({ buffer }) => new Uint32Array(buffer));
  return { settled, whole, wrong: want.reduce((sum, pixel, n) => sum + Number(pixel !== have[n]), 0) };
}, zoom);
for (const zoom of [1, 0.5, 0.25]) {
  const times = [];
  for (let n = 0; n < 7; n++) times.push(await settle(zoom));
  const wrong = times.reduce((sum, one) => sum + one.wrong, 0);
  console.log(`a settled view at ${zoom}: ${middle(times.map((one) => one.settled))}; the whole tile: ${middle(times.map((one) => one.whole))}; wrong pixels: ${wrong}`);
}

/** A key that moves a motif by a pixel, until the print shows it. */
await page.evaluate(() => { globalThis.seamfast.camera.zoomTo(1); globalThis.seamfast.chooseEntry(100); globalThis.seamfast.cloth.moved(); });
await page.waitForTimeout(400);
await rest(page);
const nudges = [];
for (let n = 0; n < 7; n++) {
  await page.waitForFunction(() => globalThis.seamfast.cloth.shown.whole && !globalThis.seamfast.state.errand.running);
  nudges.push(await page.evaluate(async () => {
    const { hand, cloth } = globalThis.seamfast;
    const start = performance.now();
    const { number } = globalThis.seamfast.state;
    await hand.keep({ move: [1, 0], turn: 0, size: 1 });
    const there = () => globalThis.seamfast.state.number > number && cloth.canvas.dataset.rest?.startsWith(`${globalThis.seamfast.state.number}.`);
    while (!there()) await new Promise((done) => setTimeout(done, 1));
    return performance.now() - start;
  }));
}
console.log(`a nudge, until the print shows it: ${middle(nudges)}`);

for (const zoom of [1, 0.3]) {
  await page.evaluate((zoom) => { globalThis.seamfast.choose(null); globalThis.seamfast.camera.zoomTo(zoom); globalThis.seamfast.cloth.moved(); }, zoom);
  await page.waitForTimeout(400);
  await rest(page);
  await page.evaluate(() => globalThis.seamfast.chooseEntry(100));
  await page.waitForTimeout(400);
  await rest(page);
  const from = await onScreen(page, await page.evaluate(() => globalThis.seamfast.held.copy.middle));
  await page.evaluate(([x, y]) => {
    const { surface } = globalThis.seamfast.hand;
    const event = (name, x, y) => surface.dispatchEvent(new PointerEvent(name, { clientX: x, clientY: y, pointerId: 1, button: 0, bubbles: true }));
    surface.setPointerCapture = () => {};
    globalThis.drive = event;
    event('pointerdown', x, y);
  }, from);
  await page.waitForFunction(() => globalThis.seamfast.held.layers);
  const { frames, seconds, slowest } = await page.evaluate(([x, y]) => new Promise((done) => {
    const times = [];
    const start = performance.now();
    const frame = (now) => {
      times.push(now);
      const passed = (performance.now() - start) / 1000;
      globalThis.drive('pointermove', x + 160 * Math.sin(passed * 4), y + 120 * Math.cos(passed * 3));
      if (passed < 3) requestAnimationFrame(frame);
      else done({ frames: times.length - 1, seconds: (times.at(-1) - times[0]) / 1000, slowest: Math.max(...times.slice(1).map((t, n) => t - times[n])) });
    };
    requestAnimationFrame(frame);
  }), from);
  console.log(`a drag among 200 placements at ${zoom}: ${(frames / seconds).toFixed(1)} frames a second, slowest ${slowest.toFixed(0)} ms`);
  await page.evaluate(([x, y]) => { globalThis.seamfast.held.change = null; globalThis.drive('pointercancel', x, y); }, from);
}
for (const end of ends.reverse()) await end();
fs.rmSync(cwd, { recursive: true, force: true });
