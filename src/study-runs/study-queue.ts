/**
 * The work of one study as jobs of a queue in PostgreSQL (pg-boss).
 *
 * A job's id follows from what it is about, so putting one in a second time changes nothing, whatever
 * state the first is in. A finished job is deleted. So the queue holds what is open, what somebody
 * works on, and what has failed for good; everything else is known from the study's store.
 */

import { createRequire } from 'node:module';
import type pg from 'pg';
import PgBoss from 'pg-boss';
import { StudyStoreError } from './store-error.js';
import { studyTrouble } from './study-trouble.js';

/** What one worker does at a time. */
export type StudyJob =
  | { readonly kind: 'block'; readonly number: number }
  /** choosing the variants to prove; `number` is always 0 */
  | { readonly kind: 'front'; readonly number: number }
  /** `number`: index of the variant */
  | { readonly kind: 'proof'; readonly number: number };

/** A job lent to this worker. */
export interface TakenJob {
  readonly id: string;
  readonly job: StudyJob;
  /** how often it may still be handed out should this attempt fail */
  readonly attemptsLeft: number;
}

/** A job that failed. */
export interface JobFailure {
  readonly job: StudyJob;
  readonly attempts: number;
  /** of the last attempt */
  readonly reason: string;
  /** it is not tried again */
  readonly final: boolean;
}

export interface QueueCounts {
  /** handed out and not back yet */
  readonly out: number;
  readonly waiting: number;
  readonly failed: number;
}

export interface StudyQueue {
  /** adds the jobs that are not there in any state */
  readonly put: (jobs: readonly StudyJob[]) => Promise<void>;
  /** @returns at most `most` jobs, lent to the caller for the queue's lease */
  readonly take: (most: number) => Promise<readonly TakenJob[]>;
  /** the lease of jobs that the caller still works on begins anew */
  readonly renew: (taken: readonly TakenJob[]) => Promise<void>;
  /** s, the lease of the jobs; null: nothing was put in yet */
  readonly lease: () => Promise<number | null>;
  readonly finish: (taken: TakenJob) => Promise<void>;
  /** counts as an attempt */
  readonly fail: (taken: TakenJob, reason: string) => Promise<void>;
  /** at once, and as if it had not been taken */
  readonly giveBack: (taken: readonly TakenJob[]) => Promise<void>;
  /** jobs whose lease is over become open again, or failed after their last attempt */
  readonly reclaim: () => Promise<void>;
  /** whatever has failed and not succeeded since */
  readonly failures: () => Promise<readonly JobFailure[]>;
  readonly counts: () => Promise<QueueCounts>;
  /** forgets the final failures, so that these jobs can be put in again */
  readonly forgiveFailures: () => Promise<void>;
  /** with all that is in it, or empties it where the right to remove it is lacking; what is put in
   * later makes it anew */
  readonly remove: () => Promise<void>;
}

export const QUEUE_SCHEMA = 'standstill_queue';

/**
 * Attempts of a job, the first included. A lost worker uses one up, and workers are lost for reasons
 * that have nothing to do with the job (a machine switched off), so a few are not enough to blame it.
 */
const ATTEMPTS = 8;

/** Share of the lease before a failed job is tried again, so that another machine may get it. */
const RETRY_AFTER = 1 / 60;

/** Of pg-boss's tables. It moves older ones on by itself, and does not notice newer ones. */
const FORM: number = createRequire(import.meta.url)('pg-boss/version.json').schema;

const KINDS: readonly StudyJob['kind'][] = ['block', 'front', 'proof'];

/** UUID of version 8 (RFC 9562: fields of one's own): the kind, then the number in decimal digits. */
function idOf({ kind, number }: StudyJob): string {
  const digits = String(number).padStart(12, '0');
  return `00000000-000${KINDS.indexOf(kind)}-8000-8000-${digits}`;
}

function jobOf(id: string): StudyJob {
  const kind = KINDS[Number(id[12])];
  if (kind === undefined) throw new RangeError(`jobOf: ${id}`);
  return { kind, number: Number(id.slice(-12)) };
}

/**
 * pg-boss on a pool of ours. Its own timers are off: no schedules, and expiry is asked for by whoever
 * has nothing to do.
 *
 * @throws StudyStoreError for a queue that a newer pg-boss has made, and whatever the database answers
 */
export async function startBoss(pool: pg.Pool, place: string): Promise<PgBoss> {
  const boss = new PgBoss({
    db: { executeSql: (text, values) => pool.query(text, values) },
    schema: QUEUE_SCHEMA,
    supervise: false,
    schedule: false,
  });
  // Nothing runs in the background; what the calls below meet is thrown to their callers.
  boss.on('error', () => {});
  await boss.start();
  const form = Number(await boss.schemaVersion());
  if (form === FORM) return boss;
  throw new StudyStoreError(
    'other version',
    `${place}: holds a queue in form ${form}; allowed: ${FORM}. Use the same version of standstill on every machine`,
  );
}

/** Statements of pg-boss inside one transaction of ours. */
async function inTransaction(pool: pg.Pool, act: (db: PgBoss.Db) => Promise<void>): Promise<void> {
  const client = await pool.connect();
  try {
    await client.query('BEGIN');
    await act({ executeSql: (text, values) => client.query(text, values) });
    await client.query('COMMIT');
    client.release();
  } catch (error) {
    // A session in an unknown state is closed, which rolls back whatever was open.
    client.release(true);
    throw error;
  }
}

