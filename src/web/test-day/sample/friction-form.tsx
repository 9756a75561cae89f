/** A friction test recorded: slip angles or pulls of a tread on a floor. */

import { useCallback, useMemo } from 'react';
import type { Cart } from '../../../document/index.js';
import type { FrictionBody, RecordState, Subject } from '../../../test-record/index.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { UsedInstruments } from '../runs/used-instruments.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import { newConditions } from './conditions-draft.js';
import { PhotosAndNotes, WhenAndWho } from './conditions-fields.js';
import type { FrictionDraft } from './friction-draft.js';
import { filledInSlips, frictionBodyOf, frictionDraftOf, slipRow } from './friction-draft.js';
import { FrictionOutcomeView } from './friction-result.js';
import { frictionOutcome } from './measured-model.js';
import { frictionPlace } from './problem-words.js';
import { RecordFormEnd } from './record-form-end.js';
import { SlipTable } from './slip-table.js';
import { useRecordForm } from './use-record-form.js';

interface FrictionFormProps {
  readonly sample: Subject;
  readonly cart: Cart;
  /** null: a new one */
  readonly record: RecordState<FrictionBody> | null;
  readonly onClose: () => void;
}

export function frictionFormKey(sample: Subject, record: Subject | null): string {
  return record === null ? `friction new ${sample}` : `friction ${record}`;
}

/** So many say how much it scatters. */
const FIRST_READINGS = 5;

export function FrictionForm({ sample, cart, record, onClose }: FrictionFormProps) {
  const store = useTestDayStore();
  const form = useRecordForm<FrictionDraft, FrictionBody>({
    key: frictionFormKey(sample, record?.subject ?? null),
    record,
    begin: () =>
      record !== null ? frictionDraftOf(record) : newFriction(cart, store.getState().who),
    bodyOf: useCallback((draft) => frictionBodyOf(draft, sample), [sample]),
    onClose,
  });
  const { value, change } = form.form;
  const { body, problems, told } = form;
  const title = record === null ? 'New friction test' : 'Change the friction test';
  return (
    <section className="form sample-form" aria-label={title}>
      <h3>{title}</h3>
      <WhenAndWho {...{ value, change, problems }} />
      <FrictionGuide />
      <div className="form-fields">
        <ChoiceField
          label="Tread"
          value={value.tread}
          among={cart.floor.friction.map(({ tread }) => ({ value: tread, words: tread }))}
          problem={told(value.tread, 'tread')}
          onChange={(tread) => change({ tread })}
        />
        <TextField
          label="Floor"
          value={value.floor}
          problem={told(value.floor, 'floor')}
          hint="what the tread slid on, and how it was cleaned"
          onChange={(floor) => change({ floor })}
        />
      </div>
      <UsedInstruments
        used={value.instruments}
        taken={body.taken}
        problems={problems}
        onChange={(instruments) => change({ instruments })}
      />
      <fieldset className="sample-part">
        <legend>Readings</legend>
        <SlipTable {...{ value, change, told }} />
      </fieldset>
      <PhotosAndNotes {...{ value, change, problems }} />
      <AsItStands {...{ cart, sample, value }} />
      <RecordFormEnd
        form={form}
        record={record}
        words="Write the friction test"
        placeOf={frictionPlace(value)}
      />
    </section>
  );
}

function newFriction(cart: Cart, operator: string): FrictionDraft {
  const [only, ...others] = cart.floor.friction;
  return {
    ...newConditions(operator, new Date().toISOString()),
    tread: only !== undefined && others.length === 0 ? only.tread : '',
    floor: cart.floor.name,
    instruments: [],
    forceUnit: 'N',
    massUnit: 'kg',
    readings: Array.from({ length: FIRST_READINGS }, () => slipRow('slip angle')),
  };
}

function FrictionGuide() {
  return (
    <details className="sample-guide">
      <summary>How to measure friction</summary>
      <ol>
        <li>
          Lock every castor against rolling and swivelling, or use a block with the same tread. The
          floor is the one of the test, clean and dry.
        </li>
        <li>
          Slip angle: raise the floor slowly until it just slides as a whole, and read the angle of
          the floor. Hold a stop below and stand beside it, never below.
        </li>
        <li>
          Pull: on a level floor pull level and slowly, low down so that it cannot tip, and read the
          force at which it just slides. Weigh what slides.
        </li>
        <li>Five readings or more. Do not count one in which it rolled, turned or tipped.</li>
      </ol>
    </details>
  );
}

interface AsItStandsProps {
  readonly cart: Cart;
  readonly sample: Subject;
  readonly value: FrictionDraft;
}

function AsItStands({ cart, sample, value }: AsItStandsProps) {
  const store = useTestDayStore();
  const state = useTestDay((s) => s.state);
  const body = useMemo(() => frictionBodyOf(filledInSlips(value), sample), [value, sample]);
  const outcome = useMemo(() => {
    const asked = { ...body, operator: body.operator === '' ? 'nobody yet' : body.operator };
    const isReadable = store
      .getState()
      .check(asked)
      .every(({ code }) => code !== 'shape' && code !== 'value');
    if (state === null || !isReadable) return null;
    return frictionOutcome(state, asked);
  }, [store, state, body]);
  const stated = cart.floor.friction.find(({ tread }) => tread === value.tread) ?? null;
  return (
    <section className="sample-live" aria-label="Coefficient as it stands">
      <h4>As it stands</h4>
      {outcome === null ? (
        <p className="kit-soft">The coefficient shows here as soon as enough is filled in.</p>
      ) : (
        <FrictionOutcomeView outcome={outcome} stated={stated} />
      )}
    </section>
  );
}
