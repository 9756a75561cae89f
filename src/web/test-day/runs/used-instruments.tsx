/** The instruments of a run; one past its due date needs a reason. */

import { useId } from 'react';
import type { Used } from '../../../test-record/index.js';
import { isExpired, recordsOf } from '../../../test-record/index.js';
import { TextField } from '../form/fields.js';
import type { Problems } from '../form/use-form.js';
import { useTestDay, useTestDayStore } from '../use-test-day.js';

interface UsedInstrumentsProps {
  readonly used: readonly Used[];
  /** ISO 8601 */
  readonly taken: string;
  readonly problems: Problems;
  readonly onChange: (used: readonly Used[]) => void;
}

export function UsedInstruments({ used, taken, problems, onChange }: UsedInstrumentsProps) {
  const store = useTestDayStore();
  const state = useTestDay((s) => s.state);
  const all =
    state === null
      ? []
      : recordsOf(state, 'instrument').filter(
          ({ subject, withdrawn }) => !withdrawn || isUsed(used, subject),
        );
  return (
    <fieldset className="run-instruments">
      <legend>Instruments used</legend>
      {all.length === 0 && (
        <p>
          None is there yet.{' '}
          <button
            type="button"
            className="kit-button"
            onClick={() => store.getState().show('Instruments')}
          >
            Add instruments
          </button>
        </p>
      )}
      <ul className="plain">
        {all.map(({ subject, content }) => (
          <li key={subject}>
            <Instrument
              words={`${content.instrument}: ${content.name} ${content.serial}`.trim()}
              isExpired={isExpired(content.due, taken)}
              due={content.due}
              used={used.find(({ instrument }) => instrument === subject) ?? null}
              problem={problemOf(problems, used, subject)}
              onUse={(isIn) =>
                onChange(
                  isIn
                    ? [...used, { instrument: subject, despite: null }]
                    : used.filter(({ instrument }) => instrument !== subject),
                )
              }
              onDespite={(despite) =>
                onChange(
                  used.map((each) =>
                    each.instrument === subject
                      ? { ...each, despite: despite === '' ? null : despite }
                      : each,
                  ),
                )
              }
            />
          </li>
        ))}
      </ul>
    </fieldset>
  );
}

function isUsed(used: readonly Used[], subject: string): boolean {
  return used.some(({ instrument }) => instrument === subject);
}

function problemOf(problems: Problems, used: readonly Used[], subject: string): string | null {
  const index = used.findIndex(({ instrument }) => instrument === subject);
  return index < 0 ? null : problems.at('instruments', index);
}

interface InstrumentProps {
  readonly words: string;
  readonly isExpired: boolean;
  readonly due: string | null;
  readonly used: Used | null;
  readonly problem: string | null;
  readonly onUse: (isIn: boolean) => void;
  readonly onDespite: (despite: string) => void;
}

function Instrument({
  words,
  isExpired: isPast,
  due,
  used,
  problem,
  onUse,
  onDespite,
}: InstrumentProps) {
  const id = useId();
  return (
    <div className="run-instrument">
      <input
        id={id}
        type="checkbox"
        checked={used !== null}
        onChange={(event) => onUse(event.target.checked)}
      />
      <label htmlFor={id}>
        {words}
        {isPast && <strong> (calibration expired {due})</strong>}
      </label>
      {used !== null && (isPast || used.despite !== null) && (
        <TextField
          label="Why it is used all the same"
          value={used.despite ?? ''}
          problem={problem}
          wide
          onChange={onDespite}
        />
      )}
      {used !== null && !isPast && problem !== null && <p className="kit-problem">{problem}</p>}
    </div>
  );
}
