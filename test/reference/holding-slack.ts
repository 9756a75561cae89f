/**
 * How much more power friction takes than a load gives, for one motion of one cart in one
 * configuration: the quantity that the engine bounds over boxes, put together here from the masses
 * up by other means. Imports nothing of the engine; the types repeat what it takes.
 *
 * Friction set of a castor (table in docs/theory/holding.md): the disc |f| <= mu N, cut along the
 * wheel and across it. A castor free to swivel has trailed: its contact lies behind the motion of its
 * stem, and it resists through its stem, alike in every direction.
 */

import type { RandomMover } from './configurations.js';
import { placeOf } from './configurations.js';
import { elasticLoads } from './elastic-loads.js';
import type { Vec2 } from './random-contacts.js';

type Vec3 = readonly [number, number, number];

/** SI, radians; as in src/engine/castor.ts. */
export interface ReferenceCastor {
  readonly at: Vec2;
  readonly wheelDiameter: number;
  readonly trail: number;
  readonly fixedDirection: number | null;
  readonly lock: 'none' | 'wheel' | 'directional' | 'total';
  readonly brakeTorque: number | null;
  readonly lockDirections: readonly number[] | null;
  readonly swivelMoment: number;
  readonly rollingLength: number;
  readonly stiffness: number;
  readonly friction: number;
}

export type ReferenceLoad =
  | { readonly kind: 'incline'; readonly angle: number }
  | {
      readonly kind: 'push';
      readonly fraction: number;
      readonly cap: number;
      readonly greatestHeight: number;
      readonly points: readonly { readonly mover: number; readonly at: Vec3 }[];
    };

export interface ReferenceCart {
  readonly parts: readonly {
    readonly mass: number;
    readonly at: Vec3;
    readonly on: string | null;
  }[];
  readonly movers: readonly RandomMover[];
  readonly loads: readonly { readonly at: Vec3; readonly on: string | null }[];
  readonly castors: readonly ReferenceCastor[];
  readonly load: ReferenceLoad;
  readonly gravity: number;
}

/** What is asked: variables as the engine orders them (movers, loads, direction of the force, one
 * swivel angle a castor), multiple of the demand, factor on the friction, index of the push point. */
export interface Asked {
  readonly variables: ArrayLike<number>;
  readonly target: number;
  readonly factor: number;
  readonly point: number;
}

/** Velocity of the mean of the stems, and rotation rate times the root mean square distance of the
 * stems from it. */
export interface Twist {
  readonly vx: number;
  readonly vy: number;
  readonly w: number;
}

interface LoadState {
  readonly weight: number;
  /** weight times load point with the force on, N m */
  readonly moment: Vec2;
  readonly force: Vec2;
  /** where the force acts, seen from above */
  readonly at: Vec2;
  /** on limits that do not grow with the load: on a ramp all forces are divided by cos */
  readonly fixedFactor: number;
}

/** Mass and place of the centre of mass. */
export function massState(cart: ReferenceCart, variables: ArrayLike<number>): [number, Vec3] {
  const values = valuesOf(cart, variables);
  const bodies = [
    ...cart.parts,
    ...cart.loads.map((load, i) => ({ ...load, mass: variables[cart.movers.length + i] ?? 0 })),
  ];
  let mass = 0;
  const sum = [0, 0, 0];
  for (const body of bodies) {
    const place = placeOf(cart.movers, values, body.on, body.at);
    mass += body.mass;
    for (let axis = 0; axis < 3; axis += 1) sum[axis]! += body.mass * place[axis]!;
  }
  return [mass, [sum[0]! / mass, sum[1]! / mass, sum[2]! / mass]];
}

function valuesOf(
  { movers }: ReferenceCart,
  variables: ArrayLike<number>,
): ReadonlyMap<string, number> {
  return new Map(movers.map(({ name }, i) => [name, variables[i] ?? Number.NaN]));
}

function loadState(cart: ReferenceCart, asked: Asked): LoadState {
  const { variables, target, point } = asked;
  const [mass, centre] = massState(cart, variables);
  const weight = mass * cart.gravity;
  const angle = variables[cart.movers.length + cart.loads.length] ?? Number.NaN;
  const d: Vec2 = [Math.cos(angle), Math.sin(angle)];
  let size: number;
  let at: Vec3 = centre;
  let tangent = 0;
  if (cart.load.kind === 'incline') {
    tangent = target * Math.tan(cart.load.angle);
    size = weight * tangent;
  } else {
    const p = cart.load.points[point]!;
    const on = p.mover < 0 ? null : cart.movers[p.mover]!.name;
    const [x, y, z] = placeOf(cart.movers, valuesOf(cart, variables), on, p.at);
    at = [x, y, Math.max(0, Math.min(z, cart.load.greatestHeight))];
    size = target * Math.min(cart.load.fraction * weight, cart.load.cap);
  }
  return {
    weight,
    moment: [weight * centre[0] + size * at[2] * d[0], weight * centre[1] + size * at[2] * d[1]],
    force: [size * d[0], size * d[1]],
    at: [at[0], at[1]],
    fixedFactor: Math.hypot(1, tangent),
  };
}

/** Mean of the stems and root mean square distance from it. */
export function stemFrame(castors: readonly ReferenceCastor[]): { origin: Vec2; size: number } {
  const n = castors.length;
  const x = castors.reduce((sum, c) => sum + c.at[0], 0) / n;
  const y = castors.reduce((sum, c) => sum + c.at[1], 0) / n;
  const squares = castors.map((c) => (c.at[0] - x) ** 2 + (c.at[1] - y) ** 2);
  return { origin: [x, y], size: Math.sqrt(squares.reduce((sum, s) => sum + s, 0) / n) };
}

