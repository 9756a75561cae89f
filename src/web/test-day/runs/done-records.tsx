/** What was recorded of a run so far. */

import type { PlannedRun } from '../../../judgement/index.js';
import type { PlanBody, RecordState, RunBody } from '../../../test-record/index.js';
import { DecisionMark } from '../form/decision-mark.js';
import { Photos } from '../form/photos.js';
import { momentOf } from '../history/entry-words.js';
import { useTestDayStore } from '../use-test-day.js';

interface DoneRecordsProps {
  readonly planned: PlannedRun;
  readonly plan: RecordState<PlanBody>;
  readonly onCorrect: (record: RecordState<RunBody>) => void;
}

export function DoneRecords({ planned, onCorrect }: DoneRecordsProps) {
  const store = useTestDayStore();
  if (planned.done.length === 0) return null;
  return (
    <section aria-label="Recorded">
      <h3>Recorded</h3>
      <ul className="plain">
        {planned.done.map(({ record, judgement }) => (
          <li key={record.subject} className="run-done">
            <p>
              <DecisionMark decision={judgement.decision} /> {momentOf(record.content.taken)}, by{' '}
              {record.content.operator}
              {record.reviewedAt !== null && ', reviewed'}
            </p>
            <ul>
              {judgement.criteria.map(({ criterion, because }) => (
                <li key={criterion.id}>{because}</li>
              ))}
            </ul>
            <Photos photos={record.content.photos} />
            <div className="form-answers">
              <button type="button" className="kit-button" onClick={() => onCorrect(record)}>
                {record.reviewedAt === null ? 'Change it' : 'Correct it'}
              </button>
              {judgement.decision !== 'pass' && (
                <button
                  type="button"
                  className="kit-button"
                  onClick={() => store.getState().show('Results')}
                >
                  Why, and what would mend it
                </button>
              )}
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
