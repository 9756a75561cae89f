/**
 * Question: a cart stands as a run has it, its castors turned as posed. At what multiple of the run's
 * load, or at what speed, does it tip?
 *
 * A line at distance d from the centre of mass (m, positive inside) with the outward unit normal n rights
 * the cart by W d; what acts turns it over by its moment about the line. The cart tips over the line that
 * the moments are first equal at:
 *   incline theta, downhill u   W tan(theta) z (n.u)
 *   push F at height h towards u, slanting down by s, l its point beyond the line
 *                               F (h cos(s) (n.u) + l sin(s))
 *   with a press P, l_P beyond  and P l_P
 * Statics and sources: docs/theory/overbalance.md. The castors stand as they are given: the worst over
 * castor angles is what the findings search.
 */

import type { Pose, PosedCart, TippingLine } from '../analysis/index.js';
import { poseCart, wrapped } from '../analysis/index.js';
import type { Cart, Vec2, Vec3 } from '../document/index.js';
import { STANDARD_GRAVITY, supportPolygon } from '../engine/index.js';

/** A line that a cart is brought over, and how far its load can grow until then. */
export interface Tip {
  /** multiple of the load, >= 0; Infinity: no multiple does */
  readonly ratio: number;
  readonly line: TippingLine | null;
}

/** outward unit normal of a line */
export function normalOf({ from, to }: TippingLine): Vec2 {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  // the cart is to the left of from -> to: outward is to the right
  return [(to[1] - from[1]) / length, (from[0] - to[0]) / length];
}

/** m, of a point outside the line */
export function beyond(line: TippingLine, [x, y]: Vec2 | Vec3): number {
  const [nx, ny] = normalOf(line);
  return nx * (x - line.from[0]) + ny * (y - line.from[1]);
}

export function facing(line: TippingLine, direction: number): number {
  const [nx, ny] = normalOf(line);
  return nx * Math.cos(direction) + ny * Math.sin(direction);
}

/** The line that is reached first. A cart with no lines, or outside one, has tipped: 0. */
export function firstTip(posed: PosedCart, ratioAt: (line: TippingLine) => number): Tip {
  const start: Tip = { ratio: posed.lines.length === 0 ? 0 : Number.POSITIVE_INFINITY, line: null };
  return posed.lines.reduce<Tip>((least, line) => {
    const ratio = line.distance <= 0 ? 0 : ratioAt(line);
    return ratio < least.ratio ? { ratio, line } : least;
  }, start);
}

function momentRatio(posed: PosedCart, momentOf: (line: TippingLine) => number) {
  const weight = STANDARD_GRAVITY * posed.mass;
  return firstTip(posed, (line) => {
    const moment = momentOf(line);
    return moment > 0 ? (weight * line.distance) / moment : Number.POSITIVE_INFINITY;
  });
}

/** @returns a multiple of tan(angle) */
export function inclineTip(posed: PosedCart, angle: number, downhill: number): Tip {
  const pull = STANDARD_GRAVITY * posed.mass * Math.tan(angle) * Math.max(0, posed.centreOfMass[2]);
  return momentRatio(posed, (line) => pull * facing(line, downhill));
}

export interface Pushed {
  /** m */
  readonly point: Vec3;
  /** rad */
  readonly direction: number;
  /** N, along the gauge */
  readonly force: number;
  /** rad, >= 0 */
  readonly slant: number;
  /** pressed down with it */
  readonly press: Pose['press'];
}

/** @returns a multiple of push and press together */
export function pushTip(posed: PosedCart, { point, direction, force, slant, press }: Pushed): Tip {
  return momentRatio(posed, (line) => {
    const level = point[2] * Math.cos(slant) * facing(line, direction);
    const own = force * (level + Math.sin(slant) * beyond(line, point));
    return own + (press === null ? 0 : press.force * beyond(line, press.point));
  });
}

export function pressTip(posed: PosedCart, point: Vec3, force: number): Tip {
  return momentRatio(posed, (line) => force * beyond(line, point));
}

/**
 * The speed (m/s) from which it tips when its wheels are stopped dead: the momentum about the line, of a
 * point mass, lifts the centre of mass over it (docs/theory/rolling.md).
 * v = sqrt(2 g (R - z)) R / (z n.u), R^2 = d^2 + z^2.
 */
export function stopTip(posed: PosedCart, travel: number): Tip {
  const height = posed.centreOfMass[2];
  return firstTip(posed, (line) => {
    const share = facing(line, travel);
    if (share <= 0 || height <= 0) return Number.POSITIVE_INFINITY;
    const { distance } = line;
    const radius = Math.hypot(distance, height);
    // R - z without the loss of digits of the difference
    const lift = distance ** 2 / (radius + height);
    return (Math.sqrt(2 * STANDARD_GRAVITY * lift) * radius) / (height * share);
  });
}

/** m, of the centre of mass inside the nearest line; null: there is none */
export function leastDistance(posed: PosedCart): { distance: number; line: TippingLine } | null {
  const line = posed.lines.reduce<TippingLine | null>(
    (least, each) => (least === null || each.distance < least.distance ? each : least),
    null,
  );
  return line === null ? null : { distance: line.distance, line };
}

/**
 * The pose with its castors turned the way in which it tips first: all against the outward normal of one
 * of the lines that are always supported (docs/theory/support.md).
 */
export function turnedToTip(cart: Cart, pose: Pose, tipOf: (posed: PosedCart) => Tip): Pose {
  const stands = cart.castors.map(({ at, trail }) => ({ stem: at, trail }));
  const polygon = supportPolygon(stands);
  const angles = polygon.kind === 'empty' ? [] : polygon.edges.map(({ angle }) => angle);
  const all = angles.map((angle) => {
    const turned = allTurned(pose, wrapped(angle + Math.PI));
    return { turned, ratio: tipOf(poseCart(cart, turned)).ratio };
  });
  const first = all[0];
  if (first === undefined) return pose;
  return all.reduce((p, q) => (q.ratio < p.ratio ? q : p), first).turned;
}

export function allTurned(pose: Pose, angle: number): Pose {
  const swivels = Object.fromEntries(Object.keys(pose.swivels).map((name) => [name, angle]));
  return { ...pose, swivels };
}
