/**
 * Test records whose processes are killed at random moments, again and again: while they write, back up,
 * migrate and restore. After each kill everything that was acknowledged is looked for.
 */

import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { RecordStore } from '../../src/record-store/index.js';
import { openRecords, readArchiveFile, writeArchiveFile } from '../../src/record-store/index.js';
import { openRecordsInForm } from '../../src/record-store/open-records.js';
import { RECORD_MIGRATIONS } from '../../src/record-store/record-migrations.js';
import type { PrivatePostgres } from '../database/private-postgres.js';
import { contentsOf } from './filled-store.js';
import { FORM_TO_COME } from './form-to-come.mjs';
import { entryWriter } from './sample-entries.js';
import { rawSqlite } from './sqlite-place.js';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const CHILD = fileURLToPath(new URL('./record-child.mjs', import.meta.url));

/** ms after a process has begun that it lives, at most */
const LONGEST_LIFE = { write: 300, backup: 60, migrate: 350, restore: 150 };
/** One place; then a new one is begun, lest looking at it takes longer than writing it. */
const KILLS_A_PLACE = 12;

export interface KilledRecords {
  readonly kills: number;
  /** in [0, 1) */
  readonly random: () => number;
  /** where the records are kept; null: SQLite files */
  readonly server: PrivatePostgres | null;
}

export interface KilledRecordsEnd {
  /** by what was going on */
  readonly kills: Record<keyof typeof LONGEST_LIFE, number>;
  /** entries and files that a process was told are kept */
  readonly acknowledged: number;
  /** of those, not there or not the same after a kill */
  readonly lost: number;
  /** chains, databases, archives and copies that were not whole */
  readonly broken: readonly string[];
  /** kills that left something half-written beside, or a restore or migration that had not ended */
  readonly midway: number;
  /** times the database server was killed */
  readonly crashes: number;
}

