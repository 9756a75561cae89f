/** What was decided: run by run against the prediction, failures with their reasons, and what followed. */

import './results.css';
import { useEffect, useMemo } from 'react';
import type { Agreement, PlanOverview } from '../../../judgement/index.js';
import { agreementInAll, projectOverview } from '../../../judgement/index.js';
import { TaskProgress } from '../../kit/task-progress.js';
import { agreementsTask } from '../engine/test-day-tasks.js';
import { useTask } from '../engine/use-task.js';
import { DecisionMark } from '../form/decision-mark.js';
import { usePlan } from '../plan/use-plan.js';
import { useRecordCart } from '../use-record-cart.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { ChainList } from './chain-list.js';
import { FailurePanel } from './failure-panel.js';
import { judgedRuns } from './judged-runs.js';
import { ResultTable } from './result-table.js';

export function ResultsSection() {
  const state = useTestDay((s) => s.state);
  const { plan } = usePlan();
  const overview = useMemo(() => (state === null ? null : projectOverview(state)), [state]);
  const shown = overview?.plans.find((each) => each.plan.subject === plan?.subject) ?? null;
  if (overview === null || shown === null) return <NothingYet />;
  return (
    <div className="results">
      <PlanResults key={shown.plan.subject} overview={shown} />
      <ChainList chains={overview.chains} />
    </div>
  );
}

function NothingYet() {
  const store = useTestDayStore();
  return (
    <div className="results-empty">
      <h2>No results yet</h2>
      <p>Results come from the runs of a plan.</p>
      <button type="button" className="kit-button" onClick={() => store.getState().show('Plan')}>
        Make a plan
      </button>
    </div>
  );
}

function PlanResults({ overview }: { readonly overview: PlanOverview }) {
  const { plan, runs, counts, decision } = overview;
  const { cart, problem } = useRecordCart(plan.content.cart);
  const set = plan.content.plan.requirementSet;
  const judged = useMemo(() => judgedRuns(runs), [runs]);
  const { view, start, stop } = useTask<readonly (Agreement | null)[]>();
  useEffect(() => {
    if (cart === null || judged.length === 0) return;
    const asked = judged.map(({ run, judgement }) => ({ run, judgement }));
    void start((progress) => agreementsTask(cart, set, asked, progress));
  }, [cart, set, judged, start]);
  const agreements = view.kind === 'done' ? view.result : [];
  const failed = judged.filter(({ judgement }) => judgement.decision === 'fail');
  return (
    <>
      <section className="results-head" aria-label="Decision">
        <h2>{plan.content.name}</h2>
        <p className="results-decision">
          {decision === 'not done' ? (
            <strong>not finished</strong>
          ) : (
            <DecisionMark decision={decision} />
          )}
          <span>
            {counts.pass} pass, {counts.fail} fail, {counts['not decided']} not decided,{' '}
            {counts['not done']} not done
          </span>
        </p>
        <p className="kit-soft">
          What was measured, by the rule of the plan. A qualified person decides and signs; the
          purchased text of the standard governs.
        </p>
        {problem !== null && <p className="kit-problem">{problem}</p>}
      </section>
      {view.kind === 'running' && (
        <TaskProgress
          title="Comparing with the prediction"
          done={view.done}
          total={view.total}
          what={view.what}
          onStop={stop}
        />
      )}
      {view.kind === 'problem' && <p className="kit-problem">{view.words}</p>}
      <ResultTable runs={runs} judged={judged} agreements={agreements} />
      <InAll judged={judged} agreements={agreements} />
      {failed.map((each) => (
        <FailurePanel key={each.record.subject} plan={plan} failed={each} cart={cart} set={set} />
      ))}
    </>
  );
}

interface InAllProps {
  readonly judged: ReturnType<typeof judgedRuns>;
  readonly agreements: readonly (Agreement | null)[];
}

/** What all comparisons together say about the model. */
function InAll({ judged, agreements }: InAllProps) {
  const compared = judged.flatMap(({ run }, i) => {
    const agreement = agreements[i] ?? null;
    return agreement === null ? [] : [{ run, agreement }];
  });
  if (compared.length === 0) return null;
  const { words } = agreementInAll(compared);
  return (
    <section className="results-in-all" aria-label="Prediction and measurement together">
      <h3>Prediction and measurement together</h3>
      <p>{words}</p>
    </section>
  );
}
