/** Signs that take a clause away. Each is tried as it is: what it takes away is for the requirement
 * set's own conditions to say. */

import type { Cart, Marking } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { ratio } from '../lever.js';

/** Signs of ISO 7010, as the requirement sets name them. */
const SIGNS: Readonly<Record<Marking, string>> = {
  'no pushing': 'sign against pushing (ISO 7010 P017)',
  'no sitting': 'sign against sitting (ISO 7010 P018)',
  'no stepping': 'sign against stepping (ISO 7010 P019)',
};

const SHIFTS =
  'A sign makes nothing safer: it shifts the duty to whoever uses the cart. Whether the standard lets it take the clause away depends on its own conditions, in your copy.';

export function markingLevers(cart: Cart): readonly Lever[] {
  return (Object.keys(SIGNS) as Marking[])
    .filter((marking) => !cart.markings.includes(marking))
    .map((marking) => ({
      id: `marking: ${marking}`,
      kind: 'marking',
      relies: 'user',
      count: 1,
      amountAt: () => ratio(1),
      shareAt: () => 1,
      editsAt: () => [{ kind: 'add marking', marking }],
      wordsAt: () => [SIGNS[marking]],
      notes: [SHIFTS],
    }));
}
