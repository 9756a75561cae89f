/** A test plan: what is to be done on the day, run by run. SI and radians, cart frame. */

import type { Amount, FailureMode, Pose, Verdict } from '../analysis/index.js';
import type { LockKind } from '../document/index.js';
import type { DecisionRule } from '../metrology/index.js';
import type { RequirementSet } from '../requirements/index.js';

/** What is read off in a run, and compared. */
export type Measure =
  /** the angle or force up to which it stood, or at which it gave way */
  | 'load held'
  /** m, after the initial elastic movement, creepage and pivoting */
  | 'further movement'
  /** N, the greatest force to set it in motion or keep it so */
  | 'force to move'
  /** kg on a castor */
  | 'castor load'
  /** done or not: ten passes without tipping, a handle that bears */
  | 'outcome';

/** What decides a run. Every criterion has to be met. */
export interface Criterion {
  /** unique in its run: 'load held' */
  readonly id: string;
  readonly measure: Measure;
  readonly sense: 'at least' | 'at most';
  /** null for 'outcome' */
  readonly limit: Amount | null;
  /** 'stands at 10 deg or more' */
  readonly words: string;
  /** false: a value of the clause that it rests on was not compared with a purchased copy */
  readonly confirmed: boolean;
}

/** What is done to the cart. */
export type Loading =
  | {
      readonly kind: 'incline';
      /** rad */
      readonly angle: number;
      /** rad, cart frame */
      readonly downhill: number;
      readonly locksOn: boolean;
      /** rolling off is prevented by a low stop at the castors downhill */
      readonly stop: boolean;
    }
  | {
      readonly kind: 'push';
      /** where the gauge acts, m */
      readonly point: readonly [number, number, number];
      /** rad, cart frame, level */
      readonly direction: number;
      /** N asked, along the gauge */
      readonly force: number;
      /** rad, >= 0: the gauge slants down by so much where that tips more (a force without an upward part
       * may); 0: level */
      readonly slant: number;
      readonly locksOn: boolean;
      /** N pressed down with it (combined force), at the point of the pose's press; 0: none */
      readonly down: number;
      /** sliding is prevented by a low stop at the castors */
      readonly stop: boolean;
    }
  | {
      readonly kind: 'press';
      readonly point: readonly [number, number, number];
      readonly force: number;
      /** m, of the patch that spreads it */
      readonly patch: readonly [number, number];
    }
  | {
      readonly kind: 'propulsion';
      /** m */
      readonly height: number;
      readonly direction: number;
      /** N allowed */
      readonly force: number;
      /** m/s; null: not stated */
      readonly speed: number | null;
      /** m/s, to either side; null: not stated */
      readonly speedTolerance: number | null;
    }
  | {
      readonly kind: 'threshold';
      /** m */
      readonly height: number;
      readonly width: number | null;
      readonly direction: number;
      readonly speed: number;
      /** m/s, to either side */
      readonly speedTolerance: number;
      readonly passes: number;
    }
  | { readonly kind: 'weighing'; readonly castor: string; readonly removed: boolean }
  | {
      readonly kind: 'lifting';
      readonly handle: string /** N */;
      readonly force: number /** s; null: not stated */;
      readonly duration: number | null;
    };

/** How the cart is made ready. Everything an assistant needs without the model. */
export interface SetUp {
  readonly position: string;
  /** m or rad by mover */
  readonly movers: Readonly<Record<string, number>>;
  /** names of the movers that turn (rad); the others slide (m) */
  readonly turning: readonly string[];
  /** kg by load; 0: absent or empty */
  readonly loads: Readonly<Record<string, number>>;
  /** by castor: what its lock is set to, and the way the castor is turned (rad from stem to contact;
   * null: fixed, or free to trail) */
  readonly castors: readonly {
    readonly name: string;
    readonly lock: LockKind;
    readonly locked: boolean;
    readonly swivel: number | null;
  }[];
  /** 'hard level floor', 'vinyl 2 mm to 4 mm on a hard level floor' */
  readonly floor: string;
  /** what is laid on it: 'vinyl 2 mm to 4 mm'; null: nothing */
  readonly covering: string | null;
}

