/**
 * Question: a pointer moves over a drawing in space; how far has what it holds moved along a line, about
 * an axis or on a plane?
 *
 * The pointer is a ray from the eye. Frame: any one, the same for all of a call; m and rad.
 */

import type { Placement } from '../../../analysis/index.js';
import type { Mover, Vec3 } from '../../../document/index.js';

export interface Ray {
  readonly origin: Vec3;
  /** unit vector */
  readonly direction: Vec3;
}

export interface Axis {
  readonly point: Vec3;
  /** unit vector */
  readonly along: Vec3;
}

/** Squared sine of the angle between ray and line below which the line is seen as a point: 3 deg. A
 * pixel would be twenty times its length there. */
const SEEN_AS_POINT = 0.003;

/** Cosine of the angle between ray and normal below which a plane is seen as a line: 78 deg. */
const SEEN_AS_LINE = 0.2;

/** m from the axis' point to the point of the axis nearest to the ray; null: it is seen as a point. */
export function alongAxis(ray: Ray, axis: Axis): number | null {
  const between = minus(axis.point, ray.origin);
  const b = dot(ray.direction, axis.along);
  const sine2 = 1 - b * b;
  if (sine2 < SEEN_AS_POINT) return null;
  // both lines' nearest points lie on the common normal: two linear equations, the axis' solved for
  return (b * dot(between, ray.direction) - dot(between, axis.along)) / sine2;
}

/** Where the ray meets the plane; null: seen as a line, or behind the eye of a perspective. */
export function onPlane(ray: Ray, point: Vec3, normal: Vec3): Vec3 | null {
  const across = dot(ray.direction, normal);
  if (Math.abs(across) < SEEN_AS_LINE) return null;
  const way = dot(minus(point, ray.origin), normal) / across;
  return way < 0 ? null : plus(ray.origin, times(ray.direction, way));
}

/**
 * rad by which what was held at `grabbed` has been turned about the axis, in (-pi, pi]. Looked at from
 * the side, the way along the tangent counts; null: neither can be told, or it was held on the axis.
 */
export function aboutAxis(ray: Ray, axis: Axis, grabbed: Vec3): number | null {
  const centre = plus(axis.point, times(axis.along, dot(minus(grabbed, axis.point), axis.along)));
  const arm = minus(grabbed, centre);
  const radius = Math.hypot(...arm);
  if (radius < 1e-6) return null;
  const tangent = times(cross(axis.along, arm), 1 / radius);
  const hit = onPlane(ray, grabbed, axis.along);
  if (hit !== null) {
    const there = minus(hit, centre);
    return Math.atan2(dot(there, tangent), dot(there, arm) / radius);
  }
  const way = alongAxis(ray, { point: grabbed, along: tangent });
  return way === null ? null : way / radius;
}

/** The turn that differs from `turn` by whole turns and is nearest to `last`: a pointer that goes round
 * and round goes on turning. */
export function unwound(turn: number, last: number): number {
  return turn + 2 * Math.PI * Math.round((last - turn) / (2 * Math.PI));
}

/** A point drawn with every mover at zero, where its mover has carried it. */
export function carried(point: Vec3, placement: Placement | undefined): Vec3 {
  return placement === undefined ? point : plus(turned(point, placement), placement.shift);
}

/** A way in the cart's frame as seen by what the mover has turned. */
export function turnedBack(way: Vec3, placement: Placement | undefined): Vec3 {
  if (placement === undefined) return way;
  const r = placement.rotation;
  const column = (i: number) =>
    (r[i] ?? 0) * way[0] + (r[3 + i] ?? 0) * way[1] + (r[6 + i] ?? 0) * way[2];
  return [column(0), column(1), column(2)];
}

/** The axis of a mover where what it stands on has been carried. */
export function axisOf(mover: Mover, placements: Readonly<Record<string, Placement>>): Axis {
  const placement = mover.on === null ? undefined : placements[mover.on];
  return {
    point: carried(mover.origin, placement),
    along: placement === undefined ? mover.axis : turned(mover.axis, placement),
  };
}

/** The movers that carry something, from the nearest to the one on the base. */
export function carriersOf(movers: readonly Mover[], on: string | null): readonly Mover[] {
  const chain: Mover[] = [];
  for (let next = on; next !== null; ) {
    const mover = movers.find(({ name }) => name === next);
    if (mover === undefined || chain.includes(mover)) break;
    chain.push(mover);
    next = mover.on;
  }
  return chain;
}

function turned([x, y, z]: Vec3, { rotation: r }: Placement): Vec3 {
  const row = (i: number) =>
    (r[3 * i] ?? 0) * x + (r[3 * i + 1] ?? 0) * y + (r[3 * i + 2] ?? 0) * z;
  return [row(0), row(1), row(2)];
}

function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function plus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

function minus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function times(a: Vec3, s: number): Vec3 {
  return [a[0] * s, a[1] * s, a[2] * s];
}
