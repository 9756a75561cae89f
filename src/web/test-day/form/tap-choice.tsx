/** One of a few, each under the finger at once. */

import './form.css';
import { useId } from 'react';

interface TapChoiceProps<T extends string> {
  readonly label: string;
  /** '' : nothing chosen yet */
  readonly value: T | '';
  readonly among: readonly { readonly value: T; readonly words: string }[];
  readonly onChange: (value: T) => void;
  readonly problem?: string | null;
  readonly wide?: boolean;
}

export function TapChoice<T extends string>(props: TapChoiceProps<T>) {
  const { label, value, among, onChange, problem = null, wide = false } = props;
  const id = useId();
  return (
    <fieldset
      className={wide ? 'form-field tap-choice is-wide' : 'form-field tap-choice'}
      aria-describedby={`${id}-about`}
    >
      <legend>{label}</legend>
      <div className="tap-choice-answers">
        {among.map((each) => (
          <label key={each.value}>
            <input
              type="radio"
              name={id}
              checked={each.value === value}
              onChange={() => onChange(each.value)}
            />
            <span>{each.words}</span>
          </label>
        ))}
      </div>
      <span id={`${id}-about`} className="kit-problem">
        {problem ?? ''}
      </span>
    </fieldset>
  );
}
