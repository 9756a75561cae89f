/** The variants of a study: every combination of one option of each factor, numbered. */

import type { Cart, CartEdit } from '../document/index.js';
import { combineEdits, editCart, MOST_VARIANTS } from '../document/index.js';
import type { Study, StudyFactor, StudyOption } from './study.js';

export interface Variant {
  readonly index: number;
  /** the chosen option of every factor, in the order of the factors */
  readonly options: readonly StudyOption[];
  /** null: some chosen option states none, or nothing varies */
  readonly cost: number | null;
  /** to the cart of the study, in order */
  readonly edits: readonly CartEdit[];
}

/** The product of the options; may be beyond `MOST_VARIANTS` (a number, never an overflow). */
export function combinations(factors: readonly StudyFactor[]): number {
  return factors.reduce((product, { options }) => product * options.length, 1);
}

/** @throws RangeError above `MOST_VARIANTS` */
export function variantCount({ factors }: Pick<Study, 'factors'>): number {
  const count = combinations(factors);
  if (count <= MOST_VARIANTS) return count;
  throw new RangeError(`variantCount: ${count} variants, at most ${MOST_VARIANTS}`);
}

/**
 * The option chosen of every factor: mixed radix, the last factor fastest.
 *
 * @throws RangeError when the study has no such variant
 */
export function optionsOf(study: Pick<Study, 'factors'>, index: number): readonly StudyOption[] {
  const count = variantCount(study);
  if (!Number.isInteger(index) || index < 0 || index >= count) {
    throw new RangeError(`optionsOf: variant ${index} of ${count}`);
  }
  let rest = index;
  const options: StudyOption[] = [];
  for (const factor of study.factors.toReversed()) {
    const digit = rest % factor.options.length;
    options.push(factor.options[digit] ?? factor.options[0]);
    rest = (rest - digit) / factor.options.length;
  }
  return options.reverse();
}

/** @throws RangeError when the study has no such variant */
export function variantOf(study: Study, index: number): Variant {
  const options = optionsOf(study, index);
  const edits = combineEdits(
    study.cart,
    options.flatMap((option) => option.edits),
  );
  return { index, options, cost: costOf(options), edits };
}

/** The cart of a variant, under the name of the study's cart. @throws RangeError as `editCart` */
export function variantCart(study: Study, variant: Variant): Cart {
  return editCart(study.cart, variant.edits);
}

function costOf(options: readonly StudyOption[]): number | null {
  let sum = 0;
  for (const { cost } of options) {
    if (cost === null) return null;
    sum += cost;
  }
  return options.length === 0 ? null : sum;
}
