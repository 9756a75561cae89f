/** What is seen of a cart's bodies, surfaces and wheels from one side, as flat outlines. */

import type { Placement, PosedCart, PosedCastor } from '../analysis/index.js';
import type { Body, Surface, Vec2, Vec3 } from '../document/index.js';
import { convexHull } from './convex-hull.js';

export type Projection = (point: Vec3) => Vec2;

/** Corners of the polygon that stands for a circle: the flats of a 100 mm radius are 0.2 mm. */
const CIRCLE_CORNERS = 48;

/** A point drawn with every mover at zero, where its mover has carried it (m). */
export function carriedPoint(
  point: Vec3,
  on: string | null,
  placements: PosedCart['placements'],
): Vec3 {
  if (on === null) return point;
  const placement = placements[on];
  if (placement === undefined) throw new Error(`carriedPoint: no placement of mover ${on}`);
  return placed(point, placement);
}

function placed([x, y, z]: Vec3, { rotation, shift }: Placement): Vec3 {
  const row = (i: number) =>
    (rotation[3 * i] ?? 0) * x + (rotation[3 * i + 1] ?? 0) * y + (rotation[3 * i + 2] ?? 0) * z;
  return [row(0) + shift[0], row(1) + shift[1], row(2) + shift[2]];
}

/** The corners of a body where its mover has carried it, m; of a cylinder those of its two rims. */
export function bodyPoints(body: Body, placements: PosedCart['placements']): readonly Vec3[] {
  const drawn = body.shape.kind === 'box' ? boxCorners(body.shape) : rims(body.shape);
  return drawn.map((point) => carriedPoint(point, body.on, placements));
}

function boxCorners({ from, to }: { readonly from: Vec3; readonly to: Vec3 }): readonly Vec3[] {
  return [from[0], to[0]].flatMap((x) =>
    [from[1], to[1]].flatMap((y) => [from[2], to[2]].map((z): Vec3 => [x, y, z])),
  );
}

function rims(shape: Extract<Body['shape'], { kind: 'cylinder' }>): readonly Vec3[] {
  const { base, radius, height } = shape;
  return circle().flatMap(([cos, sin]) =>
    [0, height].map((up): Vec3 => [base[0] + radius * cos, base[1] + radius * sin, base[2] + up]),
  );
}

function circle(): readonly Vec2[] {
  return Array.from({ length: CIRCLE_CORNERS }, (_, i): Vec2 => {
    const angle = (2 * Math.PI * i) / CIRCLE_CORNERS;
    return [Math.cos(angle), Math.sin(angle)];
  });
}

/** The true outline of a body as seen: the hull of its projected corners, m. */
export function bodyOutline(
  body: Body,
  placements: PosedCart['placements'],
  project: Projection,
): readonly Vec2[] {
  return convexHull(bodyPoints(body, placements).map(project));
}

export function surfaceOutline(
  surface: Surface,
  placements: PosedCart['placements'],
  project: Projection,
): readonly Vec2[] {
  const { from, to, height, on } = surface;
  const corners: readonly Vec3[] = [from[0], to[0]].flatMap((x) =>
    [from[1], to[1]].map((y): Vec3 => [x, y, height]),
  );
  return convexHull(corners.map((corner) => project(carriedPoint(corner, on, placements))));
}

/** The width of a wheel over its diameter: not in the cart file, so drawn at what is usual. */
const WHEEL_WIDTH = 0.28;

/** Outline of a castor's wheel as seen, m: a disc as thick as wheels usually are. */
export function wheelOutline(castor: PosedCastor, project: Projection): readonly Vec2[] {
  const { contact, rolls, wheelDiameter } = castor;
  const radius = wheelDiameter / 2;
  const half = (WHEEL_WIDTH * wheelDiameter) / 2;
  const points = circle().flatMap(([cos, sin]) =>
    [-half, half].map((side): Vec3 => {
      const along = radius * cos;
      return [
        contact[0] + along * Math.cos(rolls) - side * Math.sin(rolls),
        contact[1] + along * Math.sin(rolls) + side * Math.cos(rolls),
        radius + radius * sin,
      ];
    }),
  );
  return convexHull(points.map(project));
}
