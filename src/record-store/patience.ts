/** Trying again what may be done twice. */

import { setTimeout as pause } from 'node:timers/promises';

/** ms; some transactions of another process */
const FIRST_WAIT = 4;
const LONGEST_WAIT = 200;

/**
 * @param patience ms after which the last failure is thrown
 * @param isPassing whether trying again may help
 */
export async function patiently<T>(
  patience: number,
  isPassing: (error: unknown) => boolean,
  act: () => Promise<T>,
): Promise<T> {
  const end = performance.now() + patience;
  for (let longest = FIRST_WAIT; ; longest = Math.min(longest * 1.5, LONGEST_WAIT)) {
    try {
      return await act();
    } catch (error) {
      if (!isPassing(error) || performance.now() > end) throw error;
    }
    // of chance length, so that several that wait do not meet again and again
    await pause(longest * (0.5 + 0.5 * Math.random()));
  }
}
