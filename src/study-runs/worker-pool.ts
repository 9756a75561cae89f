/** Screening and proving in worker threads, one task a thread at a time. */

import { availableParallelism } from 'node:os';
import { Piscina } from 'piscina';
import type { Study, VariantProof, VariantRow } from '../studies/index.js';
import { definitionOf } from './database-store.js';

export interface PoolOptions {
  /** threads; default: one for every core this process may use */
  readonly workers?: number;
  /** module with `screen` and `prove`; default: `study-worker.js` beside this one */
  readonly workerFile?: URL;
}

export interface WorkerPool {
  readonly workers: number;
  /** rows of `count` variants from `from` on */
  readonly screen: (from: number, count: number) => Promise<readonly VariantRow[]>;
  readonly prove: (index: number) => Promise<VariantProof>;
  /** lets what is running end */
  readonly close: () => Promise<void>;
  /** ends at once; what is running is lost */
  readonly abandon: () => Promise<void>;
}

/** What could not be computed, however often it was tried. */
export class VariantTaskError extends Error {
  override readonly name = 'VariantTaskError';
}

/** A thread can die of something that will not happen again (memory that was short for a moment); what
 * fails so often fails for a reason. */
const ATTEMPTS = 3;

/** ms between two beats of a timer that does nothing */
const LONG = 1_000_000;

export function startWorkers(study: Study, options: PoolOptions = {}): WorkerPool {
  const workers = options.workers ?? availableParallelism();
  const { workerFile = new URL('./study-worker.js', import.meta.url) } = options;
  // threads that start do not keep the process: without this it would end while one is replaced
  const alive = setInterval(() => {}, LONG);
  const pool = new Piscina({
    filename: workerFile.href,
    workerData: definitionOf(study),
    minThreads: workers,
    maxThreads: workers,
    idleTimeout: Number.POSITIVE_INFINITY,
  });
  const guarded = guardedRun(pool);
  const run = <T>(failure: string, task: unknown, name: string): Promise<T> =>
    persistently(failure, () => guarded<T>(task, name));
  return {
    workers,
    screen: (from, count) => {
      const failure = `variants ${from} to ${from + count - 1} could not be screened`;
      return run(failure, { from, count }, 'screen');
    },
    prove: (index) => run(`variant ${index} could not be proven`, index, 'prove'),
    async close() {
      clearInterval(alive);
      await pool.close();
    },
    async abandon() {
      clearInterval(alive);
      await pool.destroy();
    },
  };
}

/** A task that also fails once no thread is left: one that cannot even start is not replaced, and tasks
 * would wait for ever. (One that dies with a task in hand is, and its task is rejected.) */
function guardedRun(pool: Piscina): <T>(task: unknown, name: string) => Promise<T> {
  const waiting = new Set<(reason: Error) => void>();
  let last = 'they ended';
  pool.on('error', (error) => {
    last = error.message;
  });
  pool.on('workerDestroy', () => {
    setImmediate(() => {
      if (pool.threads.length > 0) return;
      for (const reject of waiting) reject(new Error(`worker threads do not start: ${last}`));
    });
  });
  return (task, name) =>
    new Promise((resolve, reject) => {
      waiting.add(reject);
      pool
        .run(task, { name })
        .then(resolve, reject)
        .finally(() => waiting.delete(reject));
    });
}

async function persistently<T>(failure: string, task: () => Promise<T>): Promise<T> {
  for (let attempt = 1; ; attempt += 1) {
    try {
      return await task();
    } catch (error) {
      if (attempt < ATTEMPTS) continue;
      const reason = error instanceof Error ? error.message : String(error);
      throw new VariantTaskError(`${failure} in ${ATTEMPTS} attempts: ${reason}`, { cause: error });
    }
  }
}
