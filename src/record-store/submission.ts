/** One entry on its way in. */

import type { Kysely } from 'kysely';
import type {
  EntryProblem,
  KeptEntry,
  NewEntry,
  ProjectState,
  SubmitOutcome,
} from '../test-record/index.js';
import {
  admit,
  attachmentsOf,
  chained,
  filesOf,
  projectState,
  readEntry,
  withEntries,
} from '../test-record/index.js';
import { entryRows, insertRow } from './entry-queries.js';
import { entryRow, keptEntry } from './entry-row.js';
import { fileSizes } from './file-queries.js';
import type { RecordDatabase } from './record-database.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

/** Characters of an entry's canonical JSON: a plan of thousands of runs has some millions. */
export const MOST_ENTRY_TEXT = 16 * 1024 * 1024;

/** Projects whose state is kept at hand. */
const MOST_CACHED = 8;

type Db = Kysely<RecordTables>;

/** A project as of its newest entry. */
export interface Known {
  readonly state: ProjectState;
  readonly newest: KeptEntry;
}

export interface Submission {
  readonly database: RecordDatabase;
  /** ISO 8601 in UTC */
  readonly now: () => string;
  /** by project, the one used last at the end. It may be behind: what was written since is added to it
   * inside the transaction that uses it. */
  readonly cache: Map<string, Known>;
}

/** The rules of shape, then those of the record, then the row. @throws RecordStoreError */
export async function submitOne(here: Submission, sent: NewEntry): Promise<SubmitOutcome> {
  const read = readEntry(sent);
  if (read.kind === 'refused') return read;
  const { entry } = read;
  const { database, cache } = here;
  const { outcome, known } = await database.attempt(() =>
    database.alone(entry.project, (connection) => decided(here, connection, entry)),
  );
  // only now: before, it might not have been kept
  if (known !== null) remember(cache, known);
  return outcome;
}

interface Decision {
  readonly outcome: SubmitOutcome;
  /** the project after it */
  readonly known: Known | null;
}

/** The rules, then the row; nobody else writes to the project meanwhile. */
async function decided(here: Submission, db: Db, entry: NewEntry): Promise<Decision> {
  const known = await newestState(here, db, entry.project);
  const admission = admit(known?.state ?? null, entry);
  if (admission.kind === 'already' || admission.kind === 'conflict') {
    return { outcome: admission, known };
  }
  const kept = chained(entry, known?.newest ?? null, here.now());
  const row = entryRow(kept);
  const problems = [
    ...(admission.kind === 'refused' ? admission.problems : []),
    ...attachmentProblems(entry, await fileSizes(db, attachmentsOf(entry))),
    ...sizeProblems(row.text),
  ];
  if (problems.length > 0) return { outcome: { kind: 'refused', problems }, known };
  if (!(await insertRow(db, row))) {
    return { outcome: { kind: 'refused', problems: [takenId(entry)] }, known };
  }
  const state = known === null ? projectState([kept]) : withEntries(known.state, [kept]);
  return { outcome: { kind: 'kept', entry: kept }, known: { state, newest: kept } };
}

function takenId({ id }: NewEntry): EntryProblem {
  const allowed = 'an id that no other entry has';
  const message = `id: ${id} is that of an entry of another project; allowed: ${allowed}`;
  return { code: 'other content', path: ['id'], actual: id, allowed, message };
}

/** @param sizes bytes of the files that are there */
function attachmentProblems(
  { body }: NewEntry,
  sizes: ReadonlyMap<string, number>,
): EntryProblem[] {
  const problem = (actual: string, remark: string, allowed: string): EntryProblem => {
    const message = `${body.kind}: ${remark}; allowed: ${allowed}`;
    return { code: 'attachment', path: ['body'], actual, allowed, message };
  };
  const named = new Map(filesOf(body).map((file) => [`${file.hash} ${file.bytes}`, file]));
  return [...named.values()].flatMap(({ hash, bytes }) => {
    const size = sizes.get(hash);
    if (size === bytes) return [];
    return size === undefined
      ? problem(hash, `the file ${hash} is not there`, 'files that were sent before the entry')
      : problem(
          String(bytes),
          `the file ${hash} is said to have ${bytes} bytes`,
          `${size}, the bytes that were sent`,
        );
  });
}

function sizeProblems(text: string): EntryProblem[] {
  if (text.length <= MOST_ENTRY_TEXT) return [];
  const allowed = `at most ${MOST_ENTRY_TEXT} characters`;
  const message = `the entry has ${text.length} characters as JSON; allowed: ${allowed}`;
  return [{ code: 'value', path: [], actual: String(text.length), allowed, message }];
}

/** What is at hand, with what others have written since. */
async function newestState(here: Submission, db: Db, project: string): Promise<Known | null> {
  const { place } = here.database;
  const entriesAfter = async (sequence: number) =>
    (await entryRows(db, project, sequence)).map((row) => keptEntry(row, place));
  const known = here.cache.get(project);
  if (known === undefined) return stateOf(await entriesAfter(0), place);
  const { head } = known.state;
  const [last, ...since] = await entriesAfter(head.sequence - 1);
  // not there: another database under the same name, or one that was set back to an earlier time
  if (last?.hash !== head.hash) return stateOf(await entriesAfter(0), place);
  const newest = since.at(-1);
  if (newest === undefined) return known;
  return { state: folded(newest, place, () => withEntries(known.state, since)), newest };
}

function stateOf(entries: readonly KeptEntry[], place: string): Known | null {
  const newest = entries.at(-1);
  if (newest === undefined) return null;
  return { state: folded(newest, place, () => projectState(entries)), newest };
}

function folded({ project }: KeptEntry, place: string, fold: () => ProjectState): ProjectState {
  try {
    return fold();
  } catch (error) {
    throw new RecordStoreError(
      'broken record',
      `${place}: project ${project} has entries that do not follow each other: some were removed, added or moved; allowed: entries as standstill wrote them (standstill records verify says where it begins)`,
      { cause: error },
    );
  }
}

function remember(cache: Map<string, Known>, known: Known): void {
  const { id } = known.state;
  cache.delete(id);
  cache.set(id, known);
  const [oldest] = cache.keys();
  if (cache.size > MOST_CACHED && oldest !== undefined) cache.delete(oldest);
}
