/** How sure is a verdict, and which input matters most? */

export type { ToleranceOptions } from './assess.js';
export { assessTolerances, TOLERANCE_DEFAULTS } from './assess.js';
export type { Input } from './inputs.js';
export { inputsOf } from './inputs.js';
export type {
  Convergence,
  Effect,
  InputSummary,
  Probability,
  Spreading,
  ToleranceFinding,
  ToleranceReport,
  ToleranceResult,
} from './tolerance-report.js';
export {
  byEntry,
  changeTexts,
  computedTexts,
  DISTRIBUTIONS,
  hasEffect,
  headline,
  intervalText,
  ofDrawn,
  passing,
  percent,
  spreadingTexts,
  toleranceText,
  wholePercent,
} from './tolerance-words.js';
