/** Requirement sets as data, when their clauses are asked, and the user's own sets and
 * confirmations. */

export { addConfirmation } from './add-confirmation.js';
export { applicability, surfacesAsked } from './applicability.js';
export { applyRequirementFile } from './apply-file.js';
export { builtInSets, findSet } from './built-in-sets.js';
export type {
  ClauseDraft,
  RequirementFile,
  SetDraft,
  ValueConfirmation,
  ValueDraft,
} from './draft.js';
export { requirementFileSchema } from './file-schema.js';
export type { Issue, ReadResult } from './issue.js';
export { visible } from './issue-places.js';
export { requirementSentence } from './problem-words.js';
export { readRequirementFile } from './requirement-file.js';
export type {
  Applicability,
  Basis,
  CartFacts,
  Clause,
  Condition,
  Confirmation,
  Question,
  RequirementSet,
  RequirementValue,
} from './requirement-set.js';
export {
  PLAIN_CONDITIONS,
  QUESTION_KINDS,
  QUESTIONS,
  type QuestionKind,
  type QuestionWords,
  VALUE_KINDS,
  type ValueId,
  type ValueKind,
} from './vocabulary.js';
