/** A long computation in a component: it ends with the component. */

import { useEffect, useState } from 'react';
import type { TaskRunner, TaskView } from './running-task.js';
import { taskRunner } from './running-task.js';

export interface RunningTask<T> extends TaskRunner<T> {
  readonly view: TaskView<T>;
}

export function useTask<T>(): RunningTask<T> {
  const [view, setView] = useState<TaskView<T>>({ kind: 'idle' });
  const [runner] = useState(() => taskRunner<T>(setView));
  useEffect(() => runner.stop, [runner]);
  return { view, ...runner };
}
