/** The pose of a finding's worst configuration, whatever its question. */

import type { Cart, Vec3 } from '../document/index.js';
import { STANDARD_GRAVITY, supportMargin } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { wrapped } from './angle.js';
import { requiredValue } from './answer.js';
import { modelOf } from './cart-model.js';
import { polygonWithout } from './castor-missing.js';
import type { FailureMode, Finding, WorstConfiguration } from './finding.js';
import type { Pose } from './pose.js';
import { byName, startPose, swivelling, variablesOf } from './pose.js';
import { leanPlaces } from './push-places.js';

/**
 * The pose of the worst configuration of a finding. What acts on it follows the question:
 * - overbalance, holding on an incline: the incline, downhill in the worst direction;
 * - horizontal force: the push; where the worst one slants down, its level part as `push`, its part
 *   square to the floor as `press`; holding against a push: the push;
 * - downward force: the press; combined force: push and press together;
 * - castor missing (balance): the castor that is taken away, as `without`;
 * - castor load, ratings, propulsion, threshold, handles: nothing, on the level.
 *
 * It acts at the load at which the cart just gives way ('capacity', where tipping puts the fall point
 * on the tipping line), or as asked ('demand'). A capacity without limit is shown as asked.
 *
 * What the configuration leaves open: where it tips, the other castors stand as the tipping line needs,
 * turned against its outward normal; else as in `startPose`.
 *
 * @param cart the cart that was checked
 * @param set the set that it was checked against
 * @returns null: the finding has no worst configuration (it does not apply, or nothing limits it)
 * @throws RangeError when the set has no clause of the finding's id, or the cart is not that of the
 *   finding
 */
export function poseOfWorst(
  cart: Cart,
  set: RequirementSet,
  finding: Finding,
  at: 'capacity' | 'demand' = 'capacity',
): Pose | null {
  const clause = set.clauses.find(({ id }) => id === finding.id);
  if (clause === undefined)
    throw new RangeError(`poseOfWorst: no clause ${finding.id} in ${set.id}`);
  const { worst } = finding;
  if (worst === null) return null;
  const start = startPose(cart, worst.position);
  const bare: Pose = { ...start, movers: worst.movers, loads: worst.loads };
  const missing = missingOf(cart, clause, finding, worst);
  const normal = missing?.normal ?? outwardOf(finding.mode);
  const open = normal === null ? start.swivels : turnedAgainst(cart, normal);
  const pose = {
    ...bare,
    swivels: { ...open, ...worst.swivels },
    without: missing?.castor ?? null,
    ...actingOf(cart, clause, finding, worst, bare, at),
  };
  variablesOf(cart, pose);
  return pose;
}

type Acting = Partial<Pick<Pose, 'incline' | 'push' | 'press'>>;

function actingOf(
  cart: Cart,
  clause: Clause,
  finding: Finding,
  worst: WorstConfiguration,
  pose: Pose,
  at: 'capacity' | 'demand',
): Acting {
  const { direction, point } = worst;
  const size = sizeOf(finding, at);
  switch (clause.question.kind) {
    case 'overbalance':
    case 'holding on incline':
      return direction === null ? {} : { incline: { angle: size, downhill: direction } };
    case 'holding against push':
      if (direction === null || point === null) return {};
      return { push: { point, direction, force: size } };
    case 'horizontal force':
      if (direction === null || point === null) return {};
      return slanting(point, direction, size, lineOf(finding.mode));
    case 'combined force': {
      if (direction === null || point === null) return {};
      const ratio = size / (finding.demand?.value ?? size);
      return {
        push: { point, direction, force: size },
        press: pressedWith(cart, clause, finding, worst, pose, ratio),
      };
    }
    case 'downward force':
      return point === null ? {} : { press: { point, force: size } };
    case 'propulsion':
    case 'threshold':
    case 'castor load':
    case 'castor missing':
    case 'handles':
      return {};
  }
}

/** SI, in the unit of the finding */
function sizeOf({ capacity, demand }: Finding, at: 'capacity' | 'demand'): number {
  const reached = capacity?.value ?? Number.POSITIVE_INFINITY;
  return at === 'capacity' && Number.isFinite(reached) ? reached : (demand?.value ?? 0);
}

