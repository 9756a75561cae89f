/**
 * The prediction of one run, for the cart as planned or as measured: what the model says of that set-up
 * and that loading alone.
 *
 * With more friction a set-up holds no less where no castor is free to trail: what a tread can take grows
 * with its coefficient and nothing else changes. A castor without a lock trails behind the motion that
 * starts, and with other friction another motion may start: there more friction can lower what is held by
 * some per cent (docs/test-plan.md). A search over the coefficient by halving then finds one at which it
 * is just enough. Tipping does not know friction.
 */

import type { Amount, Dimension, FailureMode, HoldingRay, Verdict } from '../analysis/index.js';
import { holdingRose, poseCart, requiredValue, reserveOf, wrapped } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { RollingCastor } from '../engine/index.js';
import { propulsion, STANDARD_GRAVITY } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { predictionWords } from './prediction-words.js';
import type { Loading, Prediction, TestRun } from './test-run.js';
import type { Tip } from './tipping-run.js';
import { inclineTip, leastDistance, pressTip, pushTip, stopTip } from './tipping-run.js';

export type RunToPredict = Pick<TestRun, 'finding' | 'loading' | 'pose'>;

/** What was worked out before it is put into words. */
export interface Worked {
  readonly sense: 'at least' | 'at most';
  /** SI; null: nothing can be computed; Infinity: no limit */
  readonly capacity: number | null;
  readonly demand: number | null;
  readonly dimension: Dimension;
  readonly mode: FailureMode | null;
  readonly friction: FrictionRole;
  readonly frictionNeeded: number | null;
}

/** What friction has to do with it: nothing; nothing, since no wheel is locked; its coefficient is known;
 * or it is assumed, and at most `most`. */
type FrictionRole =
  | { readonly kind: 'none' | 'no lock' | 'known' }
  | { readonly kind: 'assumed'; readonly most: number };

/**
 * What the model says of this set-up and loading alone (nothing searched but what the run leaves open):
 * quick, some ms to tens of ms. `proven` is null.
 *
 * @param friction coefficient that every tread has instead of the cart's, and `frictionNeeded` is not
 *   asked again (null); null: as the cart states it
 * @throws RangeError when the run is not of this cart and set
 */
export function predictRun(
  cart: Cart,
  set: RequirementSet,
  run: RunToPredict,
  friction: number | null = null,
): Prediction {
  const clause = clauseOf(set, run.finding);
  if (friction === null) {
    const worked = workOut(cart, set, clause, run);
    return predictionOf(withNeed(cart, set, run, worked), run.loading);
  }
  return predictionOf(workOut(withFriction(cart, friction), set, clause, run), run.loading);
}

/**
 * How it gives way at this set-up and at what; what `predictRun` says besides, above all the friction
 * needed, takes twenty times as long. For searches over carts and coefficients.
 *
 * @param friction as in `predictRun`
 * @throws RangeError when the run is not of this cart and set
 */
export function capacityOfRun(
  cart: Cart,
  set: RequirementSet,
  run: RunToPredict,
  friction: number | null = null,
): Pick<Prediction, 'capacity' | 'demand' | 'mode'> {
  const clause = clauseOf(set, run.finding);
  const used = friction === null ? cart : withFriction(cart, friction);
  const { kind } = clause.question;
  if (kind === 'holding on incline' || kind === 'holding against push') {
    const held = heldAt(used, set, run, directionOf(run)) ?? mismatch(run);
    const limited = Number.isFinite(held.capacity.value);
    return limited ? held : { ...held, capacity: null, mode: null };
  }
  return predictionOf(workOut(used, set, clause, run), run.loading);
}

export function clauseOf(set: RequirementSet, finding: string): Clause {
  const found = set.clauses.find(({ id }) => id === finding);
  if (found !== undefined) return found;
  throw new RangeError(`predictRun: no clause ${finding} in ${set.id}`);
}

/** Every tread at one coefficient, known exactly. */
function withFriction(cart: Cart, value: number): Cart {
  if (!(value > 0) || !Number.isFinite(value)) {
    throw new RangeError(`predictRun: friction is ${value}; allowed: above 0`);
  }
  const friction = cart.floor.friction.map((each) => ({
    ...each,
    value,
    tolerance: 0,
    distribution: 'rectangular' as const,
    readings: null,
    basis: 'measured' as const,
  }));
  return { ...cart, floor: { ...cart.floor, friction } };
}

