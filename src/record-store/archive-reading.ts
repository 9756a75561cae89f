/** Reading an archive into a store: once to see that all of it is right, once to keep it. */

import type { Readable } from 'node:stream';
import type { KeptEntry } from '../test-record/index.js';
import { attachmentsOf, chainCheck, isContent, readEntry } from '../test-record/index.js';
import { parted } from './adoption.js';
import type { ArchiveCount, ArchiveLimits, ArchivePart, ProjectHead } from './archive-lines.js';
import { archiveParts, brokenArchive } from './archive-lines.js';
import { fileHash } from './entry-row.js';
import { fileProblem } from './file-queries.js';
import type { RecordStore } from './record-store.js';

/** What is in the archive, and what of it was not here before. */
export interface ArchiveRead extends ArchiveCount {
  readonly added: ArchiveCount;
}

export interface ArchiveOptions {
  /** for messages; default 'the archive' */
  readonly name?: string;
  readonly limits?: ArchiveLimits;
  /** what `verifyArchive` found a moment ago: it is not verified again before it is kept */
  readonly verified?: ArchiveCount;
}

/**
 * Reads an archive into a store, entries as they were: sequence, times and hashes. A project that is there
 * already is taken further where its entries are the beginning of the archive's, and left as it is where it
 * is further on itself; where the two part, the archive is refused.
 *
 * All of it is verified first (digest, chains, shapes of entries, contents of files), and only then kept:
 * files one by one, each project in one transaction. Where the second reading is cut short, whole projects
 * are there, and reading the archive again goes on from there.
 *
 * @param source called twice
 * @throws RecordStoreError
 */
export async function readArchive(
  store: RecordStore,
  source: () => Readable,
  { name = 'the archive', limits = {}, verified }: ArchiveOptions = {},
): Promise<ArchiveRead> {
  const count = verified ?? (await walk(source(), name, limits, verifying(store, name)));
  const added = { projects: 0, entries: 0, files: 0, bytes: 0 };
  await walk(source(), name, limits, keeping(store, name, added));
  return { ...count, added };
}

/**
 * Verifies an archive for a place that is not there yet, so that a broken one leaves no place behind.
 *
 * @throws RecordStoreError
 */
export async function verifyArchive(
  source: Readable,
  { name = 'the archive', limits = {} }: ArchiveOptions = {},
): Promise<ArchiveCount> {
  return walk(source, name, limits, verifying(null, name));
}

interface Taking {
  readonly file: (file: Extract<ArchivePart, { readonly kind: 'file' }>) => Promise<void>;
  readonly project: (head: ProjectHead, entries: AsyncIterable<unknown>) => Promise<void>;
}

/** Files, then projects in the order of the heading. */
async function walk(
  source: Readable,
  name: string,
  limits: ArchiveLimits,
  taking: Taking,
): Promise<ArchiveCount> {
  const parts = archiveParts(source, name, limits);
  const next = async (): Promise<ArchivePart> => {
    const { value, done } = await parts.next();
    if (done === true) throw brokenArchive(name, 'it ends before its last line');
    return value;
  };
  try {
    const heading = await next();
    if (heading.kind !== 'heading') throw brokenArchive(name, 'it has no heading');
    const counted = { projects: heading.projects.length, entries: 0, files: 0, bytes: 0 };
    let part = await next();
    for (; part.kind === 'file'; part = await next()) {
      counted.files += 1;
      counted.bytes += part.bytes.length;
      await taking.file(part);
    }
    for (const head of heading.projects) {
      await taking.project(head, entriesFrom(head));
      counted.entries += head.entries;
    }
    await endsWith(counted);
    return counted;

    /** Those of one project; then `part` is what comes after them. */
    async function* entriesFrom({ id, entries }: ProjectHead): AsyncGenerator<unknown> {
      for (let i = 0; i < entries; i += 1) {
        if (part.kind !== 'entry') {
          throw brokenArchive(name, `project ${id} has ${i} of ${entries} entries`);
        }
        yield part.entry;
        part = await next();
      }
    }
    async function endsWith(count: ArchiveCount): Promise<void> {
      if (part.kind !== 'end') throw brokenArchive(name, 'it holds more than its heading says');
      const said = part.count;
      const keys = ['projects', 'entries', 'files', 'bytes'] as const;
      const other = keys.find((key) => said[key] !== count[key]);
      if (other !== undefined) {
        throw brokenArchive(name, `its end counts ${said[other]} ${other}, it has ${count[other]}`);
      }
      // lines after its end are refused there
      await parts.next();
    }
  } finally {
    await parts.return(undefined);
  }
}

