/** An instrument added, or one that is there edited: what its certificate says. */

import { useEffect, useMemo, useRef, useState } from 'react';
import type { InstrumentKind } from '../../../test-plan/index.js';
import { INSTRUMENT_KINDS } from '../../../test-plan/index.js';
import type { InstrumentBody, RecordState, Subject } from '../../../test-record/index.js';
import { ChoiceField, FieldFrame, TextField } from '../form/fields.js';
import { OtherProblems } from '../form/other-problems.js';
import { SureButton } from '../form/sure-button.js';
import type { Form, Problems } from '../form/use-form.js';
import { useForm, useProblems } from '../form/use-form.js';
import { useTestDayStore } from '../use-test-day.js';
import type { InstrumentFields } from './instrument-fields.js';
import { bodyOfFields, fieldsOf, NEW_INSTRUMENT } from './instrument-fields.js';
import { KINDS_OF_INSTRUMENT, saidBack } from './instrument-kinds.js';

/** As it is kept half filled: with the newest entry it was made from. */
interface Draft extends InstrumentFields {
  readonly base: string | null;
  readonly why: string;
}

export interface InstrumentFormProps {
  /** null: a new one */
  readonly record: RecordState<InstrumentBody> | null;
  /** of a new one, where it is known what is missing */
  readonly kind: InstrumentKind | null;
  readonly onClose: () => void;
}

const SHOWN = [...Object.keys(NEW_INSTRUMENT), 'why'];

export function formKey(subject: Subject | null): string {
  return subject === null ? 'instrument new' : `instrument ${subject}`;
}

export function InstrumentForm({ record, kind, onClose }: InstrumentFormProps) {
  const form = useForm<Draft>(formKey(record?.subject ?? null), () => ({
    ...(record === null ? { ...NEW_INSTRUMENT, instrument: kind ?? '' } : fieldsOf(record.content)),
    base: record?.newest ?? null,
    why: '',
  }));
  const { value } = form;
  const body = useMemo(() => bodyOfFields(value), [value]);
  const wishes = useMemo(() => wishesOf(record, value), [record, value]);
  const problems = useProblems(body, wishes);
  const [isTried, setTried] = useState(false);
  const save = useSave(form, record, body, onClose);
  const box = useRef<HTMLFormElement>(null);
  // what was asked for may open below what is on the screen
  useEffect(() => box.current?.querySelector<HTMLElement>('select, input')?.focus(), []);
  const title = record === null ? 'New instrument' : `Edit ${record.content.name}`;
  return (
    <form
      ref={box}
      className="form instruments-form"
      aria-label={title}
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (problems.all.length === 0) void save();
      }}
    >
      <h3>{title}</h3>
      <Fields form={form} problems={problems} isTried={isTried} />
      {record !== null && (
        <TextField
          label="Why it is changed"
          wide
          value={value.why}
          problem={isTried ? problems.at('why') : null}
          hint="Such as a new calibration. Needed once it was used, or reviewed."
          onChange={(why) => form.change({ why })}
        />
      )}
      {isTried && <OtherProblems problems={problems} shown={SHOWN} />}
      <div className="form-answers">
        <button type="submit" className="kit-button is-main">
          {record === null ? 'Add the instrument' : 'Keep the changes'}
        </button>
        <SureButton
          words="Cancel"
          asks={form.isStarted ? 'What was typed here will be gone.' : null}
          sure="Discard it"
          onSure={() => {
            form.clear();
            onClose();
          }}
        />
      </div>
    </form>
  );
}

function wishesOf(record: RecordState<InstrumentBody> | null, { base, why }: Draft) {
  if (record === null) return {};
  return { subject: record.subject, ...(base === null ? {} : { base }), why };
}

function useSave(
  form: Form<Draft>,
  record: RecordState<InstrumentBody> | null,
  body: InstrumentBody,
  onClose: () => void,
): () => Promise<void> {
  const store = useTestDayStore();
  return async () => {
    const written = await store.getState().write(body, wishesOf(record, form.value));
    if (written === null) return;
    form.clear();
    onClose();
  };
}

interface FieldsProps {
  readonly form: Form<Draft>;
  readonly problems: Problems;
  readonly isTried: boolean;
}

function Fields({ form: { value, change }, problems, isTried }: FieldsProps) {
  const told = (field: keyof InstrumentFields): string | null =>
    isTried ? problems.at(field) : null;
  return (
    <div className="form-fields">
      <ChoiceField
        label="Kind"
        value={value.instrument}
        among={INSTRUMENT_KINDS.map((kind) => ({
          value: kind,
          words: KINDS_OF_INSTRUMENT[kind].words,
        }))}
        problem={isTried && value.instrument === '' ? 'choose what kind it is' : null}
        onChange={(instrument) => change({ instrument })}
      />
      <TextField
        label="Name"
        value={value.name}
        problem={told('name')}
        hint="as people here call it"
        onChange={(name) => change({ name })}
      />
      <TextField
        label="Serial number"
        value={value.serial}
        problem={told('serial')}
        onChange={(serial) => change({ serial })}
      />
      <TextField
        label="Calibration certificate, number"
        value={value.certificate}
        problem={told('certificate')}
        onChange={(certificate) => change({ certificate })}
      />
      <TextField
        label="Calibrated on"
        type="date"
        value={value.calibrated}
        problem={told('calibrated')}
        onChange={(calibrated) => change({ calibrated })}
      />
      <TextField
        label="Calibration due"
        type="date"
        value={value.due}
        problem={told('due')}
        hint="the last day it may be used; empty: none"
        onChange={(due) => change({ due })}
      />
      <Stated label="Range from" field="from" {...{ value, change, told }} />
      <Stated label="Range to" field="to" {...{ value, change, told }} />
      <Stated label="Resolution" field="resolution" {...{ value, change, told }} />
      <Stated
        label="Expanded uncertainty, by its certificate"
        field="uncertainty"
        {...{ value, change, told }}
      />
      <TextField
        label="Coverage factor k of that uncertainty"
        value={value.coverage}
        problem={told('coverage')}
        hint="usually 2"
        onChange={(coverage) => change({ coverage })}
      />
      <TextField
        label="Notes"
        long
        value={value.notes}
        problem={told('notes')}
        onChange={(notes) => change({ notes })}
      />
    </div>
  );
}

interface StatedProps {
  readonly label: string;
  readonly field: 'from' | 'to' | 'resolution' | 'uncertainty';
  readonly value: InstrumentFields;
  readonly change: Form<Draft>['change'];
  readonly told: (field: keyof InstrumentFields) => string | null;
}

/** A quantity in a unit of what the instrument shows, said back in both unit systems. */
function Stated({ label, field, value, change, told }: StatedProps) {
  const kind = KINDS_OF_INSTRUMENT[value.instrument === '' ? 'other' : value.instrument];
  const said = saidBack(value[field], kind.shows, field === 'uncertainty');
  const own = said.kind === 'problem' ? said.words : told(field);
  const hint =
    said.kind === 'ok' ? said.words : `in ${kind.units}, such as ${kind.examples[field]}`;
  return (
    <FieldFrame label={label} problem={own} hint={hint}>
      {({ id, describedBy }) => (
        <input
          id={id}
          className="kit-input"
          autoComplete="off"
          value={value[field]}
          aria-invalid={own !== null}
          aria-describedby={describedBy}
          onChange={(event) => change({ [field]: event.target.value })}
        />
      )}
    </FieldFrame>
  );
}
