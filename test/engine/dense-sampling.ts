/** Random configurations of a holding problem, drawn by other rules than those of its own search. */

import type { ConfigurationDomain } from '../../src/engine/domain.js';

/** Shares of a range that are drawn at its lower end, at its upper end, and anywhere. */
const AT_LOW = 0.25;
const AT_HIGH = 0.5;

/**
 * One value of every variable: an end of one of its pieces, or anywhere within it. Worst cases are often
 * at ends, and never all variables at once.
 */
export function randomVariables(
  random: () => number,
  { domains }: ConfigurationDomain,
): Float64Array {
  return Float64Array.from(domains, (pieces) => {
    const [from, to] = pieces[Math.floor(random() * pieces.length)] as readonly [number, number];
    const dice = random();
    if (dice < AT_LOW) return from;
    return dice < AT_HIGH ? to : from + random() * (to - from);
  });
}
