/** A measured friction coefficient beside what the cart file states. */

import type { Friction } from '../../../document/index.js';
import type { Measured } from '../../../metrology/index.js';
import { expanded } from '../../../metrology/index.js';

export interface FrictionComparison {
  /** of the low ends, with which a check reckons that something holds */
  readonly kind: 'enough' | 'perhaps less' | 'less';
  readonly words: string;
}

/** The low end of what was measured beside the low end that the predictions count on. */
export function frictionComparison(stated: Friction, measured: Measured): FrictionComparison {
  const { U } = expanded(measured);
  const low = stated.value - stated.tolerance;
  const counted = `the ${coefficient(low)} that the predictions count on (${statedWords(stated)})`;
  if (measured.value - U >= low) {
    return { kind: 'enough', words: `It grips at least as well as ${counted}.` };
  }
  if (measured.value + U < low) {
    const words = `It grips less than ${counted}: what holds by the prediction may not hold. Predict again with the measured values.`;
    return { kind: 'less', words };
  }
  const words = `It may grip less than ${counted}: its low end is ${coefficient(measured.value - U)}. Predict again with the measured values, or take more readings.`;
  return { kind: 'perhaps less', words };
}

export function statedWords({ value, tolerance, basis }: Friction): string {
  const range = tolerance > 0 ? ` ± ${coefficient(tolerance)}` : '';
  return `${coefficient(value)}${range}, ${basis}`;
}

/** Three figures: no tread is known more closely. */
function coefficient(value: number): string {
  return String(Number(value.toPrecision(3)));
}
