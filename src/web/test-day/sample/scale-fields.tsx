/** Which scale stands under which castor, and why one is used past its calibration. */

import type { InstrumentBody, RecordState, Subject } from '../../../test-record/index.js';
import { isExpired, recordsOf } from '../../../test-record/index.js';
import { ChoiceField, TextField } from '../form/fields.js';
import { momentOfLocal } from '../runs/run-draft.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';
import type { WeighingDraft } from './weighing-draft.js';
import type { WeighingPartProps } from './weighing-state.js';

export function ScaleFields({ cart, value, change }: WeighingPartProps) {
  const scales = useInstrumentsOf('scale', Object.values(value.scaleOf));
  const names = cart.castors.map(({ name }) => name);
  const [first = ''] = names;
  const common = value.scaleOf[first] ?? '';
  const isOne = names.every((name) => (value.scaleOf[name] ?? '') === common);
  if (scales.length === 0) return <NoInstrument kind="scale" />;
  return (
    <div className="form">
      <div className="form-fields">
        {names.map((name) => (
          <ChoiceField
            key={name}
            label={`Scale under ${name}`}
            value={value.scaleOf[name] ?? ''}
            among={scales.map(choiceOf)}
            onChange={(scale) => change({ scaleOf: { ...value.scaleOf, [name]: scale } })}
          />
        ))}
      </div>
      {!isOne && common !== '' && (
        <div>
          <button
            type="button"
            className="kit-button"
            onClick={() =>
              change({ scaleOf: Object.fromEntries(names.map((name) => [name, common])) })
            }
          >
            The same scale under every castor, moved about
          </button>
        </div>
      )}
      <Despite used={Object.values(value.scaleOf)} among={scales} {...{ value, change }} />
    </div>
  );
}

export function InclinometerField({ value, change, told }: WeighingPartProps) {
  const inclinometers = useInstrumentsOf('inclinometer', [value.inclinometer]);
  if (inclinometers.length === 0) return <NoInstrument kind="inclinometer" />;
  return (
    <>
      <ChoiceField
        label="Inclinometer"
        value={value.inclinometer}
        among={inclinometers.map(choiceOf)}
        problem={told(value.inclinometer, 'tilt', 'inclinometer', 'instrument')}
        onChange={(inclinometer) => change({ inclinometer })}
      />
      <Despite used={[value.inclinometer]} among={inclinometers} {...{ value, change }} />
    </>
  );
}

type Instrument = RecordState<InstrumentBody>;

/** Those that may be chosen: not withdrawn, or in use already. */
function useInstrumentsOf(
  kind: InstrumentBody['instrument'],
  used: readonly string[],
): readonly Instrument[] {
  const state = useTestDay((s) => s.state);
  if (state === null) return [];
  return recordsOf(state, 'instrument').filter(
    ({ subject, content, withdrawn }) =>
      content.instrument === kind && (!withdrawn || used.includes(subject)),
  );
}

function choiceOf({ subject, content }: Instrument) {
  return { value: subject, words: `${content.name} ${content.serial}`.trim() };
}

function NoInstrument({ kind }: { readonly kind: 'scale' | 'inclinometer' }) {
  const store = useTestDayStore();
  return (
    <p className="sample-no-instrument">
      No {kind} is among the instruments: its uncertainty has to be known.{' '}
      <button
        type="button"
        className="kit-button"
        onClick={() => store.getState().show('Instruments')}
      >
        Add {kind === 'scale' ? 'a scale' : 'an inclinometer'}
      </button>
    </p>
  );
}

interface DespiteProps {
  readonly used: readonly (Subject | '')[];
  readonly among: readonly Instrument[];
  readonly value: WeighingDraft;
  readonly change: (change: Partial<WeighingDraft>) => void;
}

function Despite({ used, among, value, change }: DespiteProps) {
  const taken = momentOfLocal(value.taken);
  const expired = among.filter(
    ({ subject, content }) => used.includes(subject) && isExpired(content.due, taken),
  );
  return expired.map(({ subject, content }) => (
    <TextField
      key={subject}
      label={`${content.name}: calibration expired on ${content.due}. Why it is used all the same`}
      value={value.despite[subject] ?? ''}
      wide
      onChange={(why) => change({ despite: { ...value.despite, [subject]: why } })}
    />
  ));
}
