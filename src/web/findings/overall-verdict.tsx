/** What all findings come to, at the top of the pane. The header reads it out when it changes. */

import { VerdictShapeOf } from '../kit/verdict.js';
import type { FindingRow } from './finding-rows.js';
import { overallOf } from './finding-rows.js';

export function OverallVerdict({
  rows,
  stale,
}: {
  readonly rows: readonly FindingRow[];
  /** the cart that is judged is not what the description says */
  readonly stale: boolean;
}) {
  const { verdict, words, thinnest } = overallOf(rows);
  const tone = verdict === null ? 'running' : verdict.replaceAll(' ', '-');
  return (
    <div className={`overall-verdict is-${tone}`} data-stale={stale || undefined}>
      <p className={`overall-verdict-word kit-verdict is-${tone}`}>
        <VerdictShapeOf verdict={verdict} />
        <span>{words}</span>
      </p>
      {thinnest !== null && (
        <p className="kit-soft">
          Thinnest: {thinnest.title}, reserve <strong>{thinnest.reserve}</strong>
        </p>
      )}
    </div>
  );
}
