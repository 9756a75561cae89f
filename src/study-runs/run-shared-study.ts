/** Runs a study that several machines share: this one's threads take jobs from the study's queue. */

import { setTimeout as pause } from 'node:timers/promises';
import { chosenToProve, frontOf, variantCount } from '../studies/index.js';
import type { PostgresStudies, SharedStudy } from './postgres-studies.js';
import type { StudyHands, StudyWork, WorkEnd } from './queue-worker.js';
import { IDLE, replenish, waitedOut, workOnStudy } from './queue-worker.js';
import type { StudyProgress } from './run-study.js';
import { blockSpan } from './run-study.js';
import type { StudyStore } from './store.js';
import { StudyStoreError } from './store-error.js';
import type { JobFailure } from './study-queue.js';
import { saysStudyIsGone } from './study-trouble.js';
import type { PoolOptions, WorkerPool } from './worker-pool.js';
import { startWorkers } from './worker-pool.js';

export interface SharedRunOptions extends PoolOptions {
  /** gives back at once what this machine has in hand */
  readonly stop: AbortSignal;
  readonly whenIdle: StudyWork['whenIdle'];
  readonly onAway?: StudyWork['onAway'] | undefined;
  /** of all machines together */
  readonly onProgress?: (progress: StudyProgress) => void;
}

function handsOf(store: StudyStore, pool: WorkerPool): StudyHands {
  return {
    // One more than there are threads, so that none waits for the database.
    atOnce: pool.workers + 1,
    screenBlock: (block) => {
      const { from, count } = blockSpan(store, block);
      return pool.screen(from, count);
    },
    chooseFront: async () => chosenToProve(store.study, await frontOf(store.study, store.rows())),
    prove: pool.prove,
  };
}

/** Puts the work of a study in. @returns how it stands, where there is nothing to do */
export function submitSharedStudy({ store, queue }: SharedStudy): Promise<WorkEnd | null> {
  return replenish({ store, queue });
}

/** @throws what the database refuses */
export async function runSharedStudy(
  { store, queue }: SharedStudy,
  options: SharedRunOptions,
): Promise<WorkEnd> {
  const pool = startWorkers(store.study, options);
  const over = new AbortController();
  const watching = watch(store, options, over.signal);
  try {
    return await workOnStudy({ ...options, store, queue, hands: handsOf(store, pool) });
  } finally {
    over.abort();
    await watching;
    // Nothing that it still computes is wanted: it is done, or given back.
    await pool.abandon();
  }
}

export interface SharedRunsOptions extends Omit<SharedRunOptions, 'whenIdle'> {
  /** version of the program: studies of another one are left alone */
  readonly program: string;
  /** wait for further studies when none needs work */
  readonly stay: boolean;
  /** once each */
  readonly onNews?: (study: string, news: StudyNews) => void;
}

export type StudyNews =
  /** this machine begins to work on it */
  | { readonly kind: 'begun' }
  | { readonly kind: 'complete' }
  | { readonly kind: 'stuck'; readonly failures: readonly JobFailure[] }
  | { readonly kind: 'removed' }
  /** it was begun by this other version, and is left alone */
  | { readonly kind: 'other program'; readonly program: string };

/** What came of looking after a study once. */
type Turn = StudyNews | { readonly kind: 'idle' } | { readonly kind: 'stopped' };

/** Threads are started only where there is something to take. */
async function takeTurn(
  open: () => Promise<SharedStudy>,
  options: SharedRunsOptions,
  begin: () => void,
): Promise<Turn> {
  try {
    const shared = await waitedOut(options, open);
    const end = await waitedOut(options, () => replenish(shared));
    if (end !== null) return end;
    if ((await waitedOut(options, shared.queue.counts)).waiting === 0) return { kind: 'idle' };
    begin();
    return await runSharedStudy(shared, { ...options, whenIdle: 'end' });
  } catch (error) {
    const gone = error instanceof StudyStoreError && error.problem === 'no study';
    if (gone || saysStudyIsGone(error)) return { kind: 'removed' };
    throw error;
  }
}

