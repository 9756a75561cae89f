/** The lock of a castor, and what its brake holds, asked as one step. */

import type { KeyboardEvent } from 'react';
import { useId, useState } from 'react';
import type { FieldPath } from '../../document/index.js';
import { useDescribe, useField } from './describe-context.js';
import { hasError } from './field.js';
import { fieldWords, nameOfItem, textAt } from './field-address.js';
import { isBraked, lockChanges } from './lock-changes.js';
import { amountOf } from './typed-amount.js';

/** The lock is what is tried out most, so it stands beside the name. */
export function LockChoice({ item }: { readonly item: FieldPath }) {
  const { fields, change } = useDescribe();
  const path = [...item, 'lock'];
  const { text, issues, guide } = useField(path);
  // a brake is put in with what it holds, or not at all
  const [asked, setAsked] = useState<{ readonly lock: string; readonly from: string } | null>(null);
  const isAsked = asked !== null && asked.from === text;
  const choices = guide?.choices ?? [];
  const value = isAsked ? asked.lock : text;
  const choose = (lock: string): void => {
    const needsTorque = isBraked(lock) && textAt(fields, [...item, 'brake torque']) === '';
    setAsked(needsTorque && lock !== text ? { lock, from: text } : null);
    if (!needsTorque && lock !== text) {
      change(fieldWords(fields, path), lockChanges(fields, item, lock, null));
    }
  };
  return (
    <>
      <select
        className="kit-select describe-lock"
        aria-label={`Lock of ${nameOfItem(fields, item)}`}
        aria-invalid={hasError(issues) || undefined}
        value={value}
        onChange={({ target }) => choose(target.value)}
      >
        {!choices.includes(text) && <option value={text}>{text || 'lock?'}</option>}
        {choices.map((each) => (
          <option key={each} value={each}>
            {each === 'none' ? 'no lock' : each}
          </option>
        ))}
      </select>
      {isAsked && <BrakeChoice item={item} lock={asked.lock} onAnswered={() => setAsked(null)} />}
    </>
  );
}

interface BrakeChoiceProps {
  readonly item: FieldPath;
  readonly lock: string;
  readonly onAnswered: () => void;
}

function BrakeChoice({ item, lock, onAnswered }: BrakeChoiceProps) {
  const { fields, change } = useDescribe();
  const { guide } = useField([...item, 'brake torque']);
  const [typed, setTyped] = useState('');
  const [problem, setProblem] = useState('');
  const id = useId();
  const name = nameOfItem(fields, item);
  const word = guide?.choices[0] ?? '';
  /** Gives the focus back to the lock before its question goes. */
  const leave = (): void => {
    document.getElementById(id)?.closest('li')?.querySelector('select')?.focus();
    onAnswered();
  };
  const put = (torque: string): void => {
    const words = `${fieldWords(fields, [...item, 'lock'])}: ${lock}`;
    if (!change(words, lockChanges(fields, item, lock, torque))) return;
    leave();
  };
  const putTyped = (): void => {
    const torque = amountOf(typed, 'moment');
    if (torque !== null && torque > 0) put(typed.trim());
    else setProblem(`Allowed: a moment such as ${guide?.example ?? '12 N m'}.`);
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape') return;
    event.stopPropagation();
    leave();
  };
  return (
    <fieldset
      id={id}
      className="describe-brake"
      aria-label={`Brake of ${name}`}
      onKeyDown={onKeyDown}
    >
      <div className="describe-brake-head">
        <p role="status">What does the brake of {name} hold?</p>
        <button type="button" className="kit-button is-quiet" onClick={leave}>
          Cancel
        </button>
      </div>
      <div className="kit-row">
        <button type="button" className="kit-button is-main" onClick={() => put(word)}>
          {word.charAt(0).toUpperCase() + word.slice(1)}
        </button>
        <span>or</span>
        <input
          className="kit-input describe-brake-moment"
          aria-label={`Brake torque of ${name}`}
          aria-invalid={problem !== '' || undefined}
          aria-describedby={problem === '' ? undefined : `${id}.problem`}
          placeholder={`such as ${guide?.example ?? '12 N m'}`}
          value={typed}
          onChange={({ target }) => setTyped(target.value)}
          onKeyDown={({ key }) => key === 'Enter' && putTyped()}
        />
        <button type="button" className="kit-button" onClick={putTyped}>
          Set
        </button>
      </div>
      {problem !== '' && (
        <p id={`${id}.problem`} className="kit-problem" role="alert">
          {problem}
        </p>
      )}
    </fieldset>
  );
}
