/** What the store would have against a form as it stands. */

import type { EntryProblem } from '../../../test-record/index.js';
import type { Problems } from './use-form.js';

interface WhatIsMissingProps {
  readonly problems: Problems;
  /** once something was typed: an empty form is not wrong */
  readonly isShown: boolean;
  /** default: as the store says it */
  readonly wordsOf?: (problem: EntryProblem) => string;
}

const AS_TOLD = ({ message }: EntryProblem): string => message;

export function WhatIsMissing({ problems, isShown, wordsOf = AS_TOLD }: WhatIsMissingProps) {
  if (!isShown || problems.all.length === 0) return null;
  return (
    <div>
      <p className="form-missing-head">Before it can be written:</p>
      <ul className="form-missing" aria-label="What is missing">
        {[...new Set(problems.all.map(wordsOf))].map((words) => (
          <li key={words} className="form-missing-one">
            {words}
          </li>
        ))}
      </ul>
    </div>
  );
}
