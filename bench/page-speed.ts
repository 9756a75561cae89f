/** The workbench in a real browser: what it weighs, how soon it is there, and how it follows a drag. */
import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { ensurePage } from '../scripts/page.mjs';
import { checkCart, QUICK_PROOF } from '../src/analysis/index.js';
import {
  closeBrowser,
  EXAMPLES,
  openWorkbench,
  sharedBrowser,
} from '../test/page/open-workbench.js';
import { loadCart, requirementSetOf } from './load-cart.js';
import { median } from './table.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const BUILT = join(ROOT, 'dist', 'web');
const CLI = join(ROOT, 'dist', 'cli', 'main.js');

export interface PageWeight {
  /** kB as gzip: all that the first screen needs, scripts alone, and what 3D adds later */
  readonly first: number;
  readonly scripts: number;
  readonly later: number;
}

/** @throws Error when the page is not as the build leaves it */
export function pageWeight(): PageWeight {
  ensurePage();
  const html = readFileSync(join(BUILT, 'index.html'), 'utf8');
  const first = [...html.matchAll(/(?:src|href)="\.\/(assets\/[^"]+)"/g)].map((m) => m[1] ?? '');
  const kB = (name: string): number => gzipSync(readFileSync(join(BUILT, name))).length / 1000;
  const sum = (names: readonly string[]): number => names.reduce((all, name) => all + kB(name), 0);
  const scene = readdirSync(join(BUILT, 'assets')).filter((name) => /^scene-.*\.js$/.test(name));
  const scripts = first.filter((name) => name.endsWith('.js'));
  if (scripts.length === 0 || scene.length === 0) throw new Error('the built page has no scripts');
  return {
    first: sum(first),
    scripts: sum(scripts),
    later: sum(scene.map((name) => `assets/${name}`)),
  };
}

export interface ColdStart {
  /** ms from the command to the address, and from the command to a first screen that answers */
  readonly server: number;
  readonly usable: number;
}

const COLD_ROUNDS = 5;

/** The command started anew and the page in a browser that has never seen it. */
export async function coldStart(): Promise<ColdStart> {
  const rounds: ColdStart[] = [];
  for (let round = 0; round < COLD_ROUNDS; round++) rounds.push(await startedOnce());
  return {
    server: median(rounds.map(({ server }) => server)),
    usable: median(rounds.map(({ usable }) => usable)),
  };
}

async function startedOnce(): Promise<ColdStart> {
  const folder = mkdtempSync(join(tmpdir(), 'standstill-bench-'));
  const browser = await sharedBrowser();
  const began = performance.now();
  const child = spawn(process.execPath, [CLI, 'workbench', folder, '--no-open', '--port', '0']);
  try {
    const address = await addressFrom(child.stdout);
    const server = performance.now() - began;
    const context = await browser.newContext({ viewport: { width: 1440, height: 900 } });
    const page = await context.newPage();
    await page.goto(address);
    await page.getByRole('button', { name: 'New cart' }).click({ trial: true });
    const usable = performance.now() - began;
    await context.close();
    return { server, usable };
  } finally {
    const ended = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGINT');
    await ended;
    rmSync(folder, { recursive: true, force: true });
  }
}

function addressFrom(out: NodeJS.ReadableStream): Promise<string> {
  return new Promise((resolve, reject) => {
    let text = '';
    out.on('data', (chunk) => {
      text += String(chunk);
      const found = /http:\/\/\S+/.exec(text)?.[0];
      if (found !== undefined) resolve(found);
    });
    out.on('end', () => reject(new Error(`the command ended and gave no address: ${text}`)));
  });
}

export interface DragFigures {
  readonly file: string;
  readonly castors: number;
  /** ms between frames while a castor's place is dragged: median, 95 %, and frames a second */
  readonly frame: number;
  readonly slowFrame: number;
  readonly rate: number;
  /** ms from a change to every margin as found: median and 95 %, and how many a second */
  readonly found: number;
  readonly slowFound: number;
  readonly foundRate: number;
  /** ms from a change to the proven bounds of every finding, median over changes that stand still */
  readonly proof: number;
  /** of the findings that apply, those with a bound by then; the others get theirs by the closer proof */
  readonly bounded: string;
}

const DRAG = 3000; // ms
/** ms between moves of the pointer. */
const MOVE_EVERY = 8;
/** px to either side: 60 steps of 1 mm, so that nearly every frame has a step. */
const SWING = 240;
const STILLS = 7;

/** Every example: a castor's place dragged by its grip, then steps that stand still. */
export async function dragFigures(view: 'scene' | 'plan'): Promise<readonly DragFigures[]> {
  const files = readdirSync(EXAMPLES).filter((name) => name.endsWith('.cart.yaml'));
  const rows: DragFigures[] = [];
  for (const file of files) rows.push(await dragged(file, view));
  await closeBrowser();
  return rows;
}

