/** Requirement sets and confirmations as people write them: the built-in sets are kept in this form,
 * and a user's file is read into it. Keys are those of the file. */

import type { Basis, Confirmation } from './requirement-set.js';
import type {
  CASTOR_TESTS,
  PlainCondition,
  POSITIONS,
  QuestionKind,
  SURFACES,
  ValueId,
} from './vocabulary.js';

export interface ValueDraft {
  /** '10 deg'; a bare number for factors and counts */
  readonly value: string | number;
  readonly basis: Basis;
  readonly note?: string | undefined;
}

/** A clause, or what changes in the clause of the same id of the set it is based on. */
export interface ClauseDraft {
  readonly id: string;
  readonly clause?: string | undefined;
  readonly title?: string | undefined;
  readonly asks?: string | undefined;
  readonly note?: string | undefined;
  readonly alternative?: string | undefined;
  readonly question?: QuestionKind | undefined;
  readonly positions?: (typeof POSITIONS)[number] | undefined;
  readonly surfaces?: readonly (typeof SURFACES)[number][] | undefined;
  readonly test?: (typeof CASTOR_TESTS)[number] | undefined;
  readonly conditions?: readonly PlainCondition[] | undefined;
  readonly values?: { readonly [id in ValueId]?: ValueDraft | undefined } | undefined;
}

export interface SetDraft {
  readonly id: string;
  readonly title: string;
  readonly standard?: string | undefined;
  readonly edition?: string | undefined;
  readonly 'based on'?: string | undefined;
  readonly clauses: readonly ClauseDraft[];
}

/** That someone has compared one value with a copy of the standard. */
export interface ValueConfirmation extends Confirmation {
  /** ids of the set, the clause and the value */
  readonly set: string;
  readonly clause: string;
  readonly value: string;
  /** the figure as read in the copy, with its unit: '10 deg' */
  readonly reads: string;
}

/** A user's file, checked. */
export interface RequirementFile {
  readonly sets: readonly SetDraft[];
  readonly confirmations: readonly ValueConfirmation[];
}

/** What is wrong with a draft, at a path of keys and indices (from 0) inside it. */
export interface Problem {
  readonly code: string;
  readonly path: readonly (string | number)[];
  /** whether the place is the key at the end of the path, or the value there */
  readonly at: 'key' | 'value';
  readonly actual: string | null;
  readonly allowed: string;
}
