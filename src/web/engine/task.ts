/** A long computation in a worker of its own, which is ended to stop it. */

import type { Remote } from 'comlink';
import { releaseProxy, wrap } from 'comlink';

/** done, total, what comes next */
export type Progress = (done: number, total: number, what: string) => void;

export interface Task<T> {
  /** rejects with `TaskStopped` after `stop` */
  readonly result: Promise<T>;
  readonly stop: () => void;
}

export class TaskStopped extends Error {
  override readonly name = 'TaskStopped';
}

/** @param worker just made; it is ended with the task */
export function startTask<W, T>(
  worker: Worker,
  start: (remote: Remote<W>) => Promise<unknown>,
): Task<T> {
  const remote = wrap<W>(worker);
  let stop = (): void => {};
  const stopped = new Promise<never>((_, reject) => {
    stop = () => reject(new TaskStopped('stopped'));
  });
  const crashed = new Promise<never>((_, reject) => {
    worker.onerror = (event) => reject(new Error(event.message || 'the worker could not start'));
  });
  const result = Promise.race([start(remote), stopped, crashed]).finally(() => {
    remote[releaseProxy]();
    worker.terminate();
  }) as Promise<T>;
  return { result, stop: () => stop() };
}
