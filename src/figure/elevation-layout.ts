/** Where everything of an elevation lies in its picture: the cart turned so that down is down. */

import type { Pose, PosedCart, TippingLine } from '../analysis/index.js';
import type { Cart, Vec2, Vec3 } from '../document/index.js';
import { TITLE_HEIGHT } from './figure-frame.js';
import type { Box, Point } from './picture.js';
import type { PlanOutline } from './plan-layout.js';
import { bodyOutline, bodyPoints, surfaceOutline, wheelOutline } from './projected-outline.js';
import type { View } from './view.js';
import { fitView } from './view.js';

/** side: from the right, forward to the right of the picture. front: from ahead, the cart's left to the
 * right of the picture. */
export type ElevationFrom = 'side' | 'front';

export interface ElevationScene {
  readonly cart: Cart;
  readonly pose: Pose;
  readonly posed: PosedCart;
  readonly from: ElevationFrom;
  /** px */
  readonly width: number;
  readonly height: number;
}

export interface ElevationLayout {
  readonly view: View;
  readonly field: Box;
  /** rad: how far the floor is turned in the picture, clockwise as seen */
  readonly tilt: number;
  /** m, cart frame, to px */
  readonly toPicture: (point: Vec3) => Point;
  /** m: along the picture and up from the floor, to px */
  readonly flatToPicture: (point: Vec2) => Point;
  /** m, the furthest first */
  readonly bodies: readonly PlanOutline[];
  readonly surfaces: readonly PlanOutline[];
  readonly wheels: readonly PlanOutline[];
  /** m: extent of the cart along the picture, and its height */
  readonly reach: { readonly from: number; readonly to: number; readonly height: number };
  /** m along the picture; null: too far off to be drawn */
  readonly fallPoint: number | null;
}

export function alongOf(from: ElevationFrom, [x, y]: Vec2 | Vec3): number {
  return from === 'side' ? x : y;
}

/** rad: the incline as it appears from this side (cart frame gravity projected), positive where the
 * right of the picture is lower: tan(seen) = tan(incline) cos(turned away from the view). */
function apparentTilt(from: ElevationFrom, { incline }: Pose): number {
  if (incline === null) return 0;
  const along = from === 'side' ? Math.cos(incline.downhill) : Math.sin(incline.downhill);
  return Math.atan(Math.tan(incline.angle) * along);
}

/** px */
const SIDE_ROOM = 92;
const FOOT = 42;
/** The fall point is drawn up to this share of the cart's size away from it. */
const FAR = 0.6;

export function elevationLayout(scene: ElevationScene): ElevationLayout {
  const { cart, pose, posed, from, width, height } = scene;
  const project = (point: Vec3): Vec2 => [alongOf(from, point), point[2]];
  const bodies = outlinesOf(cart, posed, from, project);
  const surfaces = cart.surfaces.map((each) => ({
    name: each.name,
    points: surfaceOutline(each, posed.placements, project),
  }));
  const wheels = posed.castors.map((castor) => ({
    name: castor.name,
    points: wheelOutline(castor, project),
  }));
  const reach = reachOf([...bodies, ...wheels], project(posed.centreOfMass));
  const fallPoint = nearFallPoint(alongOf(from, posed.fallPoint), reach);
  const tilt = apparentTilt(from, pose);
  const field = { left: 6, top: TITLE_HEIGHT + 4, right: width - 6, bottom: height - FOOT };
  const turned = (point: Vec2) => turnedBy(point, -tilt);
  const view = fitView(cornersOf(reach, fallPoint).map(turned), frameIn(field, width));
  const flatToPicture = (point: Vec2) => view.toPicture(turned(point));
  const toPicture = (point: Vec3) => flatToPicture(project(point));
  return {
    view,
    field,
    tilt,
    toPicture,
    flatToPicture,
    bodies,
    surfaces,
    wheels,
    reach,
    fallPoint,
  };
}

function frameIn(field: Box, width: number): Box {
  const side = Math.min(SIDE_ROOM, width * 0.17);
  return {
    left: field.left + side,
    right: field.right - side,
    top: field.top + 30,
    bottom: field.bottom - 46,
  };
}

function turnedBy([u, z]: Vec2, angle: number): Vec2 {
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return [cos * u - sin * z, sin * u + cos * z];
}

function outlinesOf(
  cart: Cart,
  posed: PosedCart,
  from: ElevationFrom,
  project: (point: Vec3) => Vec2,
): readonly PlanOutline[] {
  return cart.outline
    .map((body) => ({ body, near: nearness(bodyPoints(body, posed.placements), from) }))
    .sort((p, q) => p.near - q.near)
    .map(({ body }) => ({
      name: body.name,
      points: bodyOutline(body, posed.placements, project),
    }));
}

/** m towards who looks: from the side that is y to the right, from the front x. */
function nearness(points: readonly Vec3[], from: ElevationFrom): number {
  return Math.max(...points.map(([x, y]) => (from === 'side' ? -y : x)));
}

function reachOf(outlines: readonly PlanOutline[], centre: Vec2): ElevationLayout['reach'] {
  const points = [...outlines.flatMap((each) => each.points), centre];
  const along = points.map((p) => p[0]);
  return {
    from: Math.min(...along),
    to: Math.max(...along),
    height: Math.max(...points.map((p) => p[1])),
  };
}

function nearFallPoint(at: number, { from, to, height }: ElevationLayout['reach']): number | null {
  const room = FAR * Math.max(to - from, height);
  return at >= from - room && at <= to + room ? at : null;
}

function cornersOf(reach: ElevationLayout['reach'], fallPoint: number | null): readonly Vec2[] {
  const { from, to, height } = reach;
  const corners: readonly Vec2[] = [
    [from, 0],
    [to, 0],
    [from, height],
    [to, height],
  ];
  return fallPoint === null ? corners : [...corners, [fallPoint, 0]];
}

/** A tipping line is shown in an elevation when it is less than 60 degrees off being seen end-on. */
const FACING = 0.5;

/** The tipping line that most faces each end of the picture: the lower and the upper end of `along`. */
export function endLines(
  from: ElevationFrom,
  { lines }: PosedCart,
): readonly [TippingLine | null, TippingLine | null] {
  const facing = lines.map((line) => ({ line, out: outwards(from, line) }));
  const best = (sign: 1 | -1) =>
    facing.reduce<{ readonly line: TippingLine; readonly out: number } | null>(
      (most, each) =>
        sign * each.out > FACING && (most === null || sign * each.out > sign * most.out)
          ? each
          : most,
      null,
    )?.line ?? null;
  return [best(-1), best(1)];
}

/** Share of the line's outward normal that lies along the picture; the support runs
 * counter-clockwise, so out is to the right of the way along it. */
function outwards(from: ElevationFrom, line: TippingLine): number {
  const [dx, dy] = [line.to[0] - line.from[0], line.to[1] - line.from[1]];
  const length = Math.hypot(dx, dy);
  if (length === 0) return 0;
  return (from === 'side' ? dy : -dx) / length;
}
