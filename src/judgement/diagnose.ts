/**
 * Question: why did a run fail, by the model, and where does the mend lie?
 *
 * The set-up of the run is worked out again: how it gives way, who carries what at rest and at the load
 * asked, what the locked castors can hold of it (mu N, or the brake), and what would be enough: another
 * layout of the locks, more friction, a lower centre of mass, a line farther out. All of it at this set-up
 * alone; which change is enough for every configuration is for the remedies.
 */

import type { FailureMode, Pose, PosedCart } from '../analysis/index.js';
import {
  coefficientText,
  headingText,
  listed,
  modeText,
  poseCart,
  quantityText,
} from '../analysis/index.js';
import type { Cart, Castor } from '../document/index.js';
import { brakeForce, STANDARD_GRAVITY } from '../engine/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Prediction, TestRun } from '../test-plan/index.js';
import { predictRun } from '../test-plan/index.js';
import type { RunBody } from '../test-record/index.js';
import { loadDimension } from '../test-record/index.js';
import { nearestRoot } from './explanation.js';
import { sentenceCase } from './instrument-uncertainty.js';
import type { RunJudgement, SeenMode } from './judge-run.js';
import type { LockTrial } from './lock-trials.js';
import { lockTrials } from './lock-trials.js';
import { capacityOf, withMassAt } from './predicted.js';

export interface Diagnosis {
  /** as the model has it go at this set-up; null: the model says it holds */
  readonly mode: FailureMode | null;
  /** what was seen agrees with the model: it gives way, and tips or moves as it was seen to */
  readonly asPredicted: boolean;
  /** sentences: which mechanism, which castors carry and hold what, what would have to be different */
  readonly mechanism: readonly string[];
  /** where to look for what mends it, in words: locks, friction, mass, place of castors */
  readonly mends: readonly string[];
}

/**
 * @param cart as measured, where it was
 * @throws RangeError when the run is not of this cart and set
 */
export function diagnose(
  cart: Cart,
  set: RequirementSet,
  run: TestRun,
  record: RunBody,
  judgement: RunJudgement,
): Diagnosis {
  const prediction = predictRun(cart, set, run);
  const fails = failsByModel(prediction, run);
  const mode = fails ? prediction.mode : null;
  const case_: Case = { cart, set, run, prediction, wanted: wantedOf(prediction, judgement) };
  const seen = seenIn(record, judgement);
  return {
    mode,
    asPredicted: fails && isAsSeen(mode, seen),
    mechanism: [summary(case_, fails), ...seenWords(mode, seen), ...mechanismOf(case_)],
    mends: mendsOf(case_, fails),
  };
}

interface Case {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly run: TestRun;
  readonly prediction: Prediction;
  /** SI: what the model has to hold so that the sample holds what is asked */
  readonly wanted: number;
}

/** A sample that holds less than the model says is expected to fall short in the same proportion again. */
function wantedOf({ capacity, demand }: Prediction, { gaveWayAt }: RunJudgement): number {
  if (capacity === null || demand === null || gaveWayAt === null) return demand?.value ?? 0;
  return demand.value * Math.max(1, capacity.value / gaveWayAt.value);
}

const AT_MOST: readonly TestRun['loading']['kind'][] = ['propulsion', 'weighing'];

function failsByModel({ capacity, demand }: Prediction, { loading }: TestRun): boolean {
  if (capacity === null || demand === null) return false;
  const isAtMost =
    AT_MOST.includes(loading.kind) && !(loading.kind === 'weighing' && loading.removed);
  return isAtMost ? capacity.value > demand.value : capacity.value < demand.value;
}

/** Seen in the direction of the run, or in another where it was seen nowhere else. */
function seenIn(record: RunBody, { seen }: RunJudgement): readonly SeenMode[] {
  if (seen.length > 0) return seen;
  return [...new Set(record.readings.flatMap(({ mode }) => mode ?? []))];
}

