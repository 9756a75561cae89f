/** A long computation: started, told of while it runs, stopped, and its answer. */

import type { Progress, Task } from '../../engine/task.js';
import { TaskStopped } from '../../engine/task.js';

export type TaskView<T> =
  | { readonly kind: 'idle' }
  | {
      readonly kind: 'running';
      readonly done: number;
      readonly total: number;
      readonly what: string;
    }
  | { readonly kind: 'problem'; readonly words: string }
  | { readonly kind: 'done'; readonly result: T };

export interface TaskRunner<T> {
  /** ends one that runs, and begins anew; the result, or null when it was stopped or went wrong */
  readonly start: (begin: (progress: Progress) => Task<T>) => Promise<T | null>;
  readonly stop: () => void;
  readonly forget: () => void;
}

/** @param tell of the newest that was started; of those before it nothing more is told */
export function taskRunner<T>(tell: (view: TaskView<T>) => void): TaskRunner<T> {
  let running: Task<T> | null = null;
  return {
    stop: () => running?.stop(),
    forget: () => tell({ kind: 'idle' }),
    async start(begin) {
      running?.stop();
      tell({ kind: 'running', done: 0, total: 1, what: '' });
      const task: Task<T> = begin((done, total, what) => {
        // told on, although it was stopped meanwhile
        if (running === task) tell({ kind: 'running', done, total, what });
      });
      running = task;
      try {
        const result = await task.result;
        if (running === task) tell({ kind: 'done', result });
        return result;
      } catch (error) {
        const words = error instanceof Error ? error.message : String(error);
        if (running === task) {
          tell(error instanceof TaskStopped ? { kind: 'idle' } : { kind: 'problem', words });
        }
        return null;
      } finally {
        if (running === task) running = null;
      }
    },
  };
}
