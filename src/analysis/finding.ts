/** What a check says. SI inside; the edges choose the units shown. */

import type { Vec2, Vec3 } from '../document/index.js';

export type Verdict = 'holds' | 'fails' | 'depends on friction' | 'not decided' | 'not applicable';

/** What a number measures; the edge picks the unit from it. */
export type Dimension =
  | 'angle'
  | 'force'
  | 'speed'
  | 'energy'
  | 'mass'
  | 'length'
  | 'moment'
  | 'ratio';

/** A number in SI units (rad, N, m/s, J, kg, m, N m, 1). */
export interface Amount {
  readonly value: number;
  readonly dimension: Dimension;
}

/** How the thing under test gives way at its capacity. */
export type FailureMode =
  | {
      readonly kind: 'tips';
      /** the castors between which the tipping line runs */
      readonly castors: readonly string[];
      /** the tipping line, two points on the floor, m */
      readonly line: readonly [Vec2, Vec2];
    }
  | { readonly kind: 'slides' /** rad, cart frame */; readonly direction: number }
  | {
      readonly kind: 'pivots';
      /** centre of rotation on the floor, m */
      readonly about: Vec2;
      /** +1 seen from above counter-clockwise */
      readonly sense: 1 | -1;
    }
  | { readonly kind: 'rolls'; readonly direction: number }
  | { readonly kind: 'stops'; readonly what: string }
  | { readonly kind: 'overloads'; readonly what: string };

export interface CastorShare {
  readonly name: string;
  /** contact on the floor, m, and swivel angle (rad, from stem to contact; null: fixed) */
  readonly contact: Vec2;
  readonly swivel: number | null;
  /** what its lock does in this run */
  readonly lock: 'none' | 'wheel' | 'directional' | 'total';
  /** N, normal to the floor, at the capacity load */
  readonly load: number;
  /** load over the sum of loads */
  readonly share: number;
  /** N, horizontal force it takes at the capacity load, cart frame; null where not asked */
  readonly force: Vec2 | null;
  /** N, the most it can take at that load in that direction; null where not asked */
  readonly limit: number | null;
}

/** One configuration of the cart in a run: enough to set it up and to compute it again. */
export interface WorstConfiguration {
  readonly position: string;
  /** m or rad by mover name */
  readonly movers: Readonly<Record<string, number>>;
  /** kg by load name */
  readonly loads: Readonly<Record<string, number>>;
  /** rad by castor name, of those that matter; from the stem to the contact */
  readonly swivels: Readonly<Record<string, number>>;
  /** rad, cart frame: downhill, or the direction of the force; null where there is none */
  readonly direction: number | null;
  /** where the force acts, m; null where there is none */
  readonly point: Vec3 | null;
  /** kg */
  readonly mass: number;
  /** m */
  readonly centreOfMass: Vec3;
  /** one sentence an engineer can set up on a ramp */
  readonly words: string;
}

export type Proof =
  | {
      readonly kind: 'proven';
      /** no configuration in the ranges has a capacity below this (a demand above it, where the
       * clause limits from above), in the unit of `capacity` */
      readonly bound: Amount;
      /** the distance between the worst found and the bound, same unit, >= 0 */
      readonly gap: Amount;
      /** how it was proven, in words */
      readonly method: string;
      readonly boxes: number;
    }
  | { readonly kind: 'sampled'; readonly samples: number; readonly reason: string }
  | { readonly kind: 'none'; readonly reason: string };

/** One line of the working: symbol = formula = numbers = value. */
export interface WorkingStep {
  readonly text: string;
  /** e.g. 'tan θ_tip = d / h' */
  readonly formula: string;
  /** the formula with values substituted, plain text in SI */
  readonly substituted: string;
  readonly value: Amount;
}

export interface RequirementRef {
  readonly set: string;
  readonly clause: string;
  readonly title: string;
  /** what is asked, paraphrased */
  readonly asks: string;
  readonly values: readonly {
    readonly id: string;
    readonly text: string;
    readonly basis: string;
    readonly confirmed: boolean;
  }[];
}

export interface Finding {
  /** stable, kebab-case, unique in a report: 'overbalance-transport' */
  readonly id: string;
  readonly title: string;
  readonly requirement: RequirementRef;
  readonly applicability: { readonly applies: boolean; readonly reason: string };
  readonly verdict: Verdict;
  /** one sentence: the verdict with the number that makes it */
  readonly because: string;
  /** 'at least': capacity must reach demand (angles, forces held). 'at most': demand must not
   * exceed the limit in capacity (propulsion, castor load). margin = capacity - demand in both. */
  readonly sense: 'at least' | 'at most';
  readonly demand: Amount | null;
  readonly capacity: Amount | null;
  readonly margin: Amount | null;
  readonly mode: FailureMode | null;
  readonly castors: readonly CastorShare[];
  /** least friction coefficient at which every configuration holds; 'none suffices' when no
   * coefficient does; null where friction plays no part */
  readonly frictionNeeded:
    | {
        readonly kind: 'value';
        readonly found: number;
        /** proven: every configuration holds at this coefficient; null: not proven */
        readonly proven: number | null;
        /** at the coefficient found, the configuration that needs it, in words */
        readonly words: string;
      }
    | { readonly kind: 'none suffices'; readonly reason: string }
    | null;
  readonly worst: WorstConfiguration | null;
  readonly proof: Proof;
  /** the same configuration with the least favourable split of the castor loads that statics
   * allows (a floor that is not flat): its capacity; null where the split plays no part */
  readonly leastFavourable: { readonly capacity: Amount; readonly words: string } | null;
  /** what the verdict rests on: assumed, measured and unconfirmed inputs, in words */
  readonly restsOn: readonly string[];
  readonly working: readonly WorkingStep[];
  readonly notes: readonly string[];
}

export interface CheckReport {
  readonly cart: string;
  readonly requirementSet: { readonly id: string; readonly title: string };
  /** worst verdict of the applicable findings: fails > not decided > depends on friction > holds */
  readonly verdict: Verdict;
  readonly findings: readonly Finding[];
  /** the standing cautions every output shows */
  readonly cautions: readonly string[];
}