/** Sliding, pivoting and rolling pass into each other: by eye they are one. */
function isAsSeen(mode: FailureMode | null, seen: readonly SeenMode[]): boolean {
  if (mode === null) return false;
  if (seen.length === 0) return true;
  const tips = mode.kind === 'tips';
  return seen.every((each) => each !== 'other' && (each === 'tips') === tips);
}

function seenWords(mode: FailureMode | null, seen: readonly SeenMode[]): readonly string[] {
  if (seen.length === 0 || mode === null || isAsSeen(mode, seen)) return [];
  return [
    `In the test it was seen that it ${listed(seen)}; by the model it ${modeText(mode, 'SI')}. Look at set-up and floor before anything is changed.`,
  ];
}

function text(value: number, dimension: Parameters<typeof quantityText>[1]): string {
  return quantityText(value, dimension, 'SI');
}

function summary({ prediction, run }: Case, fails: boolean): string {
  const { capacity, demand, mode } = prediction;
  if (capacity === null || demand === null) return `By the model: ${prediction.words}`;
  const reached = text(capacity.value, capacity.dimension);
  const asked = text(demand.value, demand.dimension);
  if (AT_MOST.includes(run.loading.kind)) {
    return `By the model it comes to ${reached}, where ${asked} is allowed.`;
  }
  const how = mode === null ? 'gives way' : modeText(mode, 'SI');
  return fails
    ? `By the model it ${how} at ${reached}, where ${asked} is asked.`
    : `By the model it holds at this set-up: it ${how} at ${reached} and not before, where ${asked} is asked.`;
}

function mechanismOf(case_: Case): readonly string[] {
  const { run, prediction } = case_;
  const kind = run.loading.kind;
  if (kind === 'weighing') return castorLoadWords(case_);
  if (kind === 'propulsion') return propulsionWords(case_);
  if (loadDimension(run.loading) === null || prediction.mode === null) return [];
  if (prediction.mode.kind === 'tips') return tippingWords(case_, prediction.mode);
  return isHolding(case_) ? holdingWords(case_) : [];
}

function isHolding({ set, run }: Case): boolean {
  const question = set.clauses.find(({ id }) => id === run.finding)?.question.kind;
  return question === 'holding on incline' || question === 'holding against push';
}

/** The cart with what is asked acting on it, and with nothing. */
function posedAt({ cart, run, prediction }: Case): { rest: PosedCart; loaded: PosedCart } {
  const { loading } = run;
  const nothing: Pose = { ...run.pose, incline: null, push: null, press: null };
  const asked = prediction.demand?.value ?? 0;
  const pose = { ...nothing };
  if (loading.kind === 'incline') {
    pose.incline = { angle: asked, downhill: loading.downhill };
  } else if (loading.kind === 'push') {
    pose.push = { point: loading.point, direction: loading.direction, force: asked };
  }
  return { rest: poseCart(cart, nothing), loaded: poseCart(cart, pose) };
}

const holdsWheel = ({ lock }: Castor): boolean => lock === 'wheel' || lock === 'total';

function holdingWords(case_: Case): readonly string[] {
  const { cart, run, prediction } = case_;
  const locked = cart.castors.filter(holdsWheel);
  if (locked.length === 0) return ['No castor has a lock that holds its wheel.'];
  const { rest, loaded } = posedAt(case_);
  const names = locked.map(({ name }) => name);
  const before = shareOf(rest, names);
  const after = shareOf(loaded, names);
  const words = [`Locked: ${listed(locked.map(({ name, lock }) => `${name} (${lock} lock)`))}.`];
  const demand = prediction.demand;
  if (before !== null && after !== null && demand !== null) {
    const asked = text(demand.value, demand.dimension);
    words.push(
      `They carry ${percent(before)} of the weight at rest and ${percent(after)} at the ${asked} asked: ${loadsWords(loaded, names)}.`,
    );
    words.push(shiftWords(before, after, run));
    words.push(...gripWords(case_, loaded, locked, neededForce(case_, loaded)));
  }
  return [...words.filter((each) => each !== ''), ...swivelWords(locked), ...needWords(prediction)];
}

