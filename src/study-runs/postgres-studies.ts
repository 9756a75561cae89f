/**
 * Studies in a PostgreSQL database, each with its results and its queue, for any number of machines.
 *
 * Two schemas hold everything: one the results, one the queue. All commits wait for the server's disk
 * where the server is set up so (its default).
 */

import { Kysely, PostgresDialect } from 'kysely';
import type pg from 'pg';
import type PgBoss from 'pg-boss';
import type { DatabaseAddress } from '../database/index.js';
import { alone, makePool, readAddress, versionProblem } from '../database/index.js';
import type { Study } from '../studies/index.js';
import type { KeptStudy, OpeningOptions } from './database-store.js';
import {
  beginStudy,
  checkTables,
  definitionOf,
  digestOf,
  keptStudy,
  prepareTables,
  storeOf,
} from './database-store.js';
import type { StudyStore } from './store.js';
import { StudyStoreError } from './store-error.js';
import type { StudyQueue } from './study-queue.js';
import { openStudyQueue, QUEUE_SCHEMA, startBoss } from './study-queue.js';
import { studyTrouble } from './study-trouble.js';
import type { StudyTables } from './tables.js';

/** A study that several machines can work on. */
export interface SharedStudy {
  readonly kept: KeptStudy;
  /** its `close` does nothing: the database is closed as a whole */
  readonly store: StudyStore;
  readonly queue: StudyQueue;
}

/** A study without its definition, which may be long. */
export type ListedStudy = Pick<StudyTables['study'], 'id' | 'name' | 'digest' | 'program'>;

export interface PostgresStudies {
  /** without a password */
  readonly place: string;
  /** the connection can be read on its way */
  readonly open: boolean;
  /** in the order of their names */
  readonly list: () => Promise<readonly ListedStudy[]>;
  /** begins the study, or finds it; @throws StudyStoreError for another study of that name */
  readonly begin: (study: Study, options: BeginOptions) => Promise<SharedStudy>;
  /** @throws StudyStoreError when there is none of that name */
  readonly find: (name: string) => Promise<SharedStudy>;
  /** deletes the study with all its results */
  readonly remove: (name: string) => Promise<void>;
  readonly close: () => Promise<void>;
}

export type BeginOptions = Omit<OpeningOptions, 'place'> & {
  /** s after which the work of a machine that fell silent is handed out again, >= 1 */
  readonly lease?: number;
};

/** s. Minutes, since a proof of a large cart on a slow machine takes about one. */
export const USUAL_LEASE = 300;

export const RESULT_SCHEMA = 'standstill';

/** What the database refused, or that it does not answer, in words; any other error as it is. */
export function databaseErrorInWords(place: string, error: unknown): unknown {
  if (error instanceof StudyStoreError) return error;
  const trouble = studyTrouble(error);
  if (trouble.kind === 'other') return error;
  return new StudyStoreError('cannot be opened', `${place}: ${trouble.reason}`, { cause: error });
}

async function checkServer(pool: pg.Pool, place: string): Promise<void> {
  const problem = await versionProblem(pool);
  if (problem !== null) throw new StudyStoreError('cannot be opened', `${place}: ${problem}`);
}

/** The last table and what is written after it: making them may have been cut short. */
async function isPrepared(pool: pg.Pool, db: Kysely<StudyTables>): Promise<boolean> {
  const { rows } = await pool.query('SELECT to_regclass($1) IS NOT NULL AS there', [
    `${RESULT_SCHEMA}.study_proof`,
  ]);
  if (!rows[0].there) return false;
  return (await db.selectFrom('study_tables').select('version').execute()).length > 0;
}

/** Making what is there already asks for rights that a worker need not have. */
async function prepared(
  address: DatabaseAddress,
  pool: pg.Pool,
  db: Kysely<StudyTables>,
): Promise<void> {
  const place = address.shown;
  // making tables, and beginning a study under a name
  await alone(address, RESULT_SCHEMA, async () => {
    if (await isPrepared(pool, db)) return;
    await pool.query(`CREATE SCHEMA IF NOT EXISTS ${RESULT_SCHEMA}`);
    await prepareTables(db, place);
  });
  await checkTables(db, place);
}

function noStudy(place: string, name: string, names: readonly string[]): StudyStoreError {
  const quoted = names.map((each) => `"${each}"`).join(', ');
  const there = names.length === 0 ? 'there is none yet' : `allowed: ${quoted}`;
  return new StudyStoreError('no study', `${place}: holds no study "${name}"; ${there}`);
}

function shortly(digest: string): string {
  return digest.slice(0, 12);
}

interface Connected {
  readonly address: DatabaseAddress;
  readonly place: string;
  readonly pool: pg.Pool;
  readonly db: Kysely<StudyTables>;
  readonly boss: PgBoss;
}

