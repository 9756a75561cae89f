/** Does the cart tip under a level push and a downward force at the same time? */

import type { PushTipping } from '../engine/index.js';
import { pointAt, STANDARD_GRAVITY, worstCombined } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, requiredValue, undecided } from './answer.js';
import type { CartModel } from './cart-model.js';
import { overturningInput, positionsOf, worstOver } from './cart-model.js';
import type { WorkingStep } from './finding.js';
import { leaningPoints, levelPushEdges } from './force-points.js';
import { NO_PUSHABLE, pushBecause, pushedAt, pushRule, RATIO_METHOD } from './horizontal-force.js';
import {
  ALWAYS_TIPS,
  configurationOf,
  distanceSteps,
  edgeOf,
  lineSwivels,
  provenBy,
  tipsOver,
} from './tipping.js';
import { heading } from './words.js';
import { amount, demandStep, si, step, weightStep } from './working.js';

export function answerCombinedForce(model: CartModel, clause: Clause): Answer {
  const pushes = levelPushEdges(model);
  if (pushes.length === 0) {
    return undecided(`Where to push is not known: ${NO_PUSHABLE}.`, NO_PUSHABLE, clause);
  }
  const downs = leaningPoints(model);
  const rule = pushRule(clause);
  const downRule = {
    fraction: requiredValue(clause, 'down-fraction'),
    cap: requiredValue(clause, 'down-cap'),
  };
  const height = requiredValue(clause, 'greatest-height');
  const push = { points: pushes.map(({ point }) => point), rule };
  const down = { points: downs.map(({ point }) => point), rule: downRule };
  const worst = worstOver(positionsOf(model, 'all'), (placed) =>
    worstCombined(overturningInput(model, placed), push, down, height),
  );
  const { found, bound, placed } = worst;
  const edge = edgeOf(model, found);
  const verdict = decided('at least', 1, found.capacity, bound);
  const leaning = downs[found.downPoint] ?? null;
  const pushed = pushes[found.point] ?? null;
  const direction = edge?.angle ?? null;
  return {
    ...BLANK_ANSWER,
    verdict,
    because: pushBecause(verdict, worst),
    demand: amount(found.demand, 'force'),
    capacity: amount(found.force, 'force'),
    margin: amount(found.force - found.demand, 'force'),
    mode: tipsOver(model, edge),
    worst:
      found.x === null
        ? null
        : configurationOf(model, placed, found.x, {
            swivels: lineSwivels(model, edge),
            direction,
            point: found.at,
            mass: found.mass,
            centreOfMass: found.centreOfMass,
            action:
              direction === null || found.at === null
                ? null
                : `pushed level ${pushedAt(pushed?.on ?? null, found.at[2])} towards ${heading(direction)}, and pressed down on ${leaning?.on ?? 'it'}`,
          }),
    proof: provenBy(worst, 'force', RATIO_METHOD, found.demand),
    restsOn: commonBasis(clause, model),
    working:
      leaning === null ? [] : combinedSteps(model, found, rule, downRule, leaning.point, height),
    notes: [
      ...(edge === null ? [ALWAYS_TIPS] : []),
      'Demand and capacity are the level force; the downward force grows with it in the proportion asked.',
    ],
  };
}

const place = new Float64Array(3);

function combinedSteps(
  model: CartModel,
  found: PushTipping,
  rule: { readonly fraction: number; readonly cap: number },
  downRule: { readonly fraction: number; readonly cap: number },
  { mover, at }: { readonly mover: number; readonly at: readonly [number, number, number] },
  greatestHeight: number,
): readonly WorkingStep[] {
  const edge = edgeOf(model, found);
  if (edge === null || found.at === null || found.x === null) return [];
  const weight = STANDARD_GRAVITY * found.mass;
  const { steps, distance } = distanceSteps(model, edge, found.centreOfMass);
  pointAt(model.mass, found.x, mover, at, place);
  const [x, y, z] = place as unknown as readonly [number, number, number];
  const beyond = edge.normal[0] * x + edge.normal[1] * y - edge.offset;
  const lever = z > greatestHeight ? 0 : Math.max(0, beyond);
  const height = found.at[2];
  const down = Math.min(downRule.fraction * weight, downRule.cap);
  const turning = found.demand * height + down * lever;
  const righting = weight * Math.max(0, distance);
  return [
    ...steps,
    weightStep(found.mass),
    demandStep({ ...rule, weight }),
    step(
      'downward force asked in this configuration',
      'P_asked = min(share W, cap)',
      `min(${si(downRule.fraction, '')} * ${si(weight, 'N')}, ${si(downRule.cap, 'N')})`,
      down,
      'force',
    ),
    step(
      'distance of the downward force beyond the tipping line (below zero: inside, left out)',
      'l = n_x x_p + n_y y_p - e',
      `${si(edge.normal[0], '')} * ${si(x, 'm')} + ${si(edge.normal[1], '')} * ${si(y, 'm')} - ${si(edge.offset, 'm')}`,
      beyond,
      'length',
    ),
    step(
      'level force that tips, the downward force grown with it',
      'F = F_asked W d / (F_asked h + P_asked max(0, l))',
      `${si(found.demand, 'N')} * ${si(righting, 'N m')} / (${si(found.demand, 'N')} * ${si(height, 'm')} + ${si(down, 'N')} * ${si(lever, 'm')})`,
      (found.demand * righting) / turning,
      'force',
    ),
  ];
}
