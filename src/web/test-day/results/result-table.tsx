/** Every run of a plan: predicted, measured, decided, and whether the two agree. */

import type { Agreement, PlannedRun } from '../../../judgement/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { DecisionMark } from '../form/decision-mark.js';
import { useTestDayStore } from '../use-test-day.js';
import type { JudgedRun } from './judged-runs.js';
import { agreementWords, measuredWords, predictedWords } from './result-words.js';

interface ResultTableProps {
  readonly runs: readonly PlannedRun[];
  readonly judged: readonly JudgedRun[];
  /** one a judged run; shorter: not compared yet */
  readonly agreements: readonly (Agreement | null)[];
}

export function ResultTable({ runs, judged, agreements }: ResultTableProps) {
  const numbered = runs.map((planned, i) => ({ planned, number: i + 1 }));
  const done = numbered.filter(({ planned }) => planned.decision !== 'not done');
  const open = numbered.filter(({ planned }) => planned.decision === 'not done');
  return (
    <>
      {done.length > 0 && <Table rows={done} {...{ judged, agreements }} />}
      {open.length > 0 && (
        <details className="results-open" open={done.length === 0}>
          <summary>
            {open.length === 1 ? '1 run is not done yet' : `${open.length} runs are not done yet`}
          </summary>
          <Table rows={open} {...{ judged, agreements }} />
        </details>
      )}
    </>
  );
}

interface TableProps extends Omit<ResultTableProps, 'runs'> {
  readonly rows: readonly { readonly planned: PlannedRun; readonly number: number }[];
}

function Table({ rows, judged, agreements }: TableProps) {
  const units = useWorkbench((s) => s.units);
  return (
    <div className="results-scroll">
      <table className="results-table">
        <thead>
          <tr>
            <th scope="col">Run</th>
            <th scope="col">Predicted</th>
            <th scope="col">Measured</th>
            <th scope="col">Decision</th>
            <th scope="col">Against the prediction (E_n: up to 1 agrees)</th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ planned, number }) => {
            const at = judged.findIndex(({ run }) => run.id === planned.run.id);
            return (
              <Row
                key={planned.run.id}
                number={number}
                planned={planned}
                judged={judged[at] ?? null}
                agreement={agreements[at]}
                units={units}
              />
            );
          })}
        </tbody>
      </table>
    </div>
  );
}

interface RowProps {
  readonly number: number;
  readonly planned: PlannedRun;
  readonly judged: JudgedRun | null;
  /** null: there is nothing to compare; undefined: not compared yet */
  readonly agreement: Agreement | null | undefined;
  readonly units: UnitSystem;
}

function Row({ number, planned: { run, decision }, judged, agreement, units }: RowProps) {
  const store = useTestDayStore();
  const open = (): void => {
    store.getState().chooseRun(run.id);
    store.getState().show('Runs');
  };
  return (
    <tr data-decision={decision}>
      <th scope="row">
        <button type="button" className="results-run" onClick={open}>
          {number}. {run.title}
        </button>
        <span className="kit-soft">{run.purpose}</span>
      </th>
      <td>{predictedWords(run, units)}</td>
      <td>{judged === null ? '' : measuredWords(run, judged.judgement, units)}</td>
      <td>
        <DecisionMark decision={decision} />
        {judged !== null && decision !== 'pass' && (
          <ul className="results-because">
            {judged.judgement.criteria
              .filter((each) => each.decision !== 'pass')
              .map(({ criterion, because }) => (
                <li key={criterion.id}>{because}</li>
              ))}
          </ul>
        )}
      </td>
      <td>{agreement !== undefined && <AgreementCell agreement={agreement} />}</td>
    </tr>
  );
}

function AgreementCell({ agreement }: { readonly agreement: Agreement | null }) {
  if (agreement === null) return <span className="kit-soft">nothing to compare</span>;
  return (
    <>
      <span>{agreementWords(agreement)}</span>
      {agreement.causes.length > 0 && (
        <ul className="results-because">
          {agreement.causes.map(({ words }) => (
            <li key={words}>{words}</li>
          ))}
        </ul>
      )}
    </>
  );
}
