import type { CheckReport } from '../analysis/index.js';
import type { CartEdit } from '../document/index.js';

/** A change, or two together, that makes every applicable finding pass with the margin. */
export interface Remedy {
  readonly edits: readonly CartEdit[];
  /** proven check of the changed cart */
  readonly report: CheckReport;
}
