/** The findings that ask a cart to be held, of which a rose can be drawn. */

import type { HoldingRay, HoldingRose, RoseOptions } from '../../analysis/index.js';
import { amountText, quantityText } from '../../analysis/index.js';
import type { Clause, RequirementSet } from '../../requirements/index.js';
import type { UnitSystem } from '../../units/index.js';

export type CastorsStand = RoseOptions['castors'];

export function holdingClauses({ clauses }: RequirementSet): readonly Clause[] {
  return clauses.filter(
    ({ question }) =>
      question.kind === 'holding on incline' || question.kind === 'holding against push',
  );
}

/** The one that is chosen anywhere on the page, else the one last looked at here, else a push. */
export function holdingChoice(
  clauses: readonly Clause[],
  chosen: string | null,
  here: string | null,
): Clause | null {
  const named = (id: string | null) => clauses.find((clause) => clause.id === id);
  const push = clauses.find(({ question }) => question.kind === 'holding against push');
  return named(here) ?? named(chosen) ?? push ?? clauses[0] ?? null;
}

/** 'holds 62 N', for an incline with the angle. */
export function heldText({ load }: HoldingRose, ray: HoldingRay, units: UnitSystem): string {
  const force = quantityText(ray.capacity, 'force', units);
  if (load === 'push' || ray.stated.dimension === 'force') return force;
  return `${force} (${amountText(ray.stated, units)})`;
}

export function fallsShort({ capacity, demand }: HoldingRay): boolean {
  return capacity < demand;
}
