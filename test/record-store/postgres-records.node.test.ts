/** Test records in a PostgreSQL database: the contract, archives, rights, other forms, a server that dies. */

import { setTimeout as pause } from 'node:timers/promises';
import { sql } from 'kysely';
import pg from 'pg';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { RecordStore } from '../../src/record-store/index.js';
import { openRecords } from '../../src/record-store/index.js';
import { openRecordsInForm } from '../../src/record-store/open-records.js';
import type { RecordMigration } from '../../src/record-store/record-migrations.js';
import { RECORD_MIGRATIONS } from '../../src/record-store/record-migrations.js';
import type { PrivatePostgres } from '../database/private-postgres.js';
import { startPrivatePostgres } from '../database/private-postgres.js';
import { seededRandom } from '../reference/random.js';
import { archiveBytes, contentsOf, filled, readBytes } from './filled-store.js';
import { postgresPlace } from './postgres-place.js';
import { entryWriter } from './sample-entries.js';
import { sqlitePlace } from './sqlite-place.js';
import { NOW, problemIn, recordConformance } from './store-conformance.js';

let server: PrivatePostgres;
beforeAll(async () => {
  server = await startPrivatePostgres();
}, 60_000);
afterAll(() => server?.remove());

recordConformance('a PostgreSQL database', () => postgresPlace(server.url()));

const random = seededRandom(45);
const writer = entryWriter(random);
const options = { now: () => NOW };

async function byHand(url: string, statements: readonly string[]): Promise<void> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    for (const statement of statements) await client.query(statement);
  } finally {
    await client.end();
  }
}

async function refusal(url: string): Promise<string> {
  const problem = await problemIn(openRecords(url, options).then((store) => store.close()));
  return problem === null ? 'opened' : `${problem.problem}: ${problem.message}`;
}

describe('archives', () => {
  test('take records from SQLite to PostgreSQL and back: same entries, same files, same bytes', async () => {
    const file = await sqlitePlace();
    const database = await postgresPlace(server.url());
    const back = await sqlitePlace();
    const stores = await Promise.all([file, database, back].map((place) => place.open()));
    const [first, second, third] = stores as [RecordStore, RecordStore, RecordStore];
    await filled(first, writer, random, { notes: 8, photo: 500 });
    const archive = await archiveBytes(first, null);
    await readBytes(second, archive);
    const [project] = await second.projects();
    await second.submit([writer.note(project?.id ?? '', 'Written in the database.')]);
    await readBytes(third, await archiveBytes(second, null));
    await readBytes(first, await archiveBytes(second, project?.id ?? ''));
    const contents = await contentsOf(second);
    expect(contents.entries[project?.id ?? '']).toHaveLength((project?.entries ?? 0) + 1);
    for (const each of [first, third]) expect(await contentsOf(each)).toEqual(contents);
    expect(await archiveBytes(third, null)).toEqual(await archiveBytes(second, null));
    for (const store of stores) await store.close();
    for (const place of [file, database, back]) await place.clean();
  });
});

describe('a database that cannot be used is refused in words', () => {
  test('an address that is none, no server, a wrong password', async () => {
    expect(await refusal('postgres://bench:secret/word@127.0.0.1/clinic')).toMatch(
      /^cannot be opened: this is not the address of a database; allowed: /,
    );
    const shown = `postgres://standstill@127.0.0.1:1/postgres`;
    const url = server.url();
    expect(await refusal(url.replace(`:${server.port}/`, ':1/'))).toBe(
      `cannot be opened: ${shown}: no server answers there`,
    );
    const wrong = await refusal(url.replace(server.password, 'guess-5'));
    expect(wrong).toMatch(/the user or the password is wrong/);
    expect(wrong).not.toContain('guess-5');
  });

  test('tables of a form to come; a migration that fails leaves all as it was', async () => {
    const url = await server.createDatabase('forms');
    const store = await openRecords(url, options);
    await filled(store, writer, random, { notes: 3, photo: 100 });
    const contents = await contentsOf(store);
    const next = (fails: boolean): RecordMigration => ({
      name: '002-a-form-to-come',
      up: async (db) => {
        await sql`alter table standstill_records.entry add column place text`.execute(db);
        if (fails) await sql`insert into nowhere values (1)`.execute(db);
      },
    });
    const inNextForm = (fails: boolean) =>
      openRecordsInForm(url, [...RECORD_MIGRATIONS, next(fails)], options);
    const problem = await problemIn(inNextForm(true));
    expect(problem?.problem).toBe('migration failed');
    expect(problem?.message).toMatch(/from form 1 to 2 \(002-a-form-to-come\): relation "nowhere"/);
    expect(await contentsOf(store)).toEqual(contents);
    await store.close();
    const migrated = await inNextForm(false);
    expect(await contentsOf(migrated)).toEqual(contents);
    await migrated.close();
    expect(await refusal(url)).toMatch(
      /^too new: .*\/forms: holds test records in form 2; allowed: 1/,
    );
  });
});

