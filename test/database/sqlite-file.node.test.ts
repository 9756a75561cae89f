/** SQLite files of ours: transactions that have the right to write, and locks. */

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Kysely, SqliteDialect, sql } from 'kysely';
import Database from 'libsql';
import { afterAll, beforeEach, expect, test, vi } from 'vitest';
import {
  immediately,
  isLock,
  openSqliteFile,
  RECORD_FILE,
  STUDY_FILE,
  sqliteTrouble,
} from '../../src/database/index.js';

const folder = mkdtempSync(join(tmpdir(), 'standstill-sqlite-file-'));
afterAll(() => rmSync(folder, { recursive: true }));

interface Tables {
  reading: { force: number };
}

let files = 0;
let file: string;
beforeEach(() => {
  files += 1;
  file = join(folder, `${files}.sqlite`);
});

function opened(): Kysely<Tables> {
  const { connection } = openSqliteFile(file, RECORD_FILE, 5);
  return new Kysely<Tables>({ dialect: new SqliteDialect({ database: connection }) });
}

async function forces(db: Kysely<Tables>): Promise<number[]> {
  return (await db.selectFrom('reading').selectAll().execute()).map(({ force }) => force);
}

test('a transaction is kept as a whole or not at all', async () => {
  const db = opened();
  await sql`create table reading (force integer)`.execute(db);
  await immediately(db, (alone) => alone.insertInto('reading').values({ force: 1 }).execute());
  const failing = immediately(db, async (alone) => {
    await alone.insertInto('reading').values({ force: 2 }).execute();
    throw new Error('slipped');
  });
  await expect(failing).rejects.toThrow('slipped');
  expect(await forces(db)).toEqual([1]);
  await db.destroy();
});

test('a transaction that found the file locked does not stand in the way of the next', async () => {
  const db = opened();
  await sql`create table reading (force integer)`.execute(db);
  const other = new Database(file);
  other.exec('begin immediate');
  const add = (force: number) =>
    immediately(db, (alone) => alone.insertInto('reading').values({ force }).execute());
  const error = await add(1).then(
    () => null,
    (reason: unknown) => reason,
  );
  expect(isLock(error)).toBe(true);
  expect(sqliteTrouble(file, RECORD_FILE, error)?.message).toBe(
    `${file}: is locked by another program that writes to it; allowed: wait until it is done`,
  );
  other.exec('rollback');
  other.close();
  await add(2);
  expect(await forces(db)).toEqual([2]);
  await db.destroy();
});

test('a file of one kind is told from one of the other, and from none', () => {
  const { connection, isNew } = openSqliteFile(file, STUDY_FILE, 5);
  expect(isNew).toBe(true);
  connection.prepare('create table study (id integer)').run([]);
  connection.close();
  let error: unknown = null;
  try {
    openSqliteFile(file, RECORD_FILE, 5);
  } catch (thrown) {
    error = thrown;
  }
  expect(sqliteTrouble(file, RECORD_FILE, error)).toEqual({
    problem: 'not ours',
    message: `${file}: holds the results of a study; allowed: ${RECORD_FILE.allowed}`,
  });
  expect(openSqliteFile(file, STUDY_FILE, 5).isNew).toBe(false);
  expect(sqliteTrouble(file, RECORD_FILE, new Error('no'))).toBeNull();
});

test('a full disk does not stand in the way of closing: what was committed is in the log', async () => {
  const db = opened();
  await sql`create table reading (force integer)`.execute(db);
  await db.insertInto('reading').values({ force: 1 }).execute();
  const full = Object.assign(new Error('database or disk is full'), { rawCode: 13 });
  full.name = 'SqliteError';
  const exec = vi.spyOn(Database.prototype, 'exec').mockImplementationOnce(() => {
    throw full;
  });
  await db.destroy();
  expect(exec).toHaveBeenCalledExactlyOnceWith('pragma wal_checkpoint(truncate)');
  exec.mockRestore();
  const again = opened();
  expect(await forces(again)).toEqual([1]);
  await again.destroy();
});

test.each([
  // sqlite.org, PRAGMA synchronous: 1 is NORMAL, 2 is FULL
  ['test records sync at every commit', RECORD_FILE, 2],
  ['a study does at checkpoints', STUDY_FILE, 1],
] as const)('%s', (_, kind, synchronous) => {
  const { connection } = openSqliteFile(file, kind, 5);
  expect(connection.prepare('pragma synchronous').all([])).toEqual([{ synchronous }]);
  connection.close();
});
