/** The form of the tables: which it is, whether it can be used, and bringing it up to date. */

import type { Kysely, Migration } from 'kysely';
import { Migrator, sql } from 'kysely';
import { isLock } from '../database/index.js';
import type { RecordDialect, RecordMigration } from './record-migrations.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

const MIGRATIONS_DONE = 'record_migration';
const MIGRATION_LOCK = 'record_migration_lock';

export interface FormPlace {
  readonly place: string;
  readonly dialect: RecordDialect;
  readonly migrations: readonly RecordMigration[];
}

function formOf(name: string | undefined): number {
  return name === undefined ? 0 : Number.parseInt(name, 10);
}

/** The form that this program reads and writes. */
export function newestForm({ migrations }: FormPlace): number {
  return formOf(migrations.at(-1)?.name);
}

/**
 * @returns 0: there are no tables yet
 * @throws RecordStoreError for a form that this program does not know
 */
export async function presentForm(db: Kysely<RecordTables>, at: FormPlace): Promise<number> {
  const done = (await hasMigrations(db, at)) ? await migrationsDone(db, at) : [];
  const unknown = done.find((name) => !at.migrations.some((each) => each.name === name));
  const form = formOf(done.at(-1));
  if (unknown === undefined) return form;
  throw new RecordStoreError(
    'too new',
    `${at.place}: holds test records in form ${form}; allowed: ${newestForm(at)} and before, or a newer version of standstill`,
  );
}

async function hasMigrations(db: Kysely<RecordTables>, { dialect }: FormPlace): Promise<boolean> {
  const found =
    dialect.schema === null
      ? sql`select 1 as there from sqlite_master where name = ${MIGRATIONS_DONE}`
      : sql`select 1 as there where to_regclass(${`${dialect.schema}.${MIGRATIONS_DONE}`}) is not null`;
  return (await found.execute(db)).rows.length > 0;
}

async function migrationsDone(
  db: Kysely<RecordTables>,
  { dialect }: FormPlace,
): Promise<readonly string[]> {
  const prefix = dialect.schema === null ? '' : `${dialect.schema}.`;
  const { rows } = await sql<{ readonly name: string }>`${sql.raw(
    `select name from ${prefix}${MIGRATIONS_DONE} order by name`,
  )}`.execute(db);
  return rows.map(({ name }) => name);
}

/**
 * Brings the tables to the newest form. Nobody else may do so at the same time, and all of it has to be in
 * one transaction, which is the caller's for SQLite; the migrator makes its own in PostgreSQL.
 *
 * @throws RecordStoreError when it does not succeed, whereupon the caller's transaction must not be kept
 */
export async function bringUpToDate(db: Kysely<RecordTables>, at: FormPlace): Promise<void> {
  const before = await presentForm(db, at);
  if (before === newestForm(at)) return;
  const { dialect } = at;
  const migrator = new Migrator({
    db,
    provider: { getMigrations: async () => byName(at) },
    migrationTableName: MIGRATIONS_DONE,
    migrationLockTableName: MIGRATION_LOCK,
    // Names tell the order. The migrator would go by the clock of whoever migrated, which may be wrong.
    allowUnorderedMigrations: true,
    ...(dialect.schema === null ? {} : { migrationTableSchema: dialect.schema }),
  });
  const { error, results } = await migrator.migrateToLatest();
  if (error === undefined) return;
  if (isLock(error)) throw error;
  const failed = results?.find(({ status }) => status === 'Error')?.migrationName;
  const reason = error instanceof Error ? error.message : String(error);
  throw new RecordStoreError(
    'migration failed',
    `${at.place}: could not be brought from form ${before} to ${newestForm(at)}${failed === undefined ? '' : ` (${failed})`}: ${reason}; it is as it was`,
    { cause: error },
  );
}

function byName({ migrations, dialect }: FormPlace): Record<string, Migration> {
  return Object.fromEntries(
    migrations.map(({ name, up }): [string, Migration] => [
      name,
      { up: (db: Kysely<unknown>) => up(db, dialect) },
    ]),
  );
}