test('a tester needs no more than to read and to add, as the documentation grants', async () => {
  const url = await server.createDatabase('granted');
  await (await openRecords(url, options)).close();
  await byHand(url, [
    `CREATE ROLE tester LOGIN PASSWORD '${server.password}'`,
    'GRANT USAGE ON SCHEMA standstill_records TO tester',
    'GRANT SELECT, INSERT ON standstill_records.entry, standstill_records.file TO tester',
    'GRANT SELECT ON standstill_records.record_migration TO tester',
  ]);
  const own = url.replace('//standstill:', '//tester:');
  const store = await openRecords(own, options);
  const id = await filled(store, writer, random, { notes: 4, photo: 100 });
  expect(await store.verify(id)).toMatchObject({ chain: { kind: 'whole' }, files: { whole: 2 } });
  await store.close();
  const other = 'ALTER TABLE standstill_records.entry DISABLE TRIGGER ALL';
  await expect(byHand(own, [other])).rejects.toThrow(/must be owner/);
});

test('made by two at the same moment, the tables are made once', async () => {
  const url = await server.createDatabase('at_once');
  const both = await Promise.all([openRecords(url, options), openRecords(url, options)]);
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

test('a project that somebody holds too long is told as locked, and others go on', async () => {
  const url = await server.createDatabase('held');
  const store = await openRecords(url, { ...options, patience: 100 });
  const [held, free] = [writer.project(), writer.project()];
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  await client.query('begin');
  await client.query('select pg_advisory_xact_lock(hashtextextended($1, 0))', [
    `standstill_records ${held.id}`,
  ]);
  const problem = await problemIn(store.submit([held]));
  expect(problem?.problem).toBe('locked');
  expect((await store.submit([free]))[0]?.kind).toBe('kept');
  await client.query('commit');
  expect((await store.submit([held]))[0]?.kind).toBe('kept');
  await client.end();
  await store.close();
});

test('a commit waits for the disk, also on a server that would answer before', async () => {
  const place = await postgresPlace(server.url());
  const store = await place.open();
  expect(await place.raw('show synchronous_commit')).toEqual([{ synchronous_commit: 'off' }]);
  await place.raw(
    "create function tell() returns trigger language plpgsql as $$ begin raise exception 'synchronous_commit is %', current_setting('synchronous_commit'); end $$",
  );
  await place.raw(
    'create trigger tell before insert on entry for each row execute function tell()',
  );
  await expect(store.submit([writer.project()])).rejects.toThrow('synchronous_commit is on');
  await store.close();
  await place.clean();
});

describe('a server that dies', () => {
  let mortal: PrivatePostgres;
  beforeAll(async () => {
    mortal = await startPrivatePostgres({ durable: true });
  }, 60_000);
  afterAll(() => mortal?.remove());

  test('is waited for, and said to be away when patience ends; what it acknowledged is there', async () => {
    const store = await openRecords(mortal.url(), options);
    const hurried = await openRecords(mortal.url(), { ...options, patience: 50 });
    const project = writer.project();
    await store.submit([project]);
    const kept = new Set<string>();
    let stop = false;
    const sending = (async () => {
      while (!stop) {
        const note = writer.note(project.id, 'Sent while the server dies.');
        const [outcome] = await store.submit([note]);
        // one whose answer was lost is found there when it is sent again
        if (outcome?.kind === 'kept' || outcome?.kind === 'already') kept.add(note.id);
      }
    })();
    await pause(100);
    await mortal.crash();
    const problem = await problemIn(hurried.submit([writer.note(project.id, 'In a hurry.')]));
    expect(problem?.problem).toBe('away');
    expect(problem?.message).toMatch(
      /^postgres:\/\/standstill@127.*: .*; whether the last entry was kept is not known, and sending it again keeps it once$/,
    );
    await mortal.start();
    await pause(100);
    stop = true;
    await sending;
    const there = new Set((await store.entries(project.id)).map(({ id }) => id));
    expect(kept.size).toBeGreaterThan(2);
    expect([...kept].filter((id) => !there.has(id))).toEqual([]);
    expect((await store.verify(project.id)).chain.kind).toBe('whole');
    await store.close();
    await hurried.close();
  }, 60_000);
});
