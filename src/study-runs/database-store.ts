/** A study's results in a database: the same queries for SQLite and PostgreSQL. */

import { createHash } from 'node:crypto';
import type { Kysely, Transaction } from 'kysely';
import type { Study, VariantRow } from '../studies/index.js';
import { variantCount } from '../studies/index.js';
import { proofRecord, variantProof, variantRecord, variantRow } from './row-text.js';
import type { StudyStore } from './store.js';
import { StudyStoreError } from './store-error.js';
import type { StudyTables } from './tables.js';
import { createTables, TABLES_VERSION } from './tables.js';

/** Some seconds of screening at most: what a stop waits for, and what a crash costs. */
export const USUAL_BLOCK_SIZE = 32;

/** Rows read at once; memory stays flat whatever the study holds. */
const PAGE = 1000;

/** Rows written by one statement: SQLite takes 32 766 values, 11 a row. */
const ROWS_A_STATEMENT = 500;

export interface OpeningOptions {
  /** version of the program, kept with the results */
  readonly program: string;
  /** of a new study; one that is there keeps its own. Default: `USUAL_BLOCK_SIZE` */
  readonly blockSize?: number;
  /** what messages call the database: a file, or an address without its password */
  readonly place: string;
}

export interface KeptStudy {
  readonly id: number;
  readonly study: Study;
  readonly program: string;
  readonly blockSize: number;
}

/**
 * The definition of a study as text: what the digest is taken of. A study is read back from it before
 * anything is computed, so that every machine computes with the same bits.
 */
export function definitionOf(study: Study): string {
  return JSON.stringify(study);
}

export function digestOf(definition: string): string {
  return createHash('sha256').update(definition).digest('hex');
}

/** Makes the tables where there are none. @throws StudyStoreError for tables of another version */
export async function prepareTables(db: Kysely<StudyTables>, place: string): Promise<void> {
  await createTables(db);
  await db.transaction().execute(async (transaction) => {
    const kept = await transaction.selectFrom('study_tables').select('version').execute();
    if (kept.length === 0) {
      await transaction.insertInto('study_tables').values({ version: TABLES_VERSION }).execute();
    }
  });
  await checkTables(db, place);
}

/** @throws StudyStoreError for tables of another version */
export async function checkTables(db: Kysely<StudyTables>, place: string): Promise<void> {
  const kept = await db.selectFrom('study_tables').select('version').execute();
  const version = kept[0]?.version;
  if (version === TABLES_VERSION) return;
  throw new StudyStoreError(
    'other version',
    `${place}: holds study results in form ${version ?? 'unknown'}; allowed: ${TABLES_VERSION}`,
  );
}

/**
 * Finds the study of this definition, or begins it. Tables must be there.
 *
 * @throws StudyStoreError when it was begun by another version of the program
 */
export async function beginStudy(
  db: Kysely<StudyTables>,
  study: Study,
  options: OpeningOptions,
): Promise<KeptStudy> {
  const definition = definitionOf(study);
  const digest = digestOf(definition);
  const { program, blockSize = USUAL_BLOCK_SIZE } = options;
  await db
    .insertInto('study')
    .values({
      id: idOf(digest),
      digest,
      name: study.name,
      program,
      definition,
      block_size: blockSize,
    })
    .onConflict((conflict) => conflict.doNothing())
    .execute();
  const kept = await db
    .selectFrom('study')
    .selectAll()
    .where('digest', '=', digest)
    .executeTakeFirstOrThrow();
  if (kept.program !== program) {
    throw new StudyStoreError(
      'other program',
      `${options.place}: was begun by standstill ${kept.program}, and this is ${program}, which may differ in the last digits; allowed: that version, or a new place for the results`,
    );
  }
  return keptStudy(kept);
}

/** The first 31 bits of the digest: whoever begins the same study at the same time begins the same
 * row. */
function idOf(digest: string): number {
  return Number.parseInt(digest.slice(0, 8), 16) >>> 1;
}

export async function keptStudies(
  db: Kysely<StudyTables>,
): Promise<readonly StudyTables['study'][]> {
  return db.selectFrom('study').selectAll().orderBy('id').execute();
}

export function keptStudy(record: StudyTables['study']): KeptStudy {
  const study: Study = JSON.parse(record.definition);
  return { id: record.id, study, program: record.program, blockSize: record.block_size };
}

