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
import { resolve } from 'node:path';
import { Kysely, SqliteDialect, sql } from 'kysely';
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
    return alone(db, async () => {
      await checkStudy(db, file, study);
      return openStudy(db, study, { ...options, place: file });
    });
  });
}

/** Before it reads, so that nobody else begins a study in between. */
async function alone<T>(db: Kysely<StudyTables>, act: () => Promise<T>): Promise<T> {
  await sql`begin immediate`.execute(db);
  try {
    const value = await act();
    await sql`commit`.execute(db);
    return value;
  } catch (error) {
    await sql`rollback`.execute(db);
    throw error;
  }
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
    const { database, isNew } = openDatabase(file, patience ?? PATIENCE);
    db = new Kysely<StudyTables>({ dialect: new SqliteDialect({ database: emptied(database) }) });
    return await open(db, isNew);
  } catch (error) {
    await db?.destroy();
    throw sqliteProblem(file, error);
  }
}

function openDatabase(file: string, patience: number) {
  if (file === '') {
    const message = 'the file of the results has no name; allowed: a path, such as study.sqlite';
    throw new StudyStoreError('cannot be opened', message);
  }
  // The library takes some names for a database in memory, or on another machine.
  const database = new Database(resolve(file));
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
      try {
        database.pragma('wal_checkpoint(truncate)');
      } catch (error) {
        // The log stays beside, and whoever opens the file next finds it.
        if (!LOCKS.includes(primaryCode(error))) throw error;
      } finally {
        database.close();
      }
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

/** SQLite's primary result codes (sqlite.org, Result and Error Codes). */
const LOCKS: readonly unknown[] = [5, 6];
const NOT_A_DATABASE = 26;

/** The low byte of what SQLite answered: the library has names for some extended codes only. */
function primaryCode(error: unknown): number | null {
  if (!(error instanceof Error) || error.name !== 'SqliteError') return null;
  return 'rawCode' in error && typeof error.rawCode === 'number' ? error.rawCode & 0xff : -1;
}

/** What SQLite refuses, while opening or at work, as a StudyStoreError; any other error as it is. */
export function sqliteProblem(file: string, error: unknown): unknown {
  if (error instanceof StudyStoreError || !(error instanceof Error)) return error;
  const code = primaryCode(error);
  if (code === NOT_A_DATABASE) {
    return new StudyStoreError(
      'not a database',
      `${file}: is not an SQLite file; allowed: a file written by standstill study run, or a new one`,
      { cause: error },
    );
  }
  if (LOCKS.includes(code)) {
    const message = `${file}: is locked by another program that writes to it; allowed: wait until it is done`;
    return new StudyStoreError('locked', message, { cause: error });
  }
  if (code !== null || error.message.startsWith('ConnectionFailed')) {
    const message = `${file}: cannot be used: ${error.message}; allowed: a file in a directory that can be written, with room on the device`;
    return new StudyStoreError('cannot be opened', message, { cause: error });
  }
  return error;
}
