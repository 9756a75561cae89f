/** One failed run: why, by the model; what would mend it; the change that is made because of it. */

import { useMemo, useState } from 'react';
import type { Cart } from '../../../document/index.js';
import type { Diagnosis } from '../../../judgement/index.js';
import { diagnose } from '../../../judgement/index.js';
import type { RemediesReport, Remedy } from '../../../remedies/index.js';
import { changesText, reliesOn } from '../../../remedies/index.js';
import type { RequirementSet } from '../../../requirements/index.js';
import type { DiagnosisBody, PlanBody, RecordState } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { TaskProgress } from '../../kit/task-progress.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { remediesTask } from '../engine/test-day-tasks.js';
import { useTask } from '../engine/use-task.js';
import { useTestDay } from '../use-test-day.js';
import type { JudgedRun } from './judged-runs.js';
import { RevisionForm } from './revision-form.js';

interface FailurePanelProps {
  readonly plan: RecordState<PlanBody>;
  readonly failed: JudgedRun;
  /** null: it cannot be read, or not yet */
  readonly cart: Cart | null;
  readonly set: RequirementSet;
}

export function FailurePanel({ plan, failed, cart, set }: FailurePanelProps) {
  const { run, record, judgement } = failed;
  const diagnosis = useMemo(
    () => (cart === null ? null : diagnose(cart, set, run, record.content, judgement)),
    [cart, set, run, record, judgement],
  );
  return (
    <section className="results-failure" aria-label={`Failure: ${run.title}, ${run.purpose}`}>
      <h3>
        Failed: {run.title}, {run.purpose}
      </h3>
      {diagnosis === null ? (
        <p className="kit-soft">The cart of this plan is being read.</p>
      ) : (
        <Mechanism diagnosis={diagnosis} />
      )}
      <Kept failed={failed} />
      {cart !== null && diagnosis !== null && (
        <Mend plan={plan} failed={failed} cart={cart} set={set} diagnosis={diagnosis} />
      )}
    </section>
  );
}

function Mechanism({ diagnosis }: { readonly diagnosis: Diagnosis }) {
  const { mechanism, mends, asPredicted } = diagnosis;
  return (
    <div className="results-mechanism">
      <div>
        <h4>Why, by the model</h4>
        <p className="kit-soft">
          {asPredicted
            ? 'What was seen is what the model has it do.'
            : 'The model has it do otherwise than was seen: mind the comparison above.'}
        </p>
        <ul>
          {mechanism.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
      </div>
      <div>
        <h4>Where the mend lies</h4>
        <ul>
          {mends.map((each) => (
            <li key={each}>{each}</li>
          ))}
        </ul>
      </div>
    </div>
  );
}

/** Diagnoses that were put into the record. */
function Kept({ failed }: { readonly failed: JudgedRun }) {
  const state = useTestDay((s) => s.state);
  const kept =
    state === null
      ? []
      : recordsOf(state, 'diagnosis').filter(
          ({ content, withdrawn }) => !withdrawn && content.run === failed.record.subject,
        );
  if (kept.length === 0) return null;
  return (
    <ul className="results-kept" aria-label="Decided about it">
      {kept.map(({ subject, content, entries }) => (
        <li key={subject}>
          {entries[0]?.who}: {content.chosen === '' ? 'diagnosed' : `chosen: ${content.chosen}`}
        </li>
      ))}
    </ul>
  );
}

interface MendProps extends Omit<FailurePanelProps, 'cart'> {
  readonly cart: Cart;
  readonly diagnosis: Diagnosis;
}

/** Share of what is asked that a remedy has on top, so that measuring can show it. */
const MARGIN = 0.1;

function Mend({ plan, failed, cart, set, diagnosis }: MendProps) {
  const { view, start, stop } = useTask<RemediesReport>();
  const [chosen, setChosen] = useState<Remedy | 'own' | null>(null);
  const proposed = view.kind === 'done' ? view.result.remedies : [];
  if (chosen !== null) {
    return (
      <RevisionForm
        plan={plan}
        failed={failed}
        remedy={chosen === 'own' ? null : chosen}
        diagnosis={(words) => bodyOf(failed, diagnosis, proposed, words)}
        onDone={() => setChosen(null)}
      />
    );
  }
  return (
    <div className="results-mend">
      <div className="form-answers">
        <button
          type="button"
          className="kit-button is-main"
          disabled={view.kind === 'running'}
          onClick={() => void start((progress) => remediesTask(cart, set, MARGIN, progress))}
        >
          Look for what mends it
        </button>
        <button type="button" className="kit-button" onClick={() => setChosen('own')}>
          The cart was changed on the sheet
        </button>
      </div>
      {view.kind === 'running' && (
        <TaskProgress
          title="Looking for the smallest changes that make every clause pass"
          done={view.done}
          total={view.total}
          what={view.what}
          onStop={stop}
        />
      )}
      {view.kind === 'problem' && <p className="kit-problem">{view.words}</p>}
      {view.kind === 'done' && <Remedies report={view.result} onChoose={setChosen} />}
    </div>
  );
}

function bodyOf(
  { record }: JudgedRun,
  { mechanism }: Diagnosis,
  proposed: readonly Remedy[],
  chosen: { readonly words: string; readonly remedy: Remedy | null },
): DiagnosisBody {
  return {
    kind: 'diagnosis',
    run: record.subject,
    mechanism: mechanism.join(' '),
    proposed: proposed.map(({ changes }) => changesText(changes, 'both')),
    chosen: chosen.words,
    edits: chosen.remedy?.edits ?? [],
  };
}

interface RemediesProps {
  readonly report: RemediesReport;
  readonly onChoose: (remedy: Remedy) => void;
}

function Remedies({ report, onChoose }: RemediesProps) {
  const units = useWorkbench((s) => s.units);
  if (report.remedies.length === 0) {
    return (
      <p>
        No single change makes every clause pass with a tenth on top by the model. Change the cart
        on the sheet, where its own search for remedies tries pairs too.
      </p>
    );
  }
  return (
    <ol className="results-remedies">
      {report.remedies.map((remedy) => {
        const words = changesText(remedy.changes, units);
        const proven = remedy.proof.kind === 'proven' ? 'proven' : 'found, not proven';
        return (
          <li key={remedy.changes.map(({ lever }) => lever).join(' ')}>
            <span>
              {words}{' '}
              <span className="kit-soft">
                ({proven}; by {reliesOn(remedy.changes)})
              </span>
            </span>
            <button
              type="button"
              className="kit-button"
              aria-label={`Choose: ${words}`}
              onClick={() => onChoose(remedy)}
            >
              Choose
            </button>
          </li>
        );
      })}
    </ol>
  );
}
