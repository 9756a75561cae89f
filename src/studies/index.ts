/** Studies: what varies, how a variant is screened and proven, and which variants are best. */

export type {
  Study,
  StudyAim,
  StudyFactor,
  StudyOption,
  VariantProof,
  VariantRow,
} from './study.js';
