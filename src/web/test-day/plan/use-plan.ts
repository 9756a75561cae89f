/** The plan that is shown, and the others of the project. */

import { useMemo } from 'react';
import type { PlanBody, ProjectState, RecordState, Subject } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { useTestDay } from '../use-test-day.js';

export interface Plans {
  /** in the order they were made; those withdrawn too */
  readonly plans: readonly RecordState<PlanBody>[];
  /** the one chosen, else the newest that counts; null: there is none */
  readonly plan: RecordState<PlanBody> | null;
}

export function usePlan(): Plans {
  const state = useTestDay((s) => s.state);
  const chosen = useTestDay((s) => s.plan);
  return useMemo(() => plansOf(state, chosen), [state, chosen]);
}

export function plansOf(state: ProjectState | null, chosen: Subject | null): Plans {
  const plans = state === null ? [] : recordsOf(state, 'plan');
  const plan =
    plans.find(({ subject }) => subject === chosen) ??
    plans.findLast(({ withdrawn }) => !withdrawn) ??
    plans.at(-1) ??
    null;
  return { plans, plan };
}
