/**
 * Test records: entries a second beside bare commits of the same database, opening and verifying a long
 * project, and archives: time, and peak memory as files grow in number.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Database from 'libsql';
import pg from 'pg';
import type { RecordStore } from '../src/record-store/index.js';
import { openRecords } from '../src/record-store/index.js';
import type { KeptEntry, NewEntry } from '../src/test-record/index.js';
import { canonicalJson, chained, projectState } from '../src/test-record/index.js';
import { startPrivatePostgres } from '../test/database/private-postgres.js';
import { entryWriter, photo } from '../test/record-store/sample-entries.js';
import { seededRandom } from '../test/reference/random.js';
import { median } from './table.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const NOW = { now: () => '2026-11-25T09:31:07.250Z' };

/** Of a note with some lines, as testers write them. */
const TEXT = 'Castor front left swivels freely, lock holds at the second click.\n'.repeat(8);

export interface RecordRates {
  readonly database: RecordStore['kind'];
  /** a second; medians of the rounds */
  readonly entries: number;
  /** commits of one row with the same text by the driver alone, a second */
  readonly bare: number;
}

export interface LongProject {
  readonly database: RecordStore['kind'];
  readonly entries: number;
  /** ms: taken over from an archive; the store opened; all entries read and the project worked out; the
   * first entry sent, which the store has to do the same for; the next one; verified */
  readonly adopt: number;
  readonly open: number;
  readonly read: number;
  readonly first: number;
  readonly next: number;
  readonly verify: number;
}

export interface ArchiveFigures {
  readonly files: number;
  /** MB, of the archive */
  readonly size: number;
  /** s */
  readonly write: number;
  readonly read: number;
  /** MB, peak of the process */
  readonly writeMemory: number;
  readonly readMemory: number;
}

export interface RecordFigures {
  readonly rates: readonly RecordRates[];
  readonly long: readonly LongProject[];
  readonly archives: readonly ArchiveFigures[];
}

const ROUNDS = 5;
const ENTRIES_A_ROUND = 60;
const LONG = 10_000;

/** A database, and a way to commit one row to it that knows nothing of records. */
interface Bench {
  readonly place: string;
  readonly bareCommit: (text: string) => Promise<void>;
  readonly close: () => Promise<void>;
}

export async function recordFigures(progress: (text: string) => void): Promise<RecordFigures> {
  const folder = mkdtempSync(join(tmpdir(), 'standstill-bench-'));
  // as in earnest: every commit reaches the disk
  const server = await startPrivatePostgres({ durable: true });
  try {
    const benches = [
      sqliteBench(folder),
      await postgresBench(await server.createDatabase('bench')),
    ];
    const rates: RecordRates[] = [];
    const long: LongProject[] = [];
    for (const bench of benches) {
      progress(`records: ${bench.place}`);
      rates.push(await ratesOf(bench));
      long.push(await longProject(bench));
      await bench.close();
    }
    const archives: ArchiveFigures[] = [];
    for (const files of [20, 200, 800]) {
      progress(`records: archive of ${files} files`);
      archives.push(await archiveFigures(folder, files));
    }
    return { rates, long, archives };
  } finally {
    await server.remove();
    rmSync(folder, { recursive: true });
  }
}

function sqliteBench(folder: string): Bench {
  const database = new Database(join(folder, 'bare.sqlite'));
  database.exec('pragma journal_mode = wal');
  database.exec('pragma synchronous = full');
  database.exec('create table bare (id integer primary key, text text)');
  const insert = database.prepare('insert into bare (text) values (?)');
  return {
    place: join(folder, 'records.sqlite'),
    bareCommit: async (text) => {
      insert.run(text);
    },
    close: async () => {
      database.close();
    },
  };
}

async function postgresBench(url: string): Promise<Bench> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query('create table bare (id serial primary key, text text)');
  return {
    place: url,
    bareCommit: async (text) => {
      await client.query('insert into bare (text) values ($1)', [text]);
    },
    close: () => client.end(),
  };
}

