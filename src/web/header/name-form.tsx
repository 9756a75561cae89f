/** One name asked for, refused in words beside the field. */

import { useId, useState } from 'react';

export interface NameFormProps {
  readonly label: string;
  readonly start: string;
  /** word of the button that takes the name */
  readonly answer: string;
  readonly hint: (typed: string) => string;
  readonly problemOf: (typed: string) => string | null;
  readonly onAnswer: (typed: string) => void;
  readonly onCancel: () => void;
}

export function NameForm(props: NameFormProps) {
  const { label, start, answer, hint, problemOf, onAnswer, onCancel } = props;
  const [typed, setTyped] = useState(start);
  const id = useId();
  const problem = problemOf(typed);
  return (
    <form
      className="name-form"
      onSubmit={(event) => {
        event.preventDefault();
        if (problem === null) onAnswer(typed);
      }}
    >
      <label htmlFor={id}>{label}</label>
      <input
        id={id}
        className="kit-input"
        value={typed}
        spellCheck={false}
        autoComplete="off"
        aria-invalid={problem !== null}
        aria-describedby={`${id}-about`}
        onChange={(event) => setTyped(event.target.value)}
        onFocus={(event) => event.target.select()}
      />
      <p id={`${id}-about`} className={problem === null ? 'kit-soft' : 'kit-problem'} role="status">
        {problem ?? hint(typed)}
      </p>
      <div className="file-dialogs-answers">
        <button type="submit" className="kit-button is-main" disabled={problem !== null}>
          {answer}
        </button>
        <button type="button" className="kit-button" onClick={onCancel}>
          Cancel
        </button>
      </div>
    </form>
  );
}
