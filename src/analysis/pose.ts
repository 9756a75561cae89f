/**
 * One configuration of a cart and what acts on it; a pose to start from, one that fits a cart that has
 * changed, and the cart held in it.
 *
 * Frame: that of the cart (origin on the floor plane, x forward, y to the left, z up from the floor);
 * it tilts with the floor. Angles in rad from x towards y.
 */

import type { Cart, Castor, Position, Vec3 } from '../document/index.js';
import type { Domain } from '../engine/index.js';
import { nearestIn, positionDomain } from '../engine/index.js';
import { wrapped } from './angle.js';
import { travelDirection } from './propulsion.js';

/** A configuration to stand in, and what acts on it. */
export interface Pose {
  /** name of the position it is in */
  readonly position: string;
  /** m or rad by mover name; every mover of the cart */
  readonly movers: Readonly<Record<string, number>>;
  /** kg by load name; every load of the cart, 0: absent */
  readonly loads: Readonly<Record<string, number>>;
  /** rad by castor name, from the stem to the contact, cart frame; every castor that swivels */
  readonly swivels: Readonly<Record<string, number>>;
  /** incline under it: rad, 0 <= angle < pi / 2, and which way is downhill (rad, cart frame); null:
   * level */
  readonly incline: { readonly angle: number; readonly downhill: number } | null;
  /** a push on it, level with the floor: where (m), which way (rad, cart frame) and how hard (N, >= 0);
   * null: none */
  readonly push: {
    readonly point: Vec3;
    readonly direction: number;
    readonly force: number;
  } | null;
  /** a force that presses it down, square to the floor: where (m) and how hard (N, >= 0); null: none */
  readonly press: { readonly point: Vec3; readonly force: number } | null;
  /** name of a castor that is taken away; null: all stand */
  readonly without: string | null;
}

/**
 * The pose at which a position is first shown: every mover at the allowed value nearest to zero, every
 * load at its greatest, castors trailing behind a forward motion (along the fixed castors, or x where
 * there are none), level, nothing acting on it.
 *
 * @throws RangeError when the cart has no position of the name
 */
export function startPose(cart: Cart, position: string): Pose {
  const domains = domainsOf(cart, positionNamed(cart, position));
  return {
    position,
    movers: domains.movers((domain) => nearestIn(domain, 0)),
    loads: domains.loads(greatest),
    swivels: trailingSwivels(cart),
    incline: null,
    push: null,
    press: null,
    without: null,
  };
}

/**
 * The nearest allowed pose after the cart has changed; a pose that is allowed comes back as it is. The
 * one place where a pose is moved into ranges:
 * - position: kept, else the first position of the cart;
 * - movers and loads: the value nearest to the pose's that the position allows (ranges, stops); what
 *   the pose does not name as in `startPose`; what the cart does not have is left out;
 * - swivels: kept (a castor may be turned any way), of castors the pose does not name as in `startPose`;
 * - what acts on it: kept. A castor taken away that is no longer there: null.
 */
export function fitPose(cart: Cart, pose: Pose): Pose {
  const position = cart.positions.find(({ name }) => name === pose.position) ?? cart.positions[0];
  if (position === undefined) throw new Error('fitPose: a cart without positions');
  const start = startPose(cart, position.name);
  const domains = domainsOf(cart, position);
  const { without } = pose;
  return {
    ...pose,
    position: position.name,
    movers: domains.movers((domain, name) =>
      nearestIn(domain, valueOr(pose.movers, name, start.movers)),
    ),
    loads: domains.loads((domain, name) =>
      nearestIn(domain, valueOr(pose.loads, name, start.loads)),
    ),
    swivels: byName(swivelling(cart), ({ name }) => valueOr(pose.swivels, name, start.swivels)),
    without: cart.castors.some(({ name }) => name === without) ? without : null,
  };
}

/**
 * The cart held in a pose, so that its findings are those of the pose: one transport and one use
 * position, every mover at its value and every load at exactly its mass (0: absent). The position of
 * the pose keeps its name, the one of the other kind has that of the first of that kind. The values are
 * taken as they are, also between stops. The way the castors are turned, directions and force points
 * are searched as ever; what acts on the pose plays no part. Whether a clause applies goes by the
 * greatest mass of the whole cart, but by heights in the pose.
 *
 * @throws RangeError when the pose names what the cart does not have, or lacks what it has
 */
export function pinnedAt(cart: Cart, pose: Pose): Cart {
  checkPose(cart, pose);
  const own = positionNamed(cart, pose.position);
  const others = cart.positions.filter(({ kind }) => kind !== own.kind).slice(0, 1);
  const movers = byName(cart.movers, ({ name }) => {
    const value = pose.movers[name] as number;
    return { from: value, to: value };
  });
  const loads = byName(cart.loads, ({ name }) => {
    const mass = pose.loads[name] as number;
    return { least: mass, most: mass, mayBeAbsent: false };
  });
  return {
    ...cart,
    movers: cart.movers.map((mover) => ({ ...mover, ...movers[mover.name], stops: null })),
    positions: [own, ...others].map(({ name, kind }) => ({ name, kind, movers, loads })),
  };
}

