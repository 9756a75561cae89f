/** One of the two that are compared. */

import type { Finding } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { FindingRow, Overall } from '../findings/finding-rows.js';

export interface Side {
  readonly letter: 'A' | 'B';
  readonly name: string;
  readonly cart: Cart;
  readonly set: RequirementSet;
  /** null: it is being checked */
  readonly rows: readonly FindingRow[] | null;
  readonly overall: Overall | null;
  readonly findings: ReadonlyMap<string, Finding>;
}
