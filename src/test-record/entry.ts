/**
 * The test record: entries that are only ever added. What a project looks like now is worked out from
 * them; nothing is changed or deleted.
 *
 * A record (a run, a sample, an instrument...) is a line of entries with one subject: the first begins it,
 * each next one follows the one before (`base`) and replaces its content, reviews or withdraws it.
 *
 * Quantities stand as they were typed, with their unit: '34.2 lbf'. Times are ISO 8601 in UTC
 * ('2026-11-25T09:30:00.000Z'), dates ISO 8601 ('2026-11-25').
 */

import type { EntryBody } from './entry-body.js';

/** As whoever writes it makes it. */
export interface NewEntry {
  /** UUID in lower case, made by the writer: what is sent twice is kept once */
  readonly id: string;
  /** id of the project's first entry */
  readonly project: string;
  /** id of the first entry of the record it speaks of; its own id where it begins one */
  readonly subject: string;
  /** id of the newest entry of the subject that the writer knew; null: it begins the record */
  readonly base: string | null;
  /** who writes it; not blank */
  readonly who: string;
  /** the writer's clock */
  readonly at: string;
  /** why; must not be blank where the record was reviewed, is withdrawn or corrected afterwards */
  readonly why: string;
  readonly body: EntryBody;
}

/** As the store keeps it. */
export interface KeptEntry extends NewEntry {
  /** in its project: 1, 2, 3 ... without a gap */
  readonly sequence: number;
  /** the store's clock */
  readonly received: string;
  /** hash of the entry before; 64 zeros for the first */
  readonly previous: string;
  /** SHA-256 in lower-case hex of all the rest in canonical JSON (`entryHash`) */
  readonly hash: string;
}

export type EntryProblemCode =
  /** its shape: a field is missing, of another kind, not known */
  | 'shape'
  /** a quantity, date or number that cannot be */
  | 'value'
  /** it speaks of a record that is not there or of another kind */
  | 'reference'
  /** a rule of the record: expired instrument without a reason, locked record without one */
  | 'rule'
  /** an attachment whose bytes are not there */
  | 'attachment'
  /** the same id with another content */
  | 'other content';

export interface EntryProblem {
  readonly code: EntryProblemCode;
  /** 'readings 2, load' */
  readonly path: readonly (string | number)[];
  readonly actual: string | null;
  readonly allowed: string;
  /** the sentence: place, value, what is allowed */
  readonly message: string;
}

export type SubmitOutcome =
  | { readonly kind: 'kept'; readonly entry: KeptEntry }
  /** it was sent before */
  | { readonly kind: 'already'; readonly entry: KeptEntry }
  /** somebody else wrote to the record since `base`: nothing was kept; `since` is what they wrote */
  | { readonly kind: 'conflict'; readonly since: readonly KeptEntry[] }
  | { readonly kind: 'refused'; readonly problems: readonly EntryProblem[] };
