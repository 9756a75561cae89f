/** What goes into a weighing and what comes out. Frame: that of the cart, m; what scales show is in kg. */

import type { Budget, Measured } from './measured.js';

/** One castor on its scale. */
export interface ScaleReading {
  readonly castor: string;
  /** kg as the scale shows it (force / standard gravity), >= 0 */
  readonly shown: number;
  /** kg, standard uncertainty of that scale at that reading (calibration, resolution, zero), >= 0 */
  readonly u: number;
  /** which scale it was: one scale has one error, whatever stands on it. Left out: each castor has a scale
   * of its own */
  readonly scale?: string;
}

/** Where a castor meets its scale, and how well that is known. */
export interface ContactPoint {
  readonly castor: string;
  /** m, cart frame, on the level; the axle is above it. The castor must stay turned as it is while the cart
   * is weighed level and tilted */
  readonly at: readonly [number, number];
  /** m, standard uncertainty of each coordinate */
  readonly u: number;
  /** rad, cart frame: the way its wheel rolls. Left out: not known, and not compared with the slope */
  readonly rolls?: number;
}

/** A level weighing, repeated or not. */
export interface LevelWeighing {
  readonly repeats: readonly (readonly ScaleReading[])[];
  /** rad, standard uncertainty of each way in which the scales are level with each other. Left out: none is
   * counted */
  readonly levelU?: number;
}

/** One tilt: the end away from the lifted one stays on its scales. */
export interface Tilt {
  /** rad, floor plane of the cart against the level, up its steepest slope; 0.5 to 45 degrees */
  readonly angle: number;
  /** rad, standard uncertainty */
  readonly u: number;
  /** on the way up or down: friction of castors and rocking differ */
  readonly way: 'up' | 'down';
  /** kg on the lower castors (those not lifted), all of them; one that hangs free shows 0 */
  readonly lower: readonly ScaleReading[];
}

export interface TiltWeighing {
  /** castors that stand raised on a support; the others are the lower ones */
  readonly lifted: readonly string[];
  /** m, >= 0: height, above the floor plane of the cart, of the points through which the castors' forces
   * pass whatever the tilt: the wheel radius, of wheels on level scales (all of one size) that roll along the
   * slope; 0 for edges, and for narrow wheels that stand across it */
  readonly axisHeight: number;
  readonly axisHeightU: number;
  readonly tilts: readonly Tilt[];
}

export interface WeighingInput {
  readonly contacts: readonly ContactPoint[];
  readonly level: LevelWeighing;
  /** none: the height is not measured */
  readonly tilt: TiltWeighing | null;
}

export interface TiltPoint {
  /** tan(theta) */
  readonly x: number;
  /** kg, load moved to the lower castors against the level */
  readonly y: number;
  readonly way: 'up' | 'down';
  /** kg, from the fitted line */
  readonly residual: number;
}

/** The straight line of the tilts. */
export interface WeighingLine {
  readonly points: readonly TiltPoint[];
  /** kg for tan(theta) = 1 */
  readonly slope: Measured;
  /** kg: 0 when the level weighing fits the tilts; 0 with u 0 where the line is drawn through it */
  readonly intercept: Measured;
  /** kg, mean residual of the tilts up less that of those down: hysteresis; null: one way only */
  readonly upDown: number | null;
  /** m: distance between the two rows of castors, square to the axis */
  readonly base: number;
}

export interface WeighingResult {
  /** kg */
  readonly mass: Budget;
  /** m, cart frame */
  readonly x: Budget;
  readonly y: Budget;
  /** m above the floor; null: no tilts */
  readonly height: Budget | null;
  /** null: no tilts */
  readonly line: WeighingLine | null;
  /** what is doubtful about it: 'the tilts do not lie on a line', in words */
  readonly remarks: readonly string[];
}

export type WeighingOutcome =
  | { readonly kind: 'ok'; readonly result: WeighingResult }
  /** sentences that name the castor or the tilt, the value and what is allowed */
  | { readonly kind: 'refused'; readonly problems: readonly string[] };
