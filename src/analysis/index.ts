/** From a cart and a requirement set to findings. */

export type { CheckOptions } from './check-cart.js';
export { checkCart } from './check-cart.js';
export { describeCart } from './describe-cart.js';
export type {
  AssumedInput,
  CartDescription,
  CastorLoadRange,
  MassState,
  PositionDescription,
} from './description.js';
export type {
  Amount,
  CastorShare,
  CheckReport,
  Dimension,
  FailureMode,
  Finding,
  Proof,
  RequirementRef,
  Verdict,
  WorkingStep,
  WorstConfiguration,
} from './finding.js';
