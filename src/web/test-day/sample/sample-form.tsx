/** A sample added, or one that is there changed. */

import { useCallback } from 'react';
import type { RecordState, SampleBody, Subject } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { PhotoField } from '../form/photos.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { samplePlace } from './problem-words.js';
import { RecordFormEnd } from './record-form-end.js';
import type { SampleDraft } from './sample-draft.js';
import { newSample, sampleBodyOf, sampleDraftOf } from './sample-draft.js';
import type { RecordForm } from './use-record-form.js';
import { useRecordForm } from './use-record-form.js';

interface SampleFormProps {
  /** null: a new one */
  readonly record: RecordState<SampleBody> | null;
  readonly onClose: () => void;
}

export function sampleFormKey(subject: Subject | null): string {
  return `sample ${subject ?? 'new'}`;
}

export function SampleForm({ record, onClose }: SampleFormProps) {
  const store = useTestDayStore();
  const form = useRecordForm<SampleDraft, SampleBody>({
    key: sampleFormKey(record?.subject ?? null),
    record,
    begin: useCallback(() => {
      if (record !== null) return sampleDraftOf(record);
      const { state } = store.getState();
      const carts = state === null ? [] : recordsOf(state, 'cart');
      return newSample(carts.findLast(({ withdrawn }) => !withdrawn)?.subject ?? '');
    }, [record, store]),
    bodyOf: sampleBodyOf,
    onClose,
  });
  const title = record === null ? 'New sample' : `Change ${record.content.name}`;
  return (
    <section className="form sample-form" aria-label={title}>
      <h3>{title}</h3>
      <Fields form={form} />
      <RecordFormEnd form={form} record={record} words="Add the sample" placeOf={samplePlace} />
    </section>
  );
}

function Fields({ form }: { readonly form: RecordForm<SampleDraft, SampleBody> }) {
  const { told, problems } = form;
  const { value, change } = form.form;
  return (
    <div className="form-fields">
      <TextField
        label="Name"
        value={value.name}
        problem={told(value.name, 'name')}
        hint="as people here call it"
        onChange={(name) => change({ name })}
      />
      <TextField
        label="Serial number"
        value={value.serial}
        problem={told(value.serial, 'serial')}
        onChange={(serial) => change({ serial })}
      />
      <RevisionField
        value={value.cart}
        problem={told(value.cart, 'cart')}
        onChange={(cart) => change({ cart })}
      />
      <TextField
        label="Received on"
        type="date"
        value={value.received}
        problem={told(value.received, 'received')}
        hint="may stay empty"
        onChange={(received) => change({ received })}
      />
      <TextField
        label="Condition"
        value={value.condition}
        problem={told(value.condition, 'condition')}
        hint="new, used, damage, what differs from the drawings"
        long
        onChange={(condition) => change({ condition })}
      />
      <TextField
        label="Notes"
        value={value.notes}
        problem={told(value.notes, 'notes')}
        long
        onChange={(notes) => change({ notes })}
      />
      <PhotoField
        label="Photos"
        photos={value.photos}
        problem={problems.at('photos')}
        onChange={(photos) => change({ photos })}
      />
    </div>
  );
}

interface RevisionFieldProps {
  readonly value: Subject | '';
  readonly problem: string | null;
  readonly onChange: (cart: Subject) => void;
}

function RevisionField({ value, problem, onChange }: RevisionFieldProps) {
  const state = useTestDay((s) => s.state);
  const carts = state === null ? [] : recordsOf(state, 'cart');
  const among = carts
    .filter(({ subject, withdrawn }) => !withdrawn || subject === value)
    .map(({ subject, content }) => ({
      value: subject,
      words: `${content.revision} (${content.file})`,
    }));
  return (
    <ChoiceField
      label="Built to revision"
      value={value}
      among={among}
      problem={problem}
      hint={among.length === 0 ? 'None is there yet: see Plan.' : 'of the cart'}
      onChange={onChange}
    />
  );
}
