/** What the command hands back to the shell. Documented in the README and in `standstill --help`. */

import type { Verdict } from '../analysis/index.js';
import type { Decision } from '../metrology/index.js';

export const EXIT = {
  holds: 0,
  fails: 1,
  depends: 2,
  notDecided: 3,
  badInput: 4,
  /** EX_USAGE of the BSD sysexits convention */
  misuse: 64,
  /** EX_SOFTWARE of the same */
  internal: 70,
  /** EX_IOERR of the same: the output could not be written */
  output: 74,
} as const;

export function exitCodeOf(verdict: Verdict): number {
  switch (verdict) {
    case 'holds':
      return EXIT.holds;
    case 'fails':
      return EXIT.fails;
    case 'depends on friction':
      return EXIT.depends;
    // A check in which no clause applies has shown nothing, so it must not read as a pass.
    case 'not applicable':
    case 'not decided':
      return EXIT.notDecided;
  }
}

/** Of what was measured; a plan that is not done has shown nothing yet. */
export function exitCodeOfDecision(decision: Decision | 'not done'): number {
  switch (decision) {
    case 'pass':
      return EXIT.holds;
    case 'fail':
      return EXIT.fails;
    case 'not decided':
    case 'not done':
      return EXIT.notDecided;
  }
}