function workOut(cart: Cart, set: RequirementSet, clause: Clause, run: RunToPredict): Worked {
  const { kind } = clause.question;
  switch (kind) {
    case 'overbalance':
      return workOutIncline(cart, clause, run);
    case 'horizontal force':
    case 'combined force':
      return workOutPush(cart, clause, run);
    case 'downward force':
      return workOutPress(cart, clause, run);
    case 'propulsion':
      return workOutPropulsion(cart, clause, run);
    case 'threshold':
      return workOutThreshold(cart, clause, run);
    case 'holding on incline':
    case 'holding against push':
      return workOutHolding(cart, set, run);
    case 'castor load':
      return workOutCastorLoad(cart, clause, run);
    case 'castor missing':
      return workOutMissing(cart, run);
    case 'handles':
      return workOutLifting(cart, run);
  }
}

const NO_FRICTION = { friction: { kind: 'none' }, frictionNeeded: null } as const;

/** @throws RangeError: the run is of another clause or another cart */
function mismatch(run: RunToPredict): never {
  throw new RangeError(
    `predictRun: a run of the kind ${run.loading.kind} does not belong to ${run.finding}`,
  );
}

function tips({ line }: Tip): FailureMode | null {
  if (line === null) return null;
  return { kind: 'tips', castors: line.castors, line: [line.from, line.to] };
}

function workOutIncline(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'incline') return mismatch(run);
  const demand = requiredValue(clause, 'incline');
  const tip = inclineTip(poseCart(cart, run.pose), demand, loading.downhill);
  const capacity = Math.atan(tip.ratio * Math.tan(demand));
  return {
    sense: 'at least',
    capacity,
    demand,
    dimension: 'angle',
    mode: tips(tip),
    ...NO_FRICTION,
  };
}

/** N, of the weight but at most a cap */
export function askedForce(clause: Clause, mass: number, share: string, cap: string): number {
  const weight = STANDARD_GRAVITY * mass;
  return Math.min(requiredValue(clause, share) * weight, requiredValue(clause, cap));
}

function workOutPush(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading, pose } = run;
  if (loading.kind !== 'push') return mismatch(run);
  const posed = poseCart(cart, pose);
  const demand = askedForce(clause, posed.mass, 'weight-fraction', 'force-cap');
  const press =
    clause.question.kind === 'combined force' && pose.press !== null
      ? {
          point: pose.press.point,
          force: askedForce(clause, posed.mass, 'down-fraction', 'down-cap'),
        }
      : null;
  const { point, direction, slant } = loading;
  const tip = pushTip(posed, { point, direction, force: demand, slant, press });
  return {
    sense: 'at least',
    capacity: tip.ratio * demand,
    demand,
    dimension: 'force',
    mode: tips(tip),
    ...NO_FRICTION,
  };
}

function workOutPress(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'press') return mismatch(run);
  const demand = requiredValue(clause, 'force');
  const tip = pressTip(poseCart(cart, run.pose), loading.point, demand);
  return {
    sense: 'at least',
    capacity: tip.ratio * demand,
    demand,
    dimension: 'force',
    mode: tips(tip),
    ...NO_FRICTION,
  };
}

/** The castors' loads are those of castors that trail, as in the finding; each then stands the worst way
 * for the start. */
export function propulsionOf(cart: Cart, run: Pick<RunToPredict, 'pose'>, direction: number) {
  const behind = wrapped(direction + Math.PI);
  const swivels = Object.fromEntries(Object.keys(run.pose.swivels).map((name) => [name, behind]));
  const posed = poseCart(cart, { ...run.pose, swivels, push: null });
  const even = (STANDARD_GRAVITY * posed.mass) / cart.castors.length;
  return propulsion(
    cart.castors.map(
      (castor): RollingCastor => ({
        stem: castor.at,
        trail: castor.fixedDirection === null ? castor.trail : 0,
        radius: castor.wheelDiameter / 2,
        rollingLength: castor.rollingLength,
        swivelMoment: castor.swivelMoment,
      }),
    ),
    posed.castors.map(({ load }) => load ?? even),
  );
}

function workOutPropulsion(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'propulsion') return mismatch(run);
  const { start } = propulsionOf(cart, run, loading.direction);
  return {
    sense: 'at most',
    capacity: start,
    demand: requiredValue(clause, 'force-limit'),
    dimension: 'force',
    mode: { kind: 'rolls', direction: loading.direction },
    ...NO_FRICTION,
  };
}

