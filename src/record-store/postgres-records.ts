/**
 * Test records in a PostgreSQL database, in a schema of their own. A commit waits for the server's disk,
 * unless the server was set up with `fsync` off, which no session can mend.
 */

import { Kysely, PostgresDialect, sql } from 'kysely';
import type pg from 'pg';
import type { DatabaseAddress } from '../database/index.js';
import {
  alone,
  codeOf,
  databaseTrouble,
  makePool,
  readAddress,
  versionProblem,
} from '../database/index.js';
import { patiently } from './patience.js';
import type { RecordDatabase } from './record-database.js';
import { USUAL_PATIENCE } from './record-database.js';
import type { FormPlace } from './record-form.js';
import { bringUpToDate, newestForm, presentForm } from './record-form.js';
import type { RecordMigration } from './record-migrations.js';
import type { RecordStoreOptions } from './record-store.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

export const RECORD_SCHEMA = 'standstill_records';

/** ms after which the server ends a transaction whose client does nothing: a machine that was put to sleep
 * in the middle of one would keep the project from all others. */
const IDLE_LIMIT = 30_000;

/** SQLSTATE: a lock was not to be had in time. */
const LOCK_TIMEOUT = '55P03';

/** @throws RecordStoreError */
export async function openPostgresRecords(
  url: string,
  migrations: readonly RecordMigration[],
  { patience = USUAL_PATIENCE }: RecordStoreOptions,
): Promise<RecordDatabase> {
  const address = readAddress(url);
  if (address.kind === 'invalid') throw new RecordStoreError('cannot be opened', address.problem);
  const place = address.value.shown;
  const pool = makePool(address.value);
  const db = new Kysely<RecordTables>({ dialect: new PostgresDialect({ pool }) }).withSchema(
    RECORD_SCHEMA,
  );
  try {
    await prepared(address.value, pool, db, migrations);
  } catch (error) {
    await pool.end();
    throw inWords(place, error, 'cannot be opened');
  }
  return {
    place,
    kind: 'PostgreSQL',
    db,
    alone: (name, act) => inTransaction(db, name, patience, act),
    attempt: async (act) => {
      try {
        return await patiently(patience, isAway, act);
      } catch (error) {
        throw inWords(place, error, 'away');
      }
    },
    close: async () => {
      if (!pool.ending) await pool.end();
    },
  };
}

function isAway(error: unknown): boolean {
  return databaseTrouble(error).kind === 'away';
}

/** Making what is there already asks for rights that a tester need not have. */
async function prepared(
  address: DatabaseAddress,
  pool: pg.Pool,
  db: Kysely<RecordTables>,
  migrations: readonly RecordMigration[],
): Promise<void> {
  const place = address.shown;
  const problem = await versionProblem(pool);
  if (problem !== null) throw new RecordStoreError('cannot be opened', `${place}: ${problem}`);
  const at: FormPlace = {
    place,
    migrations,
    dialect: { kind: 'PostgreSQL', schema: RECORD_SCHEMA },
  };
  if ((await presentForm(db, at)) === newestForm(at)) return;
  await alone(address, RECORD_SCHEMA, () => bringUpToDate(db, at));
}

/** Read committed, PostgreSQL's default: each statement sees what was committed before it began, so all
 * after the lock see what its last holder wrote. The lock ends with the transaction. */
function inTransaction<T>(
  db: Kysely<RecordTables>,
  name: string,
  patience: number,
  act: (connection: Kysely<RecordTables>) => Promise<T>,
): Promise<T> {
  return db
    .transaction()
    .setIsolationLevel('read committed')
    .execute(async (transaction) => {
      await settingsFor(patience).execute(transaction);
      const key = `${RECORD_SCHEMA} ${name}`;
      await sql`select pg_advisory_xact_lock(hashtextextended(${key}, 0))`.execute(transaction);
      return act(transaction);
    });
}

/** Of this transaction alone. Where the server answers commits before they are on its disk, these wait. */
function settingsFor(patience: number) {
  return sql`select
    set_config('lock_timeout', ${String(patience)}, true),
    set_config('idle_in_transaction_session_timeout', ${String(IDLE_LIMIT)}, true),
    set_config(
      'synchronous_commit',
      case current_setting('synchronous_commit') when 'off' then 'on' else current_setting('synchronous_commit') end,
      true)`;
}

function inWords(place: string, error: unknown, whenAway: 'away' | 'cannot be opened'): unknown {
  if (error instanceof RecordStoreError) return error;
  if (codeOf(error) === LOCK_TIMEOUT) {
    const message = `${place}: somebody else writes to it for long; allowed: wait until it is done`;
    return new RecordStoreError('locked', message, { cause: error });
  }
  const trouble = databaseTrouble(error);
  if (trouble.kind === 'other') return error;
  const problem = trouble.kind === 'away' ? whenAway : 'cannot be opened';
  const unsure =
    problem === 'away'
      ? '; whether the last entry was kept is not known, and sending it again keeps it once'
      : '';
  return new RecordStoreError(problem, `${place}: ${trouble.reason}${unsure}`, { cause: error });
}
