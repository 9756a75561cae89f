/** From a cart and a requirement set to findings. */

export { QUICK_EFFORT as QUICK_PROOF, SearchStopped } from '../engine/index.js';
export { amountText, countText, headingText, pointText, quantityText } from './amount-text.js';
export { wrapped } from './angle.js';
export { optionalValue, requiredValue } from './answer.js';
export type { CartSize } from './cart-size.js';
export { cartHeight, cartSize } from './cart-size.js';
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
export {
  clauseTitle,
  coefficientText,
  frictionText,
  modeText,
  proofText,
  proofWord,
  worstSettings,
} from './finding-words.js';
export type { HoldingRay, HoldingRose, RoseOptions } from './holding-rose.js';
export { holdingRose } from './holding-rose.js';
export type { FrictionEnd } from './holding-search.js';
export type { Pose } from './pose.js';
export { fitPose, pinnedAt, startPose } from './pose.js';
export type { Placement, PosedCart, PosedCastor, PosedMass, TippingLine } from './posed-cart.js';
export { poseCart } from './posed-cart.js';
export { travelDirection } from './propulsion.js';
export type { LeanPlace, PushPlace } from './push-places.js';
export { leanPlaces, pushPlaces } from './push-places.js';
export {
  foundReserve,
  isProvenTo,
  provenReserve,
  reaches,
  reserveOf,
  reserveText,
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
export { listed } from './words.js';
export { poseOfWorst } from './worst-pose.js';
