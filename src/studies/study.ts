/**
 * A study: what varies about a cart, and what is wanted of it. Plain data throughout, so that it can
 * be handed to a worker thread or kept as JSON in a database without loss.
 */

import type {
  Cart,
  PlannedAim,
  PlannedFactor,
  PlannedOption,
  StudyPlan,
} from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';

export type StudyOption = PlannedOption;
export type StudyFactor = PlannedFactor;
export type StudyAim = PlannedAim;

/** What the study file says, the cart that it varies, and the set that this is checked against. */
export interface Study extends StudyPlan {
  readonly cart: Cart;
  readonly requirementSet: RequirementSet;
}

/** What a screening says of one variant. Numbers in SI. */
export interface VariantRow {
  /** 0 to variantCount - 1: mixed radix over the factors, the last factor fastest */
  readonly index: number;
  /** kg, every part and load at its most */
  readonly mass: number;
  /** m, across and along, over the outline in the transport positions and the castors' contacts */
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
