/** Runs of the push with the locks on, of an example cart. */

import { checkCart, QUICK_PROOF } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import type { TestRun } from '../../src/test-plan/index.js';
import { planTests } from '../../src/test-plan/index.js';
import { GUARDED } from './run-record.js';

const PUSH = 'unwanted-movement-push';

/** That in the worst direction first. */
export function pushRuns(cart: Cart, set: RequirementSet): readonly TestRun[] {
  const report = checkCart(cart, set, { only: PUSH, effort: QUICK_PROOF });
  const { runs } = planTests(cart, set, report, { rule: GUARDED });
  return [...runs].sort((a, b) => Number(b.governs) - Number(a.governs));
}
