/**
 * A study: what varies about a cart, and what is wanted of it. Plain data throughout, so that it can
 * be handed to a worker thread or kept as JSON in a database without loss.
 */

import type { Cart, CartEdit } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';

/** One way of one thing that varies. */
export interface StudyOption {
  /** unique in its factor, as shown in tables */
  readonly label: string;
  readonly edits: readonly CartEdit[];
  /** what it costs, in the study's currency; null: not stated */
  readonly cost: number | null;
}

/** One thing that varies. */
export interface StudyFactor {
  readonly name: string;
  readonly options: readonly [StudyOption, ...StudyOption[]];
}

/** What a variant is judged by besides passing. */
export interface StudyAim {
  readonly of: 'mass' | 'width' | 'length' | 'cost' | 'margin';
  readonly wanted: 'least' | 'greatest';
}

export interface Study {
  readonly name: string;
  readonly cart: Cart;
  readonly requirementSet: RequirementSet;
  /** ids of the findings looked at; null: all that apply */
  readonly only: readonly string[] | null;
  /** share of what is asked that every finding must have on top, >= 0 */
  readonly margin: number;
  readonly factors: readonly StudyFactor[];
  readonly aims: readonly StudyAim[];
  /** of all options' cost, as people write it; '' where no option has a cost */
  readonly currency: string;
  /** variants at most whose full check is proven */
  readonly proofs: number;
}

/** What a screening says of one variant. Numbers in SI. */
export interface VariantRow {
  /** 0 to variantCount - 1: mixed radix over the factors, the last factor fastest */
  readonly index: number;
  /** kg, every part and load at its most */
  readonly mass: number;
  /** m, across and along, over the outline and the castors' contacts */
  readonly width: number;
  readonly length: number;
  /** null: some chosen option states none */
  readonly cost: number | null;
  /** least reserve (capacity / demand at the low end of friction) over the findings that apply; null
   * when it could not be computed: `fault` says why */
  readonly reserve: number | null;
  /** id of the finding with the least reserve; '' where there is none */
  readonly governs: string;
  /** the reserve reaches 1 + margin */
  readonly passes: boolean;
  /** reserve of every finding of the study, in the order of `findingIds`; null: does not apply */
  readonly reserves: readonly (number | null)[];
  readonly fault: string | null;
}

/** What the proven check says of one variant of the front. */
export interface VariantProof {
  readonly index: number;
  /** least proven bound / demand at the low end of friction over the applicable findings; null: some
   * finding is not proven */
  readonly reserve: number | null;
  readonly governs: string;
  readonly passes: boolean;
  readonly reserves: readonly (number | null)[];
}
