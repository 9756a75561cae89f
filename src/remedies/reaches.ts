/**
 * How far each lever may go, and in which steps. One table, with reasons. A share of a reach is what
 * sizes of different levers are compared by, so a reach is also a judgement: what is a large change?
 * All are common practice, no source.
 */

export interface Reaches {
  /** m, growth of the castors' spacing across or along; the doors, lifts and bays that the cart was
   * drawn for set its size, and beyond this it is another cart */
  readonly spacing: number;
  /** m, by which the outermost stem moves when all move out: half of `spacing`, since both sides go */
  readonly spacingOut: number;
  /** m, growth of the wheel diameter: three sizes of the usual 25 mm series */
  readonly wheelLarger: number;
  /** share of the wheel diameter that may go: thresholds and cable ramps stop smaller wheels */
  readonly wheelSmaller: number;
  /** share of the least trail that may go: a castor needs trail to swivel */
  readonly trailShorter: number;
  /** share of the least trail that may be added: a longer fork swings into base and feet */
  readonly trailLonger: number;
  /** the greatest friction coefficient asked of a tread at the low end: rubber on dry concrete reaches
   * 1.0 (static; OpenStax University Physics 1, table of coefficients), no floor can be counted on for
   * more */
  readonly friction: number;
  /** share of the mass of all parts that may be added as ballast: more is another cart */
  readonly ballast: number;
  /** m, level, and never beyond the stems: a part keeps its function near its place */
  readonly partAcross: number;
  /** m, downwards, and never below the lowest part: the same */
  readonly partDown: number;
}

export const USUAL_REACHES: Reaches = {
  spacing: 0.2,
  spacingOut: 0.1,
  wheelLarger: 0.075,
  wheelSmaller: 0.4,
  trailShorter: 0.5,
  trailLonger: 0.5,
  friction: 1,
  ballast: 0.5,
  partAcross: 0.2,
  partDown: 0.3,
};

/** What is set and drawn: a millimetre, a degree, a tenth of a kilogram, a hundredth of friction. */
export const STEPS = {
  length: 0.001,
  angle: Math.PI / 180,
  mass: 0.1,
  friction: 0.01,
} as const;
