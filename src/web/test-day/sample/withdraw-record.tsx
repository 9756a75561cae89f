/** A record withdrawn: it stays, and counts no more. */

import { useState } from 'react';
import type { RecordState } from '../../../test-record/index.js';
import { TextField } from '../form/fields.js';
import { useTestDayStore } from '../use-test-day.js';

interface WithdrawRecordProps {
  readonly record: RecordState;
  /** 'the sample Cart 1' */
  readonly what: string;
  /** what its withdrawal means, a sentence */
  readonly meaning: string;
  readonly onClose: () => void;
}

export function WithdrawRecord({ record, what, meaning, onClose }: WithdrawRecordProps) {
  const store = useTestDayStore();
  const [why, setWhy] = useState('');
  const [isTried, setTried] = useState(false);
  const withdraw = async (): Promise<void> => {
    const wishes = { subject: record.subject, base: record.newest, why: why.trim() };
    if ((await store.getState().write({ kind: 'withdrawal' }, wishes)) !== null) onClose();
  };
  return (
    <form
      className="form sample-form"
      aria-label={`Withdraw ${what}`}
      onSubmit={(event) => {
        event.preventDefault();
        setTried(true);
        if (why.trim() !== '') void withdraw();
      }}
    >
      <h3>Withdraw {what}</h3>
      <p className="kit-soft">{meaning} It stays in the record.</p>
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
