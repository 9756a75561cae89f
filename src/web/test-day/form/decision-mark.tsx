/** What was decided of a run, by word and shape. */

import './decision-mark.css';
import type { Decision } from '../../../metrology/index.js';
import { VerdictShapeOf } from '../../kit/verdict.js';

export type Decided = Decision | 'not done';

/** The shapes of the verdicts: what passes holds, what fails fails. */
const SHAPES = {
  pass: 'holds',
  fail: 'fails',
  'not decided': 'not decided',
} as const;

export function DecisionMark({ decision }: { readonly decision: Decided }) {
  return (
    <span className="decision-mark" data-decision={decision}>
      {decision !== 'not done' && <VerdictShapeOf verdict={SHAPES[decision]} />}
      <span>{decision}</span>
    </span>
  );
}
