/** What the readings come to as they stand, before they are written. */

import { useMemo } from 'react';
import { instrumentsAt, judgeRun } from '../../../judgement/index.js';
import type { TestRun } from '../../../test-plan/index.js';
import type { PlanBody, RecordState, RunBody } from '../../../test-record/index.js';
import { readEntry } from '../../../test-record/index.js';
import { DecisionMark } from '../form/decision-mark.js';
import { useTestDay } from '../use-test-day.js';

interface PreviewProps {
  readonly plan: RecordState<PlanBody>;
  readonly run: TestRun;
  readonly body: RunBody;
}

export function Preview({ plan, run, body }: PreviewProps) {
  const state = useTestDay((s) => s.state);
  const judgement = useMemo(() => {
    if (state === null || !isReadable(body)) return null;
    return judgeRun(
      run,
      body,
      instrumentsAt(state, body.taken.slice(0, 10)),
      plan.content.plan.rule,
    );
  }, [state, run, body, plan]);
  return (
    <div className="run-preview" role="status">
      {judgement === null ? (
        <p className="kit-soft">The decision shows here as soon as the readings can be read.</p>
      ) : (
        <>
          <p>
            As it stands: <DecisionMark decision={judgement.decision} />
          </p>
          <ul>
            {judgement.criteria.map(({ criterion, because }) => (
              <li key={criterion.id}>{because}</li>
            ))}
            {judgement.remarks.map((each) => (
              <li key={each}>{each}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

const ENTRY = '00000000-0000-4000-8000-000000000001';
const PROJECT = '00000000-0000-4000-8000-000000000002';
const SAMPLE = '00000000-0000-4000-8000-000000000003';

/** Judging takes quantities that can be read, and instruments that are named: what it cannot take is what
 * `readEntry` refuses. */
function isReadable(body: RunBody): boolean {
  const read = readEntry({
    id: ENTRY,
    project: PROJECT,
    subject: ENTRY,
    base: null,
    who: 'nobody yet',
    at: body.taken,
    why: '',
    // the sample plays no part in the decision
    body: body.sample === '' ? { ...body, sample: SAMPLE } : body,
  });
  return read.kind === 'ok';
}