/** What an attempt left behind: our own words, or pg-boss's own where its worker fell silent. */
function reasonOf(output: unknown): string {
  const reason = typeof output === 'object' && output !== null && 'reason' in output;
  return reason ? String(output.reason) : 'whoever worked on it fell silent';
}

export interface QueueWishes {
  /** of the study, unique in the database */
  readonly name: string;
  /** s after which a job is handed out again, when its worker has neither finished nor failed */
  readonly lease: number;
  /** queues are made and removed one at a time: each is a table, and two of them would lock each other */
  readonly alone: <T>(act: () => Promise<T>) => Promise<T>;
  /** the study is in the database still */
  readonly isKept: () => Promise<boolean>;
}

interface Place {
  readonly boss: PgBoss;
  readonly pool: pg.Pool;
  readonly name: string;
}

/** The queue of one study. It is made when something is put in. */
export function openStudyQueue(boss: PgBoss, pool: pg.Pool, wishes: QueueWishes): StudyQueue {
  const { name, alone } = wishes;
  const place: Place = { boss, pool, name };
  const isMade = async () => (await boss.getQueue(name)) !== null;
  return {
    put: async (jobs) => {
      // Without its queue pg-boss would drop the jobs in silence.
      if (!(await isMade())) await alone(() => make(place, wishes));
      await boss.insert(jobs.map((job) => ({ id: idOf(job), name })));
    },
    take: (most) => take(place, most),
    renew: async (jobs) => {
      await pool.query(
        `UPDATE ${QUEUE_SCHEMA}.job SET started_on = now()
          WHERE name = $1 AND id = ANY($2::uuid[]) AND state = 'active'`,
        [name, jobs.map(({ id }) => id)],
      );
    },
    lease: async () => (await boss.getQueue(name))?.expireInSeconds ?? null,
    finish: ({ id }) => boss.deleteJob(name, id),
    fail: ({ id }, reason) => boss.fail(name, id, { reason }),
    giveBack: (jobs) => giveBack(place, jobs),
    reclaim: () => boss.expire(),
    failures: () => failures(place),
    counts: () => counts(place),
    forgiveFailures: async () => {
      const final = (await failures(place)).filter((each) => each.final);
      const ids = final.map(({ job }) => idOf(job));
      if (ids.length > 0) await boss.deleteJob(name, ids);
    },
    remove: async () => {
      if (await isMade()) await alone(() => remove(place));
    },
  };
}

async function make({ boss, name }: Place, { lease, isKept }: QueueWishes): Promise<void> {
  if (!(await isKept())) {
    throw new StudyStoreError('no study', 'the study was removed from the database meanwhile');
  }
  await boss.createQueue(name, {
    name,
    retryLimit: ATTEMPTS - 1,
    retryDelay: Math.floor(lease * RETRY_AFTER),
    expireInSeconds: lease,
  });
}

/** pg-boss deletes an empty queue only. A queue is a table, which takes the rights of its owner to
 * delete; without them it stays, empty. */
async function remove({ boss, pool, name }: Place): Promise<void> {
  await pool.query(`DELETE FROM ${QUEUE_SCHEMA}.job WHERE name = $1`, [name]);
  try {
    await boss.deleteQueue(name);
  } catch (error) {
    if (studyTrouble(error).kind !== 'refused') throw error;
  }
}

/** pg-boss takes any failure of its statement for an empty queue, so that we listen in. */
async function take({ boss, pool, name }: Place, most: number): Promise<TakenJob[]> {
  const refused: unknown[] = [];
  const db: PgBoss.Db = {
    executeSql: (text, values) =>
      pool.query(text, values).catch((error: unknown) => {
        refused.push(error);
        throw error;
      }),
  };
  const jobs = await boss.fetch<object>(name, { batchSize: most, includeMetadata: true, db });
  if (refused.length > 0) throw refused[0];
  return jobs.map(({ id, retryLimit, retryCount }) => ({
    id,
    job: jobOf(id),
    attemptsLeft: retryLimit - retryCount,
  }));
}

function giveBack({ boss, pool, name }: Place, jobs: readonly TakenJob[]): Promise<void> {
  return inTransaction(pool, async (db) => {
    for (const { id, attemptsLeft } of jobs) {
      await boss.deleteJob(name, id, { db });
      await boss.insert([{ id, name, retryLimit: attemptsLeft }], { db });
    }
  });
}

async function failures({ pool, name }: Place): Promise<JobFailure[]> {
  const { rows } = await pool.query(
    `SELECT id, retry_count, output, state = 'failed' AS final FROM ${QUEUE_SCHEMA}.job
      WHERE name = $1 AND state IN ('retry', 'failed') ORDER BY id`,
    [name],
  );
  return rows.map(({ id, retry_count, output, final }) => ({
    job: jobOf(id),
    attempts: retry_count + 1,
    reason: reasonOf(output),
    final,
  }));
}

async function counts({ pool, name }: Place): Promise<QueueCounts> {
  const { rows } = await pool.query(
    `SELECT count(*) FILTER (WHERE state = 'active')::int AS out,
            count(*) FILTER (WHERE state < 'active')::int AS waiting,
            count(*) FILTER (WHERE state = 'failed')::int AS failed
       FROM ${QUEUE_SCHEMA}.job WHERE name = $1`,
    [name],
  );
  return rows[0];
}
