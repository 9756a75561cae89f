/** The plan of a test day. */

export type { PlanOptions } from './plan-tests.js';
export { planTests, unconfirmedCautions } from './plan-tests.js';
export { capacityOfRun, predictRun } from './predict-run.js';
export type { RunWords } from './run-words.js';
export { changesBetween, runsNeeding, runWords } from './run-words.js';
export type {
  Criterion,
  Equipment,
  InstrumentKind,
  Loading,
  Measure,
  Prediction,
  SetUp,
  TestPlan,
  TestRun,
} from './test-run.js';
export { INSTRUMENT_KINDS } from './test-run.js';
