/**
 * How far a quantity may be from its stated value, as a distribution about zero in the quantity's own
 * unit. Every one is symmetric. Source: JCGM 101:2008, 6.4 (rectangular 6.4.2, trapezoidal 6.4.4,
 * triangular 6.4.5, arcsine 6.4.6, normal 6.4.7, t 6.4.9).
 *
 * Draws are by the inverse of the distribution function (JCGM 101:2008, C.2), one uniform number
 * each: a draw is monotonic in that number, and two runs on the same numbers differ only where the
 * spreads do.
 */

import normalQuantile from '@stdlib/stats-base-dists-normal-quantile';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';

export type Spread =
  | { readonly kind: 'rectangular' /** > 0 */; readonly halfWidth: number }
  | { readonly kind: 'triangular'; readonly halfWidth: number }
  /** isosceles; `top` is the half-width of its top over that of its base, 0 < top < 1 */
  | { readonly kind: 'trapezoidal'; readonly halfWidth: number; readonly top: number }
  /** of a quantity that swings as a sine with unknown phase */
  | { readonly kind: 'arcsine'; readonly halfWidth: number }
  | { readonly kind: 'normal' /** standard uncertainty, > 0 */; readonly standard: number }
  /** scaled and shifted t: of the mean of repeated readings, `scale` = s / sqrt(n), n - 1 degrees of
   * freedom */
  | { readonly kind: 't'; readonly scale: number; readonly freedom: number };

/**
 * Standard deviation. Infinity for t with two degrees of freedom or fewer.
 */
export function standardOf(spread: Spread): number {
  switch (spread.kind) {
    case 'rectangular':
      return spread.halfWidth / Math.sqrt(3);
    case 'triangular':
      return spread.halfWidth / Math.sqrt(6);
    case 'trapezoidal':
      return spread.halfWidth * Math.sqrt((1 + spread.top ** 2) / 6);
    case 'arcsine':
      return spread.halfWidth / Math.sqrt(2);
    case 'normal':
      return spread.standard;
    case 't':
      return spread.freedom > 2
        ? spread.scale * Math.sqrt(spread.freedom / (spread.freedom - 2))
        : Number.POSITIVE_INFINITY;
  }
}

/**
 * The value below which a share `p` of the distribution lies.
 *
 * @param p 0 < p < 1
 */
export function quantileOf(spread: Spread, p: number): number {
  switch (spread.kind) {
    case 'rectangular':
      return spread.halfWidth * (2 * p - 1);
    case 'triangular':
      return spread.halfWidth * mirrored(p, (q) => Math.sqrt(2 * q) - 1);
    case 'trapezoidal':
      return spread.halfWidth * mirrored(p, (q) => trapezoidalTail(q, spread.top));
    case 'arcsine':
      // F(x) = 1/2 + asin(x / a) / pi
      return spread.halfWidth * Math.sin(Math.PI * (p - 0.5));
    case 'normal':
      return spread.standard * normalQuantile(p, 0, 1);
    case 't':
      return spread.scale * tQuantile(p, spread.freedom);
  }
}

/** Of a symmetric distribution with its lower half given. */
function mirrored(p: number, lower: (q: number) => number): number {
  return p <= 0.5 ? lower(p) : -lower(1 - p);
}

/** On [-1, 1] with the top from -b to b: density 1 / (1 + b) on the top, falling to zero at -1. */
function trapezoidalTail(q: number, b: number): number {
  // below -b: F = (x + 1)^2 / (2 (1 - b) (1 + b)), there (1 - b) / (2 (1 + b))
  const corner = (1 - b) / (2 * (1 + b));
  return q < corner ? Math.sqrt(2 * q * (1 - b * b)) - 1 : (q - 0.5) * (1 + b);
}

/** Half-width of the 95 % interval of the mean of readings over its scale s / sqrt(n)
 * (JCGM 100:2008, G.3). */
export function tCoverageFactor(freedom: number): number {
  return tQuantile(0.975, freedom);
}
