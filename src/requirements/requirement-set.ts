/** A requirement set: the stability clauses of one standard and edition, as data in SI units. */

export type Basis = 'seen' | 'secondary' | 'common practice' | 'memory';

export interface Confirmation {
  readonly who: string;
  /** ISO 8601 date */
  readonly when: string;
  /** which purchased copy: edition, language, licence or shelf number */
  readonly copy: string;
}

export interface RequirementValue {
  /** unique in its clause: 'incline', 'weight-fraction', 'force-cap', ... */
  readonly id: string;
  /** what it is, in words */
  readonly title: string;
  /** SI: rad, N, m, m/s, kg, s or 1 */
  readonly value: number;
  readonly dimension: 'angle' | 'force' | 'length' | 'speed' | 'mass' | 'time' | 'ratio' | 'count';
  /** as people write it: '10 deg' */
  readonly text: string;
  readonly basis: Basis;
  /** remark on the basis: 'high', 'national adoption of the 2001 edition' ... '' if none */
  readonly note: string;
  readonly confirmation: Confirmation | null;
}

/** The physical question a clause asks; each names the value ids it needs. Optional for every
 * question: mass-at-least, mass-above and height-at-least, which are the clause's thresholds (and
 * reappear as its conditions). The full list is `QUESTIONS` in vocabulary.ts. */
export type Question =
  /** values: incline; optional mark-incline (up to there a cart that tips needs a marking) */
  | { readonly kind: 'overbalance'; readonly positions: 'transport' | 'use' | 'all' }
  /** stands against a push with a low stop. values: weight-fraction, force-cap, greatest-height */
  | { readonly kind: 'horizontal force' }
  /** values: force, patch-length, patch-width, greatest-height; optional foothold-patch-width (in
   * place of patch-width where the surface is a foothold) */
  | { readonly kind: 'downward force' }
  /** values: weight-fraction, force-cap (horizontal), down-fraction, down-cap, greatest-height */
  | { readonly kind: 'combined force' }
  /** values: force-limit, greatest-height; optional speed, speed-tolerance */
  | { readonly kind: 'propulsion' }
  /** values: step-height, speed, speed-tolerance; optional step-width, passes */
  | { readonly kind: 'threshold' }
  /** locks on. values: incline, movement; optional floor-covering-least, floor-covering-most */
  | { readonly kind: 'holding on incline'; readonly positions: 'transport' | 'use' | 'all' }
  /** locks on. values: weight-fraction, force-cap, greatest-height, movement; optional
   * floor-covering-least, floor-covering-most */
  | { readonly kind: 'holding against push' }
  /** each castor against its rating. values: factor (1: plain rating) */
  | { readonly kind: 'castor load' }
  /** one castor is left out of account. optional castors-removed (always 1).
   * ratings: the ratings of all castors but one add up to the weight;
   * balance: with the most loaded castor taken away the cart does not overbalance */
  | { readonly kind: 'castor missing'; readonly test: 'ratings' | 'balance' }
  /** values: factor; optional grip-width, duration */
  | { readonly kind: 'handles' };

/** When a clause applies: every condition must hold. */
export type Condition =
  | { readonly kind: 'mobile' }
  /** castors present */
  | { readonly kind: 'has castors' }
  /** greatest mass (all loads in) at least / more than, kg: the clause's value mass-at-least or
   * mass-above */
  | { readonly kind: 'mass at least'; readonly mass: number }
  | { readonly kind: 'mass above'; readonly mass: number }
  /** greatest height in any position at least, m: the clause's value height-at-least */
  | { readonly kind: 'height at least'; readonly height: number }
  /** at least one surface of these kinds at most this high (m) and not signed against:
   * foothold: 'no stepping', seat: 'no sitting'; a work surface cannot be signed away */
  | {
      readonly kind: 'has surface';
      readonly surfaces: readonly ('foothold' | 'seat' | 'work surface')[];
      readonly greatestHeight: number;
    }
  /** not signed against with 'no pushing' */
  | { readonly kind: 'may be pushed' }
  | { readonly kind: 'has locks' }
  | { readonly kind: 'has lifting handles' };

export interface Clause {
  /** unique in its set, kebab-case: 'overbalance-transport'; becomes the finding's id */
  readonly id: string;
  /** number as printed in the standard: '9.4.2.1'; 'common practice' where no standard asks */
  readonly clause: string;
  readonly title: string;
  /** what is asked, paraphrased in one or two sentences */
  readonly asks: string;
  /** remark on the clause as a whole, such as where its number comes from; '' if none */
  readonly note: string;
  /** id of the clause of the same set that may be met instead: either is enough; null: none */
  readonly alternative: string | null;
  readonly question: Question;
  readonly conditions: readonly Condition[];
  readonly values: readonly RequirementValue[];
}

/** One edition of one standard, or a user's own demands. `buildSet` alone makes these. */
export interface RequirementSet {
  /** kebab-case: 'iec-60601-1-3.2' */
  readonly id: string;
  readonly title: string;
  readonly standard: string;
  readonly edition: string;
  readonly clauses: readonly Clause[];
}

/** The facts of a cart that decide which clauses apply (SI), computed by the analysis layer. */
export interface CartFacts {
  readonly mobile: boolean;
  readonly castors: number;
  readonly locks: number;
  /** kg, all loads at their most */
  readonly greatestMass: number;
  /** m, highest outline point over all positions */
  readonly greatestHeight: number;
  readonly surfaces: readonly {
    readonly kind: 'foothold' | 'seat' | 'work surface';
    readonly name: string;
    /** m, least height over the positions */
    readonly height: number;
  }[];
  readonly markings: readonly ('no pushing' | 'no sitting' | 'no stepping')[];
  readonly liftingHandles: number;
}

export interface Applicability {
  readonly applies: boolean;
  /** one sentence with the numbers that decide */
  readonly reason: string;
}
