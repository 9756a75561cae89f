/** The runs of a plan in order, with what changes on the cart before each. */

import { memo, useEffect, useMemo, useRef } from 'react';
import { clauseTitle } from '../../../analysis/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import { changesBetween, runWords } from '../../../test-plan/index.js';
import type { PlanBody, RecordState } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { VerdictWord } from '../../kit/verdict.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { figuresOf, timesWords } from './plan-words.js';

interface RunListProps {
  readonly record: RecordState<PlanBody>;
  /** id of the run that is come back from; null: of none */
  readonly lastShown: string | null;
}

export function RunList({ record, lastShown }: RunListProps) {
  const store = useTestDayStore();
  const units = useWorkbench((s) => s.units);
  const times = useTimesRecorded(record.subject);
  const { runs } = record.content.plan;
  return (
    <ol className="plain day-plan-runs">
      {runs.map((run, i) => (
        <RunItem
          key={run.id}
          run={run}
          before={runs[i - 1] ?? null}
          number={i + 1}
          units={units}
          times={times.get(run.id) ?? 0}
          takesFocus={run.id === lastShown}
          onChoose={store.getState().chooseRun}
        />
      ))}
    </ol>
  );
}

/** How many records there are of each run of the plan. */
export function useTimesRecorded(plan: string): ReadonlyMap<string, number> {
  const state = useTestDay((s) => s.state);
  return useMemo(() => {
    const times = new Map<string, number>();
    for (const { content, withdrawn } of state === null ? [] : recordsOf(state, 'run')) {
      if (content.plan !== plan || withdrawn) continue;
      times.set(content.run, (times.get(content.run) ?? 0) + 1);
    }
    return times;
  }, [state, plan]);
}

interface RunItemProps {
  readonly run: TestRun;
  readonly before: TestRun | null;
  readonly number: number;
  readonly units: UnitSystem;
  readonly times: number;
  /** who comes back goes on where they were */
  readonly takesFocus: boolean;
  readonly onChoose: (run: string) => void;
}

const RunItem = memo(function RunItem(props: RunItemProps) {
  const { run, before, number, units, times, takesFocus, onChoose } = props;
  const button = useRef<HTMLButtonElement>(null);
  useEffect(() => {
    if (takesFocus) button.current?.focus();
  }, [takesFocus]);
  const { title, purpose, clause, prediction } = run;
  return (
    <li className="day-plan-run">
      <Changes run={run} before={before} units={units} />
      <button
        ref={button}
        type="button"
        className="day-plan-run-button"
        aria-label={`Run ${number}: ${title}, ${purpose}`}
        onClick={() => onChoose(run.id)}
      >
        <span className="day-plan-run-number">{number}</span>
        <span className="day-plan-run-what">
          <span className="day-plan-run-title">{clauseTitle(clause, title)}</span>
          <span className="day-plan-run-purpose">{purpose}</span>
        </span>
        <span className="day-plan-run-figures">
          <Figures run={run} units={units} />
        </span>
        <span className="day-plan-run-verdict">
          <VerdictWord verdict={prediction.verdict} />
          <span className="day-plan-run-times">{timesWords(times)}</span>
        </span>
        <span className="day-plan-run-accepted">
          <Accepted run={run} units={units} />
        </span>
      </button>
    </li>
  );
});

function Accepted({ run, units }: Pick<RunItemProps, 'run' | 'units'>) {
  const { acceptance } = useMemo(() => runWords(run, units), [run, units]);
  return <>Passes when it {acceptance.join('; and ')}</>;
}

function Changes({ run, before, units }: Pick<RunItemProps, 'run' | 'before' | 'units'>) {
  const changes = useMemo(() => changesBetween(before, run, units), [before, run, units]);
  if (before === null) return null;
  return (
    <p className="day-plan-run-changes">
      {changes.length === 0 ? 'Nothing to change on the cart.' : `Change: ${changes.join('; ')}`}
    </p>
  );
}

export function Figures({ run, units }: Pick<RunItemProps, 'run' | 'units'>) {
  const { label, capacity, demandLabel, demand, margin, reserve } = figuresOf(run, units);
  if (capacity === null) return <span className="kit-soft">{run.prediction.words}</span>;
  return (
    <>
      <span>
        {label} <strong>{capacity}</strong>
      </span>
      {demand !== null && (
        <span className="kit-soft">
          {demandLabel} {demand}
        </span>
      )}
      {margin !== null && (
        <span className="kit-soft">
          margin {margin}
          {reserve === null ? '' : `, reserve ${reserve}`}
        </span>
      )}
    </>
  );
}
