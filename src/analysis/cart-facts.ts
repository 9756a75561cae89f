/** The facts of a cart that decide which clauses are asked of it. */

import type { Body, Cart, Vec3 } from '../document/index.js';
import type { ConfigurationDomain, Way } from '../engine/index.js';
import { curvedVariables, leastOver, pointAt, pointLower, rootBox } from '../engine/index.js';
import type { CartFacts } from '../requirements/index.js';
import type { CartModel } from './cart-model.js';
import { moverIndex } from './cart-model.js';

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
function greatestMass(cart: Cart): number {
  const parts = cart.parts.reduce((sum, { mass }) => sum + mass, 0);
  return cart.loads.reduce((sum, { most }) => sum + most, parts);
}

/** m, highest point of the outline in any position; null: no outline */
export function greatestHeight(model: CartModel): number | null {
  const { cart } = model;
  if (cart.outline.length === 0) return null;
  const heights = cart.outline.map(
    (body) => -leastOf(model, moverIndex(cart, body.on), cornersOf(body), -1),
  );
  return Math.max(...heights);
}

function leastHeight(model: CartModel, mover: number, points: readonly Vec3[]): number {
  return leastOf(model, mover, points, 1);
}

/** Least of sign z over the points and all positions. */
function leastOf(model: CartModel, mover: number, points: readonly Vec3[], sign: 1 | -1): number {
  const curved = curvedVariables(model.mass);
  const bounds = model.positions.map(({ domain }) => {
    const ways = points.map((point) => heightWay(model, domain, mover, point, sign));
    const { value, bound, status } = leastOver(domain, ways, curved, HEIGHT_LIMITS);
    return status === 'closed' ? value : bound;
  });
  return Math.min(...bounds);
}

/** A hundredth of a millimetre: nobody measures a cart's height closer. */
const HEIGHT_LIMITS = { absoluteGap: 1e-5, relativeGap: 0, maxBoxes: 2000 };

const place = new Float64Array(3);

function heightWay(
  { mass }: CartModel,
  domain: ConfigurationDomain,
  mover: number,
  point: Vec3,
  sign: 1 | -1,
): Way {
  const lowest = (lo: Float64Array, hi: Float64Array): number =>
    pointLower(mass, lo, hi, mover, point, 0, 0, sign);
  const { lo, hi } = rootBox(domain);
  return {
    floor: lowest(lo, hi),
    valueAt: (x) => {
      pointAt(mass, x, mover, point, place);
      return sign * (place[2] as number);
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
function cornersOf({ shape }: Body): readonly Vec3[] {
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