async function dragged(file: string, view: 'scene' | 'plan'): Promise<DragFigures> {
  const lists = readdirSync(EXAMPLES).filter((name) => /-parts\.(csv|xlsx)$/.test(name));
  const workbench = await openWorkbench({ files: [file, ...lists], opened: file });
  const { page } = workbench;
  try {
    const describe = page.getByRole('region', { name: 'Describe', exact: true });
    await describe.getByRole('tab', { name: 'Castors' }).click();
    await describe.locator('[id="describe.castors.0"]').click();
    if (view === 'plan') await page.getByRole('button', { name: 'Plan and side' }).click();
    await page.waitForTimeout(1500);
    await page.evaluate(RECORD);
    await dragGrip(page);
    const { frames, found } = await taken(page);
    const proofs: number[] = [];
    const field = page.locator('[id="describe.castors.0.at.0"]');
    await field.focus();
    for (let k = 0; k < STILLS; k++) {
      await page.evaluate(RECORD);
      await page.keyboard.down('Alt');
      await page.keyboard.press(k % 2 === 0 ? 'ArrowUp' : 'ArrowDown');
      await page.evaluate(PROVEN);
      proofs.push((await taken(page)).proof[0] ?? Number.NaN);
      await page.keyboard.up('Alt');
      await page.waitForTimeout(600);
    }
    const castors = await describe.locator('select[aria-label^="Lock of"]').count();
    return {
      file: file.replace('.cart.yaml', ''),
      castors,
      frame: median(frames),
      slowFrame: high(frames),
      rate: (1000 * frames.length) / frames.reduce((sum, each) => sum + each, 0),
      found: median(found),
      slowFound: high(found),
      foundRate: (1000 * found.length) / DRAG,
      proof: median(proofs),
      bounded: await boundedSoon(join(EXAMPLES, file)),
    };
  } finally {
    await workbench.close();
  }
}

/** The first proof is cut off by its boxes and not by a clock, so it comes to the same here. */
async function boundedSoon(file: string): Promise<string> {
  const cart = await loadCart(file);
  const report = checkCart(cart, requirementSetOf(cart), { effort: QUICK_PROOF });
  const asked = report.findings.filter(({ applicability }) => applicability.applies);
  return `${asked.filter(({ proof }) => proof.kind === 'proven').length} of ${asked.length}`;
}

async function dragGrip(page: Page): Promise<void> {
  const grip = page.locator('[id="describe.castors.0.at.0"] + .describe-grip');
  const box = await grip.boundingBox();
  if (box === null) throw new Error('the grip of the place is not shown');
  const x = box.x + box.width / 2;
  const y = box.y + box.height / 2;
  await page.mouse.move(x, y);
  await page.mouse.down();
  const began = performance.now();
  for (let now = 0; now < DRAG; now = performance.now() - began) {
    // not waited for: a hand does not wait for the picture either
    void page.mouse.move(x + SWING * Math.sin(now / 500), y);
    await pause(MOVE_EVERY);
  }
  await page.mouse.move(x, y);
  await page.keyboard.press('Escape');
  await page.mouse.up();
}

function high(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(0.95 * (sorted.length - 1))] ?? Number.NaN;
}

interface Taken {
  readonly frames: number[];
  readonly found: number[];
  readonly proof: number[];
}

/** Run in the page, as text since a compiler's additions mean nothing there: frames by the browser's own
 * clock, answers by the marks that the page leaves on its timeline. */
const RECORD = `(() => {
  window.recorded?.stop();
  const taken = { frames: [], found: [], proof: [] };
  let last = 0;
  let runs = true;
  const frame = (now) => {
    if (!runs) return;
    if (last > 0) taken.frames.push(now - last);
    last = now;
    requestAnimationFrame(frame);
  };
  requestAnimationFrame(frame);
  const observer = new PerformanceObserver((list) => {
    for (const { name, duration } of list.getEntries()) {
      if (name === 'standstill: found') taken.found.push(duration);
      if (name === 'standstill: quick proof') taken.proof.push(duration);
    }
  });
  observer.observe({ entryTypes: ['measure'] });
  const stop = () => {
    runs = false;
    observer.disconnect();
  };
  window.recorded = { taken, stop };
})()`;

const TAKE = `(() => {
  window.recorded.stop();
  return window.recorded.taken;
})()`;

/** Waits until every finding has been through the first proof. */
const PROVEN = `new Promise((resolve) => {
  const look = () => (window.recorded.taken.proof.length > 0 ? resolve() : setTimeout(look, 20));
  look();
})`;

async function taken(page: Page): Promise<Taken> {
  return (await page.evaluate(TAKE)) as Taken;
}
