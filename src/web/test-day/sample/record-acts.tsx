/** What can be done with a record in a list: changed in place, or withdrawn. */

import type { ReactNode } from 'react';
import { useState } from 'react';
import type { RecordState, Subject } from '../../../test-record/index.js';
import { useTestDayStore } from '../use-test-day.js';
import { WithdrawRecord } from './withdraw-record.js';

export type Asked =
  | { readonly kind: 'add' }
  | { readonly kind: 'change' | 'withdraw'; readonly subject: Subject };

export interface Asking {
  readonly asked: Asked | null;
  readonly ask: (asked: Asked) => void;
  readonly close: () => void;
}

/** What is asked for now. A form that was left half filled is taken up again.
 * @param keyOf the form of a record; null: of a new one */
export function useAsked(
  records: readonly RecordState[],
  keyOf: (subject: Subject | null) => string,
): Asking {
  const store = useTestDayStore();
  const [asked, setAsked] = useState<Asked | null>(() => {
    const isStarted = (subject: Subject | null) => store.getState().draft(keyOf(subject)) !== null;
    const changed = records.find(({ subject }) => isStarted(subject));
    if (changed !== undefined) return { kind: 'change', subject: changed.subject };
    return isStarted(null) ? { kind: 'add' } : null;
  });
  return { asked, ask: setAsked, close: () => setAsked(null) };
}

interface RecordActsProps extends Asking {
  readonly record: RecordState;
  readonly what: string;
  /** what its withdrawal means */
  readonly meaning: string;
  /** the form that changes it */
  readonly children: ReactNode;
}

export function RecordActs({
  record,
  what,
  meaning,
  children,
  asked,
  ask,
  close,
}: RecordActsProps) {
  const { subject, withdrawn, reviewedAt } = record;
  const own = asked !== null && asked.kind !== 'add' && asked.subject === subject ? asked : null;
  if (own?.kind === 'change') return children;
  if (own?.kind === 'withdraw') {
    return <WithdrawRecord {...{ record, what, meaning }} onClose={close} />;
  }
  const change = withdrawn ? 'Bring it back' : reviewedAt === null ? 'Change it' : 'Correct it';
  return (
    <div className="form-answers">
      <button
        type="button"
        className="kit-button"
        aria-label={`${change}: ${what}`}
        onClick={() => ask({ kind: 'change', subject })}
      >
        {change}
      </button>
      {!withdrawn && (
        <button
          type="button"
          className="kit-button is-quiet"
          aria-label={`Withdraw ${what}`}
          onClick={() => ask({ kind: 'withdraw', subject })}
        >
          Withdraw
        </button>
      )}
    </div>
  );
}
