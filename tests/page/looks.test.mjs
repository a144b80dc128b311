// Every state looked at: by axe-core for people who can't see or point as others do, by keyboard alone, and as pictures
// for the eye. PICTURES=folder keeps them; MAKE=1 makes the README's again.

import assert from 'node:assert/strict';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { test } from 'node:test';
import { MOTIFS, folder, look, onScreen, rest, serve, state, until } from './table.mjs';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const README = path.join(import.meta.dirname, '../pictures');
const SIZES = { laptop: { width: 1280, height: 800 }, tablet: { width: 820, height: 1180, touch: true }, phone: { width: 390, height: 844, touch: true } };

async function shore(t) {
  const cwd = folder(t);
  fs.cpSync(MOTIFS, path.join(cwd, 'motifs'), { recursive: true });
  return serve(t, cwd, 'motifs/shore.toml');
}

/** No rule of WCAG 2.2 A and AA, nor of good practice, is broken. Its script is run past the page's own policy. */
async function axe(page, name) {
  await page.evaluate(fs.readFileSync(AXE, 'utf8'));
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
  const said = violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => `${node.target} ${node.failureSummary}`).join('; ')}`);
  assert.deepEqual(said, [], name);
}

/** Nothing that is touched is smaller than 44 CSS pixels. */
async function touchable(page, name) {
  const small = await page.evaluate(() => [...document.querySelectorAll('button, input:not(.unseen), select, .handle')]
    .filter((one) => one.offsetParent && (one.offsetHeight < 43.5 || one.offsetWidth < 43.5) && !one.closest('label.kind'))
    .map((one) => `${one.tagName} ${one.textContent || one.id} ${one.offsetWidth} × ${one.offsetHeight}`));
  assert.deepEqual(small, [], name);
}

async function picture(page, name) {
  if (process.env.PICTURES) await page.screenshot({ path: path.join(process.env.PICTURES, `${name}.png`) });
}

/** The states of the table one after the other. */
async function walk(page, name, size) {
  const seen = async (state) => {
    await page.waitForTimeout(200);
    await picture(page, `${name}-${state}`);
    await axe(page, `${name}, ${state}`);
    if (size.touch) await touchable(page, `${name}, ${state}`);
  };
  await until(page, () => globalThis.seamfast.state.errand.ended.check);
  await seen('cloth');
  const { facts } = await state(page);
  const motif = facts.motifs.findIndex((one) => one.name === 'starfish');
  await page.evaluate((motif) => globalThis.seamfast.chooseEntry(motif), motif);
  await until(page, () => globalThis.seamfast.held.sprite);
  await seen('in-hand');
  await page.keyboard.press('Escape');
  await page.locator('#fact-layout').click();
  await page.waitForTimeout(2500);
  await seen('layouts');
  await page.locator('#layouts .head button').click();
  await page.getByRole('button', { name: 'Linen tester' }).click();
  await page.waitForFunction(() => document.querySelector('#tester canvas').dataset.rest);
  await seen('tester');
  await page.getByRole('button', { name: 'Fold' }).click();
  await page.getByRole('button', { name: 'Mill ticket' }).click();
  await seen('ticket');
  await page.getByRole('button', { name: 'Deliver', exact: true }).click();
  await page.getByText('delivered and proven').waitFor();
  await seen('delivered');
  await page.getByRole('button', { name: 'Mill ticket' }).click();
  await page.locator('#fact-block').click();
  await page.locator('.asked input').fill('six inches');
  await page.keyboard.press('Enter');
  await page.getByRole('alert').waitFor();
  await seen('trouble');
  await page.keyboard.press('Escape');
  await page.getByRole('alert').waitFor({ state: 'hidden' });
  await page.evaluate(() => globalThis.seamfast.calibrate());
  await seen('card');
}

for (const [sort, size] of Object.entries(SIZES)) {
  for (const dark of [false, true]) {
    const name = `${sort}-${dark ? 'lamplight' : 'daylight'}`;
    test(`every state, ${name}`, async (t) => {
      const { address } = await shore(t);
      const { page, wrong } = await look(t, address, { ...size, dark });
      await rest(page);
      await walk(page, name, size);
      assert.deepEqual(wrong, []);
    });
    test(`the empty table, ${name}`, async (t) => {
      const { address } = await serve(t, folder(t));
      const { page, wrong } = await look(t, address, { ...size, dark });
      await page.waitForSelector('#start .cloths button');
      await picture(page, `${name}-empty`);
      await axe(page, `${name}, empty`);
      if (size.touch) await touchable(page, `${name}, empty`);
      assert.deepEqual(wrong, []);
    });
  }
}

test('corners size a motif, the knob turns it, and a toss that can not be takes nothing away', async (t) => {
  const { address } = await shore(t);
  const { page, wrong } = await look(t, address);
  await rest(page);
  const { facts } = await state(page);
  const crab = facts.motifs.findIndex((one) => one.name === 'crab');
  const motif = () => page.evaluate((n) => globalThis.seamfast.state.facts.motifs[n], crab);
  await page.evaluate((n) => globalThis.seamfast.chooseEntry(n), crab);
  await until(page, () => globalThis.seamfast.held.sprite);
  const pull = async (handle, dx, dy) => {
    const box = await page.locator(handle).boundingBox();
    const from = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(...from);
    await page.mouse.down();
    await page.mouse.move(from[0] + dx, from[1] + dy, { steps: 6 });
    await page.mouse.up();
    await page.evaluate(() => globalThis.seamfast.last);
    await rest(page);
  };
  const corners = () => page.evaluate(() => globalThis.seamfast.held.frame().corners);
  const apart = (p, q) => Math.hypot(p[0] - q[0], p[1] - q[1]);
  const before = await motif();
  const [nw, , se] = await corners();
  await pull('.handle.se', 40, 34);
  const larger = await motif();
  const grown = await corners();
  assert.ok(apart(grown[0], nw) < 0.1 && apart(grown[2], se) > 30, `the corner across stays: ${JSON.stringify([nw, se, grown])}`);
  assert.ok(larger.in[0] > 1.2 * before.in[0] && Math.abs(larger.in[1] / larger.in[0] - before.in[1] / before.in[0]) < 1e-3, JSON.stringify(larger.in));
  await pull('.handle.knob', 60, 20);
  const turned = await motif();
  assert.ok(turned.turn > larger.turn + 10 && turned.turn < larger.turn + 90, `${turned.turn}`);
  assert.equal(await page.locator('#tag-turn').inputValue(), String(turned.turn));
  // The frame turns with it: its corners lie on the frame's, and a turned frame is pulled by its corners, too.
  const [ink] = await corners();
  const grip = await page.locator('.handle.nw').boundingBox();
  assert.ok(apart(await onScreen(page, ink), [grip.x + grip.width / 2, grip.y + grip.height / 2]) < 2, 'the handle lies on the corner');
  const [, ne, , sw] = await corners();
  const [toNe, toSw] = await Promise.all([onScreen(page, ne), onScreen(page, sw)]);
  await pull('.handle.ne', (toSw[0] - toNe[0]) / 4, (toSw[1] - toNe[1]) / 4);
  const smaller = await motif();
  assert.ok(Math.abs(smaller.in[0] / turned.in[0] - 0.75) < 0.03 && smaller.turn === turned.turn, JSON.stringify([turned.in, smaller.in]));
  assert.ok(apart((await corners())[3], sw) < 0.1, 'the corner across stays');
  const { undo } = await state(page);
  await page.evaluate(() => globalThis.seamfast.layouts.toggle());
  await page.locator('.toss input[name=gap]').fill('abc');
  await page.locator('.toss button').click();
  await page.getByRole('alert').getByText('abc').waitFor();
  await page.waitForFunction((undo) => globalThis.seamfast.state.undo === undo, undo);
  assert.equal((await state(page)).facts.motifs.length, facts.motifs.length);
  await page.locator('.toss input[name=gap]').fill('3mm');
  await page.locator('.toss button').click();
  await page.waitForFunction(() => globalThis.seamfast.state.facts.motifs.every((motif) => motif.tossed) && globalThis.seamfast.state.errand.ended.toss?.answer, null, { timeout: 60000 });
  assert.deepEqual(wrong, []);
});

test('keys alone suffice', async (t) => {
  const { address } = await serve(t, folder(t));
  const { page } = await look(t, address);
  await page.waitForSelector('#start .cloths button');
  const tab = async (what) => {
    for (let n = 0; n < 60; n++) {
      await page.keyboard.press('Tab');
      if (await page.evaluate((what) => document.activeElement.textContent.startsWith(what) || document.activeElement.id === what, what)) return;
    }
    assert.fail(`${what} can't be reached by Tab`);
  };
  await tab('kelp');
  await page.keyboard.press('Enter');
  await rest(page);
  // The new motif is in hand and the cloth has the keys.
  const [before] = (await state(page)).facts.motifs[0].places;
  await page.keyboard.press('Shift+ArrowDown');
  await page.waitForFunction((y) => globalThis.seamfast.state.facts.motifs[0].places[0][1] === y + 10, before[1]);
  await page.keyboard.press('Control+d');
  await until(page, () => globalThis.seamfast.state.facts.motifs.length === 2);
  await page.keyboard.press('Delete');
  await until(page, () => globalThis.seamfast.state.facts.motifs.length === 1);
  await tab('Layout');
  await page.keyboard.press('Enter');
  await tab('brick');
  await page.keyboard.press('Enter');
  await until(page, () => globalThis.seamfast.state.facts.layout === 'brick');
  await page.keyboard.press('Escape');
  await tab('Mill ticket');
  await page.keyboard.press('Enter');
  await until(page, () => globalThis.seamfast.state.errand.running === null);
  await tab('Deliver');
  await page.keyboard.press('Enter');
  await page.getByText('delivered and proven').waitFor();
});

