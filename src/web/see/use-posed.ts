/** The cart that is shown, in the pose that is shown. */

import type { Pose, PosedCart } from '../../analysis/index.js';
import { poseCart } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import { useWorkbench } from '../kit/use-workbench.js';

export interface Posed {
  readonly cart: Cart;
  readonly pose: Pose;
  readonly posed: PosedCart;
}

/** null: no cart can be read yet, or the pose is not of this cart (for the moment between two) */
export function usePosed(): Posed | null {
  const cart = useWorkbench((s) => s.shown);
  const pose = useWorkbench((s) => s.pose);
  return posedOf(cart, pose);
}

let last: { readonly cart: Cart; readonly pose: Pose; readonly posed: Posed | null } | null = null;

/** Several drawings ask for the same at every frame of a drag: it is computed once. */
export function posedOf(cart: Cart | null, pose: Pose | null): Posed | null {
  if (cart === null || pose === null) return null;
  if (last?.cart !== cart || last.pose !== pose) {
    last = { cart, pose, posed: computed(cart, pose) };
  }
  return last.posed;
}

function computed(cart: Cart, pose: Pose): Posed | null {
  try {
    return { cart, pose, posed: poseCart(cart, pose) };
  } catch (error) {
    if (error instanceof RangeError) return null;
    throw error;
  }
}
