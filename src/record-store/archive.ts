/**
 * Archives: a whole project, or everything, as one file. Backup and restore, export and import are one
 * format (`archive-lines.ts`), so that what was kept in SQLite can go into PostgreSQL and back. The same
 * content gives the same bytes.
 */

import { createHash } from 'node:crypto';
import type { Writable } from 'node:stream';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { attachmentsOf, chainCheck } from '../test-record/index.js';
import type { ArchiveCount, ProjectHead } from './archive-lines.js';
import { ARCHIVE_FORMAT, ARCHIVE_VERSION } from './archive-lines.js';
import type { ProjectSummary, RecordStore } from './record-store.js';
import { RecordStoreError } from './record-store.js';

/** Entries and names read at once; memory stays flat. */
const PAGE = 25;
const NAMES = 1000;

/** Of gzip. Photos in base64 lose the quarter that base64 added at any level; at 6, the usual one, it takes
 * twice as long. */
const LEVEL = 3;

/**
 * Writes everything (project null) or one project, and ends the sink. What others write meanwhile is not in
 * it. Memory holds one file, or some entries. What is not whole is not written: an archive that could not be
 * read again is none.
 *
 * @throws RecordStoreError, whereupon the sink has no end that would make it an archive
 */
export async function writeArchive(
  store: RecordStore,
  sink: Writable,
  project: string | null,
): Promise<ArchiveCount> {
  const kept = await store.projects();
  const projects = project === null ? kept : kept.filter(({ id }) => id === project);
  if (project !== null && projects.length === 0) {
    throw new RecordStoreError('no project', `${store.place}: holds no project ${project}`);
  }
  const count = { projects: projects.length, entries: 0, files: 0, bytes: 0 };
  const lines = archiveLines(store, projects, project, count);
  await pipeline(Readable.from(lines), createGzip({ level: LEVEL }), sink);
  return count;
}

type Counting = { -readonly [K in keyof ArchiveCount]: ArchiveCount[K] };

/** @param count is counted up */
async function* archiveLines(
  store: RecordStore,
  projects: readonly ProjectSummary[],
  project: string | null,
  count: Counting,
): AsyncGenerator<string> {
  const digest = createHash('sha256');
  const line = (value: unknown): string => {
    const text = `${JSON.stringify(value)}\n`;
    digest.update(text);
    return text;
  };
  const heads = projects.map(({ id, entries, head }): ProjectHead => ({ id, entries, head }));
  yield line({ format: ARCHIVE_FORMAT, version: ARCHIVE_VERSION, projects: heads });
  const hashes = project === null ? allFiles(store) : filesOf(store, projects);
  for await (const hash of hashes) {
    const { media, bytes } = await wholeFile(store, hash);
    count.files += 1;
    count.bytes += bytes.length;
    yield line({ kind: 'file', hash, media, bytes: Buffer.from(bytes).toString('base64') });
  }
  for (const each of projects) {
    for await (const entry of entriesOf(store, each)) {
      count.entries += 1;
      yield line({ kind: 'entry', entry });
    }
  }
  yield `${JSON.stringify({ kind: 'end', ...count, digest: digest.digest('hex') })}\n`;
}

async function wholeFile(store: RecordStore, hash: string) {
  const file = await store.file(hash);
  if (file !== null) return file;
  throw new RecordStoreError(
    'broken record',
    `${store.place}: the file ${hash}, which an entry names, is not there`,
  );
}

/** Those that no entry names yet too: their entries may be on their way. */
async function* allFiles(store: RecordStore): AsyncGenerator<string> {
  for (let after = ''; ; ) {
    const page = await store.fileHashes(after, NAMES);
    yield* page;
    const last = page.at(-1);
    if (last === undefined || page.length < NAMES) return;
    after = last;
  }
}

async function* filesOf(
  store: RecordStore,
  projects: readonly ProjectSummary[],
): AsyncGenerator<string> {
  const named = new Set<string>();
  for (const project of projects) {
    for await (const entry of entriesOf(store, project)) {
      for (const hash of attachmentsOf(entry)) named.add(hash);
    }
  }
  yield* [...named].sort();
}

/** Up to the head, and through it: entries are only ever added, so this is the project as it was then. */
async function* entriesOf(store: RecordStore, { id, entries, head }: ProjectSummary) {
  const check = chainCheck({ sequence: entries, hash: head });
  for (let after = 0; after < entries; after += PAGE) {
    const page = await store.entries(id, after, Math.min(PAGE, entries - after));
    for (const entry of page) {
      const broken = check.next(entry);
      if (broken !== null) throw brokenChain(store, id, broken.reason);
      yield entry;
    }
  }
  const end = check.end();
  if (end.kind === 'broken') throw brokenChain(store, id, end.reason);
}

function brokenChain({ place }: RecordStore, id: string, reason: string): RecordStoreError {
  return new RecordStoreError('broken record', `${place}: project ${id}: ${reason}`);
}
