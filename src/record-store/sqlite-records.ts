/**
 * Test records in an SQLite file.
 *
 * Write-ahead log and synchronous FULL: SQLite syncs the log before it answers a commit, so what is
 * acknowledged is on the disk whatever happens to the process or to the power, as far as the drive tells
 * the truth about its cache (sqlite.org, PRAGMA synchronous; How To Corrupt An SQLite Database File, 3). An
 * entry costs one sync, some ms, and nobody types faster. With NORMAL, as studies have it, a loss of power
 * could take the last entries that the page had already ticked off.
 *
 * Any number of processes may have the file open. One writes at a time: a transaction takes the right to
 * write before it reads (`begin immediate`), so that what it decided on still holds when it writes.
 */

import { existsSync } from 'node:fs';
import { open, rename, rm } from 'node:fs/promises';
import { parse, resolve } from 'node:path';
import type { SqliteDatabase } from 'kysely';
import { Kysely, SqliteDialect, sql } from 'kysely';
import {
  immediately,
  isLock,
  openSqliteFile,
  RECORD_FILE,
  sqliteTrouble,
} from '../database/index.js';
import { folderToDisk, halfWritten } from './file-on-disk.js';
import { patiently } from './patience.js';
import type { RecordDatabase } from './record-database.js';
import { USUAL_PATIENCE } from './record-database.js';
import type { FormPlace } from './record-form.js';
import { bringUpToDate, newestForm, presentForm } from './record-form.js';
import type { RecordMigration } from './record-migrations.js';
import type { RecordStoreOptions } from './record-store.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

/** ms that SQLite itself waits for the right to write, and all of this process with it; the rest of the
 * patience leaves the process to its other work. */
const TURN = 5;

/** @throws RecordStoreError */
export async function openSqliteRecords(
  file: string,
  migrations: readonly RecordMigration[],
  options: RecordStoreOptions,
): Promise<RecordDatabase> {
  const { patience = USUAL_PATIENCE } = options;
  const attempt = async <T>(act: () => Promise<T>): Promise<T> => {
    try {
      return await patiently(patience, isLock, act);
    } catch (error) {
      throw inWords(file, error);
    }
  };
  const at: FormPlace = { place: file, migrations, dialect: { kind: 'SQLite', schema: null } };
  const db = await attempt(() => opened(file, at, options));
  return {
    place: file,
    kind: 'SQLite',
    db,
    alone: (_name, act) => immediately(db, act),
    attempt,
    close: async () => {
      try {
        await db.destroy();
      } catch (error) {
        throw inWords(file, error);
      }
    },
  };
}

async function opened(
  file: string,
  at: FormPlace,
  options: RecordStoreOptions,
): Promise<Kysely<RecordTables>> {
  const { connection } = openSqliteFile(file, RECORD_FILE, TURN);
  const db = new Kysely<RecordTables>({
    dialect: new SqliteDialect({ database: shut(connection) }),
  });
  try {
    const form = await presentForm(db, at);
    if (form === newestForm(at)) return db;
    if (form > 0) await copyBeside(db, file, form, options.now());
    await immediately(db, (alone) => bringUpToDate(alone, at));
    return db;
  } catch (error) {
    await db.destroy();
    throw error;
  }
}

/** Closed once, however often that is asked for. */
function shut(connection: SqliteDatabase): SqliteDatabase {
  let isOpen = true;
  return {
    prepare: (text) => connection.prepare(text),
    close: () => {
      if (isOpen) connection.close();
      isOpen = false;
    },
  };
}

/** `records.sqlite` in form 1 becomes `records.form-1.2026-11-25T09-30-00-000Z.sqlite` beside it. */
export function copyName(file: string, form: number, now: string): string {
  const { dir, name, ext } = parse(resolve(file));
  return resolve(dir, `${name}.form-${form}.${now.replace(/[:.]/g, '-')}${ext}`);
}

/** The file as it is before it is migrated, whole or not at all; one that is there already stays. */
async function copyBeside(
  db: Kysely<RecordTables>,
  file: string,
  form: number,
  now: string,
): Promise<void> {
  const copy = copyName(file, form, now);
  if (existsSync(copy)) return;
  const half = halfWritten(copy);
  try {
    await sql`vacuum into ${half}`.execute(db);
    const written = await open(half, 'r+');
    await written.sync().finally(() => written.close());
    await rename(half, copy);
    await folderToDisk(copy);
  } finally {
    await rm(half, { force: true });
  }
}

function inWords(file: string, error: unknown): unknown {
  if (error instanceof RecordStoreError) return error;
  const trouble = sqliteTrouble(file, RECORD_FILE, error);
  if (trouble === null) return error;
  return new RecordStoreError(trouble.problem, trouble.message, { cause: error });
}
