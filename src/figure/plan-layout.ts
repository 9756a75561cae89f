/** Where everything of a plan view lies in its picture. */

import type { Pose, PosedCart } from '../analysis/index.js';
import type { Cart, Vec2, Vec3 } from '../document/index.js';
import { TITLE_HEIGHT } from './figure-frame.js';
import type { Box } from './picture.js';
import { bodyOutline, surfaceOutline, wheelOutline } from './projected-outline.js';
import type { View } from './view.js';
import { fitView } from './view.js';

export interface PlanScene {
  readonly cart: Cart;
  readonly pose: Pose;
  readonly posed: PosedCart;
  /** px */
  readonly width: number;
  readonly height: number;
}

export interface PlanLayout {
  readonly view: View;
  /** px: where drawing and labels may be */
  readonly field: Box;
  /** m, from the lowest up, as they are drawn */
  readonly bodies: readonly PlanOutline[];
  readonly surfaces: readonly PlanOutline[];
  /** px: bounds of the cart */
  readonly cartBox: Box;
  /** false: the fall point is too far off to be drawn */
  readonly fallPointShown: boolean;
}

export interface PlanOutline {
  readonly name: string;
  readonly points: readonly Vec2[];
}

/** px under the field: scale bars and axes. */
const FOOT = 50;
/** px about the cart for its labels and dimensions, at most */
const SIDE_ROOM = 96;
const END_ROOM = 54;

/** The fall point is drawn up to this share of the cart's size away from it. */
const FAR = 0.6;

export function planLayout({ cart, pose, posed, width, height }: PlanScene): PlanLayout {
  const bodies = outlinesOf(cart, posed);
  const surfaces = surfacesOf(cart, posed);
  const own = ownPoints(bodies, posed);
  const reach = boundsOf(own);
  const fallPointShown = isNear(posed.fallPoint, reach);
  const points = fallPointShown ? [...own, posed.fallPoint] : own;
  const field = { left: 6, top: TITLE_HEIGHT + 4, right: width - 6, bottom: height - FOOT };
  const side = Math.min(SIDE_ROOM, width * 0.16);
  const head = pose.incline === null ? END_ROOM * 0.6 : END_ROOM;
  const view = fitView(points, {
    left: field.left + side,
    right: field.right - side,
    top: field.top + head,
    bottom: field.bottom - END_ROOM,
  });
  const [left, top] = view.toPicture([reach.left, reach.top]);
  const [right, bottom] = view.toPicture([reach.right, reach.bottom]);
  return { view, field, bodies, surfaces, cartBox: { left, top, right, bottom }, fallPointShown };
}

function seenFromAbove([x, y]: Vec3): Vec2 {
  return [x, y];
}

function outlinesOf(cart: Cart, posed: PosedCart): readonly PlanOutline[] {
  return cart.outline
    .map((body) => ({ body, top: topOf(body, posed) }))
    .sort((p, q) => p.top - q.top)
    .map(({ body }) => ({
      name: body.name,
      points: bodyOutline(body, posed.placements, seenFromAbove),
    }));
}

function topOf(body: Cart['outline'][number], { placements }: PosedCart): number {
  const heights = bodyOutline(body, placements, ([x, , z]) => [x, z]).map((p) => p[1]);
  return Math.max(...heights);
}

function surfacesOf(cart: Cart, posed: PosedCart): readonly PlanOutline[] {
  return cart.surfaces.map((surface) => ({
    name: surface.name,
    points: surfaceOutline(surface, posed.placements, seenFromAbove),
  }));
}

function ownPoints(bodies: readonly PlanOutline[], posed: PosedCart): readonly Vec2[] {
  return [
    ...bodies.flatMap(({ points }) => points),
    ...posed.castors.flatMap((castor) => [castor.stem, ...wheelOutline(castor, seenFromAbove)]),
    seenFromAbove(posed.centreOfMass),
  ];
}

/** m, y up: `top` is the greatest y. */
function boundsOf(points: readonly Vec2[]): Box {
  const x = points.map((p) => p[0]);
  const y = points.map((p) => p[1]);
  return {
    left: Math.min(...x),
    right: Math.max(...x),
    top: Math.max(...y),
    bottom: Math.min(...y),
  };
}

function isNear([x, y]: Vec2, { left, right, top, bottom }: Box): boolean {
  const room = FAR * Math.max(right - left, top - bottom);
  return x >= left - room && x <= right + room && y >= bottom - room && y <= top + room;
}