async function connected(address: DatabaseAddress): Promise<Connected> {
  const pool = makePool(address);
  const place = address.shown;
  try {
    await checkServer(pool, place);
    const db = new Kysely<StudyTables>({ dialect: new PostgresDialect({ pool }) }).withSchema(
      RESULT_SCHEMA,
    );
    await prepared(address, pool, db);
    const boss = await startBoss(pool, place);
    return { address, place, pool, db, boss };
  } catch (error) {
    await pool.end();
    throw error;
  }
}

function shared(
  { address, db, boss, pool }: Connected,
  kept: KeptStudy,
  lease = USUAL_LEASE,
): SharedStudy {
  const { id } = kept;
  const queue = openStudyQueue(boss, pool, {
    name: `study_${id}`,
    lease,
    alone: (act) => alone(address, RESULT_SCHEMA, act),
    isKept: async () => (await listed(db)).some((each) => each.id === id),
  });
  return { kept, queue, store: { ...storeOf(db, kept), close: async () => {} } };
}

function listed(db: Kysely<StudyTables>): Promise<ListedStudy[]> {
  const columns = ['id', 'name', 'digest', 'program'] as const;
  return db.selectFrom('study').select(columns).orderBy('name').execute();
}

async function keptNamed({ db, place }: Connected, name: string): Promise<KeptStudy> {
  const found = await db
    .selectFrom('study')
    .selectAll()
    .where('name', '=', name)
    .executeTakeFirst();
  if (found !== undefined) return keptStudy(found);
  const names = (await listed(db)).map((each) => each.name);
  throw noStudy(place, name, names);
}

async function begun(
  connection: Connected,
  study: Study,
  { lease, ...options }: BeginOptions,
): Promise<SharedStudy> {
  const { db, address, place } = connection;
  const digest = digestOf(definitionOf(study));
  await alone(address, RESULT_SCHEMA, async () => {
    const other = (await listed(db)).find(
      (each) => each.name === study.name && each.digest !== digest,
    );
    if (other !== undefined) {
      throw new StudyStoreError(
        'other study',
        `${place}: holds another study "${study.name}", or this one before its files were changed (digest ${shortly(other.digest)}, here ${shortly(digest)}); allowed: the files as they were, another name, or to remove that study first`,
      );
    }
    // A study without a queue would stop everybody who may not make one.
    if (!(await mayMakeQueues(connection))) {
      throw new StudyStoreError(
        'no right',
        `${place}: this user may work on studies, not put them in; allowed: the user who made the tables of the queue (schema ${QUEUE_SCHEMA}), or a member of that role`,
      );
    }
    await beginStudy(db, study, { ...options, place });
  });
  return shared(connection, await keptNamed(connection, study.name), lease);
}

/** A queue is a part of pg-boss's table of jobs, and parts are for the owner to make. */
async function mayMakeQueues({ pool }: Connected): Promise<boolean> {
  const { rows } = await pool.query(
    "SELECT pg_has_role(current_user, relowner, 'USAGE') AS may FROM pg_class WHERE oid = $1::regclass",
    [`${QUEUE_SCHEMA}.job`],
  );
  return rows[0]?.may === true;
}

/** The study first: whoever works on it then learns that it is gone. */
async function removed(connection: Connected, name: string): Promise<void> {
  const { db } = connection;
  const kept = await keptNamed(connection, name);
  const { queue } = shared(connection, kept);
  await db.transaction().execute(async (transaction) => {
    const tables = ['study_proof', 'study_chosen', 'study_variant', 'study_block'] as const;
    for (const table of tables) {
      await transaction.deleteFrom(table).where('study', '=', kept.id).execute();
    }
    await transaction.deleteFrom('study').where('id', '=', kept.id).execute();
  });
  await queue.remove();
}

/**
 * Connects, and makes the tables where there are none. What the database refuses later is thrown as
 * it comes: `databaseErrorInWords`.
 *
 * @throws StudyStoreError for an address that is none, a server that does not answer, says no, or is
 *   too old, and for tables of another version
 */
export async function openPostgresStudies(url: string): Promise<PostgresStudies> {
  const address = readAddress(url);
  if (address.kind === 'invalid') {
    throw new StudyStoreError('cannot be opened', address.problem);
  }
  const place = address.value.shown;
  const connection = await connected(address.value).catch((error: unknown) => {
    throw databaseErrorInWords(place, error);
  });
  const { db, pool, boss } = connection;
  return {
    place,
    open: address.value.open,
    list: () => listed(db),
    begin: (study, options) => begun(connection, study, options),
    find: async (name) => shared(connection, await keptNamed(connection, name)),
    remove: (name) => removed(connection, name),
    close: async () => {
      await boss.stop({ graceful: false });
      await pool.end();
    },
  };
}
