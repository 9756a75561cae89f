/** The day at the ramp: the runs of the plan in order, and the record of one. */

import './runs.css';
import { useMemo } from 'react';
import type { PlanOverview } from '../../../judgement/index.js';
import { projectOverview } from '../../../judgement/index.js';
import { usePlan } from '../plan/use-plan.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { RunList } from './run-list.js';
import { RunSheet } from './run-sheet.js';

export function RunsSection() {
  const { plan } = usePlan();
  const overview = usePlanOverview(plan?.subject ?? null);
  const chosen = useTestDay((s) => s.run);
  const store = useTestDayStore();
  if (plan === null || overview === null) {
    return (
      <div className="runs-empty">
        <h2>No runs yet</h2>
        <p>A plan comes first: it says which runs there are and how the cart is set up for each.</p>
        <button type="button" className="kit-button" onClick={() => store.getState().show('Plan')}>
          Make a plan
        </button>
      </div>
    );
  }
  const first = overview.runs.find(({ decision }) => decision === 'not done') ?? overview.runs[0];
  const shown = overview.runs.find(({ run }) => run.id === chosen) ?? first;
  return (
    <div className="runs">
      <RunList overview={overview} shown={shown?.run.id ?? null} />
      {shown !== undefined && (
        <RunSheet key={shown.run.id} plan={plan} planned={shown} runs={overview.runs} />
      )}
    </div>
  );
}

function usePlanOverview(plan: string | null): PlanOverview | null {
  const state = useTestDay((s) => s.state);
  return useMemo(() => {
    if (state === null || plan === null) return null;
    const { plans } = projectOverview(state);
    return plans.find((each) => each.plan.subject === plan) ?? null;
  }, [state, plan]);
}
