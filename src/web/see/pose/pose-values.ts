/** What values a pose may take on a cart, and a pose with one of them changed. */

import type { Placement, Pose } from '../../../analysis/index.js';
import type { Body, Cart, Load, Mover, Vec3 } from '../../../document/index.js';
import { carried } from '../scene/drag-on-axis.js';

/** m or rad, kg: ends of what may be chosen. */
export interface ValueRange {
  readonly from: number;
  readonly to: number;
}

/** m or rad: a value this near to an end or a stop is that. */
const SAME = 1e-9;

/** What the position allows of a mover. */
export function moverRange(cart: Cart, position: string, mover: Mover): ValueRange {
  const allowed = cart.positions.find(({ name }) => name === position)?.movers[mover.name];
  return allowed ?? { from: mover.from, to: mover.to };
}

/** The stops of a mover within a range; null: it stops anywhere. */
export function stopsWithin({ stops }: Mover, { from, to }: ValueRange): readonly number[] | null {
  return stops?.filter((stop) => stop >= from - SAME && stop <= to + SAME) ?? null;
}

/** The allowed value nearest to the one that a drag or a slider asks for. */
export function nearestAllowed(
  asked: number,
  range: ValueRange,
  stops: readonly number[] | null,
): number {
  if (stops === null || stops.length === 0) {
    return Math.min(range.to, Math.max(range.from, asked));
  }
  return stops.reduce((best, stop) =>
    Math.abs(stop - asked) < Math.abs(best - asked) ? stop : best,
  );
}

export interface LoadRange extends ValueRange {
  readonly mayBeAbsent: boolean;
}

/** kg that a load may have in the position, where it is there at all. */
export function loadRange(cart: Cart, position: string, load: Load): LoadRange {
  const state = cart.positions.find(({ name }) => name === position)?.loads[load.name];
  if (state === undefined) {
    return { from: load.least, to: load.most, mayBeAbsent: load.kind === 'removable' };
  }
  const mayBeAbsent = state.mayBeAbsent || state.least === 0;
  return { from: state.least, to: state.most, mayBeAbsent };
}

/** The mass nearest to the asked one that the load may have: 0 where it may be absent. */
export function nearestMass(asked: number, { from, to, mayBeAbsent }: LoadRange): number {
  const there = Math.min(to, Math.max(from, asked));
  return mayBeAbsent && asked < from / 2 ? 0 : there;
}

export function withMover(pose: Pose, mover: string, value: number): Pose {
  return { ...pose, movers: { ...pose.movers, [mover]: value } };
}

export function withLoad(pose: Pose, load: string, mass: number): Pose {
  return { ...pose, loads: { ...pose.loads, [load]: mass } };
}

export function withSwivel(pose: Pose, castor: string, angle: number): Pose {
  return { ...pose, swivels: { ...pose.swivels, [castor]: angle } };
}

export function withAllSwivels(pose: Pose, angle: number): Pose {
  const turned = Object.keys(pose.swivels).map((name) => [name, angle] as const);
  return { ...pose, swivels: Object.fromEntries(turned) };
}

/** rad in (-pi, pi]: the angle all castors have; null: they differ, or none swivels. */
export function commonSwivel({ swivels }: Pose): number | null {
  const [first, ...others] = Object.values(swivels);
  if (first === undefined) return null;
  return others.every((angle) => Math.abs(wholeTurn(angle - first)) < 1e-6)
    ? wholeTurn(first)
    : null;
}

/** rad into (-pi, pi] */
export function wholeTurn(angle: number): number {
  const turned = angle - 2 * Math.PI * Math.ceil(angle / (2 * Math.PI) - 0.5);
  return turned === 0 ? 0 : turned;
}

/** m: where a push acts when nothing else is said: the middle of the top of the highest body that can
 * be pushed, as its mover has carried it; without one, at the height of 1 m above the origin. */
export function firstPushPoint(cart: Cart, placements: Readonly<Record<string, Placement>>): Vec3 {
  return (
    pushPlaces(cart, placements).reduce<Vec3 | null>(
      (best, { at }) => (best === null || at[2] > best[2] ? at : best),
      null,
    ) ?? [0, 0, 1]
  );
}

function topOf({ shape, on }: Body, placements: Readonly<Record<string, Placement>>): Vec3 {
  const placement = on === null ? undefined : placements[on];
  if (shape.kind === 'cylinder') {
    const [x, y, z] = shape.base;
    return carried([x, y, z + shape.height], placement);
  }
  const { from, to } = shape;
  const top: Vec3 = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2, Math.max(from[2], to[2])];
  return carried(top, placement);
}

/** Where a push can be put: the tops of the bodies that can be pushed. */
export function pushPlaces(
  cart: Cart,
  placements: Readonly<Record<string, Placement>>,
): readonly { readonly name: string; readonly at: Vec3 }[] {
  return cart.outline
    .filter(({ pushable }) => pushable)
    .map((body) => ({ name: body.name, at: topOf(body, placements) }));
}

/** m: two points this near are one. */
const SAME_POINT = 1e-6;

export function placeAt<T extends { readonly at: Vec3 }>(
  places: readonly T[],
  point: Vec3,
): T | null {
  const isThere = ({ at }: T): boolean =>
    Math.hypot(at[0] - point[0], at[1] - point[1], at[2] - point[2]) < SAME_POINT;
  return places.find(isThere) ?? null;
}

/**
 * A push at the top of a body goes with it where a mover carries it.
 * @param before, after placements of the movers in the old pose and in the new one
 */
export function withPushCarried(
  cart: Cart,
  pose: Pose,
  before: Readonly<Record<string, Placement>>,
  after: Readonly<Record<string, Placement>>,
): Pose {
  const { push } = pose;
  if (push === null) return pose;
  const there = placeAt(pushPlaces(cart, before), push.point);
  if (there === null) return pose;
  const point = pushPlaces(cart, after).find(({ name }) => name === there.name)?.at;
  return point === undefined ? pose : { ...pose, push: { ...push, point } };
}
