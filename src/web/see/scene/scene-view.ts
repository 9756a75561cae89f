/** How a cart is looked at: from where, and how near so that all of it is seen. */

import type { PosedCart } from '../../../analysis/index.js';
import type { Body, Cart, Vec2, Vec3 } from '../../../document/index.js';
import { carried } from './drag-on-axis.js';

export type ViewFrom = 'front' | 'side' | 'above' | 'three-quarter';
export type Projection = 'parallel' | 'perspective';

/** Unit vectors from the cart to the eye: ahead of it; right of it, so that forward is to the right of
 * the picture; above it, a hair to the right so that up in the picture is the cart's left. */
export const VIEW_DIRECTIONS: Readonly<Record<ViewFrom, Vec3>> = {
  front: [1, 0, 0],
  side: [0, -1, 0],
  above: unit([0, -1e-4, 1]),
  'three-quarter': unit([0.62, -1, 0.62]),
};

function unit([x, y, z]: Vec3): Vec3 {
  const length = Math.hypot(x, y, z);
  return [x / length, y / length, z / length];
}

/** Corners of what is drawn of a cart, m, where its movers have carried it. */
export function drawnPoints(cart: Cart, posed: PosedCart): readonly Vec3[] {
  const bodies = cart.outline.flatMap((body) =>
    cornersOf(body).map((corner) =>
      carried(corner, body.on === null ? undefined : posed.placements[body.on]),
    ),
  );
  const wheels = posed.castors.flatMap(({ stem, contact, wheelDiameter: d }): Vec3[] => [
    [contact[0] - d / 2, contact[1] - d / 2, 0],
    [contact[0] + d / 2, contact[1] + d / 2, 0],
    [stem[0], stem[1], 1.3 * d],
  ]);
  const masses = posed.masses.filter(({ mass }) => mass > 0).map(({ at }) => at);
  return [...bodies, ...wheels, ...masses];
}

function cornersOf({ shape }: Body): readonly Vec3[] {
  const [from, to] = endsOf(shape);
  return [from[0], to[0]].flatMap((x) =>
    [from[1], to[1]].flatMap((y) => [from[2], to[2]].map((z): Vec3 => [x, y, z])),
  );
}

function endsOf(shape: Body['shape']): readonly [Vec3, Vec3] {
  if (shape.kind === 'box') return [shape.from, shape.to];
  const { base, radius, height } = shape;
  return [
    [base[0] - radius, base[1] - radius, base[2]],
    [base[0] + radius, base[1] + radius, base[2] + height],
  ];
}

export interface Extent {
  readonly least: Vec3;
  readonly most: Vec3;
}

export function extentOf(points: readonly Vec3[]): Extent {
  const by = (pick: (...values: number[]) => number): Vec3 => [
    pick(...points.map((p) => p[0])),
    pick(...points.map((p) => p[1])),
    pick(...points.map((p) => p[2])),
  ];
  return { least: by(Math.min), most: by(Math.max) };
}

/** m: mesh of the floor's grid, of the same order as a step on the floor's drawing whatever its size. */
export function gridMesh(extent: number, system: 'SI' | 'US'): number {
  if (system === 'US') return INCH * (extent < 4 ? 4 : 24);
  return extent < 4 ? 0.1 : 0.5;
}

/** m, exact: international yard and pound agreement of 1959 */
const INCH = 0.0254;

/** A part of the floor to draw: whole meshes about the cart with a rim of at least `rim` (m). */
export function floorPart(
  { least, most }: Extent,
  mesh: number,
  rim: number,
): readonly [Vec2, Vec2] {
  const down = (value: number): number => Math.floor((value - rim) / mesh) * mesh;
  const up = (value: number): number => Math.ceil((value + rim) / mesh) * mesh;
  return [
    [down(least[0]), down(least[1])],
    [up(most[0]), up(most[1])],
  ];
}

/** px at the upper and lower edge of the picture that something else takes. */
export interface Rim {
  readonly top: number;
  readonly bottom: number;
}

/** The drawing's tools lie over it, its scale at its foot; a low picture lets them cover some of it. */
export function pictureRim(height: number): Rim {
  return { top: Math.min(58, 0.12 * height), bottom: 18 };
}

const NO_RIM: Rim = { top: 0, bottom: 0 };

/** px by which labels stand off the cart. */
const LABEL_ROOM = 40;

