/** Fields of forms: a label, the control, what is wrong with it or what it means. */

import './form.css';
import type { ReactNode } from 'react';
import { useId } from 'react';
import type { Dimension } from '../../../units/index.js';
import { formatQuantity, parseQuantity } from '../../../units/index.js';
import { withUnit } from './typed-number.js';

interface FrameProps {
  readonly label: string;
  /** sentence; null: nothing against it */
  readonly problem?: string | null;
  readonly hint?: string | undefined;
  readonly wide?: boolean;
  readonly children: (ids: { readonly id: string; readonly describedBy: string }) => ReactNode;
}

export function FieldFrame({ label, problem = null, hint, wide = false, children }: FrameProps) {
  const id = useId();
  return (
    <div className={wide ? 'form-field is-wide' : 'form-field'}>
      <label htmlFor={id}>{label}</label>
      {children({ id, describedBy: `${id}-about` })}
      <span id={`${id}-about`} className={problem === null ? 'form-hint' : 'kit-problem'}>
        {problem ?? hint ?? ''}
      </span>
    </div>
  );
}

interface TextProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly problem?: string | null;
  readonly hint?: string;
  readonly wide?: boolean;
  /** several lines */
  readonly long?: boolean;
  readonly type?: 'text' | 'date' | 'datetime-local';
  readonly list?: readonly string[];
}

export function TextField({
  label,
  value,
  onChange,
  long = false,
  type = 'text',
  ...rest
}: TextProps) {
  const { problem = null, list } = rest;
  return (
    <FieldFrame label={label} problem={problem} hint={rest.hint} wide={rest.wide ?? long}>
      {({ id, describedBy }) =>
        long ? (
          <textarea
            id={id}
            className="kit-input"
            value={value}
            aria-invalid={problem !== null}
            aria-describedby={describedBy}
            onChange={(event) => onChange(event.target.value)}
          />
        ) : (
          <>
            <input
              id={id}
              className="kit-input"
              type={type}
              value={value}
              list={list === undefined ? undefined : `${id}-list`}
              aria-invalid={problem !== null}
              aria-describedby={describedBy}
              onChange={(event) => onChange(event.target.value)}
            />
            {list !== undefined && (
              <datalist id={`${id}-list`}>
                {list.map((each) => (
                  <option key={each} value={each} />
                ))}
              </datalist>
            )}
          </>
        )
      }
    </FieldFrame>
  );
}

interface QuantityProps {
  readonly label: string;
  readonly dimension: Dimension;
  /** as typed: '12.4 kg'; '' is nothing */
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly problem?: string | null;
  readonly example: string;
  /** that of a bare number, said in the label; none: a number needs its own */
  readonly unit?: string;
  readonly wide?: boolean;
}

/** A number with its unit, as typed; shows it in the other units, or what is wrong with it. */
export function QuantityField({
  label,
  dimension,
  value,
  onChange,
  example,
  unit,
  ...rest
}: QuantityProps) {
  const whole = unit === undefined ? value : withUnit(value, unit);
  const read = whole.trim() === '' ? null : parseQuantity(whole, dimension);
  const own = read?.kind === 'error' ? `${read.message}; allowed: ${read.allowed}` : null;
  const hint =
    read?.kind === 'ok' ? formatQuantity(read.value, dimension, 'both') : `such as ${example}`;
  const said = unit === undefined ? label : `${label}, ${unit}`;
  const problem = own ?? rest.problem ?? null;
  return (
    <FieldFrame label={said} problem={problem} hint={hint} wide={rest.wide ?? false}>
      {({ id, describedBy }) => (
        <input
          id={id}
          className="kit-input"
          inputMode={unit === undefined ? 'text' : 'decimal'}
          autoComplete="off"
          value={value}
          aria-invalid={problem !== null}
          aria-describedby={describedBy}
          onChange={(event) => onChange(event.target.value)}
        />
      )}
    </FieldFrame>
  );
}

interface ChoiceProps<T extends string> {
  readonly label: string;
  /** '' : nothing chosen yet */
  readonly value: T | '';
  readonly among: readonly { readonly value: T; readonly words: string }[];
  readonly onChange: (value: T) => void;
  readonly problem?: string | null;
  readonly hint?: string;
  readonly wide?: boolean;
}

export function ChoiceField<T extends string>({
  label,
  value,
  among,
  onChange,
  ...rest
}: ChoiceProps<T>) {
  const problem = rest.problem ?? null;
  return (
    <FieldFrame label={label} problem={problem} hint={rest.hint} wide={rest.wide ?? false}>
      {({ id, describedBy }) => (
        <select
          id={id}
          className="kit-select"
          value={value}
          aria-invalid={problem !== null}
          aria-describedby={describedBy}
          onChange={(event) => {
            const chosen = among.find((each) => each.value === event.target.value);
            if (chosen !== undefined) onChange(chosen.value);
          }}
        >
          {value === '' && <option value="">Choose...</option>}
          {among.map((each) => (
            <option key={each.value} value={each.value}>
              {each.words}
            </option>
          ))}
        </select>
      )}
    </FieldFrame>
  );
}
