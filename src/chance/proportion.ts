/**
 * How well a count of trials knows a probability: the interval of Clopper and Pearson (Biometrika 26
 * (1934) 404-413). It covers the true probability in at least 95 % of cases, whatever it is, and
 * says something where all trials went the same way.
 */

import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';

/** A probability with the 95 % interval that the number of trials leaves. */
export interface Probability {
  readonly value: number;
  readonly from: number;
  readonly to: number;
}

/** Share left out at each end. */
const TAIL = 0.025;

/**
 * @param hits 0 <= hits <= trials
 * @param trials whole, > 0
 */
export function probabilityOf(hits: number, trials: number): Probability {
  // P(X >= hits; from) = tail and P(X <= hits; to) = tail, by the beta form of the binomial sum
  const from = hits === 0 ? 0 : betaQuantile(TAIL, hits, trials - hits + 1);
  const to = hits === trials ? 1 : betaQuantile(1 - TAIL, hits + 1, trials - hits);
  return { value: hits / trials, from, to };
}

/** Half of the width of the interval. */
export function halfWidthOf({ from, to }: Probability): number {
  return (to - from) / 2;
}
