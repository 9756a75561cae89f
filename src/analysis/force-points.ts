/** Where a person can push or lean on the cart. */

import type { Body, Cart, Vec2, Vec3 } from '../document/index.js';
import type { DownPoint, PushPoint } from '../engine/index.js';
import { neverTurns, rectangle, staysUpright } from './cart-facts.js';
import type { CartModel } from './cart-model.js';
import { moverIndex } from './cart-model.js';

/** A point with the body or surface it is on. */
export interface Named<T> {
  readonly on: string;
  readonly point: T;
}

export function pushable({ outline }: Cart): readonly Body[] {
  return outline.filter((body) => body.pushable);
}

/** The upright edges of the pushable bodies: corners of boxes, rims of cylinders. */
export function pushEdges(model: CartModel): readonly Named<PushPoint>[] {
  const { cart } = model;
  return pushable(cart).flatMap((body) => {
    const mover = moverIndex(cart, body.on);
    const [bottom, top] = heightsOf(body);
    return planPoints(model, body).map(([x, y]) => ({
      on: body.name,
      point: { mover, top: [x, y, top] as Vec3, bottom: [x, y, bottom] as Vec3 },
    }));
  });
}

/** One edge a body where the height alone counts; every edge of a body that a mover tilts. */
export function levelPushEdges(model: CartModel): readonly Named<PushPoint>[] {
  const upright = (name: string): boolean =>
    staysUpright(model.cart, model.cart.outline.find((body) => body.name === name)?.on ?? null);
  const seen = new Set<string>();
  return pushEdges(model).filter(({ on }) => {
    const again = seen.has(on);
    seen.add(on);
    return !again || !upright(on);
  });
}

/** The middle of the top of each pushable body: where a push with the locks on is applied. */
export function topCentres(cart: Cart): readonly Named<{ mover: number; at: Vec3 }>[] {
  return pushable(cart).map((body) => {
    const [, top] = heightsOf(body);
    const [x, y] = middle(body);
    return { on: body.name, point: { mover: moverIndex(cart, body.on), at: [x, y, top] } };
  });
}

/** Corners of the tops of pushable bodies and of surfaces: where someone may lean down. */
export function leaningPoints(model: CartModel): readonly Named<DownPoint>[] {
  const { cart } = model;
  const tops = pushEdges(model).map(({ on, point }) => ({
    on,
    point: { mover: point.mover, at: point.top },
  }));
  const surfaces = cart.surfaces.flatMap(({ name, on, from, to, height }) =>
    rectangle(from, to).map(([x, y]) => ({
      on: name,
      point: { mover: moverIndex(cart, on), at: [x, y, height] as Vec3 },
    })),
  );
  return [...tops, ...surfaces];
}

function heightsOf({ shape }: Body): readonly [number, number] {
  if (shape.kind === 'box') return [shape.from[2], shape.to[2]];
  return [shape.base[2], shape.base[2] + shape.height];
}

function middle({ shape }: Body): Vec2 {
  if (shape.kind === 'cylinder') return [shape.base[0], shape.base[1]];
  return [0.5 * (shape.from[0] + shape.to[0]), 0.5 * (shape.from[1] + shape.to[1])];
}

/** Sides of the polygon drawn round a cylinder that a turn carries: its corners are 2 % of the radius
 * outside the rim, on the safe side. */
const SIDES = 16;

function planPoints({ cart, support }: CartModel, body: Body): readonly Vec2[] {
  const { shape } = body;
  if (shape.kind === 'box') {
    return rectangle([shape.from[0], shape.from[1]], [shape.to[0], shape.to[1]]);
  }
  const [x, y] = shape.base;
  // A rim that never turns is pushed where it is farthest beyond a tipping line.
  if (neverTurns(cart, body.on) && support.kind === 'polygon') {
    const { radius } = shape;
    return support.edges.map(
      ({ normal }): Vec2 => [x + radius * normal[0], y + radius * normal[1]],
    );
  }
  const radius = shape.radius / Math.cos(Math.PI / SIDES);
  return Array.from({ length: SIDES }, (_, i): Vec2 => {
    const angle = (2 * Math.PI * i) / SIDES;
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)];
  });
}