function shareOf({ castors }: PosedCart, names: readonly string[]): number | null {
  const loads = castors.map(({ load }) => load ?? Number.NaN);
  const all = loads.reduce((sum, load) => sum + load, 0);
  const own = castors.reduce(
    (sum, { name, load }) => (names.includes(name) ? sum + (load ?? Number.NaN) : sum),
    0,
  );
  return Number.isFinite(own / all) ? own / all : null;
}

const percent = (share: number): string => `${Math.round(100 * share)} %`;

function loadsWords({ castors }: PosedCart, names: readonly string[]): string {
  const each = castors.filter(({ name }) => names.includes(name));
  return listed(each.map(({ name, load }) => `${name} ${text(load ?? 0, 'force')}`));
}

/** Of the weight: less than this is no shift worth a sentence. */
const SHIFTED = 0.03;

function shiftWords(before: number, after: number, { loading }: TestRun): string {
  const what = loading.kind === 'incline' ? 'slope' : 'push';
  if (before - after > SHIFTED) {
    return `The ${what} takes load off the castors that are locked and puts it on those that roll: what is locked grips less the harder it is loaded.`;
  }
  if (after - before > SHIFTED)
    return `The ${what} presses the locked castors down: they grip the better for it.`;
  return '';
}

/** N along the floor: the push, or the share of the weight down the slope. */
function neededForce({ run, prediction }: Case, { mass }: PosedCart): number {
  const asked = prediction.demand?.value ?? 0;
  return run.loading.kind === 'incline' ? STANDARD_GRAVITY * mass * Math.sin(asked) : asked;
}

function gripWords(
  { cart }: Case,
  loaded: PosedCart,
  locked: readonly Castor[],
  needed: number,
): readonly string[] {
  const grips = locked.map((castor) => {
    const load = loaded.castors.find(({ name }) => name === castor.name)?.load ?? 0;
    const friction = cart.floor.friction.find(({ tread }) => tread === castor.tread)?.value ?? 0;
    const tread = friction * load;
    const brake = brakeForce({ ...castor, friction });
    return { castor, tread, brake, hold: Math.min(tread, brake) };
  });
  const most = grips.reduce((sum, { hold }) => sum + hold, 0);
  const compare = most < needed ? 'less than' : 'against';
  const rest =
    most < needed ? '' : ' as one force through them all; turning about them takes its share';
  const treads = `With the friction stated they hold ${text(most, 'force')} at most${rest}, ${compare} the ${text(needed, 'force')} that the load asks.`;
  const brakes = grips
    .filter(({ tread, brake }) => brake < tread)
    .map(
      ({ castor, brake, tread }) =>
        `The brake of ${castor.name} slips at ${text(brake, 'force')}, before its tread does (${text(tread, 'force')}).`,
    );
  return [treads, ...brakes];
}

function swivelWords(locked: readonly Castor[]): readonly string[] {
  const free = locked.filter(
    ({ lock, fixedDirection }) => lock === 'wheel' && fixedDirection === null,
  );
  if (free.length === 0) return [];
  const twice = Math.max(...free.map(({ trail }) => 2 * trail));
  return [
    `Wheel locks leave the castors free to swivel: the cart can pivot, by up to ${text(twice, 'length')} at each, until they trail, and only then do they hold.`,
  ];
}

function needWords({ frictionNeeded, mode }: Prediction): readonly string[] {
  if (frictionNeeded !== null) {
    return [
      `At this set-up a friction coefficient of ${coefficientText(frictionNeeded)} is enough.`,
    ];
  }
  if (mode?.kind === 'tips') return [];
  return ['No friction is enough at this set-up: what is locked does not carry enough.'];
}

