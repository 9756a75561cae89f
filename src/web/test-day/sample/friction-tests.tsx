/** The friction tests of a sample: what each came to, and the form for another. */

import { useMemo, useState } from 'react';
import type { Cart } from '../../../document/index.js';
import { measuredText } from '../../../metrology/index.js';
import type { FrictionBody, RecordState, Subject } from '../../../test-record/index.js';
import { Photos } from '../form/photos.js';
import { momentOf } from '../history/entry-words.js';
import { useTestDay } from '../use-test-day.js';
import { FrictionForm, frictionFormKey } from './friction-form.js';
import { FrictionOutcomeView } from './friction-result.js';
import { frictionOutcome, frictionTestsOf, newestByTread } from './measured-model.js';
import { RecordActs, useAsked } from './record-acts.js';

interface FrictionTestsProps {
  readonly sample: Subject;
  readonly cart: Cart;
}

export function FrictionTests({ sample, cart }: FrictionTestsProps) {
  const state = useTestDay((s) => s.state);
  const records = useMemo(
    () => (state === null ? [] : frictionTestsOf(state, sample)),
    [state, sample],
  );
  const { asked, ask, close } = useAsked(records, (subject) => frictionFormKey(sample, subject));
  const counting = useMemo(() => newestByTread(records), [records]);
  return (
    <section className="sample-panel" aria-labelledby="sample-friction">
      <div className="sample-head">
        <h2 id="sample-friction">Friction</h2>
        {asked?.kind !== 'add' && (
          <button type="button" className="kit-button" onClick={() => ask({ kind: 'add' })}>
            Record a friction test
          </button>
        )}
      </div>
      {asked?.kind === 'add' && (
        <FrictionForm sample={sample} cart={cart} record={null} onClose={close} />
      )}
      {records.length === 0 && asked === null && (
        <p className="kit-soft">
          Not measured yet: the predictions count on the friction that the cart file states.
        </p>
      )}
      <ul className="plain sample-records">
        {records.map((record) => (
          <li key={record.subject} className="sample-record">
            <Test record={record} cart={cart} isCounting={counting.includes(record)} />
            <RecordActs
              {...{ record, asked, ask, close }}
              what={`the friction test of ${momentOf(record.content.taken)}`}
              meaning="Of each tread the newest test that is not withdrawn counts."
            >
              <FrictionForm {...{ sample, cart, record }} onClose={close} />
            </RecordActs>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface TestProps {
  readonly record: RecordState<FrictionBody>;
  readonly cart: Cart;
  readonly isCounting: boolean;
}

function Test({ record: { content, withdrawn, reviewedAt }, cart, isCounting }: TestProps) {
  const state = useTestDay((s) => s.state);
  const [isOpen, setOpen] = useState(false);
  const outcome = useMemo(
    () => (state === null ? null : frictionOutcome(state, content)),
    [state, content],
  );
  const stated = cart.floor.friction.find(({ tread }) => tread === content.tread) ?? null;
  return (
    <details
      className="sample-details"
      data-withdrawn={withdrawn || undefined}
      open={isOpen}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>
        <span>
          {momentOf(content.taken)}, {content.operator}: {content.tread} on {content.floor}
          {withdrawn && ', withdrawn'}
          {reviewedAt !== null && ', reviewed'}
          {isCounting && (
            <>
              , <strong>counts</strong>
            </>
          )}
        </span>
        {outcome !== null && (
          <span className={outcome.kind === 'ok' ? 'sample-short' : 'kit-problem'}>
            {outcome.kind === 'ok'
              ? measuredText(outcome.result.coefficient, 'ratio', 'SI')
              : 'comes to no result'}
          </span>
        )}
      </summary>
      {isOpen && outcome !== null && (
        <div className="sample-live">
          <FrictionOutcomeView outcome={outcome} stated={stated} />
          <Photos photos={content.photos} />
          {content.notes !== '' && <p>{content.notes}</p>}
        </div>
      )}
    </details>
  );
}
