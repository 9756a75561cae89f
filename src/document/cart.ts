/**
 * The cart as the rest of the program sees it: everything in SI units and radians, every name
 * resolved, every value checked. Made from text only by `readCart`.
 *
 * Frame: origin on the floor plane, x forward, y to the left, z up (right-handed). Every coordinate
 * (also of parts, loads and axes carried by movers) is measured in this one frame with every mover
 * at its zero; a mover then carries what stands on it along with it.
 */

/** Metres: x forward, y left, z up. */
export type Vec3 = readonly [number, number, number];
/** Metres on the floor plane: x forward, y left. */
export type Vec2 = readonly [number, number];

/** How a tolerance is meant (JCGM 101:2008, 6.4). rectangular, triangular: nothing lies outside it;
 * normal: an expanded uncertainty, two standard uncertainties. */
export type ToleranceDistribution = 'rectangular' | 'triangular' | 'normal';

/** A part that is always there. */
export interface Part {
  readonly name: string;
  /** kg, > 0 */
  readonly mass: number;
  /** kg, >= 0: half-width of the interval the mass lies in, when the file states one */
  readonly massTolerance: number;
  readonly massDistribution: ToleranceDistribution;
  /** centre of mass, m */
  readonly at: Vec3;
  /** m, >= 0, each coordinate */
  readonly atTolerance: number;
  readonly atDistribution: ToleranceDistribution;
  /** name of the mover that carries it, null: the base */
  readonly on: string | null;
  /** where the mass came from */
  readonly massFrom: 'cart file' | 'parts list';
}

/** One degree of freedom. A slide moves what it carries by `value * axis`; a turn rotates it by the
 * right-hand rule about the line through `origin` along `axis`. */
export interface Mover {
  readonly name: string;
  readonly kind: 'slide' | 'turn';
  /** name of the mover that carries it, null: the base */
  readonly on: string | null;
  /** a point of the axis, m (slides: unused, zero) */
  readonly origin: Vec3;
  /** unit vector */
  readonly axis: Vec3;
  /** least and greatest value: m for a slide, rad for a turn; from <= to */
  readonly from: number;
  readonly to: number;
  /** the only values it can hold, ascending, all within the range; null: any value */
  readonly stops: readonly number[] | null;
}

/** Something that comes and goes. A fluid has any mass from least to most; a removable load is
 * either absent (0 kg) or anywhere from least to most. */
export interface Load {
  readonly name: string;
  readonly kind: 'removable' | 'fluid';
  readonly on: string | null;
  readonly at: Vec3;
  readonly atTolerance: number;
  readonly atDistribution: ToleranceDistribution;
  /** kg, 0 <= least <= most */
  readonly least: number;
  readonly most: number;
}

export type LockKind = 'none' | 'wheel' | 'directional' | 'total';

export interface Castor {
  readonly name: string;
  /** stem axis on the floor plane (fixed castor: the contact), m */
  readonly at: Vec2;
  /** m, > 0 */
  readonly wheelDiameter: number;
  /** m, >= 0; 0 for a fixed castor */
  readonly trail: number;
  /** rad from x towards y of a fixed castor's rolling direction; null: it swivels */
  readonly fixedDirection: number | null;
  /** what the lock does when it is on */
  readonly lock: LockKind;
  /** N m the wheel brake holds; null: the brake outlasts the grip of the tread (stated as such) */
  readonly brakeTorque: number | null;
  /** rad: the only swivel angles a directional or total lock engages at; null: any */
  readonly lockDirections: readonly number[] | null;
  /** N m resisting swivelling about the stem, >= 0 (fixed castor: 0) */
  readonly swivelMoment: number;
  /** rolling resistance length b, m: rolling force = N b / r */
  readonly rollingLength: number;
  /** kg a castor is rated for; null: not stated */
  readonly rating: number | null;
  /** vertical stiffness, N/m, > 0 */
  readonly stiffness: number;
  /** name of the tread, a key of Floor.friction */
  readonly tread: string;
}

