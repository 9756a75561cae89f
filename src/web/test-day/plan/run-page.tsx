/** One run of the plan: its set-up card, read at the ramp, with the way to the next. */

import { useEffect, useRef } from 'react';
import { clauseTitle } from '../../../analysis/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import type { PlanBody, RecordState } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { VerdictShapeOf } from '../../kit/verdict.js';
import { RunCautions } from '../runs/run-cautions.js';
import { useRecordCart } from '../use-record-cart.js';
import { useTestDayStore } from '../use-test-day.js';
import { timesWords } from './plan-words.js';
import { RunCard } from './run-card.js';
import { useTimesRecorded } from './run-list.js';

interface RunPageProps {
  readonly record: RecordState<PlanBody>;
  readonly run: TestRun;
}

export function RunPage({ record, run }: RunPageProps) {
  const { plan } = record.content;
  const units = useWorkbench((s) => s.units);
  const times = useTimesRecorded(record.subject);
  const { cart, problem } = useRecordCart(record.content.cart);
  const index = plan.runs.indexOf(run);
  const top = useRef<HTMLDivElement>(null);
  const nav = useRef<HTMLElement>(null);
  useEffect(() => {
    void run;
    nav.current?.querySelector('[aria-current]')?.scrollIntoView({ block: 'nearest' });
    // the next card begins at its top
    top.current?.scrollIntoView({ block: 'start' });
  }, [run]);
  return (
    <div className="day-plan-run-page">
      <nav ref={nav} className="day-plan-run-nav" aria-label="Runs of the plan">
        <ol className="plain">
          {plan.runs.map((each, i) => (
            <RunLink
              key={each.id}
              run={each}
              number={i + 1}
              isShown={each === run}
              times={times.get(each.id) ?? 0}
            />
          ))}
        </ol>
      </nav>
      <div className="day-plan-run-main">
        <Steps record={record} index={index} />
        <div ref={top} className="day-plan-cautioned">
          <RunCautions run={run} />
        </div>
        <div className="day-plan-card on-paper">
          {problem !== null && <p className="kit-problem">{problem}</p>}
          {cart === null && problem === null && <p role="status">Reading the cart...</p>}
          {cart !== null && <RunCard {...{ cart, plan, index, units }} paper="A4" />}
        </div>
        <Steps record={record} index={index} isBelow />
      </div>
    </div>
  );
}

interface RunLinkProps {
  readonly run: TestRun;
  readonly number: number;
  readonly isShown: boolean;
  readonly times: number;
}

function RunLink({ run, number, isShown, times }: RunLinkProps) {
  const store = useTestDayStore();
  return (
    <li>
      <button
        type="button"
        className="day-plan-run-link"
        aria-current={isShown ? 'step' : undefined}
        title={`${run.title}, ${run.purpose}`}
        onClick={() => store.getState().chooseRun(run.id)}
      >
        <span className="day-plan-run-number">{number}</span>
        <span className="day-plan-run-what">
          <span>{clauseTitle(run.clause, run.title)}</span>
          <span className="day-plan-run-purpose">
            {run.purpose}
            {times > 0 && `, ${timesWords(times)}`}
          </span>
        </span>
        <VerdictShapeOf verdict={run.prediction.verdict} />
        <span className="kit-hidden">predicted: {run.prediction.verdict}</span>
      </button>
    </li>
  );
}

interface StepsProps {
  readonly record: RecordState<PlanBody>;
  readonly index: number;
  /** the same below the card, where it ends */
  readonly isBelow?: boolean;
}

function Steps({ record, index, isBelow = false }: StepsProps) {
  const store = useTestDayStore();
  const { runs } = record.content.plan;
  const before = runs[index - 1];
  const after = runs[index + 1];
  const choose = (run: TestRun | undefined): void => {
    if (run !== undefined) store.getState().chooseRun(run.id);
  };
  const toRecord = (): void => {
    const { choosePlan, chooseRun, show } = store.getState();
    choosePlan(record.subject);
    chooseRun(runs[index]?.id ?? null);
    show('Runs');
  };
  return (
    <div className="day-plan-steps" data-below={isBelow || undefined}>
      <button
        type="button"
        className="kit-button day-plan-step"
        disabled={before === undefined}
        onClick={() => choose(before)}
      >
        Previous run
      </button>
      <span className="day-plan-step-place" role={isBelow ? undefined : 'status'}>
        Run {index + 1} of {runs.length}
      </span>
      <button
        type="button"
        className="kit-button day-plan-step"
        disabled={after === undefined}
        onClick={() => choose(after)}
      >
        Next run
      </button>
      <span className="day-plan-step-others">
        <button type="button" className="kit-button is-main day-plan-step" onClick={toRecord}>
          Record this run
        </button>
        {!isBelow && (
          <button
            type="button"
            className="kit-button day-plan-step"
            onClick={() => store.getState().chooseRun(null)}
          >
            All runs
          </button>
        )}
      </span>
    </div>
  );
}