/** Nothing more will come of it. */
const SETTLED: readonly Turn['kind'][] = ['complete', 'removed', 'other program'];

/** What this machine knows of the studies from earlier rounds. */
interface Known {
  readonly settled: Set<number>;
  readonly shared: Map<number, SharedStudy>;
  /** kinds of news that were told, by study */
  readonly told: Map<number, Set<StudyNews['kind']>>;
}

/** A study that is put in again after it was removed has the same id, and is to be worked on anew. */
function forgetRemoved({ settled, shared, told }: Known, listed: ReadonlySet<number>): void {
  for (const known of [settled, shared, told]) {
    for (const id of known.keys()) if (!listed.has(id)) known.delete(id);
  }
}

/** Looks after every study that is not settled, once. @returns what came of each */
async function goRound(
  studies: PostgresStudies,
  options: SharedRunsOptions,
  { settled, shared, told }: Known,
): Promise<readonly Turn['kind'][]> {
  const kinds: Turn['kind'][] = [];
  const listed = await waitedOut(options, studies.list);
  forgetRemoved({ settled, shared, told }, new Set(listed.map(({ id }) => id)));
  for (const { id, name, program } of listed) {
    if (settled.has(id)) continue;
    const tell = (news: StudyNews): void => {
      const before = told.get(id) ?? new Set();
      if (!before.has(news.kind)) options.onNews?.(name, news);
      told.set(id, before.add(news.kind));
    };
    const open = async (): Promise<SharedStudy> => {
      const study = shared.get(id) ?? (await studies.find(name));
      shared.set(id, study);
      return study;
    };
    const turn: Turn =
      program === options.program
        ? await takeTurn(open, options, () => tell({ kind: 'begun' }))
        : { kind: 'other program', program };
    options.stop.throwIfAborted();
    if (turn.kind !== 'idle' && turn.kind !== 'stopped') tell(turn);
    if (SETTLED.includes(turn.kind)) settled.add(id);
    kinds.push(turn.kind);
  }
  return kinds;
}

/**
 * Works on every study of the database that needs it, one after the other, until none does.
 *
 * @throws UselessWorkerError, and what the database refuses
 */
export async function runSharedStudies(
  studies: PostgresStudies,
  options: SharedRunsOptions,
): Promise<'done' | 'stopped'> {
  const known: Known = { settled: new Set(), shared: new Map(), told: new Map() };
  try {
    for (;;) {
      const kinds = await goRound(studies, options, known);
      if (!options.stay && !kinds.includes('idle')) return 'done';
      if (!kinds.includes('complete')) await pause(IDLE, undefined, { signal: options.stop });
    }
  } catch (error) {
    if (options.stop.aborted) return 'stopped';
    throw error;
  }
}

/** How a study that is shared stands, by what is written. */
async function sharedProgress(store: StudyStore): Promise<StudyProgress> {
  const { rows, passing } = await store.tally();
  const front = await store.front();
  if (front !== null) {
    const proofs = await store.proofs();
    return { phase: 'proving', done: proofs.length, total: front.length, passing };
  }
  const total = variantCount(store.study);
  return { phase: rows < total ? 'screening' : 'choosing', done: rows, total, passing };
}

/** ms between two looks at least; counting the rows of a great study takes some time, and the looks
 * are to take a twentieth of it at most. */
const LOOK_EVERY = 1000;
const SHARE = 20;

async function watch(
  store: StudyStore,
  { onProgress }: SharedRunOptions,
  over: AbortSignal,
): Promise<void> {
  if (onProgress === undefined) return;
  while (!over.aborted) {
    const begun = performance.now();
    // Progress is told when the database answers; whoever works meets what is wrong with it.
    await sharedProgress(store).then(onProgress, () => {});
    const wait = Math.max(LOOK_EVERY, SHARE * (performance.now() - begun));
    await pause(wait, undefined, { signal: over }).catch(() => {});
  }
}
