/** Runs a study on this machine: screens every block, chooses the front, proves it. */

import type { VariantRow } from '../studies/index.js';
import { chosenToProve, frontOf, variantCount } from '../studies/index.js';
import type { StudyStore } from './store.js';
import type { PoolOptions, WorkerPool } from './worker-pool.js';
import { startWorkers } from './worker-pool.js';

export interface StudyProgress {
  readonly phase: 'screening' | 'choosing' | 'proving';
  /** variants screened or looked at, or proofs made; of how many */
  readonly done: number;
  readonly total: number;
  /** variants that pass the screening, so far */
  readonly passing: number;
}

export interface RunOptions extends PoolOptions {
  /** stops once the blocks in hand are written */
  readonly stop?: AbortSignal;
  readonly onProgress?: (progress: StudyProgress) => void;
}

/**
 * Does whatever of the study is not done yet. Results do not depend on the number of workers, nor on
 * how often the run was stopped.
 *
 * @returns 'stopped' when it was asked to stop before everything was done
 * @throws VariantTaskError when a block or a proof fails at every attempt; what was done is kept
 */
export async function runStudy(
  store: StudyStore,
  options: RunOptions = {},
): Promise<'done' | 'stopped'> {
  const pool = startWorkers(store.study, options);
  try {
    await screenAll(store, pool, options);
    if (options.stop?.aborted) return 'stopped';
    const chosen = (await store.front()) ?? (await chooseFront(store, options));
    if (chosen === null) return 'stopped';
    await proveAll(store, chosen, pool, options);
    return options.stop?.aborted ? 'stopped' : 'done';
  } finally {
    await pool.close();
  }
}

/** First variant and number of variants of a block. */
export function blockSpan(
  { study, blockSize }: Pick<StudyStore, 'study' | 'blockSize'>,
  block: number,
): { readonly from: number; readonly count: number } {
  const from = block * blockSize;
  return { from, count: Math.min(blockSize, variantCount(study) - from) };
}

async function screenAll(store: StudyStore, pool: WorkerPool, options: RunOptions): Promise<void> {
  const { rows, passing } = await store.tally();
  const total = variantCount(store.study);
  const so = { phase: 'screening' as const, done: rows, total, passing };
  options.onProgress?.({ ...so });
  const open = openBlocks(marksOf(store.blockCount, await store.doneBlocks()));
  await inLanes(open, pool.workers, options.stop, async (block) => {
    const { from, count } = blockSpan(store, block);
    const screened = await pool.screen(from, count);
    if (!(await store.putBlock(block, screened))) return;
    so.done += count;
    so.passing += screened.filter((row) => row.passes).length;
    options.onProgress?.({ ...so });
  });
}

/** One byte a block, 1: done. A set of millions of numbers would take fifty times as much. */
export function marksOf(blocks: number, done: readonly number[]): Uint8Array {
  const marks = new Uint8Array(blocks);
  for (const block of done) marks[block] = 1;
  return marks;
}

function* openBlocks(done: Uint8Array): Generator<number> {
  for (const [block, mark] of done.entries()) if (mark === 0) yield block;
}

/** null: it was asked to stop */
async function chooseFront(
  store: StudyStore,
  { stop, onProgress }: RunOptions,
): Promise<readonly number[] | null> {
  const { study } = store;
  const total = variantCount(study);
  const watched = watchedRows(store.rows(), (done, passing) => {
    onProgress?.({ phase: 'choosing', done, total, passing });
    return !stop?.aborted;
  });
  const chosen = chosenToProve(study, await frontOf(study, watched));
  if (stop?.aborted) return null;
  return (await store.putFront(chosen)) ? chosen : store.front();
}

/** Rows between two looks at what was asked meanwhile. */
const LOOK_EVERY = 1000;

async function* watchedRows(
  rows: AsyncIterable<VariantRow>,
  goOn: (done: number, passing: number) => boolean,
): AsyncGenerator<VariantRow> {
  let done = 0;
  let passing = 0;
  for await (const row of rows) {
    yield row;
    done += 1;
    if (row.passes) passing += 1;
    if (done % LOOK_EVERY === 0 && !goOn(done, passing)) return;
  }
}

async function proveAll(
  store: StudyStore,
  chosen: readonly number[],
  pool: WorkerPool,
  options: RunOptions,
): Promise<void> {
  const { passing } = await store.tally();
  const proven = new Set((await store.proofs()).map(({ index }) => index));
  const open = chosen.filter((index) => !proven.has(index));
  const so = { phase: 'proving' as const, done: proven.size, total: chosen.length, passing };
  options.onProgress?.({ ...so });
  await inLanes(open, pool.workers, options.stop, async (index) => {
    if (!(await store.putProof(await pool.prove(index)))) return;
    so.done += 1;
    options.onProgress?.({ ...so });
  });
}

/**
 * Works through the items, so many at once that no worker waits: one more than there are workers.
 * Nothing is begun after a stop or a failure, and everything begun has ended when this returns.
 *
 * @throws the first failure
 */
async function inLanes<T>(
  items: Iterable<T>,
  workers: number,
  stop: AbortSignal | undefined,
  work: (item: T) => Promise<void>,
): Promise<void> {
  const rest = items[Symbol.iterator]();
  let failed = false;
  const lane = async (): Promise<void> => {
    while (!failed && !stop?.aborted) {
      const next = rest.next();
      if (next.done === true) return;
      try {
        await work(next.value);
      } catch (error) {
        failed = true;
        throw error;
      }
    }
  };
  const ends = await Promise.allSettled(Array.from({ length: workers + 1 }, lane));
  const failure = ends.find((end) => end.status === 'rejected');
  if (failure !== undefined) throw failure.reason;
}
