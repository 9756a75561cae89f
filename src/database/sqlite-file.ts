/** Opening an SQLite file of ours, and what SQLite refuses, in words. */

import { existsSync, statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import type { Kysely, SqliteDatabase, SqliteStatement } from 'kysely';
import { sql } from 'kysely';
import Database from 'libsql';

/** A kind of file that we write: SQLite's application_id tells it from others. */
export interface SqliteKind {
  readonly applicationId: number;
  /** 'the results of a study' */
  readonly holds: string;
  /** 'a file written by standstill study run, or a new one' */
  readonly allowed: string;
  /** what a message calls a file that is still to be named: 'the file of the results' */
  readonly called: string;
  /** 'study.sqlite' */
  readonly example: string;
  /**
   * With a write-ahead log, whatever happens to the process, what was committed is in the log and the next
   * one finds it. `full` syncs the log at every commit, so that a loss of power takes none of them; with
   * `normal` it may take the last ones, and the file is sound (sqlite.org, PRAGMA synchronous).
   */
  readonly synchronous: 'normal' | 'full';
}

/** 'STND' in ASCII. */
export const STUDY_FILE: SqliteKind = {
  applicationId: 0x53544e44,
  holds: 'the results of a study',
  allowed: 'a file written by standstill study run, or a new one',
  called: 'the file of the results',
  example: 'study.sqlite',
  // rows and mark of a block go in one commit: a lost block is screened again
  synchronous: 'normal',
};

/** 'STNR' in ASCII. */
export const RECORD_FILE: SqliteKind = {
  applicationId: 0x53544e52,
  holds: 'test records',
  allowed: 'a file of test records written by standstill, or a new one',
  called: 'the file of the test records',
  example: 'records.sqlite',
  synchronous: 'full',
};

const KINDS = [STUDY_FILE, RECORD_FILE];

export type SqliteProblem = 'cannot be opened' | 'not a database' | 'not ours' | 'locked';

/** What was found wrong before SQLite was asked. */
class SqliteFileError extends Error {
  override readonly name = 'SqliteFileError';
  readonly problem: SqliteProblem;

  constructor(problem: SqliteProblem, message: string) {
    super(message);
    this.problem = problem;
  }
}

export interface SqliteTrouble {
  readonly problem: SqliteProblem;
  /** the sentence: file, what is wrong, what is allowed */
  readonly message: string;
}

export interface OpenedSqlite {
  /** as a kysely dialect takes it */
  readonly connection: SqliteDatabase;
  /** it has no tables yet */
  readonly isNew: boolean;
}

/**
 * Opens the file, or makes it.
 *
 * @param patience ms to wait for another process that writes
 * @throws whatever `sqliteTrouble` has words for
 */
export function openSqliteFile(file: string, kind: SqliteKind, patience: number): OpenedSqlite {
  if (file === '') {
    const message = `${kind.called} has no name; allowed: a path, such as ${kind.example}`;
    throw new SqliteFileError('cannot be opened', message);
  }
  // The library takes some names for a database in memory, or on another machine.
  const database = new Database(resolve(file));
  try {
    database.exec(`pragma busy_timeout = ${patience}`);
    const isNew = !hasTables(database);
    if (isNew) database.exec(`pragma application_id = ${kind.applicationId}`);
    else checkKind(file, kind, numberOf(database.pragma('application_id')));
    database.exec('pragma journal_mode = wal');
    database.exec(`pragma synchronous = ${kind.synchronous}`);
    // Where the system's sync leaves bytes in the drive's cache (macOS); elsewhere it does nothing.
    if (kind.synchronous === 'full') database.exec('pragma fullfsync = on');
    database.exec('pragma foreign_keys = on');
    return { connection: emptied(database), isNew };
  } catch (error) {
    database.close();
    throw error;
  }
}

function checkKind(file: string, kind: SqliteKind, applicationId: number): void {
  if (applicationId === kind.applicationId) return;
  const other = KINDS.find((each) => each.applicationId === applicationId);
  const found = other === undefined ? 'is a database of another program' : `holds ${other.holds}`;
  throw new SqliteFileError('not ours', `${file}: ${found}; allowed: ${kind.allowed}`);
}

/** Closed with all of it in the one file: the library closes for good only when its statements are
 * forgotten, and until then SQLite would leave the log beside. (A reader keeps the log there.) */
function emptied(database: Database.Database): SqliteDatabase {
  return {
    prepare: (text: string) =>
      TRANSACTION.includes(text) ? executed(database, text) : database.prepare(text),
    close: () => {
      try {
        database.exec('pragma wal_checkpoint(truncate)');
      } catch (error) {
        // The log stays beside, and whoever opens the file next finds it.
        if (!LEAVES_THE_LOG.includes(primaryCode(error))) throw error;
      } finally {
        database.close();
      }
    },
  };
}

const TRANSACTION = ['begin immediate', 'commit', 'rollback'];

/** A prepared statement that found the file locked stays begun in the library until it is forgotten, and
 * while it is, this connection commits nothing ("SQL statements in progress") and keeps its lock when it is
 * closed. Executed at once, it is ended whatever comes of it. */
function executed(database: Database.Database, text: string): SqliteStatement {
  return {
    reader: false,
    all: () => [],
    iterate: () => [][Symbol.iterator](),
    run: () => {
      database.exec(text);
      return { changes: 0, lastInsertRowid: 0 };
    },
  };
}

function hasTables(database: Database.Database): boolean {
  return database.prepare('select 1 from sqlite_master limit 1').all().length > 0;
}

/** The one value of a pragma's answer, `[{ application_id: 1 }]`. */
function numberOf(answer: unknown): number {
  const [row] = Array.isArray(answer) ? answer : [];
  const [value] = Object.values(row ?? {});
  return Number(value);
}

/**
 * In one transaction that nobody else writes in: it has the right to write from its beginning, so that
 * what it reads stays true until it writes. All that `act` does goes through the connection it is given.
 */
export async function immediately<Tables, T>(
  db: Kysely<Tables>,
  act: (connection: Kysely<Tables>) => Promise<T>,
): Promise<T> {
  return db.connection().execute(async (connection) => {
    await sql`begin immediate`.execute(connection);
    try {
      const value = await act(connection);
      await sql`commit`.execute(connection);
      return value;
    } catch (error) {
      // SQLite ends some failed transactions by itself; the first failure is the one to tell
      await sql`rollback`.execute(connection).catch(() => {});
      throw error;
    }
  });
}

/** SQLite's primary result codes (sqlite.org, Result and Error Codes). */
const LOCKS: readonly unknown[] = [5, 6];
/** Locked, not to be written (any more), and no room on the device: what was committed is in the log. */
const LEAVES_THE_LOG: readonly unknown[] = [...LOCKS, 8, 13];
const NOT_A_DATABASE = 26;
const CORRUPT = 11;

/** The low byte of what SQLite answered: the library has names for some extended codes only. */
function primaryCode(error: unknown): number | null {
  if (!(error instanceof Error) || error.name !== 'SqliteError') return null;
  return 'rawCode' in error && typeof error.rawCode === 'number' ? error.rawCode & 0xff : -1;
}

/** Another process, or another connection of this one, has the right to write. */
export function isLock(error: unknown): boolean {
  return LOCKS.includes(primaryCode(error));
}

/** In words: SQLite says a number. */
function whyNotOpened(file: string): string {
  const folder = dirname(resolve(file));
  if (statSync(file, { throwIfNoEntry: false })?.isDirectory()) return 'it is a directory';
  return existsSync(folder) ? 'it cannot be opened' : `there is no directory ${dirname(file)}`;
}

/** What SQLite refuses, while opening or at work; null: no answer of SQLite. */
export function sqliteTrouble(
  file: string,
  kind: SqliteKind,
  error: unknown,
): SqliteTrouble | null {
  if (error instanceof SqliteFileError) return { problem: error.problem, message: error.message };
  if (!(error instanceof Error)) return null;
  const code = primaryCode(error);
  if (code === NOT_A_DATABASE) {
    const message = `${file}: is not an SQLite file; allowed: ${kind.allowed}`;
    return { problem: 'not a database', message };
  }
  if (isLock(error)) {
    const message = `${file}: is locked by another program that writes to it; allowed: wait until it is done`;
    return { problem: 'locked', message };
  }
  if (code === CORRUPT) {
    const message = `${file}: is damaged: ${error.message}; allowed: a whole file (there is one in the last backup)`;
    return { problem: 'cannot be opened', message };
  }
  const notOpened = error.message.startsWith('ConnectionFailed');
  if (code !== null || notOpened) {
    const reason = notOpened ? whyNotOpened(file) : error.message;
    const message = `${file}: cannot be used: ${reason}; allowed: a file in a directory that can be written, with room on the device`;
    return { problem: 'cannot be opened', message };
  }
  return null;
}