/**
 * px per metre, and the point that comes into the middle of the picture, so that all points are seen
 * from the direction in a parallel projection.
 * @param right, up unit vectors of the picture
 */
export function fitParallel(
  points: readonly Vec3[],
  right: Vec3,
  up: Vec3,
  size: { readonly width: number; readonly height: number },
  rim: Rim = NO_RIM,
): { readonly pxPerMetre: number; readonly middle: Vec3 } {
  const along = (axis: Vec3) => points.map((p) => p[0] * axis[0] + p[1] * axis[1] + p[2] * axis[2]);
  const [x, y] = [spanOf(along(right)), spanOf(along(up))];
  const height = Math.max(size.height / 3, size.height - rim.top - rim.bottom);
  const room = Math.min(LABEL_ROOM, size.width / 8, height / 9);
  const pxPerMetre = Math.min(
    (size.width - 2 * room) / Math.max(x.length, LEAST_SPAN),
    (height - 2 * room) / Math.max(y.length, LEAST_SPAN),
  );
  const { least, most } = extentOf(points);
  const centre: Vec3 = [
    (least[0] + most[0]) / 2,
    (least[1] + most[1]) / 2,
    (least[2] + most[2]) / 2,
  ];
  // from the middle of the box to the middle of the picture, within the plane of the picture
  const shift = (axis: Vec3, middle: number) =>
    middle - (centre[0] * axis[0] + centre[1] * axis[1] + centre[2] * axis[2]);
  const lower = (rim.top - rim.bottom) / 2 / pxPerMetre;
  const [sx, sy] = [shift(right, x.middle), shift(up, y.middle) + lower];
  const at = (i: 0 | 1 | 2) => centre[i] + sx * right[i] + sy * up[i];
  return { pxPerMetre, middle: [at(0), at(1), at(2)] };
}

/** m: a drawing of nearly nothing is shown as if it were this large. */
const LEAST_SPAN = 0.05;

function spanOf(values: readonly number[]): { readonly length: number; readonly middle: number } {
  const least = Math.min(...values);
  const most = Math.max(...values);
  return { length: most - least, middle: (least + most) / 2 };
}

/** The way of the floor an arrow key means: of forward, back, left and right the one that goes most
 * that way in the picture. @param right, up unit vectors of the picture, cart frame */
export function wayOfArrow(
  key: 'ArrowLeft' | 'ArrowRight' | 'ArrowUp' | 'ArrowDown',
  right: Vec3,
  up: Vec3,
): Vec2 {
  // two keys of one line go along one line of the floor, so that each takes the other back
  const acrossIsX = Math.abs(right[0]) >= Math.abs(right[1]);
  const across: Vec2 = acrossIsX ? [Math.sign(right[0]), 0] : [0, Math.sign(right[1])];
  const away = acrossIsX ? signOr(up[1], 1) : signOr(up[0], 1);
  const upward: Vec2 = acrossIsX ? [0, away] : [away, 0];
  const [x, y] = key === 'ArrowLeft' || key === 'ArrowRight' ? across : upward;
  return key === 'ArrowLeft' || key === 'ArrowDown' ? [0 - x, 0 - y] : [x, y];
}

function signOr(value: number, otherwise: number): number {
  return Math.abs(value) < 1e-6 ? otherwise : Math.sign(value);
}

/**
 * rad about an upright cylinder's axis at which its outline is seen, in its own frame; null: seen from
 * above or below, or from within.
 * @param eye of a perspective: where it is (m); of a parallel projection: the way to it
 */
export function outlineAngles(
  eye: Vec2,
  radius: number,
  isPerspective: boolean,
): readonly [number, number] | null {
  const distance = Math.hypot(eye[0], eye[1]);
  if (distance < (isPerspective ? radius : 1e-4)) return null;
  const towards = Math.atan2(eye[1], eye[0]);
  // a tangent from the eye touches where the radius is square to it
  const aside = isPerspective ? Math.acos(radius / distance) : Math.PI / 2;
  return [towards - aside, towards + aside];
}

/** kg/m3: carbon steel, to the two figures handbooks agree on. */
const STEEL = 7850;

/** m: radius of a ball of steel of the mass (kg). */
export function ballRadius(mass: number): number {
  return Math.cbrt((3 * mass) / (4 * Math.PI * STEEL));
}