test("the README's pictures", { skip: !process.env.MAKE && 'MAKE=1 makes them' }, async (t) => {
  const { address } = await shore(t);
  const { page } = await look(t, address);
  const save = (name) => page.screenshot({ path: path.join(README, `${name}.png`) });
  await rest(page);
  await until(page, () => globalThis.seamfast.state.errand.ended.check);
  const { facts } = await state(page);
  const crab = facts.motifs.findIndex((one) => one.name === 'crab');
  await page.evaluate((n) => globalThis.seamfast.chooseEntry(n), crab);
  await until(page, () => globalThis.seamfast.held.sprite);
  const from = await onScreen(page, facts.motifs[crab].places[0]);
  await page.mouse.move(...from);
  await page.mouse.down();
  await page.waitForTimeout(900);
  await page.mouse.move(from[0] + 40, from[1] + 26, { steps: 8 });
  await page.waitForTimeout(300);
  await save('page-motif');
  await page.keyboard.press('Escape');
  await page.mouse.up();
  await page.evaluate(() => globalThis.seamfast.choose(null));
  await page.locator('#fact-layout').click();
  await page.waitForTimeout(4000);
  await save('page-layouts');
  await page.locator('#layouts .head button').click();
  await page.getByRole('button', { name: 'Mill ticket' }).click();
  await page.getByRole('button', { name: 'Deliver', exact: true }).click();
  await page.getByText('delivered and proven').waitFor();
  await page.getByRole('button', { name: 'Linen tester' }).click();
  await page.waitForFunction(() => document.querySelector('#tester canvas').dataset.rest);
  await save('page-delivered');
});