/** Looks at everything, keeps nothing. @param store null: it will be kept where nothing is yet */
function verifying(store: RecordStore | null, name: string): Taking {
  const files = new Set<string>();
  const projects = new Set<string>();
  return {
    file: async ({ hash, media, bytes }) => {
      const problem = fileProblem(bytes, media);
      if (problem !== null) throw brokenArchive(name, `the file ${hash}: ${problem}`);
      if (files.has(hash)) throw brokenArchive(name, `the file ${hash} stands in it twice`);
      if (fileHash(bytes) !== hash) {
        throw brokenArchive(name, `the file ${hash} has other bytes than its hash says`);
      }
      files.add(hash);
    },
    project: async (head, entries) => {
      if (projects.has(head.id)) throw brokenArchive(name, `project ${head.id} is in it twice`);
      projects.add(head.id);
      const meeting = store && (await meetingPoint(store, head));
      for await (const entry of checkedEntries(name, head, entries)) {
        const missing = attachmentsOf(entry).find((hash) => !files.has(hash));
        if (missing !== undefined) {
          throw brokenArchive(
            name,
            `${entryName(entry)} names the file ${missing}, which is not in it`,
          );
        }
        if (store && entry.sequence === meeting?.sequence && entry.hash !== meeting.hash) {
          throw parted(store.place, head.id);
        }
      }
    },
  };
}

/** The last entry that both have, as it is here; null: the project is not here. */
async function meetingPoint(store: RecordStore, head: ProjectHead): Promise<KeptEntry | null> {
  const kept = (await store.projects()).find(({ id }) => id === head.id);
  if (kept === undefined) return null;
  const [entry] = await store.entries(head.id, Math.min(kept.entries, head.entries) - 1, 1);
  return entry ?? null;
}

/** In their order, each checked for shape, chain and place in its record. @throws RecordStoreError */
async function* checkedEntries(
  name: string,
  { id, entries, head }: ProjectHead,
  found: AsyncIterable<unknown>,
): AsyncGenerator<KeptEntry> {
  const check = chainCheck({ sequence: entries, hash: head });
  const records = new Map<string, { readonly newest: string; readonly kind: string }>();
  for await (const json of found) {
    const entry = entryIn(json, name, id);
    const broken = check.next(entry);
    if (broken !== null) throw brokenArchive(name, `project ${id}: ${broken.reason}`);
    const { subject, base, body } = entry;
    const record = records.get(subject);
    const begins = base === null && entry.id === subject && isContent(body);
    const isFirst = entry.sequence > 1 || (entry.id === id && body.kind === 'project');
    const follows = record === undefined ? begins : base === record.newest;
    const kind = isContent(body) ? body.kind : record?.kind;
    if (!isFirst || !follows || (record !== undefined && kind !== record.kind)) {
      throw brokenArchive(name, `${entryName(entry)} does not follow its record`);
    }
    records.set(subject, { newest: entry.id, kind: kind ?? '' });
    yield entry;
  }
  const end = check.end();
  if (end.kind === 'broken') throw brokenArchive(name, `project ${id}: ${end.reason}`);
}

function entryName({ sequence, project }: KeptEntry): string {
  return `entry ${sequence} of project ${project}`;
}

function entryIn(json: unknown, name: string, project: string): KeptEntry {
  const isObject = typeof json === 'object' && json !== null;
  const { sequence, received, previous, hash, ...rest } = (isObject ? json : {}) as KeptEntry;
  const read = readEntry(rest);
  const which = `entry ${Number(sequence)} of project ${project}`;
  if (read.kind === 'refused') {
    throw brokenArchive(name, `${which}: ${read.problems[0]?.message}`);
  }
  if (read.entry.project !== project) {
    throw brokenArchive(name, `${which} is of project ${read.entry.project}`);
  }
  if (typeof received !== 'string' || Number.isNaN(Date.parse(received))) {
    throw brokenArchive(name, `${which} has no time at which it was received`);
  }
  return { ...read.entry, sequence, received, previous, hash };
}

/** @param added is counted up */
function keeping(
  store: RecordStore,
  name: string,
  added: { -readonly [K in keyof ArchiveCount]: ArchiveCount[K] },
): Taking {
  return {
    file: async ({ hash, media, bytes }) => {
      if ((await store.missingFiles([hash])).length === 0) return;
      if ((await store.putFile(bytes, media)) !== hash) throw changed(name);
      added.files += 1;
      added.bytes += bytes.length;
    },
    project: async (head, entries) => {
      const isNew = (await store.entries(head.id, 0, 1)).length === 0;
      const count = await store.adopt(head.id, checkedEntries(name, head, entries));
      added.entries += count;
      if (isNew) added.projects += 1;
    },
  };
}

function changed(name: string): Error {
  return brokenArchive(name, 'it changed while it was read');
}
