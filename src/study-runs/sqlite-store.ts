/**
 * A study in an SQLite file.
 *
 * Write-ahead log, synchronous NORMAL: whatever happens to the process, what was committed is in the
 * log and the next one finds it. When the machine itself loses power the last commits may be gone,
 * whole blocks of them, and the file is sound; rows and mark of a block go in one commit, so that
 * such a block is screened again and nothing is lost. FULL would pay for a sync a block to save
 * seconds of work.
 */

import { existsSync } from 'node:fs';
import { Kysely, SqliteDialect } from 'kysely';
import Database from 'libsql';
import type { Study } from '../studies/index.js';
import type { OpeningOptions } from './database-store.js';
import {
  checkTables,
  definitionOf,
  digestOf,
  keptStudies,
  keptStudy,
  openStudy,
  prepareTables,
  storeOf,
} from './database-store.js';
import type { StudyStore } from './store.js';
import { StudyStoreError } from './store-error.js';
import type { StudyTables } from './tables.js';

/** 'STND' in ASCII: how SQLite's application_id tells our files from others. */
const APPLICATION_ID = 0x53544e44;

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
    const [kept] = await keptStudies(db);
    const digest = digestOf(definitionOf(study));
    if (kept !== undefined && kept.digest !== digest) {
      throw new StudyStoreError(
        'other study',
        `${file}: holds the results of another study, "${kept.name}", or of this one before its files were changed (digest ${shortly(kept.digest)}, here ${shortly(digest)}); allowed: the files as they were, or a new file for the results`,
      );
    }
    return openStudy(db, study, { ...options, place: file });
  });
}

/** Opens a file that is there, whatever its study. @throws StudyStoreError as above, or no study */
export async function readSqliteStore(file: string): Promise<StudyStore> {
  if (!existsSync(file)) {
    throw new StudyStoreError('cannot be opened', `${file}: cannot be read: there is no such file`);
  }
  return within(file, PATIENCE, async (db, isNew) => {
    const kept = isNew ? [] : await keptStudies(await checked(db, file));
    const [first] = kept;
    if (first === undefined) {
      throw new StudyStoreError(
        'no study',
        `${file}: holds no study; allowed: a file written by standstill study run`,
      );
    }
    return storeOf(db, keptStudy(first));
  });
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
    const { database, isNew } = openDatabase(file, patience ?? PATIENCE);
    db = new Kysely<StudyTables>({ dialect: new SqliteDialect({ database: emptied(database) }) });
    return await open(db, isNew);
  } catch (error) {
    await db?.destroy();
    throw sqliteProblem(file, error);
  }
}

function openDatabase(file: string, patience: number) {
  const database = new Database(file);
  try {
    database.pragma(`busy_timeout = ${patience}`);
    const isNew = !hasTables(database);
    if (isNew) database.pragma(`application_id = ${APPLICATION_ID}`);
    else if (numberOf(database.pragma('application_id')) !== APPLICATION_ID) {
      throw new StudyStoreError(
        'not ours',
        `${file}: is a database of another program; allowed: a file written by standstill study run, or a new one`,
      );
    }
    database.pragma('journal_mode = wal');
    database.pragma('synchronous = normal');
    database.pragma('foreign_keys = on');
    return { database, isNew };
  } catch (error) {
    database.close();
    throw error;
  }
}

/** Closed with all of it in the one file: the library closes for good only when its statements are
 * forgotten, and until then SQLite would leave the log beside. (A reader keeps the log there.) */
function emptied(database: Database.Database) {
  return {
    prepare: (text: string) => database.prepare(text),
    close: () => {
      database.pragma('wal_checkpoint(truncate)');
      database.close();
    },
  };
}

function hasTables(database: Database.Database): boolean {
  return database.prepare('select 1 from sqlite_master limit 1').get() !== undefined;
}

/** The one value of a pragma's answer, `[{ application_id: 1 }]`. */
function numberOf(answer: unknown): number {
  const [row] = Array.isArray(answer) ? answer : [];
  const [value] = Object.values(row ?? {});
  return Number(value);
}

/** What SQLite refuses, while opening or at work, as a StudyStoreError; any other error as it is. */
export function sqliteProblem(file: string, error: unknown): unknown {
  if (error instanceof StudyStoreError || !(error instanceof Error)) return error;
  const code = 'code' in error ? String(error.code) : '';
  if (code.startsWith('SQLITE_NOTADB')) {
    return new StudyStoreError(
      'not a database',
      `${file}: is not an SQLite file; allowed: a file written by standstill study run, or a new one`,
      { cause: error },
    );
  }
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED')) {
    const message = `${file}: is locked by another program that writes to it; allowed: wait until it is done`;
    return new StudyStoreError('locked', message, { cause: error });
  }
  if (code.startsWith('SQLITE_') || error.message.startsWith('ConnectionFailed')) {
    const message = `${file}: cannot be used: ${error.message}; allowed: a file in a directory that can be written, with room on the device`;
    return new StudyStoreError('cannot be opened', message, { cause: error });
  }
  return error;
}
