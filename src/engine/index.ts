/** Mechanics: SI and radians in and out. */

export type { CastorInput } from './castor.js';
export {
  brakeForce,
  canSwivel,
  contactAt,
  instantContact,
  isWheelLocked,
  rollingRatio,
  settledContact,
} from './castor.js';
export type { CastorLoad, CastorLoads, LoadedCastor } from './castor-loads.js';
export { castorLoadsAt, worstCastorLoads } from './castor-loads.js';
export type { Least, SearchLimits, Way } from './configuration-search.js';
export { DEFAULT_LIMITS, leastOver, UNLIMITED } from './configuration-search.js';
export type { ConfigurationBox, ConfigurationDomain, Domain } from './domain.js';
export { contains, nearestIn, positionDomain, rootBox } from './domain.js';
export { STANDARD_GRAVITY } from './gravity.js';
export type { HandleLoad, HandleLoads, LiftPoint, SharingRule } from './handles.js';
export { sharesOf, worstHandleLoads } from './handles.js';
export type { Contact, HoldingResult, LoadPath } from './holding.js';
export { frictionFactorNeeded, holdingForce, MAX_CASTORS } from './holding.js';
export type { HoldingLoad, HoldingProblem } from './holding-bound.js';
export type {
  FrictionNeed,
  HoldingCase,
  HoldingEvaluator,
  HoldingFound,
  HoldingPoint,
  HoldingWorst,
  SearchEffort,
} from './holding-worst.js';
export {
  createEvaluator,
  findHolding,
  frictionNeed,
  holdingDomain,
  QUICK_EFFORT,
  SearchStopped,
  USUAL_EFFORT,
  worstHolding,
} from './holding-worst.js';
export type { LeastFavourable } from './least-favourable.js';
export { leastFavourableSplit } from './least-favourable.js';
export { functionalLower, momentRanges, pointLower, pointRange } from './mass-bounds.js';
export type { Greatest } from './mass-extremes.js';
export { greatestCentre, greatestFunctional } from './mass-extremes.js';
export type { MassModel } from './mass-model.js';
export { buildMassModel, curvedVariables, momentsAt, pointAt } from './mass-model.js';
export type {
  DownPoint,
  ForceRule,
  OverturningInput,
  PushPoint,
  PushTipping,
  Tipping,
} from './overturning.js';
export {
  worstCombined,
  worstDownwardForce,
  worstIncline,
  worstLoadPoint,
  worstPush,
  worstSuddenStop,
} from './overturning.js';
export type {
  Propulsion,
  RollingCastor,
  RollingForce,
  ThresholdRow,
  WorstPropulsion,
} from './rolling.js';
export {
  climbRatio,
  climbSpeed,
  energyAfterImpact,
  propulsion,
  propulsionLimit,
  worstPropulsion,
  worstThreshold,
} from './rolling.js';
export type { SupportCastor, SupportEdge, SupportPolygon } from './support-polygon.js';
export { contactPolygon, supportMargin, supportPolygon } from './support-polygon.js';
