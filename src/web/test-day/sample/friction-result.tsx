/** What a friction test comes to, beside what the cart file states. */

import type { Friction } from '../../../document/index.js';
import type { FrictionOutcome } from '../../../metrology/index.js';
import { expanded, measuredText } from '../../../metrology/index.js';
import { BudgetTable } from './budget-table.js';
import { frictionComparison } from './friction-words.js';
import { Problems, Remarks } from './weighing-result.js';

interface FrictionOutcomeViewProps {
  readonly outcome: FrictionOutcome;
  /** null: no such tread in the cart file */
  readonly stated: Friction | null;
}

export function FrictionOutcomeView({ outcome, stated }: FrictionOutcomeViewProps) {
  if (outcome.kind === 'refused') return <Problems problems={outcome.problems} />;
  const { coefficient, each, remarks } = outcome.result;
  const comparison = stated === null ? null : frictionComparison(stated, coefficient);
  return (
    <>
      <dl className="sample-measured">
        <div>
          <dt>Friction coefficient, measured</dt>
          <dd>{measuredText(coefficient, 'ratio', 'SI')}</dd>
          <dd className="kit-soft">k = {expanded(coefficient).k.toFixed(2)}</dd>
        </div>
        <div>
          <dt>Single readings</dt>
          <dd className="kit-soft">{each.map((mu) => mu.toFixed(3)).join(', ')}</dd>
        </div>
      </dl>
      {comparison !== null && (
        <p className="sample-comparison" data-kind={comparison.kind}>
          {comparison.words}
        </p>
      )}
      <Remarks remarks={remarks} />
      <details className="sample-guide">
        <summary>Uncertainty budget</summary>
        <BudgetTable title="Friction coefficient" budget={coefficient} dimension="ratio" />
      </details>
    </>
  );
}
