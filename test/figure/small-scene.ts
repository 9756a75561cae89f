/** A small cart in a pose, for drawings whose measures are known. */

import type { Pose } from '../../src/analysis/index.js';
import { poseCart, startPose } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import { castorAt, simpleCart } from '../analysis/simple-cart.js';

/** m: between the outermost stems. */
export const WHEELBASE = 0.64;
export const TRACK = 0.5;

/** Four castors, an arm that turns 30 degrees about the upright through the origin, a handle. */
export function smallCart(changes: Partial<Cart> = {}): Cart {
  return simpleCart([0.02, 0, 0.5], {
    name: 'Small cart',
    castors: [
      { ...castorAt('front left', [0.32, 0.25], 'wheel') },
      { ...castorAt('front right', [0.32, -0.25], 'directional') },
      { ...castorAt('rear left', [-0.32, 0.25], 'total') },
      { ...castorAt('rear right', [-0.32, -0.25], 'none') },
    ],
    movers: [
      {
        name: 'arm',
        kind: 'turn',
        on: null,
        origin: [0, 0, 0],
        axis: [0, 0, 1],
        from: 0,
        to: Math.PI / 2,
        stops: null,
      },
    ],
    outline: [
      {
        name: 'base',
        on: null,
        shape: { kind: 'box', from: [-0.35, -0.28, 0.1], to: [0.35, 0.28, 0.2] },
        pushable: true,
      },
      {
        name: 'arm box',
        on: 'arm',
        shape: { kind: 'box', from: [0.1, -0.05, 0.8], to: [0.3, 0.05, 0.9] },
        pushable: false,
      },
    ],
    handles: [{ name: 'push bar', on: null, at: [-0.3, 0, 0.9], kind: 'pushing', rating: null }],
    positions: ['transport', 'use'].map((kind) => ({
      name: kind,
      kind: kind as 'transport' | 'use',
      movers: { arm: { from: 0, to: Math.PI / 2 } },
      loads: {},
    })),
    ...changes,
  });
}

export function sceneOf(cart: Cart, changes: Partial<Pose> = {}) {
  const pose: Pose = { ...startPose(cart, 'use'), ...changes };
  return { cart, pose, posed: poseCart(cart, pose) };
}

/** Names that try to be markup, to turn the text round, or to run out of the picture. */
export const HOSTILE_NAMES: readonly string[] = [
  '<script>alert(1)</script>',
  'a "quoted" & \'odd\' name',
  'عربة العيادة عند البحيرة',
  'W'.repeat(100),
];