/**
 * Most power that a force of the set {|f| <= reach, |f_along| <= along, |f_across| <= across} takes
 * from the velocity (va, vs): the linear function is tried at every point where it can be greatest.
 */
export function greatestPower(
  reach: number,
  along: number,
  across: number,
  va: number,
  vs: number,
): number {
  const speed = Math.hypot(va, vs);
  if (speed === 0) return 0;
  const candidates: Vec2[] = [[(reach * va) / speed, (reach * vs) / speed]];
  const finite = (limit: number): number => Math.min(limit, reach);
  const a = finite(along);
  const s = finite(across);
  const rest = (limit: number): number => Math.sqrt(Math.max(0, reach * reach - limit * limit));
  for (const [p, q] of [
    [a, s],
    [a, rest(a)],
    [rest(s), s],
  ] as const)
    for (const i of [1, -1]) for (const j of [1, -1]) candidates.push([i * p, j * q]);
  // A corner computed from two limits is off by rounding.
  const slack = 1e-12 * (reach + 1e-30);
  const inside = ([p, q]: Vec2): boolean =>
    Math.hypot(p, q) <= reach + slack && Math.abs(p) <= a + slack && Math.abs(q) <= s + slack;
  return Math.max(...candidates.filter(inside).map(([p, q]) => p * va + q * vs));
}

const isWheelLocked = ({ lock }: ReferenceCastor): boolean => lock === 'wheel' || lock === 'total';

export const isFree = ({ fixedDirection, lock }: ReferenceCastor): boolean =>
  fixedDirection === null && (lock === 'none' || lock === 'wheel');

/** Power that one castor takes at normal force N, given its own velocities. */
function castorPower(
  castor: ReferenceCastor,
  normal: number,
  factor: number,
  fixedFactor: number,
  atStem: Vec2,
  atContact: Vec2,
  direction: number,
): number {
  const radius = castor.wheelDiameter / 2;
  const disc = factor * castor.friction * normal;
  const roll = (castor.rollingLength / radius) * normal;
  const brake =
    castor.brakeTorque === null
      ? Number.POSITIVE_INFINITY
      : (fixedFactor * castor.brakeTorque) / radius;
  const along = isWheelLocked(castor) ? brake : roll;
  if (isFree(castor)) {
    const swivel =
      castor.trail > 0 && castor.lock === 'none'
        ? (fixedFactor * castor.swivelMoment) / castor.trail
        : Number.POSITIVE_INFINITY;
    return Math.min(disc, along, swivel) * Math.hypot(atStem[0], atStem[1]);
  }
  const c = Math.cos(direction);
  const s = Math.sin(direction);
  const [x, y] = atContact;
  return greatestPower(disc, along, Number.POSITIVE_INFINITY, x * c + y * s, y * c - x * s);
}

/** Velocity at a place of the floor in a motion. */
function velocities(castors: readonly ReferenceCastor[], twist: Twist): (place: Vec2) => Vec2 {
  const { origin, size } = stemFrame(castors);
  return ([x, y]) => [
    twist.vx - (twist.w / size) * (y - origin[1]),
    twist.vy + (twist.w / size) * (x - origin[0]),
  ];
}

/** Speed below which a stem counts as standing still: the twist's components are of order 1. */
const STILL = 1e-12;

/**
 * How every castor is turned (rad) in a motion: fixed, held by its lock at its variable, or trailing
 * behind its stem. A free castor whose stem stands still may be turned any way: as its variable says.
 */
export function turnedBehind(
  cart: ReferenceCart,
  variables: ArrayLike<number>,
  twist: Twist,
  still = STILL,
): number[] {
  const velocity = velocities(cart.castors, twist);
  const first = cart.movers.length + cart.loads.length + 1;
  return cart.castors.map((castor, i) => {
    if (castor.fixedDirection !== null) return castor.fixedDirection;
    const [x, y] = velocity(castor.at);
    if (isFree(castor) && Math.hypot(x, y) > still) return Math.atan2(-y, -x);
    return variables[first + i] ?? Number.NaN;
  });
}

/**
 * Power of friction less power of the load, W per unit of the twist; null when the castors cannot
 * carry the load: it has tipped.
 *
 * @param still speed below which a stem counts as standing still
 */
export function slackAt(
  cart: ReferenceCart,
  asked: Asked,
  twist: Twist,
  still = STILL,
): { readonly slack: number; readonly weight: number } | null {
  const velocity = velocities(cart.castors, twist);
  const turned = turnedBehind(cart, asked.variables, twist, still);
  const contacts = cart.castors.map((castor, i) => {
    const trail = castor.fixedDirection === null ? castor.trail : 0;
    const contact: Vec2 = [
      castor.at[0] + trail * Math.cos(turned[i]!),
      castor.at[1] + trail * Math.sin(turned[i]!),
    ];
    return { contact, stiffness: castor.stiffness };
  });
  const state = loadState(cart, asked);
  const normals = elasticLoads(contacts, state.weight, state.moment);
  if (normals === null) return null;
  const [px, py] = velocity(state.at);
  let slack = -(state.force[0] * px + state.force[1] * py);
  cart.castors.forEach((castor, i) => {
    slack += castorPower(
      castor,
      normals[i]!,
      asked.factor,
      state.fixedFactor,
      velocity(castor.at),
      velocity(contacts[i]!.contact),
      turned[i]!,
    );
  });
  return { slack, weight: state.weight };
}
