/** How heavy and how large a cart is, as it is moved about. */

import type { Cart, Vec3 } from '../document/index.js';
import { cornersOf, greatestHeight, greatestMass, leastAlong } from './cart-facts.js';
import type { CartModel } from './cart-model.js';
import { modelOf, moverIndex } from './cart-model.js';

export interface CartSize {
  /** kg, every part and load at its most */
  readonly mass: number;
  /** m, across (y) and along (x): over the outline in the transport positions, and over the contacts
   * of the castors whichever way they are turned */
  readonly width: number;
  readonly length: number;
}

export function cartSize(cart: Cart): CartSize {
  const model = modelOf(cart);
  return {
    mass: greatestMass(cart),
    width: extent(model, [0, 1, 0]),
    length: extent(model, [1, 0, 0]),
  };
}

/** m: highest outline point over all positions; null: no outline given */
export function cartHeight(cart: Cart): number | null {
  return greatestHeight(modelOf(cart));
}

function extent(model: CartModel, axis: Vec3): number {
  return greatestAlong(model, axis) + greatestAlong(model, [-axis[0], -axis[1], -axis[2]]);
}

/** m, of the outline and the contacts */
function greatestAlong(model: CartModel, direction: Vec3): number {
  const back: Vec3 = [-direction[0], -direction[1], -direction[2]];
  const bodies = model.cart.outline.map((body) => {
    if (body.on === null) {
      return Math.max(...cornersOf(body).map(([x, y]) => x * direction[0] + y * direction[1]));
    }
    const mover = moverIndex(model.cart, body.on);
    return -leastAlong(model, 'transport', mover, cornersOf(body), back);
  });
  const contacts = model.stands.map(
    ({ stem, trail }) => stem[0] * direction[0] + stem[1] * direction[1] + trail,
  );
  return Math.max(...bodies, ...contacts);
}
