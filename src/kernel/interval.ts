/**
 * Ranges: products of intervals, exact ranges of c0 + c1 cos q + c2 sin q over an arc, and the
 * greatest convex minorant of w c for w in a range. Ends are computed in ordinary arithmetic; who
 * needs a rigorous enclosure widens the final result by a slack that covers the rounding.
 */

/**
 * cos and sin of an arc at its start, middle and end into trig[at] to trig[at + 5]. An arc beyond a
 * whole turn is cut to a whole turn.
 *
 * @param from rad, from <= to
 */
export function arcTrig(from: number, to: number, trig: Float64Array, at: number): void {
  const end = Math.min(to, from + 2 * Math.PI);
  const middle = 0.5 * (from + end);
  trig[at] = Math.cos(from);
  trig[at + 1] = Math.sin(from);
  trig[at + 2] = Math.cos(middle);
  trig[at + 3] = Math.sin(middle);
  trig[at + 4] = Math.cos(end);
  trig[at + 5] = Math.sin(end);
}

/** Least of c0 + c1 cos q + c2 sin q over the range that {@link arcTrig} wrote to trig[at...]. */
export function sinusoidLower(
  trig: Float64Array,
  at: number,
  c0: number,
  c1: number,
  c2: number,
): number {
  const ca = trig[at] as number;
  const sa = trig[at + 1] as number;
  const cm = trig[at + 2] as number;
  const sm = trig[at + 3] as number;
  const cb = trig[at + 4] as number;
  const sb = trig[at + 5] as number;
  // Each half is at most half a turn wide: a minimum lies inside exactly when the slope there goes
  // from falling to rising.
  const slopeA = c2 * ca - c1 * sa;
  const slopeM = c2 * cm - c1 * sm;
  const slopeB = c2 * cb - c1 * sb;
  if ((slopeA <= 0 && slopeM >= 0) || (slopeM <= 0 && slopeB >= 0)) {
    return c0 - Math.sqrt(c1 * c1 + c2 * c2);
  }
  return c0 + Math.min(c1 * ca + c2 * sa, c1 * cb + c2 * sb);
}

/** Least and greatest of c0 + c1 cos q + c2 sin q over such a range, into out[to], out[to + 1]. */
export function sinusoidRange(
  trig: Float64Array,
  at: number,
  c0: number,
  c1: number,
  c2: number,
  out: Float64Array,
  to: number,
): void {
  const ca = trig[at] as number;
  const sa = trig[at + 1] as number;
  const cm = trig[at + 2] as number;
  const sm = trig[at + 3] as number;
  const cb = trig[at + 4] as number;
  const sb = trig[at + 5] as number;
  const slopeA = c2 * ca - c1 * sa;
  const slopeM = c2 * cm - c1 * sm;
  const slopeB = c2 * cb - c1 * sb;
  const endA = c1 * ca + c2 * sa;
  const endB = c1 * cb + c2 * sb;
  const bottom = (slopeA <= 0 && slopeM >= 0) || (slopeM <= 0 && slopeB >= 0);
  const top = (slopeA >= 0 && slopeM <= 0) || (slopeM >= 0 && slopeB <= 0);
  const amplitude = bottom || top ? Math.sqrt(c1 * c1 + c2 * c2) : 0;
  out[to] = c0 + (bottom ? -amplitude : Math.min(endA, endB));
  out[to + 1] = c0 + (top ? amplitude : Math.max(endA, endB));
}

/**
 * Slope of the chord below w c. The least of w c over w in [from, to] is min(from c, to c), a concave
 * function of c. Over c in [low, high] its greatest convex minorant is the chord through the two
 * ends: slope * c + {@link chordOffset}. When c keeps one sign that is from c or to c itself.
 */
export function chordSlope(from: number, to: number, low: number, high: number): number {
  if (low >= 0) return from;
  if (high <= 0) return to;
  return (from * high - to * low) / (high - low);
}

/** Offset of the chord whose slope {@link chordSlope} gives. */
export function chordOffset(to: number, low: number, high: number, slope: number): number {
  return low >= 0 || high <= 0 ? 0 : to * low - slope * low;
}

/** Lower end of the product of [al, ah] and [bl, bh]. */
export function productLower(al: number, ah: number, bl: number, bh: number): number {
  return Math.min(al * bl, al * bh, ah * bl, ah * bh);
}

/** Upper end of the product of [al, ah] and [bl, bh]. */
export function productUpper(al: number, ah: number, bl: number, bh: number): number {
  return Math.max(al * bl, al * bh, ah * bl, ah * bh);
}
