/** A study in an SQLite file: the contract, and what files are refused. */

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'libsql';
import { afterAll, describe, expect, test } from 'vitest';
import {
  openSqliteStore,
  readSqliteStore,
  StudyStoreError,
  sqliteProblem,
} from '../../src/study-runs/index.js';
import { ballastStudy } from './ballast-study.js';
import { storeConformance } from './store-conformance.js';

const folder = mkdtempSync(join(tmpdir(), 'standstill-sqlite-'));
afterAll(() => rmSync(folder, { recursive: true }));

let files = 0;
function newFile(): string {
  files += 1;
  return join(folder, `study-${files}.sqlite`);
}

const PROGRAM = { program: '0.1.0' };
const study = ballastStudy('Ballast of the kit trolley', 2);

storeConformance('an SQLite file', async () => {
  const file = newFile();
  return {
    open: (wanted, blockSize) => openSqliteStore(file, wanted, { ...PROGRAM, blockSize }),
    clean: async () => {
      for (const end of ['', '-wal', '-shm']) rmSync(`${file}${end}`, { force: true });
    },
  };
});

/** What is said of a file that cannot be used. */
async function refusal(opening: Promise<unknown>): Promise<string> {
  const error = await opening.then(
    () => null,
    (reason) => reason,
  );
  return error instanceof Error ? `${error.name}: ${error.message}` : String(error);
}

describe('a file that is refused', () => {
  test('holds another study, or this one with another cart', async () => {
    const file = newFile();
    await (await openSqliteStore(file, study, PROGRAM)).close();
    for (const other of [
      { ...study, margin: 0.2 },
      { ...study, cart: { ...study.cart, name: 'Another' } },
      ballastStudy('Another', 2),
    ]) {
      const said = await refusal(openSqliteStore(file, other, PROGRAM));
      expect(said).toContain(`${file}: holds the results of another study, "${study.name}"`);
    }
    const same = await openSqliteStore(file, study, PROGRAM);
    expect(same.study).toEqual(study);
    await same.close();
  });

  test('was begun by another version of the program', async () => {
    const file = newFile();
    await (await openSqliteStore(file, study, PROGRAM)).close();
    const said = await refusal(openSqliteStore(file, study, { program: '0.2.0' }));
    expect(said).toContain('was begun by standstill 0.1.0, and this is 0.2.0');
  });

  test('is no database, and stays as it is', async () => {
    const file = newFile();
    const text = 'name,mass\nbase,3\n'.repeat(300);
    writeFileSync(file, text);
    for (const opening of [openSqliteStore(file, study, PROGRAM), readSqliteStore(file)]) {
      expect(await refusal(opening)).toContain(`${file}: is not an SQLite file`);
    }
    expect(readFileSync(file, 'utf8')).toBe(text);
  });

  test('is the database of another program, and stays as it is', async () => {
    const file = newFile();
    const other = new Database(file);
    other.exec('create table orders (id integer)');
    other.close();
    const before = readFileSync(file);
    for (const opening of [openSqliteStore(file, study, PROGRAM), readSqliteStore(file)]) {
      expect(await refusal(opening)).toContain(`${file}: is a database of another program`);
    }
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  test('holds tables of a version to come', async () => {
    const file = newFile();
    await (await openSqliteStore(file, study, PROGRAM)).close();
    const raw = new Database(file);
    raw.exec('update study_tables set version = 2');
    raw.close();
    expect(await refusal(readSqliteStore(file))).toContain('in form 2; allowed: 1');
  });

  test.each([
    ['is a directory', folder, 'cannot be used'],
    ['stands in no directory', join(folder, 'none', 'x.sqlite'), 'cannot be used'],
  ])('%s', async (_what, file, words) => {
    expect(await refusal(openSqliteStore(file, study, PROGRAM))).toContain(words);
  });

  test('has no name: SQLite would take that for a database that is gone at the end', async () => {
    expect(await refusal(openSqliteStore('', study, PROGRAM))).toContain('has no name');
  });

  // the last two are the numbers of SQLITE_READONLY_DIRECTORY and SQLITE_BUSY_SNAPSHOT
  test.each([
    ['SQLITE_NOTADB', 26, 'not a database'],
    ['SQLITE_FULL', 13, 'cannot be opened'],
    ['UNKNOWN_SQLITE_ERROR_1544', 1544, 'cannot be opened'],
    ['UNKNOWN_SQLITE_ERROR_517', 517, 'locked'],
  ])('is told in words where SQLite says %s', (code, rawCode, problem) => {
    const error = Object.assign(new Error('no'), { name: 'SqliteError', code, rawCode });
    expect(sqliteProblem('x.sqlite', error)).toMatchObject({ problem });
    expect(sqliteProblem('x.sqlite', new Error('no'))).not.toBeInstanceOf(StudyStoreError);
  });

  test('is not there, or holds no study yet, when it is to be read', async () => {
    const file = newFile();
    expect(await refusal(readSqliteStore(file))).toContain('there is no such file');
    writeFileSync(file, '');
    expect(await refusal(readSqliteStore(file))).toContain('holds no study');
    expect(readFileSync(file)).toHaveLength(0);
  });

  test('is cut short', async () => {
    const file = newFile();
    await (await openSqliteStore(file, study, PROGRAM)).close();
    writeFileSync(file, readFileSync(file).subarray(0, 5000));
    expect(await refusal(readSqliteStore(file))).toMatch(/^StudyStoreError: .*study-\d+\.sqlite: /);
  });
});

test('of two that begin different studies in one file at once, one is refused', async () => {
  const file = newFile();
  await (await openSqliteStore(file, study, PROGRAM)).close();
  const raw = new Database(file);
  // tables without a study: what both find who begin at the same moment
  raw.exec('delete from study');
  const openings = await Promise.allSettled(
    ['one', 'other'].map((name) =>
      openSqliteStore(file, { ...study, name }, { ...PROGRAM, patience: 20 }),
    ),
  );
  expect(openings.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected']);
  expect(raw.prepare('select name from study').all()).toHaveLength(1);
  raw.close();
  for (const each of openings) if (each.status === 'fulfilled') await each.value.close();
});

test('a name that the library takes for no file is a file nonetheless', async () => {
  const before = process.cwd();
  process.chdir(folder);
  try {
    for (const name of [':memory:', 'file:study.sqlite']) {
      await (await openSqliteStore(name, study, PROGRAM)).close();
      const again = await readSqliteStore(name);
      expect(again.study).toEqual(study);
      await again.close();
    }
  } finally {
    process.chdir(before);
  }
});

test('a file that another program writes to is waited for, then told as locked', async () => {
  const file = newFile();
  await (await openSqliteStore(file, study, PROGRAM)).close();
  const other = new Database(file);
  other.exec('begin immediate');
  const opening = refusal(openSqliteStore(file, study, { ...PROGRAM, patience: 100 }));
  expect(await opening).toContain(`${file}: is locked by another program`);
  other.exec('rollback');
  other.close();
});

test('a file can be read while a run writes to it', async () => {
  const file = newFile();
  const writer = await openSqliteStore(file, study, { ...PROGRAM, blockSize: 4 });
  const reader = await readSqliteStore(file);
  expect(await reader.doneCount()).toBe(0);
  await writer.putFront([1]);
  expect(await reader.front()).toEqual([1]);
  await reader.close();
  await writer.close();
});