function tippingWords(
  case_: Case,
  mode: Extract<FailureMode, { kind: 'tips' }>,
): readonly string[] {
  const { rest } = posedAt(case_);
  const line = rest.lines.find(({ castors }) =>
    castors.every((name) => mode.castors.includes(name)),
  );
  if (line === undefined) return [];
  const height = rest.centreOfMass[2];
  const inside = text(line.distance, 'length');
  const words = `The centre of mass is ${text(height, 'length')} above the floor and ${inside} inside the line through ${listed(mode.castors)}`;
  const { loading } = case_.run;
  if (loading.kind === 'incline') {
    return [
      `${words}: square to that line it tips at atan(${inside} / ${text(height, 'length')}) = ${text(Math.atan2(line.distance, height), 'angle')}.`,
    ];
  }
  if (loading.kind !== 'push') return [`${words}.`];
  const weight = STANDARD_GRAVITY * rest.mass;
  const at = loading.point[2];
  return [
    `${words}: a level push at ${text(at, 'length')} square to that line tips it at ${text(weight, 'force')} x ${inside} / ${text(at, 'length')} = ${text((weight * line.distance) / at, 'force')}.`,
  ];
}

function castorLoadWords({ cart, run }: Case): readonly string[] {
  const { loading } = run;
  if (loading.kind !== 'weighing') return [];
  const posed = poseCart(cart, { ...run.pose, incline: null, push: null, press: null });
  const even = posed.mass / cart.castors.length;
  const [x, y] = posed.centreOfMass;
  const loads = posed.castors.map(
    ({ name, load }) =>
      `${name} ${load === null ? 'unknown' : text(load / STANDARD_GRAVITY, 'mass')}`,
  );
  return [
    `Of ${text(posed.mass, 'mass')} in all the castors carry: ${listed(loads)}; shared evenly it would be ${text(even, 'mass')} each.`,
    `The centre of mass is at x ${text(x, 'length')}, y ${text(y, 'length')}. On a floor that is not flat, three castors or two can carry nearly everything.`,
  ];
}

function propulsionWords({ cart, run }: Case): readonly string[] {
  const { mass } = poseCart(cart, { ...run.pose, incline: null, push: null, press: null });
  const ratios = cart.castors.map(
    ({ rollingLength, wheelDiameter }) => rollingLength / (wheelDiameter / 2),
  );
  return [
    `Rolling takes at least ${text(STANDARD_GRAVITY * mass * Math.min(...ratios), 'force')} of the weight of ${text(STANDARD_GRAVITY * mass, 'force')} (rolling length over wheel radius ${Math.min(...ratios).toFixed(3)} or more); castors that first have to swing round take the rest at the start.`,
  ];
}

function mendsOf(case_: Case, fails: boolean): readonly string[] {
  const { run, prediction } = case_;
  const { loading } = run;
  const { mode } = prediction;
  const first = fails ? [] : [isHolding(case_) ? NO_REASON_TO_MOVE : NO_REASON];
  if (loadDimension(run.loading) === null && !fails) return first;
  if (mode?.kind === 'tips') return [...first, ...tippingMends(case_)];
  if (isHolding(case_)) return [...first, ...lockMends(case_), ...frictionMends(case_), ...END];
  if (loading.kind === 'propulsion') {
    return [...first, 'Less mass, larger wheels, or castors with less rolling resistance.', ...END];
  }
  if (loading.kind === 'weighing') {
    return ['Castors of a higher rating, or mass moved away from that castor.', ...END];
  }
  return [...first, ...END];
}

const NO_REASON_TO_MOVE =
  'The model does not say why: compare prediction and measurement (friction, mass, castors), measure the friction on the floor of the test, and look whether every lock had engaged and the treads were clean.';
const NO_REASON =
  'The model does not say why: compare prediction and measurement, weigh the sample, and look at the set-up: positions, loads, castors, floor.';

const END: readonly string[] = [
  'This is one set-up: which change is enough in every position and direction is searched and proven by the remedies, and the test is done again.',
];

/** Layouts named. */
const NAMED = 3;