/** A wheel does not get over a step as high as its axle. */
function workOutThreshold(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'threshold') return mismatch(run);
  const height = requiredValue(clause, 'step-height');
  const radii = cart.castors.map(({ wheelDiameter }) => wheelDiameter / 2);
  const least = Math.min(...radii);
  if (least <= height) {
    const names = cart.castors.filter(({ wheelDiameter }) => wheelDiameter / 2 <= height);
    const what = `${names.map(({ name }) => name).join(', ')} at the step`;
    return {
      sense: 'at least',
      capacity: least,
      demand: height,
      dimension: 'length',
      mode: { kind: 'stops', what },
      ...NO_FRICTION,
    };
  }
  const tip = stopTip(poseCart(cart, run.pose), loading.direction);
  return {
    sense: 'at least',
    capacity: tip.ratio,
    demand: requiredValue(clause, 'speed') + requiredValue(clause, 'speed-tolerance'),
    dimension: 'speed',
    mode: tips(tip),
    ...NO_FRICTION,
  };
}

function workOutCastorLoad(cart: Cart, clause: Clause, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'weighing') return mismatch(run);
  const castor = poseCart(cart, run.pose).castors.find(({ name }) => name === loading.castor);
  if (castor === undefined) return mismatch(run);
  const rating = cart.castors.find(({ name }) => name === loading.castor)?.rating ?? null;
  return {
    sense: 'at most',
    capacity: castor.load === null ? null : castor.load / STANDARD_GRAVITY,
    demand: rating === null ? null : rating / requiredValue(clause, 'factor'),
    dimension: 'mass',
    mode: { kind: 'overloads', what: loading.castor },
    ...NO_FRICTION,
  };
}

function workOutMissing(cart: Cart, run: RunToPredict): Worked {
  if (run.loading.kind !== 'weighing' || !run.loading.removed) return mismatch(run);
  const left = leastDistance(poseCart(cart, run.pose));
  return {
    sense: 'at least',
    // castors in a line, or fewer: no area is left, whatever the distance
    capacity: left?.distance ?? Number.NEGATIVE_INFINITY,
    demand: 0,
    dimension: 'length',
    mode:
      left === null
        ? null
        : { kind: 'tips', castors: left.line.castors, line: [left.line.from, left.line.to] },
    ...NO_FRICTION,
  };
}

function workOutLifting(cart: Cart, run: RunToPredict): Worked {
  const { loading } = run;
  if (loading.kind !== 'lifting') return mismatch(run);
  const handle = cart.handles.find(({ name }) => name === loading.handle);
  if (handle === undefined) return mismatch(run);
  return {
    sense: 'at least',
    capacity: handle.rating,
    demand: loading.force,
    dimension: 'force',
    mode: { kind: 'overloads', what: loading.handle },
    ...NO_FRICTION,
  };
}

function directionOf(run: RunToPredict): number {
  const { loading } = run;
  if (loading.kind === 'incline') return loading.downhill;
  return loading.kind === 'push' ? loading.direction : mismatch(run);
}

/** What the locks hold, or the tip over a line with the castors as posed, whichever comes first. */
function workOutHolding(cart: Cart, set: RequirementSet, run: RunToPredict): Worked {
  const direction = directionOf(run);
  const held = heldAt(cart, set, run, direction);
  if (held === null) return mismatch(run);
  const locked = cart.castors.some(({ lock }) => lock === 'wheel' || lock === 'total');
  const { capacity, mode, demand } = held;
  return {
    sense: 'at least',
    capacity: capacity.value,
    demand: demand.value,
    dimension: capacity.dimension,
    mode,
    friction: locked ? frictionRole(cart) : { kind: 'no lock' },
    frictionNeeded: null,
  };
}

function withNeed(cart: Cart, set: RequirementSet, run: RunToPredict, worked: Worked): Worked {
  const { kind } = worked.friction;
  if (kind === 'none' || kind === 'no lock') return worked;
  return { ...worked, frictionNeeded: frictionNeededAt(cart, set, run, directionOf(run)) };
}

function frictionRole(cart: Cart): FrictionRole {
  const gripping = cart.castors.filter(
    ({ lock, fixedDirection }) => lock !== 'none' || fixedDirection !== null,
  );
  const treads = new Set(gripping.map(({ tread }) => tread));
  const frictions = cart.floor.friction.filter(({ tread }) => treads.has(tread));
  if (frictions.every(({ basis }) => basis === 'measured')) return { kind: 'known' };
  const most = Math.max(...frictions.map(({ value, tolerance }) => value + tolerance));
  return { kind: 'assumed', most };
}

