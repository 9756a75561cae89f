/** The runs in the order of the plan, each with what was decided. */

import type { PlannedRun, PlanOverview } from '../../../judgement/index.js';
import { DecisionMark } from '../form/decision-mark.js';
import { useTestDayStore } from '../use-test-day.js';

interface RunListProps {
  readonly overview: PlanOverview;
  readonly shown: string | null;
}

export function RunList({ overview, shown }: RunListProps) {
  const { counts, runs } = overview;
  const done = runs.length - counts['not done'];
  return (
    <nav className="runs-list" aria-label="Runs of the plan">
      <p className="runs-count">
        {done} of {runs.length} runs done
      </p>
      <ol className="plain">
        {runs.map((planned, i) => (
          <li key={planned.run.id}>
            <RunButton planned={planned} number={i + 1} isShown={planned.run.id === shown} />
          </li>
        ))}
      </ol>
    </nav>
  );
}

interface RunButtonProps {
  readonly planned: PlannedRun;
  readonly number: number;
  readonly isShown: boolean;
}

function RunButton({ planned, number, isShown }: RunButtonProps) {
  const store = useTestDayStore();
  const { run, decision } = planned;
  return (
    <button
      type="button"
      className="runs-button"
      aria-current={isShown ? 'true' : undefined}
      onClick={() => store.getState().chooseRun(run.id)}
    >
      <span className="runs-number">{number}</span>
      <span className="runs-title">
        <span>{run.title}</span>
        <span className="kit-soft">{run.purpose}</span>
      </span>
      <DecisionMark decision={decision} />
    </button>
  );
}
