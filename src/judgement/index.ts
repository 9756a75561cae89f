/** Judging a test day: verdicts, agreement with the prediction, the sample against the model. */

export type { Agreement, CommonCause } from './agreement.js';
export { agreementInAll, agreementOf } from './agreement.js';
export { instrumentsAt } from './calibration.js';
export type { Diagnosis } from './diagnose.js';
export { diagnose } from './diagnose.js';
export type { Cause, ExplainedQuantity, Explanation } from './explanation.js';
export type { FailureChain, JudgedRecord } from './failure-chain.js';
export { followsRevision } from './failure-chain.js';
export type { CriterionJudgement, RunJudgement, SeenMode } from './judge-run.js';
export { judgeRun } from './judge-run.js';
export type { PlannedRun, PlanOverview, ProjectOverview } from './project-overview.js';
export { projectOverview } from './project-overview.js';
export type {
  Difference,
  ReconciledPart,
  Reconciliation,
  WeighedQuantity,
} from './reconcile.js';
export { measuredCart, reconcile } from './reconcile.js';
export { frictionOf, weighingOf } from './recorded-measurement.js';
