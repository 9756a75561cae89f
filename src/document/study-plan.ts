/** What a study file says, with every name resolved and every option as edits of the cart. */

import type { CartEdit } from './cart-edit-kinds.js';

/** One way of one thing that varies. */
export interface PlannedOption {
  /** unique in its factor, as shown in tables */
  readonly label: string;
  readonly edits: readonly CartEdit[];
  /** what it costs, in the study's currency; null: not stated */
  readonly cost: number | null;
}

/** One thing that varies. */
export interface PlannedFactor {
  readonly name: string;
  readonly options: readonly [PlannedOption, ...PlannedOption[]];
}

/** What a variant is judged by besides passing. */
export interface PlannedAim {
  readonly of: 'mass' | 'width' | 'length' | 'cost' | 'margin';
  readonly wanted: 'least' | 'greatest';
}

export interface StudyPlan {
  readonly name: string;
  /** ids of the findings looked at; null: all */
  readonly only: readonly string[] | null;
  /** share of what is asked that every finding must have on top, >= 0 */
  readonly margin: number;
  readonly factors: readonly PlannedFactor[];
  readonly aims: readonly PlannedAim[];
  /** of all costs, as people write it; '' where no option has one */
  readonly currency: string;
  /** variants at most whose full check is proven */
  readonly proofs: number;
}