export interface Friction {
  readonly tread: string;
  /** static friction coefficient on the floor */
  readonly value: number;
  /** >= 0, < value */
  readonly tolerance: number;
  /** 't': the tolerance is the half-width of the 95 % interval of the mean of `readings` */
  readonly distribution: ToleranceDistribution | 't';
  /** how many readings the value is the mean of, >= 4; null: not by readings, or not stated */
  readonly readings: number | null;
  readonly basis: 'assumed' | 'measured';
}

export interface Floor {
  readonly name: string;
  readonly friction: readonly Friction[];
}

/** A box (edges along the axes when its mover is at zero) or an upright cylinder of the outline. */
export interface Body {
  readonly name: string;
  readonly on: string | null;
  readonly shape:
    | { readonly kind: 'box'; readonly from: Vec3; readonly to: Vec3 }
    | {
        readonly kind: 'cylinder';
        /** centre of the lower face */
        readonly base: Vec3;
        readonly radius: number;
        readonly height: number;
      };
  /** true: a person can push here (forces are applied to it) */
  readonly pushable: boolean;
}

/** A surface that may carry a downward force: a horizontal rectangle. */
export interface Surface {
  readonly name: string;
  readonly kind: 'foothold' | 'seat' | 'work surface';
  readonly on: string | null;
  /** opposite corners in the plane, m, and its height */
  readonly from: Vec2;
  readonly to: Vec2;
  readonly height: number;
}

export interface Handle {
  readonly name: string;
  readonly on: string | null;
  readonly at: Vec3;
  /** pushing: for moving the cart about; lifting: for carrying it */
  readonly kind: 'pushing' | 'lifting';
  /** N it was shown to bear; null: not stated */
  readonly rating: number | null;
}

/** ISO 7010 signs fixed to the cart. */
export type Marking = 'no pushing' | 'no sitting' | 'no stepping';

export interface LoadState {
  /** kg; both 0: absent */
  readonly least: number;
  readonly most: number;
  /** may also be absent although least > 0 */
  readonly mayBeAbsent: boolean;
}

/** A position: the range of every mover and the state of every load in it (complete: what the file
 * leaves out is the whole range the mover or load allows). */
export interface Position {
  readonly name: string;
  readonly kind: 'transport' | 'use';
  readonly movers: Readonly<Record<string, { readonly from: number; readonly to: number }>>;
  readonly loads: Readonly<Record<string, LoadState>>;
}

/** What the section `uncertainty` of the cart file may speak of, under the names it has there. */
export const UNCERTAIN_QUANTITIES = [
  'trail',
  'castor places',
  'wheel diameter',
  'swivel moment',
  'rolling length',
  'brake torque',
  'stiffness',
  'ramp angle',
  'floor slope',
  'push force',
  'push height',
] as const;
export type UncertainQuantity = (typeof UNCERTAIN_QUANTITIES)[number];

/** How far a quantity may be from what is stated or asked. */
export interface StatedUncertainty {
  /** > 0; SI, or a share of each value where `relative` */
  readonly tolerance: number;
  readonly relative: boolean;
  readonly distribution: ToleranceDistribution;
}

/** By quantity; what is not stated is left out. */
export type Uncertainty = Readonly<Partial<Record<UncertainQuantity, StatedUncertainty>>>;

export interface Cart {
  readonly name: string;
  readonly description: string;
  readonly mobility: 'mobile' | 'stationary';
  readonly parts: readonly Part[];
  readonly movers: readonly Mover[];
  readonly loads: readonly Load[];
  readonly castors: readonly Castor[];
  readonly floor: Floor;
  readonly outline: readonly Body[];
  readonly surfaces: readonly Surface[];
  readonly handles: readonly Handle[];
  readonly markings: readonly Marking[];
  /** at least one of kind transport and one of kind use */
  readonly positions: readonly Position[];
  /** id of the requirement set the file asks for, null: not stated */
  readonly requirements: string | null;
  /** tolerances that have no place beside a value: of the castors and of the test */
  readonly uncertainty: Uncertainty;
}
