/** The facts of a cart that decide which clauses are asked of it. */

import type { Body, Cart, Vec3 } from '../document/index.js';
import type { ConfigurationDomain, Way } from '../engine/index.js';
import { curvedVariables, leastOver, pointAt, pointLower, rootBox } from '../engine/index.js';
import type { CartFacts } from '../requirements/index.js';
import type { CartModel } from './cart-model.js';
import { moverIndex, positionsOf } from './cart-model.js';

export function cartFacts(model: CartModel): CartFacts {
  const { cart } = model;
  return {
    mobile: cart.mobility === 'mobile',
    castors: cart.castors.length,
    locks: cart.castors.filter(({ lock }) => lock !== 'none').length,
    greatestMass: greatestMass(cart),
    greatestHeight: greatestHeight(model) ?? 0,
    surfaces: cart.surfaces.map(({ kind, name, on, from, to, height }) => ({
      kind,
      name,
      height: leastHeight(
        model,
        moverIndex(cart, on),
        rectangle(from, to).map(([x, y]): Vec3 => [x, y, height]),
      ),
    })),
    markings: cart.markings,
    liftingHandles: cart.handles.filter(({ kind }) => kind === 'lifting').length,
  };
}

/** kg, every part and every load at its most */
export function greatestMass(cart: Cart): number {
  const parts = cart.parts.reduce((sum, { mass }) => sum + mass, 0);
  return cart.loads.reduce((sum, { most }) => sum + most, parts);
}

/** m, highest point of the outline in any position; null: no outline */
export function greatestHeight(model: CartModel): number | null {
  const { cart } = model;
  if (cart.outline.length === 0) return null;
  const heights = cart.outline.map(
    (body) => -leastAlong(model, 'all', moverIndex(cart, body.on), cornersOf(body), DOWN),
  );
  return Math.max(...heights);
}

function leastHeight(model: CartModel, mover: number, points: readonly Vec3[]): number {
  return leastAlong(model, 'all', mover, points, UP);
}

const UP: Vec3 = [0, 0, 1];
const DOWN: Vec3 = [0, 0, -1];

/** Least of direction . point over the points and the positions. */
export function leastAlong(
  model: CartModel,
  kind: 'transport' | 'all',
  mover: number,
  points: readonly Vec3[],
  direction: Vec3,
): number {
  const curved = curvedVariables(model.mass);
  const bounds = positionsOf(model, kind).map(({ domain }) => {
    const ways = points.map((point) => wayAlong(model, domain, mover, point, direction));
    const { value, bound, status } = leastOver(domain, ways, curved, EXTENT_LIMITS);
    return status === 'closed' ? value : bound;
  });
  return Math.min(...bounds);
}

/** A hundredth of a millimetre: nobody measures a cart closer. */
const EXTENT_LIMITS = { absoluteGap: 1e-5, relativeGap: 0, maxBoxes: 2000 };

const place = new Float64Array(3);

function wayAlong(
  { mass }: CartModel,
  domain: ConfigurationDomain,
  mover: number,
  point: Vec3,
  [bx, by, bz]: Vec3,
): Way {
  const lowest = (lo: Float64Array, hi: Float64Array): number =>
    pointLower(mass, lo, hi, mover, point, bx, by, bz);
  const { lo, hi } = rootBox(domain);
  return {
    floor: lowest(lo, hi),
    valueAt: (x) => {
      pointAt(mass, x, mover, point, place);
      const [px, py, pz] = [place[0] as number, place[1] as number, place[2] as number];
      return bx * px + by * py + bz * pz;
    },
    marginOver: (from, to) => {
      const least = lowest(from, to);
      return (r) => least - r;
    },
  };
}

export function rectangle(
  [x0, y0]: readonly [number, number],
  [x1, y1]: readonly [number, number],
): readonly (readonly [number, number])[] {
  return [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
}

/** Points that a body lies within the hull of: the corners of a box, of the square round a cylinder. */
export function cornersOf({ shape }: Body): readonly Vec3[] {
  if (shape.kind === 'box') {
    const plan = rectangle([shape.from[0], shape.from[1]], [shape.to[0], shape.to[1]]);
    return plan.flatMap(([x, y]): Vec3[] => [
      [x, y, shape.from[2]],
      [x, y, shape.to[2]],
    ]);
  }
  const { base, radius, height } = shape;
  const plan = rectangle(
    [base[0] - radius, base[1] - radius],
    [base[0] + radius, base[1] + radius],
  );
  return plan.flatMap(([x, y]): Vec3[] => [
    [x, y, base[2]],
    [x, y, base[2] + height],
  ]);
}

/** true: every mover that carries it, directly or not, is a slide or turns about an upright axis */
export function staysUpright(cart: Cart, mover: string | null): boolean {
  return carriersOf(cart, mover).every(
    ({ kind, axis }) => kind === 'slide' || Math.hypot(axis[0], axis[1]) < UPRIGHT,
  );
}

/** true: no turn carries it */
export function neverTurns(cart: Cart, mover: string | null): boolean {
  return carriersOf(cart, mover).every(({ kind }) => kind === 'slide');
}

/** Of a unit vector: an axis read from text is upright to rounding. */
const UPRIGHT = 1e-9;

function carriersOf(cart: Cart, mover: string | null): Cart['movers'] {
  const carriers = [];
  let name = mover;
  while (name !== null) {
    const found = cart.movers.find((each) => each.name === name);
    if (found === undefined) throw new Error(`cart facts: no mover named ${name}`);
    carriers.push(found);
    name = found.on;
  }
  return carriers;
}
