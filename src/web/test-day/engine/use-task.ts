/** A long computation in a component: started, shown while it runs, stopped, and its answer. */

import { useCallback, useEffect, useRef, useState } from 'react';
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

export interface RunningTask<T> {
  readonly view: TaskView<T>;
  /** ends one that runs, and begins anew; the result, or null when it was stopped or went wrong */
  readonly start: (begin: (progress: Progress) => Task<T>) => Promise<T | null>;
  readonly stop: () => void;
  readonly forget: () => void;
}

export function useTask<T>(): RunningTask<T> {
  const [view, setView] = useState<TaskView<T>>({ kind: 'idle' });
  const running = useRef<Task<T> | null>(null);
  const stop = useCallback(() => running.current?.stop(), []);
  useEffect(() => stop, [stop]);
  const start = useCallback(async (begin: (progress: Progress) => Task<T>) => {
    running.current?.stop();
    setView({ kind: 'running', done: 0, total: 1, what: '' });
    const task: Task<T> = begin((done, total, what) => {
      // told on, although it was stopped meanwhile
      if (running.current === task) setView({ kind: 'running', done, total, what });
    });
    running.current = task;
    try {
      const result = await task.result;
      if (running.current === task) setView({ kind: 'done', result });
      return result;
    } catch (error) {
      const words = error instanceof Error ? error.message : String(error);
      if (running.current === task) {
        setView(error instanceof TaskStopped ? { kind: 'idle' } : { kind: 'problem', words });
      }
      return null;
    } finally {
      if (running.current === task) running.current = null;
    }
  }, []);
  const forget = useCallback(() => setView({ kind: 'idle' }), []);
  return { view, start, stop, forget };
}
