/** Lines on the error stream: safe to print, one each. */

import { EXIT } from './exit-codes.js';
import type { Outcome } from './outcome.js';
import { messagePage } from './page.js';
import type { Surroundings } from './surroundings.js';

export function tell(around: Surroundings, lines: readonly string[]): void {
  const page = messagePage(around);
  if (lines.length > 0) around.err(lines.map((line) => `${page.show(line)}\n`).join(''));
}

/** The exit code of a command: its own where its input was good, else that of bad input, told whole. */
export function concluded(outcome: Outcome<number>, around: Surroundings): number {
  if (outcome.kind === 'ok') {
    tell(around, outcome.warnings);
    return outcome.value;
  }
  tell(around, outcome.problems);
  return EXIT.badInput;
}
