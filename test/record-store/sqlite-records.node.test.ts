/** Test records in an SQLite file: the contract, other files, other processes, other forms. */

import {
  copyFileSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { sql } from 'kysely';
import Database from 'libsql';
import { afterAll, beforeEach, describe, expect, test } from 'vitest';
import { openRecords, readArchiveFile } from '../../src/record-store/index.js';
import { openRecordsInForm } from '../../src/record-store/open-records.js';
import type { RecordMigration } from '../../src/record-store/record-migrations.js';
import { RECORD_MIGRATIONS } from '../../src/record-store/record-migrations.js';
import { openSqliteStore } from '../../src/study-runs/index.js';
import { seededRandom } from '../reference/random.js';
import { ballastStudy } from '../study-runs/ballast-study.js';
import { contentsOf, filled } from './filled-store.js';
import { entryWriter } from './sample-entries.js';
import { rawSqlite, sqlitePlace } from './sqlite-place.js';
import { NOW, problemIn, recordConformance } from './store-conformance.js';

recordConformance('an SQLite file', sqlitePlace);

const folder = mkdtempSync(join(tmpdir(), 'standstill-record-files-'));
afterAll(() => rmSync(folder, { recursive: true }));

const random = seededRandom(44);
const writer = entryWriter(random);
const options = { now: () => NOW };

let files = 0;
let file: string;
beforeEach(() => {
  files += 1;
  file = join(folder, `records-${files}.sqlite`);
});

/** What is said of a place that cannot be opened. */
async function refusal(place: string, patience = 10_000): Promise<string> {
  const problem = await problemIn(
    openRecords(place, { ...options, patience }).then((store) => store.close()),
  );
  return problem === null ? 'opened' : `${problem.problem}: ${problem.message}`;
}

describe('a file that is refused', () => {
  test('holds a study; nor does a study take one of test records', async () => {
    const study = ballastStudy('Ballast of the kit trolley', 2);
    await (await openSqliteStore(file, study, { program: '0.1.0' })).close();
    const before = readFileSync(file);
    expect(await refusal(file)).toBe(
      `not ours: ${file}: holds the results of a study; allowed: a file of test records written by standstill, or a new one`,
    );
    expect(readFileSync(file)).toEqual(before);
    const records = `${file}.records`;
    expect(await refusal(records)).toBe('opened');
    await expect(openSqliteStore(records, study, { program: '0.1.0' })).rejects.toThrow(
      `${records}: holds test records; allowed: a file written by standstill study run`,
    );
  });

  test('is no database, is of another program, has no name, or is a folder', async () => {
    writeFileSync(file, 'run,force\n1,112\n'.repeat(300));
    expect(await refusal(file)).toContain(`not a database: ${file}: is not an SQLite file`);
    const other = `${file}.other`;
    rawSqlite(other, 'create table orders (id integer)');
    expect(await refusal(other)).toContain(`not ours: ${other}: is a database of another program`);
    expect(await refusal('')).toMatch(
      /^cannot be opened: the file of the test records has no name/,
    );
    expect(await refusal(folder)).toContain(`cannot be opened: ${folder}: cannot be used`);
  });

  test('is held by another program that writes, when patience has ended', async () => {
    const store = await openRecords(file, { ...options, patience: 60 });
    const other = new Database(file);
    other.exec('begin immediate');
    const project = writer.project();
    const problem = await problemIn(store.submit([project]));
    expect(problem?.problem).toBe('locked');
    expect(problem?.message).toContain(`${file}: is locked by another program that writes to it`);
    // one that lets go in time is waited for
    const waiting = store.submit([project]);
    other.exec('commit');
    other.close();
    expect((await waiting)[0]?.kind).toBe('kept');
    await store.close();
  });
});

describe('a file of test records', () => {
  test('has an id of its own, a write-ahead log, and is all in one file when closed', async () => {
    const store = await openRecords(file, options);
    await store.submit([writer.project()]);
    expect(rawSqlite(file, 'pragma application_id')).toEqual([{ application_id: 0x53544e52 }]);
    expect(rawSqlite(file, 'pragma journal_mode')).toEqual([{ journal_mode: 'wal' }]);
    await store.close();
    await store.close();
    // the library lets go of an empty log later
    const log = `${file}-wal`;
    expect(existsSync(log) ? readFileSync(log).length : 0).toBe(0);
  });

  test('is made once when two open it at the same moment', async () => {
    const both = await Promise.all([openRecords(file, options), openRecords(file, options)]);
    const project = writer.project();
    const outcomes = await Promise.all(both.map((store) => store.submit([project])));
    expect(
      outcomes
        .flat()
        .map(({ kind }) => kind)
        .sort(),
    ).toEqual(['already', 'kept']);
    for (const store of both) await store.close();
  });

  test('does not let a row be replaced past the guards', async () => {
    const store = await openRecords(file, options);
    const project = writer.project();
    await store.submit([project]);
    const row =
      'select project, sequence, id, subject, base, kind, received, hash, text from entry';
    expect(() => rawSqlite(file, `insert or replace into entry ${row}`)).toThrow(/only ever added/);
    expect(await store.entries(project.id)).toHaveLength(1);
    await store.close();
  });
});

/** One that changes tables and what is in them, and may fail at the end. */
function nextForm(fails: boolean): RecordMigration {
  return {
    name: '002-a-form-to-come',
    up: async (db) => {
      await sql`drop trigger entry_stays`.execute(db);
      await sql`alter table entry add column place text`.execute(db);
      await sql`update entry set place = 'bench'`.execute(db);
      if (fails) await sql`insert into nowhere values (1)`.execute(db);
    },
  };
}

const COPY = /\.form-\d+\..*\.sqlite$/;

describe('bytes that are no text, as a faulty disk leaves them', () => {
  const COLUMNS = ['project', 'id', 'subject', 'base', 'kind', 'received', 'hash', 'text'];

  async function damaged(statement: string) {
    const place = await sqlitePlace();
    const store = await place.open();
    const id = await filled(store, writer, random, { notes: 2, photo: 40 });
    await place.unguard();
    rawSqlite(place.file, statement);
    return { place, store, id };
  }

  test.each(COLUMNS)('in the column %s end no process, and are found', async (column) => {
    const change = `update entry set ${column} = cast(x'7bff7d' as text) where sequence = 3`;
    const { place, store, id } = await damaged(change);
    expect((await store.verify(id)).chain).toMatchObject({ kind: 'broken', sequence: 3 });
    expect((await store.projects()).map((each) => each.id)).toContain(id);
    await store.close();
    await place.clean();
  });

  test.each([
    ["media = cast(x'ff' as text)", 'a type'],
    ["bytes = cast(x'ff00ff' as text)", 'a content'],
    ['bytes = 5', 'a number for a content'],
  ])('%s: %s of a file, named by its hash', async (change) => {
    const { place, store, id } = await damaged(`update file set ${change}`);
    const { files: found } = await store.verify(id);
    expect(found).toEqual({ whole: 0, broken: await store.fileHashes('', 10) });
    await store.close();
    await place.clean();
  });

  test('after the end of a text are found', async () => {
    const hidden = "update entry set text = text || char(0) || 'hidden' where sequence = 2";
    const { place, store, id } = await damaged(hidden);
    expect((await store.verify(id)).chain).toMatchObject({ kind: 'broken', sequence: 2 });
    await store.close();
    await place.clean();
  });
});

describe('a file in an older form', () => {
  const inNextForm = (fails: boolean) =>
    openRecordsInForm(file, [...RECORD_MIGRATIONS, nextForm(fails)], options);
  const copies = () =>
    readdirSync(dirname(file)).filter(
      (name) => COPY.test(name) && name.startsWith(`records-${files}.`),
    );

  beforeEach(async () => {
    const store = await openRecords(file, options);
    await filled(store, writer, random, { notes: 6, photo: 200 });
    await store.close();
  });

  test('is copied, then migrated, with all that is in it', async () => {
    const before = await openRecords(file, options);
    const contents = await contentsOf(before);
    await before.close();
    const store = await inNextForm(false);
    expect(await contentsOf(store)).toEqual(contents);
    expect(rawSqlite(file, 'select distinct place from entry')).toEqual([{ place: 'bench' }]);
    await store.close();
    const copy = `records-${files}.form-1.2026-11-25T09-31-07-250Z.sqlite`;
    expect(copies()).toEqual([copy]);
    // a program of before is told, and the copy serves it
    expect(await refusal(file)).toBe(
      `too new: ${file}: holds test records in form 2; allowed: 1 and before, or a newer version of standstill`,
    );
    const old = await openRecords(join(folder, copy), options);
    expect(await contentsOf(old)).toEqual(contents);
    await old.close();
    await (await inNextForm(false)).close();
    expect(copies()).toEqual([copy]);
  });

  test('is as it was when the migration fails, and can be used', async () => {
    const before = await openRecords(file, options);
    const contents = await contentsOf(before);
    await before.close();
    const problem = await problemIn(inNextForm(true));
    expect(problem?.problem).toBe('migration failed');
    expect(problem?.message).toBe(
      `${file}: could not be brought from form 1 to 2 (002-a-form-to-come): no such table: nowhere; it is as it was`,
    );
    expect(
      rawSqlite(file, "select name from pragma_table_info('entry') where name = 'place'"),
    ).toEqual([]);
    const store = await openRecords(file, options);
    expect(await contentsOf(store)).toEqual(contents);
    const [outcome] = await store.submit([writer.project()]);
    expect(outcome?.kind).toBe('kept');
    await store.close();
    expect(() => rawSqlite(file, 'delete from file')).toThrow(/only ever added/);
    expect(copies()).toHaveLength(1);
  });

  test('is not migrated where it cannot be copied', async () => {
    const unwritable = {
      ...options,
      now: () => 'no/such/folder',
    };
    const opening = openRecordsInForm(file, [...RECORD_MIGRATIONS, nextForm(false)], unwritable);
    expect((await problemIn(opening))?.problem).toBe('cannot be opened');
    expect(await refusal(file)).toBe('opened');
  });
});

describe('form 1', () => {
  const KEPT = fileURLToPath(new URL('./form-1/', import.meta.url));

  test('has the tables that it had when it was published', async () => {
    await (await openRecords(file, options)).close();
    const made = rawSqlite(
      file,
      "select sql from sqlite_master where sql is not null and name not like 'record_migration%' order by name",
    ) as { readonly sql: string }[];
    const text = `${made.map((row) => row.sql).join(';\n')};\n`;
    expect(text).toBe(readFileSync(join(KEPT, 'tables.sql'), 'utf8'));
  });

  test('is read from a file of then, and its archive too', async () => {
    copyFileSync(join(KEPT, 'records.sqlite'), file);
    const store = await openRecords(file, options);
    const [project] = await store.projects();
    expect(project).toMatchObject({ name: 'Kit trolley, lock layout', entries: 6 });
    expect(await store.verify(project?.id ?? '')).toMatchObject({
      chain: { kind: 'whole', entries: 6 },
      files: { whole: 2, broken: [] },
    });
    const other = await openRecords(`${file}.other`, options);
    await readArchiveFile(other, join(KEPT, 'records.archive'));
    expect(await contentsOf(other)).toEqual(await contentsOf(store));
    await other.close();
    await store.close();
  });
});
