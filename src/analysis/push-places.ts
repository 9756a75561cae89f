/** Where a person can push or lean on a cart that stands in a pose, m. */

import type { Cart, Vec3 } from '../document/index.js';
import { pointAt } from '../engine/index.js';
import { modelOf } from './cart-model.js';
import { leaningPoints, pushEdges } from './force-points.js';
import type { Pose } from './pose.js';
import { variablesOf } from './pose.js';

/** An upright edge of a pushable body, as its mover carries it. */
export interface PushPlace {
  /** name of the body */
  readonly on: string;
  readonly top: Vec3;
  readonly bottom: Vec3;
}

/** A point of a top or of a surface, with the body or surface it is on. */
export interface LeanPlace {
  readonly on: string;
  readonly at: Vec3;
}

/** @throws RangeError when the pose is not of the cart */
export function pushPlaces(cart: Cart, pose: Pose): readonly PushPlace[] {
  const model = modelOf(cart);
  const place = placing(cart, pose, model.mass);
  return pushEdges(model).map(({ on, point: { mover, top, bottom } }) => ({
    on,
    top: place(mover, top),
    bottom: place(mover, bottom),
  }));
}

/** The corners of the tops of pushable bodies and of surfaces. */
export function leanPlaces(cart: Cart, pose: Pose): readonly LeanPlace[] {
  const model = modelOf(cart);
  const place = placing(cart, pose, model.mass);
  return leaningPoints(model).map(({ on, point: { mover, at } }) => ({ on, at: place(mover, at) }));
}

function placing(cart: Cart, pose: Pose, mass: Parameters<typeof pointAt>[0]) {
  const x = variablesOf(cart, pose);
  const out = new Float64Array(3);
  return (mover: number, at: Vec3): Vec3 => {
    pointAt(mass, x, mover, at, out);
    return [out[0] as number, out[1] as number, out[2] as number];
  };
}
