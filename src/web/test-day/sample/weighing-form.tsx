/** A weighing recorded: state, scales, readings, tilts, and what they come to as they are typed. */

import { useCallback, useDeferredValue, useMemo } from 'react';
import type { Cart } from '../../../document/index.js';
import type { RecordState, Subject, WeighingBody } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { QuantityField } from '../form/fields.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { PhotosAndNotes, WhenAndWho } from './conditions-fields.js';
import { LevelTable } from './level-table.js';
import { weighingOutcome } from './measured-model.js';
import { weighingPlace } from './problem-words.js';
import { RecordFormEnd } from './record-form-end.js';
import { ScaleFields } from './scale-fields.js';
import { TiltFields } from './tilt-fields.js';
import { useRecordForm } from './use-record-form.js';
import type { WeighingDraft } from './weighing-draft.js';
import { filledIn, newWeighing, weighingBodyOf, weighingDraftOf } from './weighing-draft.js';
import { LevelGuide } from './weighing-guide.js';
import { WeighingOutcomeView } from './weighing-result.js';
import { WeighingState } from './weighing-state.js';

interface WeighingFormProps {
  readonly sample: Subject;
  /** of the revision that the sample is built to */
  readonly cart: Cart;
  /** null: a new one */
  readonly record: RecordState<WeighingBody> | null;
  readonly onClose: () => void;
}

export function weighingFormKey(sample: Subject, record: Subject | null): string {
  return record === null ? `weighing new ${sample}` : `weighing ${record}`;
}

export function WeighingForm({ sample, cart, record, onClose }: WeighingFormProps) {
  const castors = useMemo(() => cart.castors.map(({ name }) => name), [cart]);
  const form = useRecordForm<WeighingDraft, WeighingBody>({
    key: weighingFormKey(sample, record?.subject ?? null),
    record,
    begin: useBeginning(cart, record),
    bodyOf: useCallback((draft) => weighingBodyOf(draft, sample, castors), [sample, castors]),
    onClose,
  });
  const { value, change } = form.form;
  const { problems, told } = form;
  const part = { cart, value, change, told };
  const title = record === null ? 'New weighing' : 'Change the weighing';
  return (
    <section className="form sample-form" aria-label={title}>
      <h3>{title}</h3>
      <WhenAndWho {...{ value, change, problems }} />
      <LevelGuide />
      <fieldset className="sample-part">
        <legend>State it is weighed in</legend>
        <WeighingState {...part} />
      </fieldset>
      <fieldset className="sample-part">
        <legend>Scales</legend>
        <ScaleFields {...part} />
      </fieldset>
      <fieldset className="sample-part">
        <legend>Level</legend>
        <div className="form-fields">
          <QuantityField
            label="Standard uncertainty of where a castor stands"
            dimension="length"
            example="2 mm"
            value={value.contactUncertainty}
            problem={told(value.contactUncertainty, 'contactUncertainty')}
            wide
            onChange={(contactUncertainty) => change({ contactUncertainty })}
          />
        </div>
        <LevelTable {...part} />
      </fieldset>
      <TiltFields {...part} />
      <PhotosAndNotes {...{ value, change, problems }} />
      <AsItStands {...{ cart, sample, castors, value }} />
      <RecordFormEnd
        form={form}
        record={record}
        words="Write the weighing"
        placeOf={weighingPlace(value, castors)}
      />
    </section>
  );
}

function useBeginning(cart: Cart, record: RecordState<WeighingBody> | null): () => WeighingDraft {
  const store = useTestDayStore();
  const units = useWorkbench((s) => s.units);
  return () => {
    if (record !== null) return weighingDraftOf(record, cart, units);
    const { state, who } = store.getState();
    return newWeighing({
      ...{ cart, units },
      operator: who,
      now: new Date().toISOString(),
      instruments: state === null ? [] : recordsOf(state, 'instrument'),
    });
  };
}

interface AsItStandsProps {
  readonly cart: Cart;
  readonly sample: Subject;
  readonly castors: readonly string[];
  readonly value: WeighingDraft;
}

/** Of the rows that are filled in to their end. Behind the typing, which must not wait for it. */
function AsItStands({ cart, sample, castors, value }: AsItStandsProps) {
  const store = useTestDayStore();
  const state = useTestDay((s) => s.state);
  const settled = useDeferredValue(value);
  const outcome = useMemo(() => {
    const body = weighingBodyOf(filledIn(settled, castors), sample, castors);
    // who did it plays no part in what it comes to
    const asked = { ...body, operator: body.operator === '' ? 'nobody yet' : body.operator };
    const isReadable = store
      .getState()
      .check(asked)
      .every(({ code }) => code !== 'shape' && code !== 'value');
    if (state === null || !isReadable) return null;
    return weighingOutcome(state, cart, asked);
  }, [store, state, cart, sample, castors, settled]);
  return (
    <section className="sample-live" aria-label="Result as it stands">
      <h4>As it stands</h4>
      {outcome === null ? (
        <p className="kit-soft">The result shows here as soon as enough is filled in.</p>
      ) : (
        <WeighingOutcomeView outcome={outcome} />
      )}
    </section>
  );
}
