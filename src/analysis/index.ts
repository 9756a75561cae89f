/** From a cart and a requirement set to findings. */

export type { CartSize } from './cart-size.js';
export { cartSize } from './cart-size.js';
export { CAUTIONS } from './cautions.js';
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
export type { FrictionEnd } from './holding-search.js';
export {
  foundReserve,
  isProvenTo,
  provenReserve,
  reaches,
  reserveOf,
  withAlternative,
} from './reserve.js';
export type {
  ScreenEffort,
  ScreenedFinding,
  ScreenHints,
  Screening,
  ScreenOptions,
} from './screen-cart.js';
export { SCREEN_EFFORT, screenCart } from './screen-cart.js';
