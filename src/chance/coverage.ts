/** Coverage intervals of a sample. Source: JCGM 101:2008, 7.7. */

export interface Interval {
  readonly from: number;
  readonly to: number;
}

/** The share that every coverage interval here holds. */
export const COVERAGE = 0.95;

/** How many of the `count` values an interval spans: q of 7.7.2, the nearest whole number. */
function spanned(count: number): number {
  return Math.floor(COVERAGE * count + 0.5);
}

/**
 * The interval that leaves as much below as above (7.7.3, probabilistically symmetric).
 *
 * @param sorted ascending, at least 40 values
 */
export function symmetricInterval(sorted: Float64Array): Interval {
  const q = spanned(sorted.length);
  // r of 7.7.3 counts from 1
  const r = Math.floor((sorted.length - q + 1) / 2) - 1;
  return { from: at(sorted, r), to: at(sorted, r + q) };
}

/**
 * The shortest interval that holds the share (7.7.4): the least sorted[r + q] - sorted[r].
 *
 * @param sorted ascending, at least 40 values
 */
export function shortestInterval(sorted: Float64Array): Interval {
  const q = spanned(sorted.length);
  let best = 0;
  for (let r = 1; r + q < sorted.length; r++) {
    if (at(sorted, r + q) - at(sorted, r) < at(sorted, best + q) - at(sorted, best)) best = r;
  }
  return { from: at(sorted, best), to: at(sorted, best + q) };
}

/** @throws RangeError below the 40 values from which 95 % leaves a value outside */
function at(sorted: Float64Array, index: number): number {
  const value = sorted[index];
  if (value === undefined) {
    throw new RangeError(`coverage: ${sorted.length} values are too few for ${COVERAGE}`);
  }
  return value;
}
