/** When a clause is asked: the plain conditions as listed, the others from its values and surfaces. */

import type { Condition, RequirementValue } from './requirement-set.js';
import type { PlainCondition, SURFACES } from './vocabulary.js';
import { PLAIN_CONDITIONS } from './vocabulary.js';

type SurfaceKind = (typeof SURFACES)[number];

export function conditionsOf(
  plain: readonly PlainCondition[],
  surfaces: readonly SurfaceKind[] | null,
  values: readonly RequirementValue[],
): readonly Condition[] {
  const conditions: Condition[] = plain.map((kind) => ({ kind }));
  const massAtLeast = figureOf(values, 'mass-at-least');
  const massAbove = figureOf(values, 'mass-above');
  const heightAtLeast = figureOf(values, 'height-at-least');
  if (massAtLeast !== null) conditions.push({ kind: 'mass at least', mass: massAtLeast });
  if (massAbove !== null) conditions.push({ kind: 'mass above', mass: massAbove });
  if (heightAtLeast !== null) conditions.push({ kind: 'height at least', height: heightAtLeast });
  const greatestHeight = figureOf(values, 'greatest-height');
  if (surfaces !== null && greatestHeight !== null) {
    conditions.push({ kind: 'has surface', surfaces, greatestHeight });
  }
  return conditions;
}

/** The conditions of a clause that it lists itself. */
export function plainConditionsOf(conditions: readonly Condition[]): readonly PlainCondition[] {
  return PLAIN_CONDITIONS.filter((kind) => conditions.some((each) => each.kind === kind));
}

export function surfacesOf(conditions: readonly Condition[]): readonly SurfaceKind[] | null {
  const found = conditions.find((each) => each.kind === 'has surface');
  return found?.kind === 'has surface' ? found.surfaces : null;
}

function figureOf(values: readonly RequirementValue[], id: string): number | null {
  return values.find((each) => each.id === id)?.value ?? null;
}
