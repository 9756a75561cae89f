/** `standstill records verify`, `backup`, `restore`, `export` and `import`. */

import type { ArchiveCount, RecordStore } from '../../record-store/index.js';
import {
  RecordStoreError,
  readArchiveFile,
  verifyArchiveFile,
  writeArchiveFile,
} from '../../record-store/index.js';
import type { KnownHead } from '../../test-record/index.js';
import { EXIT } from '../exit-codes.js';
import { fileExists } from '../files.js';
import type { Outcome } from '../outcome.js';
import { bad, fine } from '../outcome.js';
import type { PageWishes } from '../page.js';
import { makePage } from '../page.js';
import { projectNamed } from '../record-names.js';
import { recordPlace, withRecords } from '../record-place.js';
import { verificationJson } from '../records-json.js';
import type { VerifiedProject } from '../sheets/record-verification.js';
import { isWhole, verificationSheet } from '../sheets/record-verification.js';
import { quoted } from '../shell-words.js';
import type { Surroundings } from '../surroundings.js';
import { say } from './records.js';

export interface VerifyWishes extends PageWishes {
  readonly json: boolean;
  /** as it was noted down: SEQUENCE:HASH, or the hash alone */
  readonly head?: string;
}

export async function verifyRecords(
  place: string,
  project: string | undefined,
  wishes: VerifyWishes,
  around: Surroundings,
): Promise<Outcome<number>> {
  if (wishes.head !== undefined && project === undefined) {
    return bad('--head: is of one project; allowed: with PROJECT');
  }
  return withRecords(place, false, around, async (store) => {
    const projects =
      project === undefined ? fine(await store.projects()) : await one(store, project);
    if (projects.kind === 'bad input') return projects;
    const verified: VerifiedProject[] = [];
    for (const each of projects.value) {
      const head = await knownHead(store, each.id, wishes.head);
      if (head.kind === 'bad input') return head;
      const { known, missing } = head.value;
      const { chain, files } = await store.verify(each.id, known);
      const reason = `no entry has the hash ${wishes.head}, which was noted down`;
      const isMissing = missing && chain.kind === 'whole';
      verified.push({
        project: each,
        chain: isMissing ? { kind: 'broken', sequence: chain.entries + 1, reason } : chain,
        files,
      });
    }
    const sheet = { place: store.place, verified };
    const page = makePage(wishes, around);
    if (wishes.json) around.out(verificationJson(sheet, around.version));
    else around.out(page.print(verificationSheet(page, sheet)));
    return fine(verified.every(isWhole) ? EXIT.holds : EXIT.fails);
  });
}

async function one(store: RecordStore, project: string) {
  const found = await projectNamed(store, project);
  return found.kind === 'ok' ? fine([found.value]) : found;
}

const HEAD = /^(?:(\d{1,15}):)?([0-9a-f]{64})$/i;

interface Head {
  readonly known?: KnownHead;
  /** a hash alone that no entry has */
  readonly missing: boolean;
}

async function knownHead(
  store: RecordStore,
  project: string,
  text: string | undefined,
): Promise<Outcome<Head>> {
  if (text === undefined) return fine({ missing: false });
  const [, number, found = ''] = HEAD.exec(text) ?? [];
  if (found === '') {
    return bad(`--head: ${text} is no head; allowed: as verify prints it, such as 12:9f86d081...`);
  }
  const hash = found.toLowerCase();
  if (number !== undefined)
    return fine({ known: { sequence: Number(number), hash }, missing: false });
  const entry = await entryOf(store, project, hash);
  if (entry === null) return fine({ missing: true });
  return fine({ known: { sequence: entry.sequence, hash }, missing: false });
}

/** null: none has it, or what is there cannot be read; `verify` says why. */
async function entryOf(store: RecordStore, project: string, hash: string) {
  try {
    return (await store.entries(project)).find((each) => each.hash === hash) ?? null;
  } catch (error) {
    if (error instanceof RecordStoreError && error.problem === 'broken record') return null;
    throw error;
  }
}

/** @param project undefined: all of them */
export async function writeRecords(
  place: string,
  project: string | undefined,
  file: string,
  around: Surroundings,
): Promise<Outcome<number>> {
  if (await fileExists(file)) {
    return bad(`${file}: cannot be written: it already exists and is not overwritten`);
  }
  return withRecords(place, false, around, async (store) => {
    const found = project === undefined ? fine(null) : await projectNamed(store, project);
    if (found.kind === 'bad input') return found;
    const count = await writeArchiveFile(store, file, found.value?.id ?? null);
    say(around, [`${file} written: ${countWords(count)}`]);
    return fine(EXIT.holds);
  });
}

/** Into a place where nothing is yet. */
export async function restoreRecords(
  file: string,
  place: string,
  around: Surroundings,
): Promise<Outcome<number>> {
  return readInto(file, place, around, async (store) => {
    const { length } = await store.projects();
    if (length === 0) return null;
    const what = `${length} project${length === 1 ? '' : 's'}`;
    return `${store.place}: holds ${what} already; allowed: a new place, or to add to it: standstill records import ${quoted(file)} ${quoted(store.place)}`;
  });
}

/** Into what is there. */
export async function importRecords(
  file: string,
  place: string,
  around: Surroundings,
): Promise<Outcome<number>> {
  return readInto(file, place, around, async () => null);
}

async function readInto(
  file: string,
  place: string,
  around: Surroundings,
  problemOf: (store: RecordStore) => Promise<string | null>,
): Promise<Outcome<number>> {
  if (!(await fileExists(file))) return bad(`${file}: there is no such file`);
  const verified = await verifiedFirst(file, place);
  if (verified.kind === 'bad input') return verified;
  return withRecords(place, true, around, async (store) => {
    const problem = await problemOf(store);
    if (problem !== null) return bad(problem);
    const count = await readArchiveFile(store, file, verified.value);
    say(around, [
      `${file} read into ${store.place}: ${countWords(count)}, each verified; new: ${entriesWords(count.added.entries)}`,
    ]);
    return fine(EXIT.holds);
  });
}

/** Before a file is made for it, so that a broken archive leaves none behind; undefined: the place is there. */
async function verifiedFirst(
  file: string,
  place: string,
): Promise<Outcome<ArchiveCount | undefined>> {
  const named = recordPlace(place);
  if (named.kind === 'bad input') return named;
  if (!named.value.isFile || (await fileExists(place))) return fine(undefined);
  try {
    return fine(await verifyArchiveFile(file));
  } catch (error) {
    if (error instanceof RecordStoreError) return bad(error.message);
    throw error;
  }
}

function countWords({ projects, entries, files, bytes }: ArchiveCount): string {
  const of = (count: number, what: string) => `${count} ${what}${count === 1 ? '' : 's'}`;
  const size =
    bytes < 100_000 ? `${(bytes / 1000).toFixed(1)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
  return `${of(projects, 'project')}, ${entriesWords(entries)}, ${of(files, 'file')} (${size})`;
}

function entriesWords(count: number): string {
  return `${count} ${count === 1 ? 'entry' : 'entries'}`;
}
