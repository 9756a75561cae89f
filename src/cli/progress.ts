/** A line on the terminal for what takes longer than a second; silent elsewhere. */

import { messagePage } from './page.js';
import type { Surroundings } from './surroundings.js';
import { pad, textWidth, wrapText } from './text-width.js';

/** ms without a word: most checks end before it. */
const PATIENCE = 1000;
/** ms between two updates: faster cannot be read. */
const INTERVAL = 200;

export interface Progress {
  readonly report: (done: number, total: number, what: string) => void;
  /** takes the line off the terminal again */
  readonly clear: () => void;
}

export function startProgress(around: Surroundings): Progress {
  if (!around.errIsTerminal) return { report: () => {}, clear: () => {} };
  const page = messagePage(around);
  const room = (around.columns ?? page.width) - 1;
  const start = around.clock();
  let last = start + PATIENCE - INTERVAL;
  let shown = 0;
  return {
    report: (done, total, what) => {
      const now = around.clock();
      if (now - last < INTERVAL) return;
      last = now;
      const text = wrapText(page.show(`${done} of ${total}: ${what}`), room)[0] ?? '';
      around.err(`\r${pad(text, shown, 'left')}`);
      shown = textWidth(text);
    },
    clear: () => {
      if (shown > 0) around.err(`\r${' '.repeat(shown)}\r`);
      shown = 0;
    },
  };
}
