/** What an assessment of tolerances says. SI inside; the edges choose the units shown. */

import type { Dimension } from '../analysis/index.js';
import type { Estimate, IndexEstimate, Probability } from '../chance/index.js';
import type { Input } from './inputs.js';

export type { Probability };

/** An input, and what became of it. */
export type InputSummary = Pick<
  Input,
  'name' | 'dimension' | 'nominal' | 'tolerance' | 'distribution' | 'standard' | 'from'
> & {
  /** draws that fell where there is no such cart, and were drawn again */
  readonly redrawn: number;
  /** false: it moved next to nothing wherever it was tried, and is left out of the ranking */
  readonly ranked: boolean;
};

/** Mean and standard uncertainty of something over the trials in which it is known. */
export interface Spreading {
  readonly mean: number;
  readonly standard: number;
}

/** What one input does to one finding. */
export interface Effect {
  readonly input: string;
  /** change of the finding with the input at the lower and upper end of its tolerance and all others
   * at their stated values; in the unit of the finding, above zero is safer; null: not known there */
  readonly low: number | null;
  readonly high: number | null;
  /** share of the variance of the reserve; null: not ranked, or the reserve does not vary */
  readonly main: IndexEstimate | null;
  readonly total: IndexEstimate | null;
}

export interface ToleranceFinding {
  readonly id: string;
  readonly clause: string;
  readonly title: string;
  /** 'never asked': it applied in no trial. 'not known': something that it needs is not given */
  readonly kind: 'judged' | 'never asked' | 'not known';
  /** of the nominal cart: why it applies or not, or what is not given */
  readonly reason: string;
  /** of passing; what does not apply is met. null: not known */
  readonly probability: Probability | null;
  /** share of the trials in which it applied */
  readonly applied: number;
  readonly dimension: Dimension | null;
  /** with every input at its stated value; null: not asked there, or not known */
  readonly nominal: {
    readonly demand: number;
    readonly capacity: number;
    readonly reserve: number;
  } | null;
  /** null: known in too few trials, or without limit */
  readonly demand: Spreading | null;
  readonly capacity: Spreading | null;
  /** capacity / demand with its 95 % intervals */
  readonly reserve: Estimate | null;
  /** what moves it most first */
  readonly effects: readonly Effect[];
}

export type Convergence =
  | { readonly kind: 'converged' }
  | { readonly kind: 'not converged'; readonly reasons: readonly string[] };

export interface ToleranceReport {
  readonly cart: string;
  readonly requirementSet: { readonly id: string; readonly title: string };
  readonly inputs: readonly InputSummary[];
  readonly findings: readonly ToleranceFinding[];
  /** id of the finding that is least likely to pass; null: none is judged */
  readonly governing: string | null;
  /** of passing every finding that is judged; null: none is */
  readonly together: Probability | null;
  readonly trials: number;
  readonly seed: number;
  /** half-width wanted of every probability */
  readonly precision: number;
  readonly convergence: Convergence;
  /** rows of the ranking; 0: nothing was ranked */
  readonly rankingRows: number;
  /** the worst configuration of a trial is taken from those known; this is the greatest relative
   * difference of a reserve from a fresh search, over so many trials */
  readonly search: { readonly trials: number; readonly difference: number };
  /** what to know of single findings */
  readonly notes: readonly string[];
  readonly cautions: readonly string[];
}

export type ToleranceResult =
  | { readonly kind: 'assessed'; readonly report: ToleranceReport }
  /** the cart states no tolerance at all */
  | { readonly kind: 'nothing stated'; readonly cart: string };
