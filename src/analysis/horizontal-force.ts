/** Does the cart tip under a push at its highest point while a low stop keeps it from sliding? */

import type { ForceRule, PushTipping } from '../engine/index.js';
import { STANDARD_GRAVITY, worstPush } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, requiredValue, undecided } from './answer.js';
import type { CartModel, Worst } from './cart-model.js';
import { overturningInput, positionsOf, worstOver } from './cart-model.js';
import type { Verdict, WorkingStep } from './finding.js';
import { pushEdges } from './force-points.js';
import {
  ALWAYS_TIPS,
  configurationOf,
  distanceSteps,
  edgeOf,
  lineShares,
  lineSwivels,
  provenBy,
  tipsOver,
} from './tipping.js';
import { heading, quantity } from './words.js';
import { amount, demandStep, si, step, weightStep } from './working.js';

export const NO_PUSHABLE = 'the outline names no pushable body';

export function pushRule(clause: Clause): ForceRule {
  return {
    fraction: requiredValue(clause, 'weight-fraction'),
    cap: requiredValue(clause, 'force-cap'),
  };
}

export function answerHorizontalForce(model: CartModel, clause: Clause): Answer {
  const edges = pushEdges(model);
  if (edges.length === 0) {
    return undecided(`Where to push is not known: ${NO_PUSHABLE}.`, NO_PUSHABLE, clause);
  }
  const rule = pushRule(clause);
  const height = requiredValue(clause, 'greatest-height');
  const points = edges.map(({ point }) => point);
  const worst = worstOver(positionsOf(model, 'all'), (placed) =>
    worstPush(overturningInput(model, placed), points, rule, height),
  );
  const { found, bound } = worst;
  const edge = edgeOf(model, found);
  const verdict = decided('at least', 1, found.capacity, bound);
  return {
    ...BLANK_ANSWER,
    verdict,
    because: pushBecause(verdict, worst),
    demand: amount(found.demand, 'force'),
    capacity: amount(found.force, 'force'),
    margin: amount(found.force - found.demand, 'force'),
    mode: tipsOver(model, edge),
    castors: pushShares(model, found),
    worst: pushConfiguration(model, worst, edges[found.point]?.on ?? null),
    proof: provenBy(worst, 'force', RATIO_METHOD, found.demand),
    restsOn: commonBasis(clause, model),
    working: pushSteps(model, found, rule),
    notes: [
      ...(edge === null ? [ALWAYS_TIPS] : []),
      'A low stop keeps the cart from sliding; the force may slant downwards where that tips more.',
    ],
  };
}

export const RATIO_METHOD =
  'every configuration against the force asked of it, here at the weight of the worst: closed form over directions and castor angles, linear functionals of the moments over masses and slides, branch and bound over turns';

export function pushBecause(verdict: Verdict, { found, bound }: Worst<PushTipping>): string {
  const tips = `It tips at ${quantity(found.force, 'force')} where ${quantity(found.demand, 'force')} is asked`;
  if (verdict !== 'not decided') return `${tips}.`;
  const proven = quantity(bound * found.demand, 'force');
  return `${tips}, but only ${proven} is proven: the two lie on either side of what is asked.`;
}

function pushConfiguration(model: CartModel, worst: Worst<PushTipping>, on: string | null) {
  const { found, placed } = worst;
  if (found.x === null) return null;
  const edge = edgeOf(model, found);
  const direction = edge?.angle ?? null;
  const slant =
    found.slant > SLANT_SHOWN ? `, slanting down ${quantity(found.slant, 'angle', 3)}` : '';
  return configurationOf(model, placed, found.x, {
    swivels: lineSwivels(model, edge),
    direction,
    point: found.at,
    mass: found.mass,
    centreOfMass: found.centreOfMass,
    action:
      direction === null || found.at === null
        ? null
        : `pushed ${pushedAt(on, found.at[2])} towards ${heading(direction)}${slant}`,
  });
}

/** rad: a slant below half a degree is not one that a gauge is held at. */
const SLANT_SHOWN = 0.009;

export function pushedAt(on: string | null, height: number): string {
  const where = on === null ? '' : `on ${on}, `;
  return `${where}${quantity(height, 'length', 4)} above the floor,`;
}

/** At the tip everything stands on the line; its place along the line follows from weight and push. */
function pushShares(model: CartModel, { mass, centreOfMass, at, force, slant, edge }: PushTipping) {
  const weight = STANDARD_GRAVITY * mass;
  const down = force * Math.sin(slant);
  const [x, y] = centreOfMass;
  if (at === null || !Number.isFinite(force)) return [];
  const loadPoint = [
    (weight * x + down * at[0]) / (weight + down),
    (weight * y + down * at[1]) / (weight + down),
  ] as const;
  const line = model.support.kind === 'polygon' ? (model.support.edges[edge] ?? null) : null;
  return lineShares(model, line, loadPoint, weight + down);
}

function pushSteps(model: CartModel, found: PushTipping, rule: ForceRule): readonly WorkingStep[] {
  const edge = edgeOf(model, found);
  if (edge === null || found.at === null) return [];
  const weight = STANDARD_GRAVITY * found.mass;
  const { steps, distance } = distanceSteps(model, edge, found.centreOfMass);
  const [x, y, height] = found.at;
  const beyond = edge.normal[0] * x + edge.normal[1] * y - edge.offset;
  const lever = Math.hypot(height, Math.max(0, beyond));
  return [
    ...steps,
    weightStep(found.mass),
    step(
      'distance of the force point beyond the tipping line (below zero: inside)',
      'l = n_x x_p + n_y y_p - e',
      `${si(edge.normal[0], '')} * ${si(x, 'm')} + ${si(edge.normal[1], '')} * ${si(y, 'm')} - ${si(edge.offset, 'm')}`,
      beyond,
      'length',
    ),
    step(
      'longest lever of a force at height h without an upward part',
      'L = sqrt(h^2 + max(0, l)^2)',
      `sqrt(${si(height, 'm')}^2 + max(0, ${si(beyond, 'm')})^2)`,
      lever,
      'length',
    ),
    step(
      'force that tips',
      'F = W d / L',
      `${si(weight, 'N')} * ${si(Math.max(0, distance), 'm')} / ${si(lever, 'm')}`,
      (weight * Math.max(0, distance)) / lever,
      'force',
    ),
    demandStep({ ...rule, weight }),
  ];
}
