/** An instrument that must not be used any more: it stays in the record, and says why. */

import { useState } from 'react';
import type { InstrumentBody, RecordState } from '../../../test-record/index.js';
import { TextField } from '../form/fields.js';
import { useTestDayStore } from '../use-test-day.js';

interface WithdrawInstrumentProps {
  readonly record: RecordState<InstrumentBody>;
  readonly onClose: () => void;
}

export function WithdrawInstrument({ record, onClose }: WithdrawInstrumentProps) {
  const store = useTestDayStore();
  const [why, setWhy] = useState('');
  const [isTried, setTried] = useState(false);
  const title = `Withdraw ${record.content.name}`;
  const withdraw = async (): Promise<void> => {
    const wishes = { subject: record.subject, base: record.newest, why: why.trim() };
    if ((await store.getState().write({ kind: 'withdrawal' }, wishes)) !== null) onClose();
  };
  return (
    <form
      className="form instruments-form"
      aria-label={title}
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (why.trim() !== '') void withdraw();
      }}
    >
      <h3>{title}</h3>
      <p className="kit-soft">
        It stays in the record with everything that was read with it. No new run can use it.
      </p>
      <TextField
        label="Why"
        wide
        value={why}
        problem={isTried && why.trim() === '' ? 'a reason is needed' : null}
        onChange={setWhy}
      />
      <div className="form-answers">
        <button type="submit" className="kit-button is-main">
          Withdraw it
        </button>
        <button type="button" className="kit-button" onClick={onClose}>
          Cancel
        </button>
      </div>
    </form>
  );
}
