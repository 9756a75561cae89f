/** The set-up card of one run of a plan, on screen and on paper. */

import type { Cart } from '../../../document/index.js';
import type { Paper } from '../../../figure/index.js';
import { SetUpCard } from '../../../figure/index.js';
import type { TestPlan } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';

export interface RunCardProps {
  /** the revision that the plan is of */
  readonly cart: Cart;
  readonly plan: TestPlan;
  /** of the run, from 0 */
  readonly index: number;
  readonly units: UnitSystem;
  readonly paper: Paper;
}

export function RunCard({ cart, plan, index, units, paper }: RunCardProps) {
  const run = plan.runs[index];
  if (run === undefined) throw new Error(`RunCard: no run ${index} of ${plan.runs.length}`);
  const of = plan.runs.length;
  return <SetUpCard {...{ cart, plan, run, of, units, paper }} number={index + 1} />;
}
