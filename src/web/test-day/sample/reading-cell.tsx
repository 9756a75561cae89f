/** A number in a table of readings. Enter goes on to the next, from the last to what comes after the
 * table. */

import type { KeyboardEvent } from 'react';

interface ReadingCellProps {
  readonly label: string;
  readonly value: string;
  readonly problem?: string | null;
  readonly onChange: (value: string) => void;
}

export function ReadingCell({ label, value, problem = null, onChange }: ReadingCellProps) {
  return (
    <input
      className="kit-input readings-cell"
      aria-label={label}
      aria-invalid={problem !== null}
      inputMode="decimal"
      enterKeyHint="next"
      autoComplete="off"
      value={value}
      onFocus={(event) => event.target.select()}
      onChange={(event) => onChange(event.target.value)}
    />
  );
}

/** For the element around a table and the button that adds a row to it. */
export function enterGoesOn(event: KeyboardEvent<HTMLElement>): void {
  if (event.key !== 'Enter' || !(event.target instanceof HTMLInputElement)) return;
  event.preventDefault();
  const all = [...event.currentTarget.querySelectorAll<HTMLElement>(GOES_ON)];
  all[all.indexOf(event.target) + 1]?.focus();
}

const GOES_ON = 'input.readings-cell, button[data-adds-row]';

export interface CellProblem {
  /** the label of the cell */
  readonly cell: string;
  /** without its place; null: nothing */
  readonly message: string | null;
}

/** What is wrong with the cells of a table, below it: a cell has no room for it. */
export function CellProblems({ problems }: { readonly problems: readonly CellProblem[] }) {
  const told = problems.filter(({ message }) => message !== null);
  return (
    <div className="readings-problems" role="status">
      {told.length > 0 && (
        <ul className="plain">
          {told.map(({ cell, message }) => (
            <li key={cell} className="kit-problem">
              {cell}: {message}
            </li>
          ))}
        </ul>
      )}
    </div>
  );
}
