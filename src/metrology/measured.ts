/**
 * A measured value with its standard uncertainty, and the lines it is made of (JCGM 100:2008).
 *
 * SI and radians. u: standard uncertainty (one standard deviation), in the unit of the value.
 */

export interface Measured {
  readonly value: number;
  /** >= 0 */
  readonly u: number;
  /** degrees of freedom, > 0; null: so many that the normal distribution stands for them */
  readonly dof: number | null;
}

/** One source of uncertainty. */
export interface BudgetLine {
  /** 'reading of the force gauge' */
  readonly source: string;
  /** A: by statistics of repeated readings; B: by other knowledge (JCGM 100, 4.2 and 4.3) */
  readonly type: 'A' | 'B';
  /** of the input, in its own unit, >= 0 */
  readonly u: number;
  /** change of the result with the input */
  readonly sensitivity: number;
  /** |sensitivity| u, in the unit of the result */
  readonly contribution: number;
  readonly dof: number | null;
}

export interface Budget extends Measured {
  readonly lines: readonly BudgetLine[];
}

/** Expanded uncertainty for a coverage probability. */
export interface Expanded {
  /** k u, in the unit of the value */
  readonly U: number;
  readonly k: number;
  /** coverage probability that k was chosen for, 0 to 1 */
  readonly level: number;
}
