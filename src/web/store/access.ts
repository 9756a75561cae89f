/** What the parts of the store have of it, and of each other. */

import type { Workbench } from './state.js';

export interface Access {
  readonly get: () => Workbench;
  readonly set: (change: Partial<Workbench>) => void;
  /** What was asked for; null: refused, and said so. */
  readonly guarded: <T>(ask: () => Promise<T>) => Promise<T | null>;
}