/** Entries and bare commits by turns. */
async function ratesOf({ place, bareCommit }: Bench): Promise<RecordRates> {
  const writer = entryWriter(seededRandom(1));
  const store = await openRecords(place, NOW);
  const project = writer.project('Rates');
  await submitted(store, project);
  const [entries, bare]: number[][] = [[], []];
  for (let round = 0; round < ROUNDS; round += 1) {
    const notes = Array.from({ length: ENTRIES_A_ROUND }, () => writer.note(project.id, TEXT));
    const texts = notes.map(canonicalJson);
    entries?.push(await each(notes, (note) => submitted(store, note)));
    bare?.push(await each(texts, bareCommit));
  }
  await store.close();
  return { database: store.kind, entries: median(entries ?? []), bare: median(bare ?? []) };
}

/** @returns how many a second */
async function each<T>(items: readonly T[], act: (item: T) => Promise<void>): Promise<number> {
  const time = await msOf(async () => {
    for (const item of items) await act(item);
  });
  return (items.length * 1000) / time;
}

async function submitted(store: RecordStore, entry: NewEntry): Promise<void> {
  const [outcome] = await store.submit([entry]);
  if (outcome?.kind !== 'kept') throw new Error(JSON.stringify(outcome));
}

async function msOf(act: () => Promise<unknown>): Promise<number> {
  const start = performance.now();
  await act();
  return performance.now() - start;
}

async function longProject({ place }: Bench): Promise<LongProject> {
  const writer = entryWriter(seededRandom(2));
  const { id, entries } = longChain(writer);
  const filling = await openRecords(place, NOW);
  const adopt = await msOf(() => filling.adopt(id, oneByOne(entries)));
  await filling.close();
  const opening = performance.now();
  const store = await openRecords(place, NOW);
  const open = performance.now() - opening;
  const read = await msOf(async () => projectState(await store.entries(id)));
  const first = await msOf(() => submitted(store, writer.note(id, TEXT)));
  const next = await msOf(() => submitted(store, writer.note(id, TEXT)));
  const verify = await msOf(() => store.verify(id));
  await store.close();
  return { database: store.kind, entries: LONG, adopt, open, read, first, next, verify };
}

function longChain(writer: ReturnType<typeof entryWriter>) {
  const project = writer.project('Long');
  const entries: KeptEntry[] = [chained(project, null, NOW.now())];
  while (entries.length < LONG) {
    const note = writer.note(project.id, TEXT);
    entries.push(chained(note, entries.at(-1) ?? null, NOW.now()));
  }
  return { id: project.id, entries };
}

async function* oneByOne(entries: readonly KeptEntry[]): AsyncGenerator<KeptEntry> {
  yield* entries;
}

/** Photos of 1 MB, one a note. */
async function archiveFigures(folder: string, files: number): Promise<ArchiveFigures> {
  const [place, copy] = [
    join(folder, `with-${files}.sqlite`),
    join(folder, `read-${files}.sqlite`),
  ];
  const archive = join(folder, `with-${files}.archive`);
  const random = seededRandom(files);
  const writer = entryWriter(random);
  const store = await openRecords(place, NOW);
  const project = writer.project('Photos');
  await submitted(store, project);
  const { bytes } = photo(random, 1_000_000);
  for (let i = 0; i < files; i += 1) {
    new DataView(bytes.buffer).setUint32(0, i);
    const hash = await store.putFile(bytes, 'image/jpeg');
    const attachment = { hash, name: 'castor.jpg', media: 'image/jpeg', bytes: bytes.length };
    await submitted(store, writer.note(project.id, TEXT, [attachment]));
  }
  await store.close();
  const written = childRun(['write', place, archive], folder);
  const read = childRun(['read', copy, archive], folder);
  const size = statSync(archive).size / 1e6;
  for (const file of [place, copy, archive]) rmSync(file);
  return {
    files,
    size,
    write: written.time / 1000,
    read: read.time / 1000,
    writeMemory: written.memory,
    readMemory: read.memory,
  };
}

/** @returns ms, MB */
function childRun(args: readonly string[], folder: string) {
  const note = join(folder, 'peak');
  const preload = new URL('./peak-memory.mjs', import.meta.url).href;
  const script = join(ROOT, 'bench', 'record-run.mjs');
  const env = { ...process.env, PEAK_MEMORY_FILE: note };
  const child = spawnSync(process.execPath, ['--import', preload, script, ...args], {
    encoding: 'utf8',
    env,
  });
  if (child.status !== 0) throw new Error(`record-run ${args.join(' ')}: ${child.stderr}`);
  return { time: Number(child.stdout), memory: Number(readFileSync(note, 'utf8')) / 1024 };
}