interface Held {
  readonly capacity: Amount;
  readonly demand: Amount;
  readonly mode: FailureMode | null;
}

function heldAt(
  cart: Cart,
  set: RequirementSet,
  { finding, loading, pose }: RunToPredict,
  direction: number,
): Held | null {
  const options = { directions: 1, through: direction, castors: 'as posed' } as const;
  const ray = holdingRose(cart, set, finding, pose, options)?.rays[0];
  if (ray === undefined) return null;
  const posed = poseCart(cart, pose);
  const demand = demandOf(loading, ray, set, finding);
  const tip =
    loading.kind === 'push'
      ? pushTip(posed, { ...loading, force: demand.value, press: null })
      : inclineTip(posed, demand.value, direction);
  const reached =
    loading.kind === 'push'
      ? tip.ratio * demand.value
      : Math.atan(tip.ratio * Math.tan(demand.value));
  if (reached < ray.stated.value) {
    return { demand, capacity: { ...ray.stated, value: reached }, mode: tips(tip) };
  }
  return { demand, capacity: ray.stated, mode: ray.mode };
}

function demandOf(
  { kind }: Loading,
  { demand }: HoldingRay,
  set: RequirementSet,
  finding: string,
): Amount {
  if (kind === 'push') return { value: demand, dimension: 'force' };
  return { value: requiredValue(clauseOf(set, finding), 'incline'), dimension: 'angle' };
}

/** No tread on a floor grips as well as that. */
const GREATEST_FRICTION = 4;
/** The coefficient is found to this. */
const FRICTION_STEP = 1e-6;

/** The least coefficient, alike on all treads, with which it holds what is asked; null: none does. */
function frictionNeededAt(
  cart: Cart,
  set: RequirementSet,
  run: RunToPredict,
  direction: number,
): number | null {
  const holds = (friction: number): boolean => {
    const held = heldAt(withFriction(cart, friction), set, run, direction);
    return held !== null && held.capacity.value >= held.demand.value;
  };
  if (!holds(GREATEST_FRICTION)) return null;
  let [low, high] = [0, GREATEST_FRICTION];
  while (high - low > FRICTION_STEP) {
    const middle = 0.5 * (low + high);
    if (holds(middle)) high = middle;
    else low = middle;
  }
  return high;
}

/** Two numbers nearer to each other than this share are one. */
const ROUNDING = 1e-9;

function verdictOf({ capacity, demand, sense, dimension, ...rest }: Worked): Verdict {
  const { friction, frictionNeeded } = rest;
  if (friction.kind === 'no lock') return 'fails';
  if (friction.kind === 'assumed') {
    return frictionNeeded === null || frictionNeeded > friction.most
      ? 'fails'
      : 'depends on friction';
  }
  if (capacity === null || demand === null) return 'not decided';
  const slack = ROUNDING * Math.abs(demand);
  const holds = sense === 'at least' ? capacity >= demand - slack : capacity <= demand + slack;
  if (holds) return 'holds';
  // A dead stop is the safe side: a wheel that rolls up the step is not stopped dead.
  return dimension === 'speed' && capacity > 0 ? 'not decided' : 'fails';
}

function predictionOf(worked: Worked, loading: Loading): Prediction {
  const { sense, capacity, demand, dimension } = worked;
  const finite = capacity !== null && Number.isFinite(capacity) ? capacity : null;
  const amount = (value: number | null): Amount | null =>
    value === null ? null : { value, dimension };
  const both = finite !== null && demand !== null;
  const [over, under] = sense === 'at least' ? [finite, demand] : [demand, finite];
  const reserve = both ? reserveOf(under ?? 0, over ?? 0) : null;
  const prediction = {
    capacity: amount(finite),
    demand: amount(demand),
    margin: both ? amount((over ?? 0) - (under ?? 0)) : null,
    reserve: reserve === null || Number.isFinite(reserve) ? reserve : null,
    mode: capacity === Number.POSITIVE_INFINITY ? null : worked.mode,
    proven: null,
    verdict: verdictOf(worked),
    frictionNeeded: worked.frictionNeeded,
  };
  return { ...prediction, words: predictionWords(prediction, loading, 'SI') };
}