/** Builds what the killed processes run. @throws Error with what the compiler says */
export function buildRecordStore(): void {
  const tsc = join(ROOT, 'node_modules/typescript/bin/tsc');
  const build = spawnSync(process.execPath, [tsc, '--build', 'src/record-store'], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  if (build.status !== 0) throw new Error(`tsc --build: ${build.stdout}${build.stderr}`);
}

type Counting = { -readonly [K in keyof KilledRecordsEnd]: KilledRecordsEnd[K] } & {
  broken: string[];
};

interface Scene {
  readonly folder: string;
  readonly place: string;
  readonly project: string;
  readonly random: () => number;
  readonly server: PrivatePostgres | null;
  readonly end: Counting;
  /** hash by id of entries, and of files by themselves */
  readonly kept: Map<string, string>;
}

const clock = { now: () => new Date().toISOString() };

/** The record store must be built. */
export async function killedRecords({
  kills,
  random,
  server,
}: KilledRecords): Promise<KilledRecordsEnd> {
  const end: Counting = {
    ...{ kills: { write: 0, backup: 0, migrate: 0, restore: 0 }, acknowledged: 0, lost: 0 },
    ...{ broken: [], midway: 0, crashes: 0 },
  };
  for (let from = 0; from < kills; from += KILLS_A_PLACE) {
    const folder = mkdtempSync(join(tmpdir(), 'standstill-record-kills-'));
    try {
      const place = await newPlace(folder, server, `kills_${from}`);
      const project = await begunProject(place, random);
      const scene = { folder, place, project, random, server, end, kept: new Map() };
      const count = Math.min(KILLS_A_PLACE, kills - from);
      for (let kill = 0; kill < count; kill += 1) await oneKill(scene, kill);
    } finally {
      rmSync(folder, { recursive: true });
    }
  }
  return end;
}

async function newPlace(
  folder: string,
  server: PrivatePostgres | null,
  name: string,
): Promise<string> {
  return server === null ? join(folder, `${name}.sqlite`) : server.createDatabase(name);
}

async function begunProject(place: string, random: () => number): Promise<string> {
  const project = entryWriter(random).project();
  await using(place, (store) => store.submit([project]));
  return project.id;
}

async function using<T>(place: string, use: (store: RecordStore) => Promise<T>): Promise<T> {
  const store = await openRecords(place, clock);
  try {
    return await use(store);
  } finally {
    await store.close();
  }
}

/** Two thirds while writing; a copied file is migrated, and a new place restored into. */
async function oneKill(scene: Scene, kill: number): Promise<void> {
  const { random, end, server } = scene;
  const others =
    server === null ? (['backup', 'migrate', 'restore'] as const) : (['restore'] as const);
  const other = others[Math.floor(random() * others.length)];
  const mode = kill % 3 < 2 || other === undefined ? 'write' : other;
  end.kills[mode] += 1;
  if (mode === 'write') await killedWriting(scene);
  else if (mode === 'backup') await killedBackup(scene);
  else if (mode === 'migrate') await killedMigration(scene, kill);
  else await killedRestore(scene, kill);
  await checkPlace(scene);
}

/** One process, or two on the same project, and the database server too at times. */
async function killedWriting(scene: Scene): Promise<void> {
  const { place, project, random, server, end, kept } = scene;
  const processes = random() < 0.5 ? 1 : 2;
  const crashes = server !== null && random() < 0.25;
  const lives = Array.from({ length: processes }, () =>
    killedChild(['write', place, project], scene),
  );
  if (crashes) {
    await pause(200 + 2 * LONGEST_LIFE.write * random());
    await server.crash();
    end.crashes += 1;
  }
  const lines = (await Promise.all(lives)).flat();
  if (crashes) await server.start();
  for (const line of lines) {
    const [what, id = '', hash = ''] = line.split(' ');
    if (what === 'entry') kept.set(id, hash);
    if (what === 'file') kept.set(id, id);
    if (what === 'entry' || what === 'file') end.acknowledged += 1;
  }
}

/** Whatever was backed up last is whole, and no older than what was acknowledged. */
async function killedBackup(scene: Scene): Promise<void> {
  const { folder, place, end } = scene;
  const archive = join(folder, 'backup.archive');
  const lines = await killedChild(['backup', place, archive], scene);
  sweep(folder, end);
  const finished = lines.some((line) => line.startsWith('backup'));
  if (!existsSync(archive)) {
    if (finished) end.broken.push('a backup that was answered for is not there');
    return;
  }
  const copy = join(folder, `read-back-${end.kills.backup}.sqlite`);
  const same = await using(copy, async (store) => {
    await readArchiveFile(store, archive);
    return !finished || (await sameContents(store, place));
  }).catch((error: unknown) => String(error));
  if (same !== true) end.broken.push(`a backup: ${same}`);
}

async function sameContents(store: RecordStore, place: string): Promise<boolean> {
  const there = await using(place, contentsOf);
  return JSON.stringify(await contentsOf(store)) === JSON.stringify(there);
}

/** The file is in the one form or the other, with all that was in it; the copy beside it, too. */
async function killedMigration(scene: Scene, kill: number): Promise<void> {
  const { folder, place, end } = scene;
  const file = join(folder, `migrated-${kill}.sqlite`);
  rawSqlite(place, `vacuum into '${file}'`);
  const lines = await killedChild(['migrate', file], scene);
  sweep(folder, end);
  if (!lines.includes('migrated')) end.midway += 1;
  const forms = [RECORD_MIGRATIONS, [...RECORD_MIGRATIONS, FORM_TO_COME]];
  const form = Number(hasColumn(file, 'place'));
  const copies = readdirSync(folder).filter((name) =>
    /^migrated-\d+\.form-1\..*sqlite$/.test(name),
  );
  for (const [name, migrations] of [
    [file, forms[form]],
    ...copies.map((copy) => [join(folder, copy), RECORD_MIGRATIONS] as const),
  ] as const) {
    const store = await openRecordsInForm(name, migrations ?? [], clock);
    if (!(await sameContents(store, place))) end.broken.push(`a migration: ${name}`);
    await store.close();
    if (!isSound(name)) end.broken.push(`integrity: ${name}`);
    for (const tail of ['', '-wal', '-shm']) rmSync(`${name}${tail}`, { force: true });
  }
}

function hasColumn(file: string, column: string): boolean {
  const found = `select 1 from pragma_table_info('entry') where name = '${column}'`;
  return rawSqlite(file, found).length > 0;
}

/** A project is there as a whole or not at all; read again, everything is. */
async function killedRestore(scene: Scene, kill: number): Promise<void> {
  const { folder, place, project, server, end } = scene;
  const archive = join(folder, 'restore.archive');
  await using(place, (store) => writeArchiveFile(store, archive, null));
  const target = await newPlace(folder, server, `restored_${end.kills.restore}_${kill}`);
  const lines = await killedChild(['restore', target, archive], scene);
  if (!lines.includes('restored')) end.midway += 1;
  await using(target, async (store) => {
    const [before, there] = await Promise.all([store, place].map((each) => countOf(each, project)));
    if (before !== 0 && before !== there) end.broken.push(`a restore: ${before} of ${there}`);
    await readArchiveFile(store, archive);
    if (!(await sameContents(store, place))) end.broken.push('a restore that was done again');
  });
}

async function countOf(place: RecordStore | string, project: string): Promise<number> {
  if (typeof place === 'string') return using(place, (store) => countOf(store, project));
  return (await place.entries(project)).length;
}

/** Everything that was ever acknowledged is there, and all of it is whole. */
async function checkPlace({ place, project, server, end, kept }: Scene): Promise<void> {
  await using(place, async (store) => {
    const { chain, files } = await store.verify(project);
    if (chain.kind === 'broken') end.broken.push(chain.reason);
    end.broken.push(...files.broken);
    const there = new Map((await store.entries(project)).map(({ id, hash }) => [id, hash]));
    const names = [...kept].filter(([id, hash]) => id === hash).map(([id]) => id);
    const missing = new Set(await store.missingFiles(names));
    for (const [id, hash] of kept) {
      const isThere = id === hash ? !missing.has(id) : there.get(id) === hash;
      if (!isThere) end.lost += 1;
    }
  });
  if (server === null && !isSound(place)) end.broken.push(`integrity: ${place}`);
}

function isSound(file: string): boolean {
  const [row] = rawSqlite(file, 'pragma integrity_check') as { readonly integrity_check: string }[];
  return row?.integrity_check === 'ok';
}

/** What a killed process left half-written, which shows that it was killed in the middle. */
function sweep(folder: string, end: Counting): void {
  const left = readdirSync(folder).filter((name) => name.endsWith('.half-written'));
  for (const name of left) rmSync(join(folder, name));
  if (left.length > 0) end.midway += 1;
}

/** @returns the lines of the process, all that it wrote whole
 * @throws Error when it ends by itself with anything but success, unless its server was killed */
async function killedChild(args: readonly string[], { random, server }: Scene): Promise<string[]> {
  const child = spawn(process.execPath, [CHILD, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  let [said, errors, isKilled, hasBegun] = ['', '', false, false];
  child.stderr.on('data', (data) => {
    errors += String(data);
  });
  child.stdout.on('data', (data) => {
    said += String(data);
    if (hasBegun) return;
    hasBegun = true;
    const life = LONGEST_LIFE[args[0] as keyof typeof LONGEST_LIFE];
    void pause(random() * life).then(() => {
      isKilled = true;
      child.kill('SIGKILL');
    });
  });
  const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
  if (!isKilled && code !== 0 && server === null)
    throw new Error(`it ended with ${code}: ${errors}`);
  return said.split('\n').slice(0, -1);
}
