/** Every lever with one amount that needs no search of its own. */

import type { Cart } from '../../document/index.js';
import type { Lever } from '../lever.js';
import type { Reaches } from '../reaches.js';
import { castorLevers } from './castor-levers.js';
import { limitLevers } from './limit-levers.js';
import { markingLevers } from './markings.js';

export function plainLevers(cart: Cart, reaches: Reaches): readonly Lever[] {
  return [...castorLevers(cart, reaches), ...limitLevers(cart), ...markingLevers(cart)];
}
