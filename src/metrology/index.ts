/** Measuring: uncertainty, decision rules, weighing, friction tests, traces of force gauges. */

export type { Conformity, Decision, DecisionRule, Limit } from './decision.js';
export { decide, probabilityWithin, ruleWords } from './decision.js';
export type { FrictionOutcome, FrictionResult, SlipReading } from './friction-test.js';
export { frictionShown } from './friction-test.js';
export type { GaugeFileIssue, GaugeFileOutcome, GaugeTrace } from './gauge-file.js';
export { GREATEST_GAUGE_FILE, readGaugeFile } from './gauge-file.js';
export { SEPARATOR_NAMES } from './gauge-table.js';
export type { Budget, BudgetLine, Expanded, Measured } from './measured.js';
export {
  differenceText,
  differenceTexts,
  measuredText,
  measuredTexts,
  uncertaintyText,
} from './measured-text.js';
export type { SlipOnset, TraceFeature, TraceReading } from './slip-onset.js';
export { readTrace } from './slip-onset.js';
export {
  combined,
  expanded,
  meanOf,
  ofResolution,
  rectangular,
  triangular,
  USUAL_LEVEL,
} from './uncertainty.js';
export { weighed } from './weighing.js';
export type {
  ContactPoint,
  LevelWeighing,
  ScaleReading,
  Tilt,
  TiltPoint,
  TiltWeighing,
  WeighingInput,
  WeighingLine,
  WeighingOutcome,
  WeighingResult,
} from './weighing-record.js';
