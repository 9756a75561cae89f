/** Predictions made again with what was measured of the sample: the runs of the plan, and the full check. */

import { useMemo } from 'react';
import type { Finding } from '../../../analysis/index.js';
import { clauseTitle } from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import type { Prediction } from '../../../test-plan/index.js';
import type { PlanBody, RecordState, Subject } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { TaskProgress } from '../../kit/task-progress.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { VerdictWord } from '../../kit/verdict.js';
import { checkTask, predictionsTask } from '../engine/test-day-tasks.js';
import type { RunningTask } from '../engine/use-task.js';
import { useTask } from '../engine/use-task.js';
import { usePlan } from '../plan/use-plan.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import type { PredictionChange } from './prediction-changes.js';
import { changeCountWords, predictionChanges } from './prediction-changes.js';

interface PredictAgainProps {
  /** as measured */
  readonly cart: Cart;
  /** that the sample is built to */
  readonly revision: Subject;
}

export function PredictAgain({ cart, revision }: PredictAgainProps) {
  const plan = usePlanOf(revision);
  const predictions = useTask<readonly Prediction[]>();
  const check = useTask<readonly Finding[]>();
  if (plan === null) return <NoPlan />;
  const { runs, requirementSet } = plan.content.plan;
  return (
    <div className="sample-again">
      <h3>Predicted with the measured values</h3>
      <p className="kit-soft">
        Both columns are predictions, of {plan.content.name}: the one that the plan was made with,
        and the same with what was measured of this sample. Neither replaces the test.
      </p>
      <div className="form-answers">
        <button
          type="button"
          className="kit-button is-main"
          disabled={predictions.view.kind === 'running'}
          onClick={() =>
            void predictions.start((progress) =>
              predictionsTask(cart, requirementSet, runs, progress),
            )
          }
        >
          Predict again with the measured values
        </button>
        <button
          type="button"
          className="kit-button"
          disabled={check.view.kind === 'running'}
          onClick={() => void check.start((progress) => checkTask(cart, requirementSet, progress))}
        >
          Check the measured cart in full
        </button>
      </div>
      <Running title="Predicting again, run by run" task={predictions} />
      {predictions.view.kind === 'done' && (
        <Predictions plan={plan} again={predictions.view.result} />
      )}
      <Running title="Checking every configuration of the measured cart" task={check} />
      {check.view.kind === 'done' && <Findings findings={check.view.result} />}
    </div>
  );
}

/** The plan shown, where it is of the revision; else the newest of it. */
function usePlanOf(revision: Subject): RecordState<PlanBody> | null {
  const { plan } = usePlan();
  const state = useTestDay((s) => s.state);
  return useMemo(() => {
    if (plan !== null && !plan.withdrawn && plan.content.cart === revision) return plan;
    const plans = state === null ? [] : recordsOf(state, 'plan');
    const own = plans.findLast(({ content, withdrawn }) => !withdrawn && content.cart === revision);
    return own ?? null;
  }, [plan, state, revision]);
}

function NoPlan() {
  const store = useTestDayStore();
  return (
    <p>
      No plan is made of this revision, so there is nothing to predict again.{' '}
      <button type="button" className="kit-button" onClick={() => store.getState().show('Plan')}>
        Make a plan
      </button>
    </p>
  );
}

function Running<T>({ title, task }: { readonly title: string; readonly task: RunningTask<T> }) {
  const { view, stop } = task;
  if (view.kind === 'problem') return <p className="kit-problem">{view.words}</p>;
  if (view.kind !== 'running') return null;
  return <TaskProgress title={title} {...view} onStop={stop} />;
}

interface PredictionsProps {
  readonly plan: RecordState<PlanBody>;
  readonly again: readonly Prediction[];
}

function Predictions({ plan, again }: PredictionsProps) {
  const units = useWorkbench((s) => s.units);
  const changes = useMemo(
    () => predictionChanges(plan.content.plan.runs, again, units),
    [plan, again, units],
  );
  return (
    <>
      <p role="status">{changeCountWords(changes)}</p>
      <div className="sample-scroll">
        <table className="sample-table">
          <caption>Runs of the plan</caption>
          <thead>
            <tr>
              <th scope="col">Run</th>
              <th scope="col">Asked or allowed</th>
              <th scope="col">Predicted in the plan</th>
              <th scope="col">Predicted with the measured values</th>
              <th scope="col">Verdict</th>
            </tr>
          </thead>
          <tbody>
            {changes.map((each, i) => (
              <ChangeRow key={each.run.id} number={i + 1} change={each} />
            ))}
          </tbody>
        </table>
      </div>
    </>
  );
}

function ChangeRow({
  number,
  change,
}: {
  readonly number: number;
  readonly change: PredictionChange;
}) {
  const { run, planned, measured, asked, plannedWords, measuredWords, isChanged } = change;
  return (
    <tr data-changed={isChanged || undefined}>
      <th scope="row">
        {number}. {run.title}
        <span className="sample-second">{run.purpose}</span>
      </th>
      <td>{asked}</td>
      <td>{plannedWords}</td>
      <td>{measuredWords}</td>
      <td>
        {isChanged ? (
          <span className="sample-verdicts">
            <VerdictWord verdict={planned.verdict} />
            <span>becomes</span>
            <VerdictWord verdict={measured.verdict} />
          </span>
        ) : (
          'as planned'
        )}
      </td>
    </tr>
  );
}

function Findings({ findings }: { readonly findings: readonly Finding[] }) {
  const asked = findings.filter(({ applicability }) => applicability.applies);
  return (
    <div className="sample-scroll">
      <table className="sample-table">
        <caption>
          Full check of the measured cart: every position, load and castor direction
        </caption>
        <thead>
          <tr>
            <th scope="col">Clause</th>
            <th scope="col">Predicted verdict</th>
            <th scope="col">Because</th>
          </tr>
        </thead>
        <tbody>
          {asked.map(({ id, title, requirement, verdict, because }) => (
            <tr key={id}>
              <th scope="row">{clauseTitle(requirement.clause, title)}</th>
              <td>
                <VerdictWord verdict={verdict} />
              </td>
              <td>{because}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
