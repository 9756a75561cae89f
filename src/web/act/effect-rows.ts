/** What a remedy does to the findings, as rows of a table. */

import { reserveText } from '../../analysis/index.js';
import type { Remedy } from '../../remedies/index.js';

export interface EffectRow {
  readonly id: string;
  readonly title: string;
  readonly before: string;
  readonly after: string;
  readonly proven: string;
  readonly became: string;
  /** why it is asked or no longer; '' where nothing changed about that */
  readonly reason: string;
}

/** Each finding that is asked before or after. */
export function effectRows({ effects }: Remedy): readonly EffectRow[] {
  return effects
    .filter(({ became }) => became !== 'not asked')
    .map(({ id, title, before, after, proven, became, reason }) => ({
      ...{ id, title, became },
      before: reserveText(before),
      after: reserveText(after),
      proven: reserveText(proven),
      reason: became === 'no longer asked' || became === 'asked now' ? reason : '',
    }));
}