/**
 * The pose as variables of the mass model: mover values (m, rad), then load masses (kg), in the order
 * of the cart.
 *
 * @throws RangeError when the pose names what the cart does not have, lacks what it has, or a number
 *   cannot be
 */
export function variablesOf(cart: Cart, pose: Pose): Float64Array {
  checkPose(cart, pose);
  return Float64Array.from([
    ...cart.movers.map(({ name }) => pose.movers[name] as number),
    ...cart.loads.map(({ name }) => pose.loads[name] as number),
  ]);
}

/** rad by castor name: castors trailing behind a forward motion; of those that swivel */
export function trailingSwivels(cart: Cart): Readonly<Record<string, number>> {
  const behind = wrapped(travelDirection({ cart }) + Math.PI);
  return byName(swivelling(cart), () => behind);
}

/** @throws RangeError when there is none of the name */
export function positionNamed({ positions }: Cart, name: string): Position {
  const found = positions.find((position) => position.name === name);
  if (found !== undefined) return found;
  const allowed = positions.map((position) => position.name).join(', ');
  throw new RangeError(`pose: no position ${name}; allowed: ${allowed}`);
}

export function swivelling({ castors }: Pick<Cart, 'castors'>): readonly Castor[] {
  return castors.filter(({ fixedDirection }) => fixedDirection === null);
}

export function byName<T extends { readonly name: string }, V>(
  things: readonly T[],
  value: (thing: T) => V,
): Readonly<Record<string, V>> {
  return Object.fromEntries(things.map((thing) => [thing.name, value(thing)]));
}

/** What a position allows, by name. */
function domainsOf(cart: Cart, position: Position) {
  const { domains } = positionDomain(cart.movers, cart.loads, position);
  const over =
    (things: readonly { readonly name: string }[], from: number) =>
    (value: (domain: Domain, name: string) => number): Readonly<Record<string, number>> =>
      Object.fromEntries(
        things.map(({ name }, i) => [name, value(domains[from + i] as Domain, name)]),
      );
  return { movers: over(cart.movers, 0), loads: over(cart.loads, cart.movers.length) };
}

function greatest(domain: Domain): number {
  return domain[domain.length - 1]?.[1] ?? 0;
}

function valueOr(
  given: Readonly<Record<string, number>>,
  name: string,
  start: Readonly<Record<string, number>>,
): number {
  const value = Object.hasOwn(given, name) ? given[name] : undefined;
  return value !== undefined && Number.isFinite(value) ? value : (start[name] as number);
}

function checkPose(cart: Cart, pose: Pose): void {
  positionNamed(cart, pose.position);
  checkNames('mover', cart.movers, pose.movers, Number.NEGATIVE_INFINITY);
  checkNames('load', cart.loads, pose.loads, 0);
  checkNames('castor that swivels', swivelling(cart), pose.swivels, Number.NEGATIVE_INFINITY);
  const { incline, push, press, without } = pose;
  if (without !== null && !cart.castors.some(({ name }) => name === without)) {
    throw new RangeError(`pose: the cart has no castor ${without}`);
  }
  if (incline !== null) {
    checkNumber('incline', incline.angle, 0, Math.PI / 2);
    checkNumber('downhill', incline.downhill, Number.NEGATIVE_INFINITY);
  }
  if (push !== null) checkNumber('direction of the push', push.direction, Number.NEGATIVE_INFINITY);
  for (const each of [push, press]) {
    if (each === null) continue;
    checkNumber('force', each.force, 0);
    for (const at of each.point) checkNumber('point', at, Number.NEGATIVE_INFINITY);
  }
}

function checkNames(
  what: string,
  things: readonly { readonly name: string }[],
  given: Readonly<Record<string, number>>,
  least: number,
): void {
  for (const { name } of things) {
    if (!Object.hasOwn(given, name)) throw new RangeError(`pose: nothing said of ${what} ${name}`);
    checkNumber(`${what} ${name}`, given[name] as number, least);
  }
  const names = Object.keys(given);
  if (names.length === things.length) return;
  const known = new Set(things.map(({ name }) => name));
  const unknown = names.find((name) => !known.has(name)) ?? '';
  throw new RangeError(`pose: the cart has no ${what} ${unknown}`);
}

function checkNumber(
  what: string,
  value: number,
  least: number,
  below = Number.POSITIVE_INFINITY,
): void {
  if (Number.isFinite(value) && value >= least && value < below) return;
  throw new RangeError(`pose: ${what} is ${value}`);
}
