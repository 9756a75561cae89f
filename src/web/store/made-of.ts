/** Whether an answer is of the cart that is on the sheet now. */

import type { RequirementSet } from '../../requirements/index.js';
import type { MadeOf } from './state.js';

export function isOfNow(made: MadeOf, now: MadeOf): boolean {
  return made.text === now.text && made.partsLists === now.partsLists && isSame(made.set, now.set);
}

/** Sets are read again with the folder. */
function isSame(a: RequirementSet, b: RequirementSet): boolean {
  return a === b || JSON.stringify(a) === JSON.stringify(b);
}
