/** Queries of entries. */

import type { Kysely } from 'kysely';
import type { KeptEntry } from '../test-record/index.js';
import { keptEntry, rowProblem, textOf } from './entry-row.js';
import { plainColumn } from './plain-column.js';
import type { RecordDatabase } from './record-database.js';
import type { ProjectSummary } from './record-store.js';
import type { EntryTable, RecordTables } from './tables.js';

/** Rows read at once where all are gone through; memory stays flat. */
const PAGE = 100;

type Db = Kysely<RecordTables>;

/** In order, those after a sequence. */
export async function entryRows(
  db: Db,
  project: string,
  after: number,
  most = Number.POSITIVE_INFINITY,
): Promise<EntryTable[]> {
  const query = db
    .selectFrom('entry')
    .select(columnsFor(db))
    .where('project', '=', project)
    .where('sequence', '>', after)
    .orderBy('sequence');
  return (await (Number.isFinite(most) ? query.limit(most) : query).execute()).map(asText);
}

/** The newest of a project. */
export async function newestRow(db: Db, project: string): Promise<EntryTable | null> {
  const row = await db
    .selectFrom('entry')
    .select(columnsFor(db))
    .where('project', '=', project)
    .orderBy('sequence', 'desc')
    .limit(1)
    .executeTakeFirst();
  return row === undefined ? null : asText(row);
}

const TEXTS = ['project', 'id', 'subject', 'base', 'kind', 'received', 'hash', 'text'] as const;

/** `sequence` first, then the texts as the driver can be trusted with them. */
function columnsFor(db: Db) {
  const texts = TEXTS.map((column) => plainColumn<string, typeof column>(db, 'entry', column));
  return ['entry.sequence', ...texts] as const;
}

function asText(row: Readonly<Record<string, unknown>>): EntryTable {
  const texts = TEXTS.map((column) => {
    const value = row[column] as string | Uint8Array | ArrayBuffer | null;
    return [column, value === null ? null : textOf(value)] as const;
  });
  return { ...row, ...Object.fromEntries(texts) } as unknown as EntryTable;
}

/** All of a project, a page at a time. */
export async function* rowsPaged(
  database: RecordDatabase,
  project: string,
): AsyncGenerator<EntryTable> {
  for (let after = 0; ; ) {
    const page = await database.attempt(() => entryRows(database.db, project, after, PAGE));
    yield* page;
    const last = page.at(-1);
    if (last === undefined || page.length < PAGE) return;
    after = last.sequence;
  }
}

/** @returns false: there is an entry of that id */
export async function insertRow(db: Db, row: EntryTable): Promise<boolean> {
  // looked up first, since SQLite's trigger takes the insertion for a replacement
  const there = await db.selectFrom('entry').select('id').where('id', '=', row.id).execute();
  if (there.length > 0) return false;
  const written = await db
    .insertInto('entry')
    .values(row)
    .onConflict((conflict) => conflict.column('id').doNothing())
    .executeTakeFirst();
  return written.numInsertedOrUpdatedRows === 1n;
}

/** A project whose own entry is broken is called by its id: `verify` tells what is wrong. */
export async function summaries(db: Db): Promise<ProjectSummary[]> {
  const heads = await newestRows(db, null);
  const projects = await newestRows(db, 'project');
  const bodies = new Map(projects.map((row) => [row.project, bodyOf(row)]));
  return heads
    .map((row): ProjectSummary => {
      const body = bodies.get(row.project);
      const { project: id, sequence: entries, received: changed, hash: head } = row;
      const { name, customer } = body?.kind === 'project' ? body : { name: id, customer: '' };
      return { id, name, customer, entries, changed, head };
    })
    .sort((a, b) => compare(a.name, b.name) || compare(a.id, b.id));
}

function bodyOf(row: EntryTable): KeptEntry['body'] | null {
  return rowProblem(row) === null ? keptEntry(row, '').body : null;
}

function compare(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}

/** Of each project the newest entry, or the newest of a kind. */
async function newestRows(db: Db, kind: string | null): Promise<EntryTable[]> {
  let newest = db
    .selectFrom('entry')
    .select((e) => ['project as of', e.fn.max('sequence').as('last')])
    .groupBy('project');
  if (kind !== null) newest = newest.where('kind', '=', kind);
  const rows = await db
    .selectFrom('entry')
    .innerJoin(newest.as('newest'), (on) =>
      on.onRef('of', '=', 'project').onRef('last', '=', 'sequence'),
    )
    .select(columnsFor(db))
    .execute();
  return rows.map(asText);
}
