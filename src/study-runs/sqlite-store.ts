/**
 * A study in an SQLite file.
 *
 * Write-ahead log, synchronous NORMAL: whatever happens to the process, what was committed is in the
 * log and the next one finds it. When the machine itself loses power the last commits may be gone,
 * whole blocks of them, and the file is sound; rows and mark of a block go in one commit, so that
 * such a block is screened again and nothing is lost. FULL would pay for a sync a block to save
 * seconds of work.
 */

import { existsSync, statSync } from 'node:fs';
import { Kysely, SqliteDialect } from 'kysely';
import { immediately, openSqliteFile, STUDY_FILE, sqliteTrouble } from '../database/index.js';
import type { Study } from '../studies/index.js';
import type { OpeningOptions } from './database-store.js';
import {
  beginStudy,
  checkTables,
  definitionOf,
  digestOf,
  keptStudies,
  keptStudy,
  prepareTables,
  storeOf,
} from './database-store.js';
import type { StudyStore } from './store.js';
import { StudyStoreError } from './store-error.js';
import type { StudyTables } from './tables.js';

/** ms; a process that writes holds the file for some ms a block. */
const PATIENCE = 10_000;

export type SqliteOptions = Omit<OpeningOptions, 'place'> & {
  /** ms to wait for another process that writes; default: 10 s */
  readonly patience?: number;
};

/**
 * Opens the file for this study, or makes it.
 *
 * @throws StudyStoreError when the file is no database, another program's, locked, or holds the
 *   results of another study
 */
export async function openSqliteStore(
  file: string,
  study: Study,
  options: SqliteOptions,
): Promise<StudyStore> {
  return within(file, options.patience, async (db) => {
    // also where there are some: a process may have died while it made them
    await prepareTables(db, file);
    // before it reads, so that nobody else begins a study in between
    const kept = await immediately(db, async (connection) => {
      await checkStudy(connection, file, study);
      return beginStudy(connection, study, { ...options, place: file });
    });
    return storeOf(db, kept);
  });
}

/** A file holds one study. */
async function checkStudy(db: Kysely<StudyTables>, file: string, study: Study): Promise<void> {
  const [kept] = await keptStudies(db);
  const digest = digestOf(definitionOf(study));
  if (kept === undefined || kept.digest === digest) return;
  throw new StudyStoreError(
    'other study',
    `${file}: holds the results of another study, "${kept.name}", or of this one before its files were changed (digest ${shortly(kept.digest)}, here ${shortly(digest)}); allowed: the files as they were, or a new file for the results`,
  );
}

/** Opens a file that is there, whatever its study. @throws StudyStoreError as above, or no study */
export async function readSqliteStore(file: string): Promise<StudyStore> {
  if (!existsSync(file)) {
    throw new StudyStoreError('cannot be opened', `${file}: cannot be read: there is no such file`);
  }
  // opening it would make a database of it
  const { size } = statSync(file);
  if (size === 0) throw noStudy(file);
  return within(file, PATIENCE, async (db, isNew) => {
    const kept = isNew ? [] : await keptStudies(await checked(db, file));
    const [first] = kept;
    if (first === undefined) throw noStudy(file);
    return storeOf(db, keptStudy(first));
  });
}

function noStudy(file: string): StudyStoreError {
  const allowed = 'a file written by standstill study run';
  return new StudyStoreError('no study', `${file}: holds no study; allowed: ${allowed}`);
}

async function checked(db: Kysely<StudyTables>, file: string): Promise<Kysely<StudyTables>> {
  await checkTables(db, file);
  return db;
}

function shortly(digest: string): string {
  return digest.slice(0, 12);
}

/** Closes the database again when the opening fails. */
async function within(
  file: string,
  patience: number | undefined,
  open: (db: Kysely<StudyTables>, isNew: boolean) => Promise<StudyStore>,
): Promise<StudyStore> {
  let db: Kysely<StudyTables> | null = null;
  try {
    const { connection, isNew } = openSqliteFile(file, STUDY_FILE, patience ?? PATIENCE);
    db = new Kysely<StudyTables>({ dialect: new SqliteDialect({ database: connection }) });
    return await open(db, isNew);
  } catch (error) {
    await db?.destroy();
    throw sqliteProblem(file, error);
  }
}

/** What SQLite refuses, while opening or at work, as a StudyStoreError; any other error as it is. */
export function sqliteProblem(file: string, error: unknown): unknown {
  if (error instanceof StudyStoreError) return error;
  const trouble = sqliteTrouble(file, STUDY_FILE, error);
  if (trouble === null) return error;
  return new StudyStoreError(trouble.problem, trouble.message, { cause: error });
}
