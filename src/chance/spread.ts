/**
 * How far a quantity may be from its stated value, as a distribution about zero in the quantity's own
 * unit (JCGM 101:2008, 6.4).
 */
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
