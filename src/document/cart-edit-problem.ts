/** Whether edits can be made, before they are: so that a study is refused before its variants run. */

import type { Cart } from './cart.js';
import { editCart } from './cart-edit.js';
import type { CartEdit } from './cart-edit-kinds.js';
import type { EditProblem } from './cart-edit-target.js';
import { targetProblem } from './cart-edit-target.js';
import { CART_PROBLEMS } from './cart-problems.js';
import { cartTree, isWholeState } from './cart-tree.js';
import { issueLog } from './issue-log.js';
import { cartOfTree, NO_LISTS } from './read-cart.js';

export type { EditProblem } from './cart-edit-target.js';

/**
 * Why this edit cannot be made to this cart, in one line that names the place, the value and what is
 * allowed; null when it can.
 *
 * `castors[2] "front right" > lock: total does not go with a fixed castor; allowed: lock: none or ...`
 */
export function editProblem(cart: Cart, edit: CartEdit): string | null {
  return editsProblem(cart, [edit]);
}

/** The same of edits that are made together: what they do to the cart is judged when all are made. */
export function editsProblem(cart: Cart, edits: readonly CartEdit[]): string | null {
  const [first] = editProblems(cart, edits);
  if (first === undefined) return null;
  const { code, path, actual, allowed } = first;
  const problem = CART_PROBLEMS[code];
  return `${path}: ${actual === null ? problem : `${actual} ${problem}`}; allowed: ${allowed}`;
}

/** All problems that can be told at once. */
export function editProblems(cart: Cart, edits: readonly CartEdit[]): readonly EditProblem[] {
  let at = cart;
  for (const edit of edits) {
    const problem = targetProblem(at, edit);
    if (problem !== null) return [problem];
    at = editCart(at, [edit]);
  }
  return cartFaults(at);
}

/** What the reader would find wrong in the file of this cart. */
function cartFaults(cart: Cart): readonly EditProblem[] {
  const log = issueLog('', [0]);
  const { root, firstOfType } = cartTree(cart);
  const isRead = cartOfTree(root, NO_LISTS, log) !== null;
  const faults = log.issues().map((issue) => ({
    // every code in the log is one of the reader's
    code: issue.code as EditProblem['code'],
    path: placedPath(issue.path, cart, firstOfType),
    actual: issue.actual,
    allowed: issue.allowed,
  }));
  return isRead ? unsaidStates(cart) : faults;
}

/** Types of the tree are no names that anybody knows: their first castor stands for them. */
function placedPath(path: string, cart: Cart, firstOfType: readonly number[]): string {
  return path.replace(/^castor types\[(\d+)\] "[^"]*"/, (_, type: string) => {
    const index = firstOfType[Number(type) - 1] ?? 0;
    return `castors[${index + 1}] "${cart.castors[index]?.name ?? ''}"`;
  });
}

/** A file can say "may be absent" of the whole range of a load only, by leaving the load out. */
function unsaidStates(cart: Cart): readonly EditProblem[] {
  return cart.positions.flatMap((position, index) =>
    cart.loads.flatMap((load) => {
      const state = position.loads[load.name];
      if (state === undefined || !state.mayBeAbsent || isWholeState(state, load)) return [];
      const path = `positions[${index + 1}] "${position.name}" > loads > ${load.name}`;
      const actual = `absent or ${state.least} kg to ${state.most} kg`;
      const allowed = `absent, a range, or all that the load allows`;
      return [{ code: 'load-state' as const, path, actual, allowed }];
    }),
  );
}
