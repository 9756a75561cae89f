/** Studies: what varies, how a variant is screened and proven, and which variants are best. */

export {
  evaluateBlock,
  evaluateVariant,
  findingIds,
  studyHints,
  VARIANT_EFFORT,
} from './evaluate-variant.js';
export type { Front } from './front.js';
export { aimValue, chosenToProve, collectFront, frontOf } from './front.js';
export { proveVariant } from './prove-variant.js';
export type {
  Study,
  StudyAim,
  StudyFactor,
  StudyOption,
  VariantProof,
  VariantRow,
} from './study.js';
export type { StudySummary } from './summarise.js';
export { summariseStudy } from './summarise.js';
export type { Variant } from './variant.js';
export {
  combinations,
  optionsOf,
  variantCart,
  variantCount,
  variantOf,
} from './variant.js';
