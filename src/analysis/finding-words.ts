/** Parts of a finding in words, used by the short and the full sheet. */

import type { Cart } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { amountText, countText, headingText, pointText, quantityText } from './amount-text.js';
import type { FailureMode, Finding, Proof, WorstConfiguration } from './finding.js';
import { listed } from './words.js';

export function modeText(mode: FailureMode, units: UnitSystem): string {
  switch (mode.kind) {
    case 'tips':
      return `tips over the line through ${listed(mode.castors)}`;
    case 'slides':
      return `slides ${headingText(mode.direction, units)}`;
    case 'rolls':
      return `rolls ${headingText(mode.direction, units)}`;
    case 'pivots': {
      const sense = mode.sense === 1 ? 'counter-clockwise' : 'clockwise';
      return `pivots ${sense} (seen from above) about ${pointText(mode.about, units)}`;
    }
    case 'stops':
      return `is stopped: ${mode.what}`;
    case 'overloads':
      return `overloads ${mode.what}`;
  }
}

/** '9.4.2.1 Overbalance in transport'; what no standard asks has a source there, no number. */
export function clauseTitle(clause: string, title: string): string {
  return /^\d/.test(clause) ? `${clause} ${title}` : `${title} (${clause})`;
}

/** The least friction that will do, as found and as proven. */
export function frictionText(needed: NonNullable<Finding['frictionNeeded']>): string {
  if (needed.kind === 'none suffices') return `no coefficient suffices: ${needed.reason}`;
  const found = `needs ${coefficientText(needed.found)}`;
  const proven =
    needed.proven === null
      ? 'not proven enough for every configuration'
      : `${coefficientText(needed.proven)} is proven enough for every configuration`;
  return `${found}; ${proven}; needed most by: ${needed.words}`;
}

/** Friction coefficients are known to two figures at best; a third shows how close a case is. Always
 * upwards: a rounded coefficient must still be enough. */
export function coefficientText(coefficient: number): string {
  return (Math.ceil(coefficient * 1000 - 1e-9) / 1000).toFixed(3);
}

export function proofText(proof: Proof, sense: Finding['sense'], units: UnitSystem): string {
  switch (proof.kind) {
    case 'proven': {
      const bound = amountText(proof.bound, units);
      const limit =
        sense === 'at least'
          ? `nothing in the ranges has a capacity below ${bound}`
          : `nothing in the ranges demands more than ${bound}`;
      const work =
        proof.boxes > 1 ? `${proof.method}, ${countText(proof.boxes)} boxes` : proof.method;
      return `proven: ${limit}; gap to the worst found ${amountText(proof.gap, units)} (${work})`;
    }
    case 'sampled':
      return `sampled only, ${countText(proof.samples)} configurations: ${proof.reason}`;
    case 'none':
      return `none: ${proof.reason}`;
  }
}

/** The proof in one word, for a table. */
export function proofWord(proof: Proof): string {
  return proof.kind === 'none' ? 'no bound' : proof.kind;
}

/** What has to be set, and to what: movers, loads, castors, as name and words. */
export function worstSettings(
  worst: WorstConfiguration,
  cart: Cart,
  units: UnitSystem,
): readonly (readonly [string, string])[] {
  const dimensionOf = (name: string) =>
    cart.movers.find((mover) => mover.name === name)?.kind === 'turn' ? 'angle' : 'length';
  return [
    ...Object.entries(worst.movers).map(([name, value]): [string, string] => [
      name,
      quantityText(value, dimensionOf(name), units),
    ]),
    ...Object.entries(worst.loads).map(([name, value]): [string, string] => [
      name,
      value === 0 ? 'absent or empty (0 kg)' : quantityText(value, 'mass', units),
    ]),
    ...Object.entries(worst.swivels).map(([name, value]): [string, string] => [
      name,
      `trailing ${headingText(value, units)}`,
    ]),
  ];
}
