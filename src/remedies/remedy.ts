/**
 * What a search for remedies says. SI inside; the edges choose the units shown.
 *
 * A lever is one way of changing a cart, with one amount. A remedy is one lever, or two together, at
 * the least amount with which every finding passes with the margin wanted.
 */

import type { Amount, FailureMode, Finding } from '../analysis/index.js';
import type { CartEdit } from '../document/index.js';

/** Words with the amounts in them kept as numbers, so that each reader gets his own units. */
export type Phrase = readonly (string | Amount)[];

export const LEVER_KINDS = [
  'lock layout',
  'castor spacing',
  'wheel diameter',
  'trail',
  'tread friction',
  'ballast',
  'mover limit',
  'load limit',
  'marking',
  'part place',
] as const;
export type LeverKind = (typeof LEVER_KINDS)[number];

/** Who sees to it: the design itself, or whoever uses the cart. */
export type Reliance = 'design' | 'user';

/** One change of a remedy: a lever at an amount. */
export interface Change {
  readonly kind: LeverKind;
  /** id of the lever, unique in a search: 'castor spacing: wider' */
  readonly lever: string;
  readonly words: Phrase;
  readonly amount: Amount;
  /** the amount as a share of the lever's reach, 0 to 1; of a lock layout: castors changed / castors */
  readonly share: number;
  readonly relies: Reliance;
  readonly edits: readonly CartEdit[];
  /** what to know about it: assumptions, whose duty it becomes */
  readonly notes: readonly string[];
}

/** One finding before and after. A reserve is capacity / demand (limit / demand where the clause
 * limits from above) at the low end of friction; null: not asked, or not known. */
export interface Effect {
  readonly id: string;
  readonly title: string;
  readonly before: number | null;
  readonly after: number | null;
  /** no configuration has a reserve below this; null: not proven, or not asked */
  readonly proven: number | null;
  readonly became:
    | 'better'
    | 'as before'
    | 'thinner'
    | 'no longer asked'
    | 'asked now'
    | 'not asked';
  /** why it is asked or not, afterwards */
  readonly reason: string;
}

/** The finding with the least reserve. */
export interface Governing {
  readonly id: string;
  readonly title: string;
  /** as found, at the low end of friction */
  readonly reserve: number;
  readonly mode: FailureMode | null;
  /** the finding's own sentence */
  readonly because: string;
}

export type RemedyProof =
  | { readonly kind: 'proven' }
  /** the amounts pass as found; the proof did not close: never a pass */
  | { readonly kind: 'found only'; readonly reasons: readonly string[] };

export interface Remedy {
  readonly changes: readonly [Change, ...Change[]];
  readonly edits: readonly CartEdit[];
  /** of each change: the least amount that passes as found; the proof may have asked for more */
  readonly foundFrom: readonly Amount[];
  /** sum of the shares */
  readonly size: number;
  readonly proof: RemedyProof;
  readonly effects: readonly Effect[];
  readonly governs: Governing | null;
  /** the full check of the changed cart, at the low end of friction */
  readonly findings: readonly Finding[];
}

/** A lever, or two, that does not do: the best that it comes to. */
export interface NearMiss {
  readonly changes: readonly [Change, ...Change[]];
  /** least reserve over what is asked with the margin: 1 would pass */
  readonly reached: number;
  /** the finding that stays short, and its reserve there */
  readonly short: string;
  readonly title: string;
  readonly reserve: number;
}

/** A finding of the cart as it is. */
export interface Standing {
  readonly id: string;
  readonly title: string;
  readonly reserve: number;
}

export type RemediesOutcome =
  /** every finding passes with the margin as the cart is, proven */
  | 'nothing needed'
  /** at least one remedy is proven */
  | 'remedies'
  /** something passes as found (a remedy, or the cart as it is), and nothing is proven; also where no
   * clause applies, or none that does can be judged */
  | 'not proven'
  /** no lever and no pair tried passes */
  | 'none';

export interface RemediesReport {
  readonly cart: string;
  readonly requirementSet: { readonly id: string; readonly title: string };
  /** share of what is asked that every finding is to have on top */
  readonly margin: number;
  readonly outcome: RemediesOutcome;
  /** what 'passes' means here, in one sentence */
  readonly passes: string;
  /** the findings of the cart as it is that do not pass, thinnest first */
  readonly short: readonly Standing[];
  readonly governs: Governing | null;
  /** the check of the cart as it is; null where it is short already as found */
  readonly asItIs: readonly Finding[] | null;
  /** findings that apply and cannot be computed: no remedy is sought for them */
  readonly notJudged: readonly {
    readonly id: string;
    readonly title: string;
    readonly reason: string;
  }[];
  /** best first */
  readonly remedies: readonly Remedy[];
  /** passing as found and not looked at further, since no more were asked for */
  readonly more: number;
  /** nearest first */
  readonly nearMisses: readonly NearMiss[];
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
}