/** A tipping line: its outward unit normal at `angle`, n.q = offset. */
interface Line {
  /** rad */
  readonly angle: number;
  readonly normal: readonly [number, number];
  /** m */
  readonly offset: number;
}

/** The line of a mode runs counter-clockwise round the cart: outward is to the right of it. */
function lineOf(mode: FailureMode | null): Line | null {
  if (mode?.kind !== 'tips') return null;
  const [[px, py], [qx, qy]] = mode.line;
  const length = Math.hypot(qx - px, qy - py);
  const normal = [(qy - py) / length, (px - qx) / length] as const;
  const offset = normal[0] * px + normal[1] * py;
  return { angle: Math.atan2(normal[1], normal[0]), normal, offset };
}

function outwardOf(mode: FailureMode | null): number | null {
  return lineOf(mode)?.angle ?? null;
}

/** m, of a point beyond the line */
function beyond({ normal, offset }: Line, [x, y]: Vec3): number {
  return normal[0] * x + normal[1] * y - offset;
}

function turnedAgainst(cart: Cart, outward: number): Pose['swivels'] {
  return byName(swivelling(cart), () => wrapped(outward + Math.PI));
}

/** A push of `force` N has most effect square to the arm from the line to the point: slanting down by
 * atan(l / h) where the point, at height h, is l beyond the line (docs/theory/overbalance.md). */
function slanting(point: Vec3, direction: number, force: number, line: Line | null): Acting {
  const over = line === null ? 0 : Math.max(0, beyond(line, point));
  const slant = Math.atan2(over, point[2]);
  const push = { point, direction, force: force * Math.cos(slant) };
  if (over === 0) return { push };
  return { push, press: { point, force: force * Math.sin(slant) } };
}

/** The downward force that goes with a push: where it turns most over the line, grown with it. Inside
 * the line it would help and is left out. */
function pressedWith(
  cart: Cart,
  clause: Clause,
  { mode }: Finding,
  { mass }: WorstConfiguration,
  pose: Pose,
  ratio: number,
): Pose['press'] {
  const line = lineOf(mode);
  if (line === null) return null;
  const highest = requiredValue(clause, 'greatest-height');
  const places = leanPlaces(cart, pose)
    .map(({ at }) => at)
    .filter(([, , z]) => z <= highest);
  const first = places[0];
  if (first === undefined) return null;
  const point = places.reduce((p, q) => (beyond(line, q) > beyond(line, p) ? q : p), first);
  if (beyond(line, point) <= 0) return null;
  const share = requiredValue(clause, 'down-fraction') * STANDARD_GRAVITY * mass;
  return { point, force: ratio * Math.min(share, requiredValue(clause, 'down-cap')) };
}

/** The castor without which the finding's capacity is what is left, and the line that the cart is
 * nearest to then. */
function missingOf(
  cart: Cart,
  { question }: Clause,
  { capacity }: Finding,
  { centreOfMass: [x, y] }: WorstConfiguration,
): { readonly castor: string; readonly normal: number | null } | null {
  if (question.kind !== 'castor missing' || question.test !== 'balance') return null;
  const model = modelOf(cart);
  const left = capacity?.value ?? Number.NEGATIVE_INFINITY;
  const all = cart.castors.map(({ name }, i) => {
    const polygon = polygonWithout(model, i);
    const margin = supportMargin(polygon, [x, y]);
    return { name, polygon, off: margin === left ? 0 : Math.abs(margin - left) };
  });
  const { name, polygon } = all.reduce((p, q) => (q.off < p.off ? q : p));
  if (polygon.kind === 'empty') return { castor: name, normal: null };
  const inside = ({ normal, offset }: (typeof polygon.edges)[number]): number =>
    offset - normal[0] * x - normal[1] * y;
  const nearest = polygon.edges.reduce((p, q) => (inside(q) < inside(p) ? q : p));
  return { castor: name, normal: nearest.angle };
}
