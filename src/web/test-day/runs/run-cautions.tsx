/** What to mind before a run is begun. */

import './run-cautions.css';
import type { TestRun } from '../../../test-plan/index.js';

export function RunCautions({ run: { cautions } }: { readonly run: TestRun }) {
  if (cautions.length === 0) return null;
  return (
    <ul className="run-cautions" aria-label="Cautions">
      {cautions.map((each) => (
        <li key={each}>{each}</li>
      ))}
    </ul>
  );
}
