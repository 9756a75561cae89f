/** Saves through a server whose process is killed at random moments, again and again. */

import { spawn, spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { existsSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { Draft, SavedAnswer } from '../../src/server/index.js';
import { json, PAGE_FILES, send, temporaryFolder } from './running-server.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./server-child.mjs', import.meta.url));
const NAME = 'killed.cart.yaml';

/** ms after the first save that a server lives, at most: a few saves. */
const LONGEST_LIFE = 100;
/** characters: large enough to be written in several pieces */
const LONGEST_TEXT = 200_000;

export interface KilledSaves {
  readonly kills: number;
  /** in [0, 1) */
  readonly random: () => number;
}

export interface KilledSavesEnd {
  readonly saves: number;
  /** kills after which the file, or the draft, was neither the last text that was answered for nor the one
   * that was being saved */
  readonly torn: number;
  /** kills that left something half-written, which shows that they fell into a save */
  readonly midway: number;
}

/** Builds the server, and what it needs. @throws Error with what the compiler says */
export function buildServer(): void {
  const tsc = join(ROOT, 'node_modules/typescript/bin/tsc');
  const build = spawnSync(process.execPath, [tsc, '--build', 'src/server'], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  if (build.status !== 0) throw new Error(`tsc --build: ${build.stdout}${build.stderr}`);
}

/** A text as it was answered for, and the one asked to be saved after it. */
interface Texts {
  kept: string | null;
  next: string | null;
}

/** The server must be built. */
export async function killedSaves({ kills, random }: KilledSaves): Promise<KilledSavesEnd> {
  const [folder, page] = [temporaryFolder(), temporaryFolder(PAGE_FILES)];
  const [cart, draft]: Texts[] = [
    { kept: null, next: null },
    { kept: null, next: null },
  ];
  const end = { saves: 0, torn: 0, midway: 0 };
  try {
    for (let kill = 0; kill < kills; kill += 1) {
      end.saves += await startedAndKilled({ folder, page, random }, cart as Texts, draft as Texts);
      const found = [cartOnDisk(folder), draftOnDisk(folder)];
      for (const [i, texts] of [cart, draft].entries()) {
        const now = found[i] ?? null;
        if (now !== texts?.kept && now !== texts?.next) end.torn += 1;
        if (texts) texts.kept = now;
      }
      if (readdirSync(folder).some((name) => name.endsWith('.half-written'))) end.midway += 1;
      for (const name of readdirSync(folder)) {
        if (name.endsWith('.half-written')) rmSync(join(folder, name));
      }
    }
    return end;
  } finally {
    for (const each of [folder, page]) rmSync(each, { recursive: true });
  }
}

interface Life {
  readonly folder: string;
  readonly page: string;
  readonly random: () => number;
}

/** @returns saves that were answered for */
async function startedAndKilled(life: Life, cart: Texts, draft: Texts): Promise<number> {
  const child = spawn(process.execPath, [CHILD, life.folder, life.page], {
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  const [line] = (await once(child.stdout, 'data')) as [Buffer];
  const ask = await letIn(String(line).trim());
  const ended = once(child, 'exit');
  const saves = Promise.all([savesOf(cart, life, ask), draftsOf(draft, life, ask)]);
  await pause(life.random() * LONGEST_LIFE);
  child.kill('SIGKILL');
  await ended;
  const [ofCart, ofDraft] = await saves;
  return ofCart + ofDraft;
}

type Ask = (path: string, body: object) => Promise<SavedAnswer | null>;

async function letIn(address: string): Promise<Ask> {
  const { port, search } = new URL(address);
  const welcome = await send(Number(port), 'GET', `/${search}`);
  const headers = {
    cookie: welcome.headers['set-cookie']?.[0]?.split(';')[0] ?? '',
    'content-type': 'application/json',
    'standstill-workbench': '1',
  };
  return async (path, body) => {
    try {
      const answer = await send(Number(port), 'PUT', path, headers, JSON.stringify(body));
      if (answer.status !== 200) throw new Error(`${answer.status} ${answer.text}`);
      return json<SavedAnswer>(answer);
    } catch (error) {
      if (error instanceof Error && 'code' in error) return null;
      throw error;
    }
  };
}

/** Saves one text after the other until the server is gone. */
async function savesOf(texts: Texts, { folder, random }: Life, ask: Ask): Promise<number> {
  const onDisk = texts.kept === null ? null : readFileSync(join(folder, NAME));
  let base = onDisk && createHash('sha256').update(onDisk).digest('hex');
  for (let saves = 0; ; saves += 1) {
    texts.next = someText(random);
    const answer = await ask('/api/cart', { name: NAME, text: texts.next, base });
    if (answer === null) return saves;
    base = answer.version;
    texts.kept = texts.next;
  }
}

async function draftsOf(texts: Texts, { random }: Life, ask: Ask): Promise<number> {
  for (let saves = 0; ; saves += 1) {
    texts.next = someText(random);
    const answer = await ask('/api/draft', { name: NAME, text: texts.next, base: null });
    if (answer === null) return saves;
    texts.kept = texts.next;
  }
}

/** Of a length and of letters of its own, so that pieces of two are never one. */
function someText(random: () => number): string {
  const letter = String.fromCharCode(0x61 + Math.floor(random() * 26));
  return `${random()}\n${letter.repeat(1 + Math.floor(random() * LONGEST_TEXT))}\n`;
}

function cartOnDisk(folder: string): string | null {
  const path = join(folder, NAME);
  return existsSync(path) ? readFileSync(path, 'utf8') : null;
}

function draftOnDisk(folder: string): string | null {
  const path = join(folder, '.standstill-drafts', `${NAME}.draft.json`);
  return existsSync(path) ? (JSON.parse(readFileSync(path, 'utf8')) as Draft).text : null;
}
