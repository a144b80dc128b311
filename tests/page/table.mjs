// What all tests of the page share: the program, a browser, and a hand.

import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium } from 'playwright-core';
import { PNG } from 'pngjs';

const HERE = import.meta.dirname;
export const PROGRAM = process.env.SEAMFAST ?? path.join(HERE, '../../target/release/seamfast');
export const MOTIFS = path.join(HERE, '../../motifs');
const CHROMIUM = '/usr/bin/chromium';
const FLAGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run', '--disable-quic'];

/** A new folder that is gone at the end of a test. */
export function folder(t) {
  const made = fs.mkdtempSync(path.join(os.tmpdir(), 'seamfast-page-'));
  t.after(() => fs.rmSync(made, { recursive: true, force: true }));
  return made;
}

/** Opens the page's server on a design, motifs or nothing, in a folder. */
export async function serve(t, cwd, ...inputs) {
  const server = spawn(PROGRAM, ['open', ...inputs, '--no-browser', '--json'], { cwd });
  t.after(() => server.kill('SIGKILL'));
  let said = '';
  let wrong = '';
  server.stderr.on('data', (text) => (wrong += text));
  for await (const text of server.stdout) {
    said += text;
    if (said.includes('\n')) break;
  }
  if (!said) throw new Error(`seamfast open said nothing: ${wrong}`);
  const { address, file } = JSON.parse(said);
  const [base, key] = address.split('/#');
  return { server, address, base, key, file };
}

/** Asks the server without a browser. */
export async function ask({ base, key }, method, where, body) {
  const headers = { 'x-seamfast-key': key };
  const answer = await fetch(base + where, { method, headers, body: typeof body === 'object' && !Buffer.isBuffer(body) ? JSON.stringify(body) : body });
  return answer.json();
}

/** Runs a command of the program; its JSON. */
export function run(cwd, ...words) {
  const done = spawnSync(PROGRAM, [...words, '--json'], { cwd, encoding: 'utf8' });
  if (done.status !== 0) throw new Error(`${words.join(' ')}: ${done.stderr}`);
  return JSON.parse(done.stdout);
}

/** A browser's page, with all that goes wrong in it written down. */
export async function look(t, address, { width = 1280, height = 800, dark = false, touch = false } = {}) {
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: FLAGS });
  t.after(() => browser.close());
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: dark ? 'dark' : 'light', hasTouch: touch, acceptDownloads: true, locale: 'en-US' });
  const page = await context.newPage();
  const wrong = [];
  page.on('console', (message) => wrong.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => wrong.push(`error: ${error.stack}`));
  page.on('request', (request) => {
    const { protocol, hostname } = new URL(request.url());
    if (protocol === 'http:' && hostname !== '127.0.0.1') wrong.push(`asked ${request.url()}`);
    if (!['http:', 'data:', 'blob:'].includes(protocol)) wrong.push(`asked ${request.url()}`);
  });
  if (process.env.WEB) await page.route(/\/([a-z]+\.(css|js))?$/, served);
  await page.goto(address);
  return { page, context, wrong };
}

/** With WEB=src/page/web the page's files come from there, to be tried without building. */
function served(route) {
  const name = new URL(route.request().url()).pathname.slice(1) || 'page.html';
  const types = { html: 'text/html', css: 'text/css', js: 'text/javascript' };
  return route.fulfill({ path: path.join(process.env.WEB, name), contentType: types[name.split('.')[1]] });
}

/** The pixels of the newest state are on the cloth. */
export async function rest(page) {
  await page.waitForFunction(() => {
    const { state, cloth, camera } = globalThis.seamfast ?? {};
    return state?.facts?.tile && cloth.canvas.dataset.rest === `${state.number}.${state.round} ${camera.zoom}` && !cloth.asked;
  }, null, { timeout: 30000 });
}

/** Where a place in print pixels is on the screen, in CSS pixels of the page. */
export const onScreen = (page, [x, y]) => page.evaluate(([x, y]) => {
  const box = document.getElementById('surface').getBoundingClientRect();
  const at = globalThis.seamfast.camera.toScreen([x, y]);
  return [box.left + at[0] / devicePixelRatio, box.top + at[1] / devicePixelRatio];
}, [x, y]);

export const state = (page) => page.evaluate(() => globalThis.seamfast.state);

/** Until the page's state has come to something. */
export const until = (page, what, timeout = 30000) => page.waitForFunction(what, null, { timeout });

export const png = (bytes) => PNG.sync.read(bytes);

/** Drops files on the cloth, as a drawing program or file manager would: names and what is in them. */
export const drop = (page, files, [x, y]) => page.evaluate(({ files, x, y }) => {
  const data = new DataTransfer();
  for (const [name, text] of files) data.items.add(new File([text], name));
  document.elementFromPoint(x, y).dispatchEvent(new DragEvent('drop', { dataTransfer: data, clientX: x, clientY: y, bubbles: true, cancelable: true }));
}, { files, x, y });
