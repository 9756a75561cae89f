/**
 * Question: what do scales under the castors, level and tilted, say of mass and centre of mass?
 *
 * Level: W = sum of the readings, centre of mass in the plan = sum (F_i c_i) / W. Tilted, the load on the
 * lower castors grows with the height: h = r + L dF / (W tan theta), by a straight line of dF against
 * tan(theta) over three or more tilts, up and down (ISO 10392:2011, 6.2; derived in tilt-line.ts).
 *
 * The line is free to miss the level weighing where there are three different angles or more: an error of
 * the zero of the angle then goes into the intercept, not into the height. With one or two angles it is
 * drawn through the level weighing, and a remark says so.
 *
 * Uncertainty: GUM, linear (weighing-budget.ts). Derivations, checks: docs/theory/measurement.md.
 */

import { weighingBudgets } from './weighing-budget.js';
import type { WeighingModel } from './weighing-model.js';
import { weighingModel } from './weighing-model.js';
import { weighingProblems } from './weighing-problems.js';
import type {
  Tilt,
  TiltPoint,
  WeighingInput,
  WeighingLine,
  WeighingOutcome,
} from './weighing-record.js';
import { weighingRemarks } from './weighing-remarks.js';

/** Never throws, and no result holds a NaN: what cannot be reckoned is refused, all problems at once. */
export function weighed(input: WeighingInput): WeighingOutcome {
  const problems = weighingProblems(input);
  if (problems.length > 0) {
    return { kind: 'refused', problems };
  }
  const made = weighingModel(input);
  if (made.kind === 'refused') {
    return made;
  }
  const { model } = made;
  const budget = weighingBudgets(input, model);
  const line = lineOf(input.tilt?.tilts ?? [], model, budget);
  return {
    kind: 'ok',
    result: {
      mass: budget('mass'),
      x: budget('x'),
      y: budget('y'),
      height: line === null ? null : budget('height'),
      line,
      remarks: weighingRemarks(input, model, line),
    },
  };
}

function lineOf(
  tilts: readonly Tilt[],
  { outputs: { tilt } }: WeighingModel,
  budget: ReturnType<typeof weighingBudgets>,
): WeighingLine | null {
  if (tilt === null) {
    return null;
  }
  const points = tilts.map(({ way }, j): TiltPoint => {
    const [x, y] = [tilt.x[j] as number, tilt.y[j] as number];
    return { x, y, way, residual: y - tilt.intercept - tilt.slope * x };
  });
  const { value, u, dof } = budget('slope');
  const { value: missed, u: missedU, dof: missedDof } = budget('intercept');
  return {
    points,
    slope: { value, u, dof },
    intercept: { value: missed, u: missedU, dof: missedDof },
    upDown: upDownOf(points),
    base: tilt.base,
  };
}

/** Of the residuals: the angles up and down need not be the same. */
function upDownOf(points: readonly TiltPoint[]): number | null {
  const mean = (way: 'up' | 'down') => {
    const of = points.filter((point) => point.way === way).map((point) => point.residual);
    return of.reduce((sum, residual) => sum + residual, 0) / of.length;
  };
  const both = new Set(points.map((point) => point.way)).size === 2;
  return both ? mean('up') - mean('down') : null;
}
