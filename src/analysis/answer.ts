/** What a question answers: a finding less what its clause says. */

import type { Clause, RequirementValue } from '../requirements/index.js';
import type { CartModel } from './cart-model.js';
import { frictionOf } from './cart-model.js';
import type { Finding, Verdict } from './finding.js';
import { quantity } from './words.js';

export type Answer = Omit<Finding, 'id' | 'title' | 'requirement' | 'applicability'>;

/** Nothing to say yet; each answer states what it has. */
export const BLANK_ANSWER = {
  sense: 'at least',
  demand: null,
  capacity: null,
  margin: null,
  mode: null,
  castors: [],
  frictionNeeded: null,
  worst: null,
  proof: { kind: 'none', reason: 'nothing was searched' },
  leastFavourable: null,
  restsOn: [],
  working: [],
  notes: [],
} as const satisfies Omit<Answer, 'verdict' | 'because'>;

/** The question cannot be answered: something is not given. */
export function undecided(because: string, missing: string, clause: Clause): Answer {
  return {
    ...BLANK_ANSWER,
    verdict: 'not decided',
    because,
    proof: { kind: 'none', reason: missing },
    restsOn: unconfirmedValues(clause),
  };
}

/** SI value of a clause. @throws Error when it has none of that id: buildSet sees to it */
export function requiredValue(clause: Clause, id: string): number {
  const found = optionalValue(clause, id);
  if (found === null) throw new Error(`clause ${clause.id}: no value ${id}`);
  return found;
}

export function optionalValue(clause: Clause, id: string): number | null {
  return clause.values.find((value) => value.id === id)?.value ?? null;
}

/** 'holds' when what is proven meets the demand, 'fails' when what was found does not. */
export function decided(
  sense: 'at least' | 'at most',
  demand: number,
  found: number,
  bound: number,
): Extract<Verdict, 'holds' | 'fails' | 'not decided'> {
  if (sense === 'at least' ? bound >= demand : bound <= demand) return 'holds';
  return (sense === 'at least' ? found < demand : found > demand) ? 'fails' : 'not decided';
}

/** What the verdict rests on that every question shares: requirement values and masses. */
export function commonBasis(clause: Clause, model: CartModel): readonly string[] {
  return [...unconfirmedValues(clause), ...massBasis(model)];
}

function unconfirmedValues(clause: Clause): readonly string[] {
  return clause.values.filter(({ confirmation }) => confirmation === null).map(unconfirmed);
}

function unconfirmed({ id, text, basis, note }: RequirementValue): string {
  const source = basis === 'memory' ? 'from memory' : basis;
  return `${id} ${text}: unconfirmed, ${source}${note === '' ? '' : ` (${note})`}`;
}

function massBasis({ cart }: CartModel): readonly string[] {
  const listed = cart.parts.filter(({ massFrom }) => massFrom === 'parts list').length;
  const loose = [
    ...cart.parts.filter(({ massTolerance, atTolerance }) => massTolerance > 0 || atTolerance > 0),
    ...cart.loads.filter(({ atTolerance }) => atTolerance > 0),
  ];
  const some: string[] = [];
  if (listed > 0) {
    some.push(`masses of ${listed} of ${cart.parts.length} parts: from the parts list`);
  }
  if (loose.length > 0) {
    some.push(
      `masses and places at their nominal values: the tolerances stated for ${loose.map(({ name }) => name).join(', ')} are not part of the bound`,
    );
  }
  return some;
}

/** 'friction of grey rubber on vinyl: 0.6, 0.5 to 0.7, assumed, not measured' */
export function frictionBasis({ cart }: CartModel, treads: readonly string[]): readonly string[] {
  return [...new Set(treads)].map((tread) => {
    const { value, tolerance, basis } = frictionOf(cart, tread);
    const range =
      tolerance > 0 ? `, ${figure(value - tolerance)} to ${figure(value + tolerance)}` : '';
    const source = basis === 'assumed' ? 'assumed, not measured' : 'measured';
    return `friction of ${tread} on ${cart.floor.name}: ${figure(value)}${range}, ${source}`;
  });
}

/** A coefficient or ratio as people write it. */
export function figure(value: number): string {
  return String(Number(value.toPrecision(4)));
}

export function stiffnessBasis({ cart }: CartModel): string {
  const values = cart.castors.map(({ stiffness }) => stiffness);
  const [least, most] = [Math.min(...values), Math.max(...values)];
  const range =
    least === most
      ? quantity(least, 'stiffness')
      : `${quantity(least, 'stiffness')} to ${quantity(most, 'stiffness')}`;
  return `vertical stiffness of the castors: ${range}, as the cart file states`;
}
