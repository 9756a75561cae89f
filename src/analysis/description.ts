/** What a cart is, before anything is asked of it. SI inside; the edges choose the units shown. */

import type { Vec3 } from '../document/index.js';

/** The cart in one configuration of a position. */
export interface MassState {
  /** kg */
  readonly mass: number;
  /** N: mass times standard gravity */
  readonly weight: number;
  /** m */
  readonly centreOfMass: Vec3;
  /** the configuration in words: "lift at 400 mm, arm at 90 deg, left bag full" */
  readonly words: string;
}

/** The floor's reaction under one castor over a position, nominal: level floor, rigid cart on castors
 * of the stated stiffness. */
export interface CastorLoadRange {
  readonly name: string;
  /** N, >= 0 */
  readonly least: number;
  readonly leastWords: string;
  /** N, >= least */
  readonly most: number;
  readonly mostWords: string;
  /** N: rating times standard gravity; null: not stated */
  readonly rating: number | null;
}

export interface PositionDescription {
  readonly name: string;
  readonly kind: 'transport' | 'use';
  /** the configuration of least mass, and the one of greatest mass (movers as in `words`) */
  readonly lightest: MassState;
  readonly heaviest: MassState;
  /** the configurations with the lowest and the highest centre of mass */
  readonly lowest: MassState;
  readonly highest: MassState;
  /** least and greatest coordinate of the centre of mass over the position, m; corners of a box, not
   * configurations */
  readonly centreOfMassRange: { readonly least: Vec3; readonly most: Vec3 };
  readonly castors: readonly CastorLoadRange[];
  /** true: the extremes over the movers are proven; false: they come from sampling */
  readonly proven: boolean;
}

/** An input that is not measured or not confirmed, and what it was taken to be. */
export interface AssumedInput {
  /** "friction of grey rubber on vinyl 3 mm on concrete" */
  readonly what: string;
  /** "0.6, 0.5 to 0.7" */
  readonly taken: string;
  /** "assumed: not measured" */
  readonly basis: string;
}

export interface CartDescription {
  readonly cart: string;
  readonly description: string;
  readonly mobility: 'mobile' | 'stationary';
  readonly parts: number;
  readonly movers: number;
  readonly loads: number;
  /** kg: parts only, every load absent or empty */
  readonly bareMass: number;
  /** m: highest outline point over all positions; null: no outline given */
  readonly greatestHeight: number | null;
  readonly positions: readonly PositionDescription[];
  readonly assumed: readonly AssumedInput[];
  readonly cautions: readonly string[];
}
