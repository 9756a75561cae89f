/** The weighings of a sample: what each came to, and the form for another. */

import { useMemo, useState } from 'react';
import type { Cart } from '../../../document/index.js';
import type { WeighingOutcome } from '../../../metrology/index.js';
import { measuredText } from '../../../metrology/index.js';
import type { RecordState, Subject, WeighingBody } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { Photos } from '../form/photos.js';
import { momentOf } from '../history/entry-words.js';
import { useTestDay } from '../use-test-day.js';
import { weighingOutcome, weighingsOf } from './measured-model.js';
import { RecordActs, useAsked } from './record-acts.js';
import { WeighingForm, weighingFormKey } from './weighing-form.js';
import { WeighingOutcomeView } from './weighing-result.js';

interface WeighingsProps {
  readonly sample: Subject;
  readonly cart: Cart;
}

export function Weighings({ sample, cart }: WeighingsProps) {
  const state = useTestDay((s) => s.state);
  const records = useMemo(
    () => (state === null ? [] : weighingsOf(state, sample)),
    [state, sample],
  );
  const { asked, ask, close } = useAsked(records, (subject) => weighingFormKey(sample, subject));
  const counting = records.find(({ withdrawn }) => !withdrawn) ?? null;
  return (
    <section className="sample-panel" aria-labelledby="sample-weighings">
      <div className="sample-head">
        <h2 id="sample-weighings">Weighing</h2>
        {asked?.kind !== 'add' && (
          <button type="button" className="kit-button" onClick={() => ask({ kind: 'add' })}>
            Weigh the sample
          </button>
        )}
      </div>
      {asked?.kind === 'add' && (
        <WeighingForm sample={sample} cart={cart} record={null} onClose={close} />
      )}
      {records.length === 0 && asked === null && (
        <p className="kit-soft">
          Not weighed yet. Scales under the castors give mass and centre of mass; tilted as well,
          its height too.
        </p>
      )}
      <ul className="plain sample-records">
        {records.map((record) => (
          <li key={record.subject} className="sample-record">
            <Weighing record={record} cart={cart} isCounting={record === counting} />
            <RecordActs
              {...{ record, asked, ask, close }}
              what={`the weighing of ${momentOf(record.content.taken)}`}
              meaning="The model is compared with the newest weighing that is not withdrawn."
            >
              <WeighingForm {...{ sample, cart, record }} onClose={close} />
            </RecordActs>
          </li>
        ))}
      </ul>
    </section>
  );
}

interface WeighingProps {
  readonly record: RecordState<WeighingBody>;
  readonly cart: Cart;
  readonly isCounting: boolean;
}

function Weighing({ record, cart, isCounting }: WeighingProps) {
  const state = useTestDay((s) => s.state);
  const [isOpen, setOpen] = useState(false);
  const { content, withdrawn, reviewedAt } = record;
  const outcome = useMemo(
    () => (state === null ? null : weighingOutcome(state, cart, content)),
    [state, cart, content],
  );
  return (
    <details
      className="sample-details"
      data-withdrawn={withdrawn || undefined}
      open={isOpen}
      onToggle={(event) => setOpen(event.currentTarget.open)}
    >
      <summary>
        <span>
          {momentOf(content.taken)}, {content.operator}, {content.position}
          {withdrawn && ', withdrawn'}
          {reviewedAt !== null && ', reviewed'}
          {isCounting && (
            <>
              , <strong>counts</strong>
            </>
          )}
        </span>
        {outcome !== null && <Short outcome={outcome} />}
      </summary>
      {isOpen && outcome !== null && (
        <div className="sample-live">
          <WeighingOutcomeView outcome={outcome} />
          <Photos photos={content.photos} />
          {content.notes !== '' && <p>{content.notes}</p>}
        </div>
      )}
    </details>
  );
}

function Short({ outcome }: { readonly outcome: WeighingOutcome }) {
  const units = useWorkbench((s) => s.units);
  if (outcome.kind === 'refused') return <span className="kit-problem">comes to no result</span>;
  const { mass, height } = outcome.result;
  return (
    <span className="sample-short">
      {measuredText(mass, 'mass', units)}
      {height === null ? '' : `, height ${measuredText(height, 'length', units)}`}
    </span>
  );
}
