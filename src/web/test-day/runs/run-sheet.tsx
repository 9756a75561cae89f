/** One run: how it is set up and done, what was recorded of it, and the form to record it. */

import { useEffect, useMemo, useRef, useState } from 'react';
import type { PlannedRun } from '../../../judgement/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import { changesBetween, runWords } from '../../../test-plan/index.js';
import type { PlanBody, RecordState, RunBody } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { useTestDayStore } from '../use-test-day.js';
import { DoneRecords } from './done-records.js';
import { RunCautions } from './run-cautions.js';
import { newRunKey, RunForm } from './run-form.js';

interface RunSheetProps {
  readonly plan: RecordState<PlanBody>;
  readonly planned: PlannedRun;
  readonly runs: readonly PlannedRun[];
}

export function RunSheet({ plan, planned, runs }: RunSheetProps) {
  const { run } = planned;
  const [corrected, setCorrected] = useState<RecordState<RunBody> | null>(null);
  const store = useTestDayStore();
  const recorded = useRef<HTMLDivElement>(null);
  const [timesLeft, setLeft] = useState(0);
  useEffect(() => {
    if (timesLeft === 0) return;
    // the form is gone, and with it the focus: on to what was decided
    recorded.current?.focus({ preventScroll: true });
    recorded.current?.scrollIntoView({ block: 'start' });
  }, [timesLeft]);
  // a form that was begun is shown again
  const [isAgain, setIsAgain] = useState(
    () => store.getState().draft(newRunKey(plan.subject, run.id)) !== null,
  );
  const asksForm = corrected !== null || isAgain || planned.done.length === 0;
  const index = runs.indexOf(planned);
  const before = runs[index - 1]?.run ?? null;
  const next = runs[index + 1]?.run ?? null;
  return (
    <article className="run-sheet" aria-label={`Run ${index + 1}: ${run.title}`}>
      <header className="run-sheet-head">
        <h2>
          {index + 1}. {run.title}
        </h2>
        <p className="kit-soft">
          {run.clause}, {run.purpose}
        </p>
        <StepTo before={before} next={next} />
      </header>
      <RunCautions run={run} />
      <SetUpWords run={run} before={before} />
      <div ref={recorded} className="run-recorded" tabIndex={-1}>
        <DoneRecords planned={planned} plan={plan} onCorrect={setCorrected} />
      </div>
      {asksForm ? (
        <RunForm
          key={corrected?.subject ?? 'new'}
          plan={plan}
          run={run}
          corrected={corrected}
          onDone={() => {
            setCorrected(null);
            setIsAgain(false);
            setLeft(timesLeft + 1);
          }}
        />
      ) : (
        <RecordAgain planned={planned} next={next} onAgain={() => setIsAgain(true)} />
      )}
    </article>
  );
}

interface RecordAgainProps {
  readonly planned: PlannedRun;
  readonly next: TestRun | null;
  readonly onAgain: () => void;
}

function RecordAgain({ planned, next, onAgain }: RecordAgainProps) {
  const store = useTestDayStore();
  return (
    <div className="run-again">
      {planned.decision === 'fail' && (
        <p>
          A run that failed stays failed on this plan, whatever is recorded after it. What answers
          it is a change to the cart and the run done again on the plan of that revision.
        </p>
      )}
      <div className="form-answers">
        {next !== null && (
          <button
            type="button"
            className="kit-button is-main"
            onClick={() => store.getState().chooseRun(next.id)}
          >
            Go on to the next run
          </button>
        )}
        <button type="button" className="kit-button" onClick={onAgain}>
          Record this run again
        </button>
      </div>
    </div>
  );
}

function StepTo({
  before,
  next,
}: {
  readonly before: TestRun | null;
  readonly next: TestRun | null;
}) {
  const store = useTestDayStore();
  const go = (run: TestRun | null) => () => {
    if (run !== null) store.getState().chooseRun(run.id);
  };
  return (
    <div className="form-answers">
      <button type="button" className="kit-button" disabled={before === null} onClick={go(before)}>
        Previous run
      </button>
      <button type="button" className="kit-button" disabled={next === null} onClick={go(next)}>
        Next run
      </button>
      <button type="button" className="kit-button" onClick={() => store.getState().show('Plan')}>
        Set-up card
      </button>
    </div>
  );
}

function SetUpWords({ run, before }: { readonly run: TestRun; readonly before: TestRun | null }) {
  const units = useWorkbench((s) => s.units);
  const words = useMemo(() => runWords(run, units), [run, units]);
  const changes = useMemo(() => changesBetween(before, run, units), [before, run, units]);
  return (
    <div className="run-sheet-words">
      <section>
        <h3>{before === null ? 'Set-up' : 'Change from the run before'}</h3>
        {changes.length === 0 ? (
          <p>Nothing: as in the run before.</p>
        ) : (
          <ul>
            {changes.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        )}
        <details>
          <summary>The whole set-up</summary>
          <dl className="run-sheet-set-up">
            {words.setUp.map(({ label, text }) => (
              <div key={`${label} ${text}`}>
                <dt>{label}</dt>
                <dd>{text}</dd>
              </div>
            ))}
          </dl>
        </details>
      </section>
      <section>
        <h3>Do</h3>
        <ol>
          {words.steps.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ol>
      </section>
      <section>
        <h3>Passes when</h3>
        <ul>
          {words.acceptance.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
        <h3>Predicted</h3>
        <p>{words.prediction}</p>
      </section>
    </div>
  );
}