function lockMends({ cart, set, run, prediction, wanted }: Case): readonly string[] {
  const { demand } = prediction;
  if (demand === null) return [];
  const found = lockTrials(cart, set, run, wanted);
  const words = (['moved', 'total', 'more'] as const).flatMap((kind) =>
    found
      .filter((trial) => trial.kind === kind)
      .slice(0, kind === 'moved' ? NAMED : 1)
      .map((trial) => lockWords(trial, demand.dimension)),
  );
  if (words.length > 0) return words;
  return [
    'No other layout of these locks holds it at this set-up both ways, nor do locks on every castor.',
  ];
}

function lockWords(
  { kind, castors, capacity }: LockTrial,
  dimension: Parameters<typeof quantityText>[1],
): string {
  const holds = `the model holds ${text(capacity, dimension)} at this set-up, this way and the opposite one`;
  switch (kind) {
    case 'moved':
      return `The same locks on ${listed(castors)} instead: ${holds}.`;
    case 'more':
      return `Locks on all ${castors.length} castors: ${holds}.`;
    case 'total':
      return `Total locks (wheel and swivel) on ${listed(castors)}: ${holds}.`;
  }
}

/** Rubber on dry concrete, static: 1.0 (OpenStax, University Physics 1, table of coefficients). */
const GREAT_FRICTION = 1;

function frictionMends({ cart, prediction }: Case): readonly string[] {
  const { frictionNeeded } = prediction;
  const used = new Set(cart.castors.filter(holdsWheel).map(({ tread }) => tread));
  const frictions = cart.floor.friction.filter(({ tread }) => used.has(tread));
  const least = Math.min(...frictions.map(({ value, tolerance }) => value - tolerance));
  if (frictionNeeded === null || !(frictionNeeded > least)) return [];
  if (frictionNeeded > GREAT_FRICTION) {
    return [
      `Friction alone does not mend it: it would take ${coefficientText(frictionNeeded)}, and rubber on dry concrete has about ${GREAT_FRICTION.toFixed(1)}.`,
    ];
  }
  const now = frictions.map(
    ({ tread, value, tolerance, basis }) =>
      `${tread} ${value.toFixed(2)}${tolerance > 0 ? ` +/- ${tolerance.toFixed(2)}` : ''} (${basis})`,
  );
  return [
    `Treads that surely grip with ${coefficientText(frictionNeeded)} or more; now ${listed(now)}.`,
  ];
}

/** m: how far a centre of mass or a line is looked for. */
const FARTHEST = 0.5;

function tippingMends(case_: Case): readonly string[] {
  const { cart, set, run, prediction, wanted } = case_;
  const { demand } = prediction;
  const { loading } = run;
  if (demand === null || (loading.kind !== 'incline' && loading.kind !== 'push')) return END;
  const { mass, centreOfMass: c } = poseCart(cart, run.pose);
  const way = loading.kind === 'incline' ? loading.downhill : loading.direction;
  const capacity = capacityOf(set, run);
  // a mass that weighs nothing, so far away that it moves the centre of mass
  const light = 1e-6 * mass;
  const over = (lower: number, back: number): number =>
    capacity(
      withMassAt(cart, light, [
        c[0] - (back / 1e-6) * Math.cos(way),
        c[1] - (back / 1e-6) * Math.sin(way),
        c[2] - lower / 1e-6,
      ]),
    ) - wanted;
  const lower = nearestRoot((by) => over(by, 0), 0, 0, Math.min(FARTHEST, 0.95 * c[2]));
  const back = nearestRoot((by) => over(0, by), 0, 0, FARTHEST);
  const words: string[] = [];
  if (lower !== null) {
    words.push(
      `A centre of mass ${text(lower, 'length')} lower (at ${text(c[2] - lower, 'length')}) would be enough at this set-up: less mass above, ballast below, a lift that stops earlier.`,
    );
  }
  if (back !== null) {
    words.push(
      `Or the tipping line ${text(back, 'length')} farther out (${headingText(way, 'SI')}): castors farther apart, or mass moved ${text(back, 'length')} away from it.`,
    );
  }
  return [...words.map(sentenceCase), ...END];
}