/** Every number is finite, so that a plan survives being kept as JSON. */
export interface Prediction {
  /** 'at least': the load up to which it stands; 'at most': what will be measured (a force to move, a
   * castor's load); as found at this set-up, in this direction; null: nothing can be computed for it, or
   * it has no limit (the words say which) */
  readonly capacity: Amount | null;
  /** what is asked of this cart at this set-up, or the limit it must not exceed, same unit; null: nothing
   * is stated */
  readonly demand: Amount | null;
  /** capacity - demand ('at least') or limit - capacity ('at most'), same unit */
  readonly margin: Amount | null;
  /** capacity / demand, or limit / capacity; null: not known, or without limit */
  readonly reserve: number | null;
  /** how it gives way at its capacity; null: it does not, or nothing is known */
  readonly mode: FailureMode | null;
  /** no configuration in the ranges is worse than this; null: not proven, or of another direction */
  readonly proven: Amount | null;
  readonly verdict: Verdict;
  /** one sentence: how it goes and at what */
  readonly words: string;
  /** friction coefficient it needs to hold, where it plays a part */
  readonly frictionNeeded: number | null;
}

export interface TestRun {
  /** unique in the plan, kebab-case: 'overbalance-transport-1' */
  readonly id: string;
  /** id of the clause of the set, which is the finding's */
  readonly finding: string;
  readonly clause: string;
  readonly title: string;
  /** what is asked, paraphrased */
  readonly asks: string;
  /** 'worst found' or which other direction, in words: 'pushed to the left' */
  readonly purpose: string;
  readonly governs: boolean;
  readonly setUp: SetUp;
  readonly loading: Loading;
  /** the same for drawings and the model */
  readonly pose: Pose;
  readonly prediction: Prediction;
  readonly criteria: readonly Criterion[];
  /** what to write down, in order; numbers in both unit systems are made at the edges by `runWords` */
  readonly record: readonly string[];
  readonly cautions: readonly string[];
  /** how many times it is done; >= 1 */
  readonly repeats: number;
}

/** What has to be at hand, with the range and resolution that the plan needs. */
export interface Equipment {
  /** kebab-case: 'force-gauge' */
  readonly id: string;
  readonly name: string;
  /** instrument kind that a record asks for; null: no instrument (vinyl, stop, restraint) */
  readonly instrument: InstrumentKind | null;
  readonly from: Amount | null;
  readonly to: Amount | null;
  /** coarsest that does; null: none asked */
  readonly resolution: Amount | null;
  /** greatest expanded uncertainty (k = 2) that still lets every run be decided, where it has a margin
   * to decide by; null: none asked */
  readonly uncertainty: Amount | null;
  readonly why: string;
  /** runs that need it */
  readonly runs: readonly string[];
}

export const INSTRUMENT_KINDS = [
  'force gauge',
  'inclinometer',
  'scale',
  'tape',
  'displacement',
  'thermometer',
  'timer',
  'other',
] as const;
export type InstrumentKind = (typeof INSTRUMENT_KINDS)[number];

export interface TestPlan {
  readonly cart: string;
  readonly requirementSet: RequirementSet;
  readonly rule: DecisionRule;
  /** in the order to be done */
  readonly runs: readonly TestRun[];
  /** clauses without runs, and why: does not apply, nothing to measure */
  readonly notTested: readonly {
    readonly finding: string;
    readonly clause: string;
    readonly title: string;
    readonly reason: string;
  }[];
  readonly equipment: readonly Equipment[];
  /** set-up changes in this order, and in the order of the clauses, each counted by its effort
   * (docs/test-plan.md) */
  readonly changes: { readonly planned: number; readonly byClause: number };
  readonly cautions: readonly string[];
}
