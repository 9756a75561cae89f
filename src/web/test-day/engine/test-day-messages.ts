/** What a test day asks of its worker. */

import type { Finding } from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import type { Agreement, RunJudgement } from '../../../judgement/index.js';
import type { RemediesReport } from '../../../remedies/index.js';
import type { RequirementSet } from '../../../requirements/index.js';
import type { PlanOptions, Prediction, TestPlan, TestRun } from '../../../test-plan/index.js';
import type { Progress } from '../../engine/task.js';

/** A run as it was judged. */
export interface JudgedRun {
  readonly run: TestRun;
  readonly judgement: RunJudgement;
}

export interface TestDayWorker {
  /** checks the cart, then plans */
  readonly plan: (
    cart: Cart,
    set: RequirementSet,
    options: Omit<PlanOptions, 'onProgress'>,
    progress: Progress,
  ) => TestPlan;
  /** every run's prediction for another cart than the plan was made of, such as the one measured */
  readonly predictions: (
    cart: Cart,
    set: RequirementSet,
    runs: readonly TestRun[],
    progress: Progress,
  ) => readonly Prediction[];
  /** predicted against measured, run by run; null: nothing to compare */
  readonly agreements: (
    cart: Cart,
    set: RequirementSet,
    judged: readonly JudgedRun[],
    progress: Progress,
  ) => readonly (Agreement | null)[];
  /** the check of the cart as measured */
  readonly check: (cart: Cart, set: RequirementSet, progress: Progress) => readonly Finding[];
  readonly remedies: (
    cart: Cart,
    set: RequirementSet,
    margin: number,
    progress: Progress,
  ) => RemediesReport;
}
