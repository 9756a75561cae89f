/** The page's side of the worker of a test day. */

import type { Remote } from 'comlink';
import { proxy } from 'comlink';
import type { Finding } from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import type { Agreement } from '../../../judgement/index.js';
import type { RemediesReport } from '../../../remedies/index.js';
import type { RequirementSet } from '../../../requirements/index.js';
import type { PlanOptions, Prediction, TestPlan, TestRun } from '../../../test-plan/index.js';
import type { Progress, Task } from '../../engine/task.js';
import { startTask } from '../../engine/task.js';
import type { JudgedRun, TestDayWorker } from './test-day-messages.js';

function task<T>(start: (worker: Remote<TestDayWorker>) => Promise<unknown>): Task<T> {
  const worker = new Worker(new URL('./test-day-worker.ts', import.meta.url), { type: 'module' });
  return startTask<TestDayWorker, T>(worker, start);
}

export const planTask = (
  cart: Cart,
  set: RequirementSet,
  options: Omit<PlanOptions, 'onProgress'>,
  progress: Progress,
): Task<TestPlan> => task((worker) => worker.plan(cart, set, options, proxy(progress)));

export const predictionsTask = (
  cart: Cart,
  set: RequirementSet,
  runs: readonly TestRun[],
  progress: Progress,
): Task<readonly Prediction[]> =>
  task((worker) => worker.predictions(cart, set, runs, proxy(progress)));

export const agreementsTask = (
  cart: Cart,
  set: RequirementSet,
  judged: readonly JudgedRun[],
  progress: Progress,
): Task<readonly (Agreement | null)[]> =>
  task((worker) => worker.agreements(cart, set, judged, proxy(progress)));

export const checkTask = (
  cart: Cart,
  set: RequirementSet,
  progress: Progress,
): Task<readonly Finding[]> => task((worker) => worker.check(cart, set, proxy(progress)));

export const remediesTask = (
  cart: Cart,
  set: RequirementSet,
  margin: number,
  progress: Progress,
): Task<RemediesReport> => task((worker) => worker.remedies(cart, set, margin, proxy(progress)));
