/**
 * The forms of the tables, one migration each, in order. A migration that was published is never changed:
 * files out there are in the form it made.
 *
 * What a faulty program, or a statement typed by hand, must not be able to do is held by the database
 * itself: two entries of one number, two that follow the same one, a record begun twice, a change or a
 * deletion of anything kept.
 */

import type { Kysely } from 'kysely';
import { sql } from 'kysely';
import type { RecordStore } from './record-store.js';

export interface RecordMigration {
  /** begins with the number of the form that it makes, three digits */
  readonly name: string;
  /** @param db in the schema of the tables, where there are schemas */
  readonly up: (db: Kysely<unknown>, dialect: RecordDialect) => Promise<void>;
}

export interface RecordDialect {
  readonly kind: RecordStore['kind'];
  /** null: the database has no schemas */
  readonly schema: string | null;
}

export const RECORD_MIGRATIONS: readonly RecordMigration[] = [
  {
    name: '001-entries-and-files',
    async up(db, dialect) {
      await createEntries(db);
      await createFiles(db, dialect);
      if (dialect.kind === 'SQLite') await guardSqlite(db);
      else await guardPostgres(db, `${dialect.schema}.`);
    },
  },
];

async function createEntries(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('entry')
    .addColumn('project', 'text', (c) => c.notNull().references('entry.id'))
    .addColumn('sequence', 'integer', (c) => c.notNull())
    .addColumn('id', 'text', (c) => c.notNull().unique())
    .addColumn('subject', 'text', (c) => c.notNull().references('entry.id'))
    .addColumn('base', 'text', (c) => c.references('entry.id'))
    .addColumn('kind', 'text', (c) => c.notNull())
    .addColumn('received', 'text', (c) => c.notNull())
    .addColumn('hash', 'text', (c) => c.notNull())
    .addColumn('text', 'text', (c) => c.notNull())
    .addPrimaryKeyConstraint('entry_key', ['project', 'sequence'])
    // of two that follow the same entry one is refused (no base is equal to no other)
    .addUniqueConstraint('entry_base_once', ['project', 'base'])
    .addCheckConstraint('entry_sequence', sql`sequence >= 1`)
    .addCheckConstraint('entry_first', sql`(sequence = 1) = (id = project)`)
    // no base: it begins a record, and is unique as id
    .addCheckConstraint('entry_begins', sql`(base is null) = (subject = id)`)
    .execute();
  await db.schema
    .createIndex('entry_of_kind')
    .on('entry')
    .columns(['project', 'kind', 'sequence'])
    .execute();
}

async function createFiles(db: Kysely<unknown>, { kind }: RecordDialect): Promise<void> {
  await db.schema
    .createTable('file')
    .addColumn('hash', 'text', (c) => c.notNull().primaryKey())
    .addColumn('media', 'text', (c) => c.notNull())
    .addColumn('bytes', kind === 'SQLite' ? 'blob' : 'bytea', (c) => c.notNull())
    .execute();
}

const ONLY_ADDED = 'entries and files are only ever added, never changed or deleted';

/** SQLite deletes what `insert or replace` replaces without a word to the triggers of deletion, so what is
 * there already is refused before. */
async function guardSqlite(db: Kysely<unknown>): Promise<void> {
  const same = {
    entry:
      'id = new.id or (project = new.project and sequence = new.sequence) or (project = new.project and base = new.base)',
    file: 'hash = new.hash',
  };
  for (const [table, isSame] of Object.entries(same)) {
    const refuse = sql.raw(`begin select raise(abort, '${ONLY_ADDED}'); end`);
    const on = (name: string, event: string) =>
      sql`${sql.raw(`create trigger ${table}_${name} before ${event} on ${table}`)}`;
    await sql`${on('stays', 'update')} ${refuse}`.execute(db);
    await sql`${on('remains', 'delete')} ${refuse}`.execute(db);
    const replaces = sql.raw(`when exists (select 1 from ${table} where ${isSame})`);
    await sql`${on('is_not_replaced', 'insert')} ${replaces} ${refuse}`.execute(db);
  }
}

/** @param schema with its dot */
async function guardPostgres(db: Kysely<unknown>, schema: string): Promise<void> {
  const run = (text: string) => sql.raw(text).execute(db);
  await run(
    `create function ${schema}refuse_change() returns trigger language plpgsql as $$ begin raise exception '${ONLY_ADDED}'; end $$`,
  );
  const refuse = `execute function ${schema}refuse_change()`;
  for (const table of ['entry', 'file']) {
    const on = `on ${schema}${table}`;
    await run(`create trigger ${table}_stays before update or delete ${on} for each row ${refuse}`);
    await run(`create trigger ${table}_remains before truncate ${on} for each statement ${refuse}`);
  }
}
