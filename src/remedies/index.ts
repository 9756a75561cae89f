/** What to change: the smallest changes that make every finding pass with a margin. */

export type { RemedyOptions } from './find-remedies.js';
export { findRemedies, USUAL_MARGIN, USUAL_MOST } from './find-remedies.js';
export type { LeastStep, StepScore } from './least-step.js';
export { leastStep } from './least-step.js';
export type { ProofEffort } from './prove-remedy.js';
export { PROOF_EFFORT } from './prove-remedy.js';
export type { Reaches } from './reaches.js';
export { USUAL_REACHES } from './reaches.js';
export type {
  Change,
  Effect,
  Governing,
  LeverKind,
  NearMiss,
  Phrase,
  Reliance,
  RemediesOutcome,
  RemediesReport,
  Remedy,
  RemedyProof,
  Standing,
} from './remedy.js';
export { LEVER_KINDS } from './remedy.js';
export type { AboutRemedies } from './remedy-words.js';
export {
  aboutRemedies,
  changesText,
  governsText,
  nowText,
  outcomeOf,
  phraseText,
  raisedText,
  reliesOn,
} from './remedy-words.js';