/** The contract over a database; `close` closes the database. */
export function storeOf(db: Kysely<StudyTables>, { id, study, blockSize }: KeptStudy): StudyStore {
  const blockCount = Math.ceil(variantCount(study) / blockSize);
  return {
    study,
    blockSize,
    blockCount,
    async doneBlocks() {
      const done = await db
        .selectFrom('study_block')
        .select('block')
        .where('study', '=', id)
        .orderBy('block')
        .execute();
      return done.map(({ block }) => block);
    },
    async doneCount() {
      const { count } = await db
        .selectFrom('study_block')
        .select((e) => e.fn.countAll().as('count'))
        .where('study', '=', id)
        .executeTakeFirstOrThrow();
      return Number(count);
    },
    putBlock: (block, rows) => putBlock(db, { id, block, blockCount }, rows),
    rows: (from = 0) => rowsFrom(db, id, from),
    async tally() {
      const counts = await db
        .selectFrom('study_variant')
        .select((e) => [
          e.fn.countAll().as('rows'),
          e.fn.sum('passes').as('passing'),
          e.fn.count('fault').as('faults'),
        ])
        .where('study', '=', id)
        .executeTakeFirstOrThrow();
      const { rows, passing, faults } = counts;
      return { rows: Number(rows), passing: Number(passing ?? 0), faults: Number(faults) };
    },
    async putFront(indices) {
      const written = await db
        .insertInto('study_chosen')
        .values({ study: id, indices: JSON.stringify(indices) })
        .onConflict((conflict) => conflict.doNothing())
        .executeTakeFirst();
      return written.numInsertedOrUpdatedRows === 1n;
    },
    async front() {
      const chosen = await db
        .selectFrom('study_chosen')
        .select('indices')
        .where('study', '=', id)
        .executeTakeFirst();
      return chosen === undefined ? null : (JSON.parse(chosen.indices) as number[]);
    },
    async putProof(proof) {
      const written = await db
        .insertInto('study_proof')
        .values(proofRecord(id, proof))
        .onConflict((conflict) => conflict.doNothing())
        .executeTakeFirst();
      return written.numInsertedOrUpdatedRows === 1n;
    },
    async proofs() {
      const proofs = await db
        .selectFrom('study_proof')
        .selectAll()
        .where('study', '=', id)
        .orderBy('variant')
        .execute();
      return proofs.map(variantProof);
    },
    close: () => db.destroy(),
  };
}

/** The mark first: of two that bring the same block the second waits here, and then writes nothing. */
async function putBlock(
  db: Kysely<StudyTables>,
  { id, block, blockCount }: { id: number; block: number; blockCount: number },
  rows: readonly VariantRow[],
): Promise<boolean> {
  if (!Number.isInteger(block) || block < 0 || block >= blockCount) {
    throw new RangeError(`putBlock: block ${block} of ${blockCount}`);
  }
  return db.transaction().execute(async (transaction) => {
    const marked = await transaction
      .insertInto('study_block')
      .values({ study: id, block })
      .onConflict((conflict) => conflict.doNothing())
      .executeTakeFirst();
    if (marked.numInsertedOrUpdatedRows !== 1n) return false;
    await insertRows(transaction, id, rows);
    return true;
  });
}

async function insertRows(
  transaction: Transaction<StudyTables>,
  id: number,
  rows: readonly VariantRow[],
): Promise<void> {
  for (let from = 0; from < rows.length; from += ROWS_A_STATEMENT) {
    const records = rows.slice(from, from + ROWS_A_STATEMENT).map((row) => variantRecord(id, row));
    await transaction.insertInto('study_variant').values(records).execute();
  }
}

async function* rowsFrom(
  db: Kysely<StudyTables>,
  id: number,
  from: number,
): AsyncGenerator<VariantRow> {
  let next = from;
  for (;;) {
    const page = await db
      .selectFrom('study_variant')
      .selectAll()
      .where('study', '=', id)
      .where('variant', '>=', next)
      .orderBy('variant')
      .limit(PAGE)
      .execute();
    yield* page.map(variantRow);
    const last = page.at(-1);
    if (last === undefined || page.length < PAGE) return;
    next = last.variant + 1;
  }
}
