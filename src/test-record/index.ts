/** The test record: entries, rules, the hash chain, and the state they add up to. */

export type { Admission } from './admission.js';
export { admit, attachmentsOf } from './admission.js';
export { ATTACHMENT_ENDINGS, mediaOf } from './attachment-media.js';
export type { ChainCheck, ChainReport, KnownHead } from './chain.js';
export {
  canonicalJson,
  chainCheck,
  chained,
  contentHash,
  entryHash,
  FIRST_PREVIOUS,
  verifyChain,
} from './chain.js';
export type {
  EntryProblem,
  EntryProblemCode,
  KeptEntry,
  NewEntry,
  SubmitOutcome,
} from './entry.js';
export type {
  Attachment,
  CartBody,
  Conditions,
  ContentBody,
  ContentOf,
  DiagnosisBody,
  EntryBody,
  FrictionBody,
  InstrumentBody,
  Movement,
  NoteBody,
  PlanBody,
  ProjectBody,
  RecordKind,
  ReviewBody,
  RunBody,
  RunReading,
  SampleBody,
  ShownByScale,
  Subject,
  TraceTaken,
  Typed,
  Used,
  WeighingBody,
  WithdrawalBody,
} from './entry-body.js';
export {
  ATTACHMENT_MEDIA,
  LIST_LIMITS,
  MOST_ATTACHMENT_BYTES,
  PHOTO_MEDIA,
  TABLE_MEDIA,
  TEXT_LIMITS,
} from './entry-limits.js';
export { placeWords } from './entry-problem.js';
export { instrumentOn, isExpired } from './instrument-rules.js';
export type { ProjectState, RecordState } from './project-state.js';
export {
  entriesOf,
  entryOf,
  isContent,
  isPending,
  projectState,
  recordOf,
  recordsOf,
  withEntries,
  withPending,
} from './project-state.js';
export type { ReadEntry } from './read-entry.js';
export { entryJsonSchema, readEntry } from './read-entry.js';
export { filesOf } from './record-references.js';
export { recordTitle, subjectTitle } from './record-title.js';
export { loadDimension } from './run-rules.js';
export { celsiusIn, celsiusOf, dimensionOf, kelvinsIn, siOf } from './typed-value.js';
