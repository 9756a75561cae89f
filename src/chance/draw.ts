/** Draws of a spread, kept within what is possible. */

import type { Spread } from './spread.js';
import { quantileOf } from './spread.js';
import type { Stream } from './streams.js';

/** What a draw may be at all, as an offset from the stated value. */
export interface Limits {
  readonly least: number;
  readonly most: number;
}

export const NO_LIMITS: Limits = {
  least: Number.NEGATIVE_INFINITY,
  most: Number.POSITIVE_INFINITY,
};

export interface Drawer {
  readonly next: () => number;
  /** draws so far that fell outside the limits and were drawn again */
  readonly redrawn: () => number;
}

/** Draws again and again without reaching the limits: the limits hold none of the spread. */
const MOST_REDRAWS = 1000;

/**
 * Draws outside the limits are drawn again: what is drawn is the distribution cut off at the limits,
 * and how often that happened is counted.
 *
 * @throws RangeError when the limits hold next to nothing of the spread
 */
export function drawerOf(spread: Spread, stream: Stream, limits: Limits = NO_LIMITS): Drawer {
  let redrawn = 0;
  return {
    next: () => {
      for (let tries = 0; tries <= MOST_REDRAWS; tries++) {
        const value = quantileOf(spread, stream());
        if (value >= limits.least && value <= limits.most) return value;
        redrawn += 1;
      }
      throw new RangeError(
        `drawerOf: nothing of ${JSON.stringify(spread)} lies from ${limits.least} to ${limits.most}`,
      );
    },
    redrawn: () => redrawn,
  };
}
