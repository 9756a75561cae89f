/** Do the locks hold the cart still, on an incline or under a push, whatever the configuration, the
 * direction and the way the castors are turned? */

import type { Vec3 } from '../document/index.js';
import type { CastorInput, SearchEffort, Tipping } from '../engine/index.js';
import { worstPush } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import {
  BLANK_ANSWER,
  commonBasis,
  decided,
  figure,
  frictionBasis,
  requiredValue,
  stiffnessBasis,
  undecided,
} from './answer.js';
import type { CartModel } from './cart-model.js';
import {
  castorInputs,
  frictionOf,
  massStateOf,
  overturningInput,
  positionsOf,
} from './cart-model.js';
import type { Amount, FailureMode, Finding, Verdict } from './finding.js';
import { topCentres } from './force-points.js';
import type { Asked, FrictionEnd, HoldingWishes, Need, Searched } from './holding-search.js';
import { searchHolding, searchNeed } from './holding-search.js';
import type { HoldingState } from './holding-state.js';
import {
  asAmount,
  directionOf,
  leanOf,
  leastFavourableOf,
  lockedTurns,
  modeOf,
  sharesOf,
  stateOf,
  swivelRecord,
} from './holding-state.js';
import { holdingSteps } from './holding-working.js';
import { NO_PUSHABLE, pushRule } from './horizontal-force.js';
import { configurationOf } from './tipping.js';
import { coefficient, heading, quantity } from './words.js';
import { amount } from './working.js';

export function inclineAsked(
  model: CartModel,
  clause: Clause,
  positions: 'transport' | 'use' | 'all',
): Asked {
  const angle = requiredValue(clause, 'incline');
  return {
    clause,
    positions: positionsOf(model, positions),
    load: { kind: 'incline', angle },
    pushedOn: [],
    tip: (placed) => asRatio(model.inclineTip(placed), angle),
  };
}

/** tan of the tip angle over tan of the angle asked. */
function asRatio(tip: Tipping, angle: number): Tipping {
  const of = (value: number): number => Math.tan(value) / Math.tan(angle);
  const [capacity, bound] = [of(tip.capacity), of(tip.bound)];
  return { ...tip, capacity, bound, gap: capacity - bound };
}

export function nothingToPush(clause: Clause): Answer {
  return undecided(`Where to push is not known: ${NO_PUSHABLE}.`, NO_PUSHABLE, clause);
}

/** null: the cart has nothing that can be pushed on */
export function pushAsked(model: CartModel, clause: Clause): Asked | null {
  const points = topCentres(model.cart);
  if (points.length === 0) return null;
  const rule = pushRule(clause);
  const greatestHeight = requiredValue(clause, 'greatest-height');
  // A push is level, over the middle of a top, at its height or at the greatest if that is lower.
  const edges = points.map(({ point: { mover, at } }) => ({
    mover,
    top: at,
    bottom: [at[0], at[1], at[2] - BELOW_ANY_FLOOR] as Vec3,
  }));
  return {
    clause,
    positions: positionsOf(model, 'use'),
    load: { kind: 'push', ...rule, greatestHeight, points: points.map(({ point }) => point) },
    pushedOn: points.map(({ on }) => on),
    tip: (placed) => worstPush(overturningInput(model, placed), edges, rule, greatestHeight, false),
  };
}

/** m: no cart is that high. */
const BELOW_ANY_FLOOR = 1000;

export function answerHolding(model: CartModel, asked: Asked, wishes: HoldingWishes): Answer {
  const treads = grippingTreads(model);
  const measured = isMeasured(model, treads);
  const castors = castorsAt(model, wishes.friction);
  const effort = effortFor(asked, wishes);
  const searched = searchHolding(model, asked, castors, effort);
  const { governing } = searched;
  const locked = model.cart.castors.some(({ lock }) => lock === 'wheel' || lock === 'total');
  const need = locked ? searchNeed(model, asked, searched, castors, effort) : null;
  const state = stateOf(model, asked, governing);
  // What is shown is solved more closely than what is searched: it may come out a little less.
  const ratio = Math.min(governing.ratio, state.result.force / state.demand);
  const coefficients = need === null ? null : coefficientsOf(model, state, need);
  const decision = decide(ratio, searched.proven, coefficients, measured);
  const capacity = asAmount(asked, state.demand, ratio);
  const demand = asAmount(asked, state.demand, 1);
  const mode = modeOf(model, governing, state, locked);
  return {
    ...BLANK_ANSWER,
    verdict: decision.verdict,
    because: because(asked, decision, demand, capacity, mode, locked),
    demand,
    capacity,
    margin: amount(capacity.value - demand.value, capacity.dimension),
    mode,
    castors: sharesOf(model, asked, state),
    frictionNeeded: neededOf(model, asked, need, coefficients),
    worst: state.worst,
    proof: proofOf(asked, state, searched, capacity),
    leastFavourable: leastFavourableOf(model, asked, castors, state),
    restsOn: [
      ...frictionBasis(model, treads),
      stiffnessBasis(model),
      ...commonBasis(asked.clause, model),
    ],
    working: holdingSteps(model, asked, governing, state, castors),
    notes: notesOf(model, asked, state, castors === model.castors ? null : measured),
  };
}

/** The castors with the friction they are judged at: measured friction at its low end. */
export function castorsAt(model: CartModel, end: FrictionEnd): readonly CastorInput[] {
  const low = end === 'low' || isMeasured(model, grippingTreads(model));
  return low ? castorInputs(model.cart, 'low') : model.castors;
}

/** The effort with the margin wanted as a multiple of the load: an incline's load is its tangent. */
function effortFor({ load }: Asked, { effort, margin }: HoldingWishes): SearchEffort {
  if (margin === 0) return effort;
  const wanted =
    load.kind === 'incline'
      ? Math.tan((1 + margin) * load.angle) / Math.tan(load.angle)
      : 1 + margin;
  return { ...effort, wanted };
}

/** Treads of the castors that hold by their grip: those with a lock, and fixed ones across. */
function grippingTreads({ cart }: CartModel): readonly string[] {
  return cart.castors.flatMap(({ lock, fixedDirection, tread }) =>
    lock !== 'none' || fixedDirection !== null ? [tread] : [],
  );
}

/** The friction of every locked castor's tread is measured. */
function isMeasured({ cart }: CartModel, treads: readonly string[]): boolean {
  return treads.length > 0 && treads.every((tread) => frictionOf(cart, tread).basis === 'measured');
}

/** Friction needed as coefficients of the tread that governs. */
interface Coefficients {
  /** Infinity: none suffices */
  readonly found: number;
  /** Infinity: not proven */
  readonly proven: number;
  /** ends of the tolerance of that tread */
  readonly least: number;
  readonly most: number;
}

/** The tread of the locked castor that takes the greatest force. */
function coefficientsOf(model: CartModel, { result }: HoldingState, need: Need): Coefficients {
  const taken = model.cart.castors.map(({ lock }, i) =>
    lock === 'none' ? -1 : Math.hypot(...(result.grips[i] ?? [0, 0])),
  );
  const governs = taken.indexOf(Math.max(...taken));
  const { value, tolerance } = frictionOf(model.cart, model.cart.castors[governs]?.tread ?? '');
  return {
    found: need.found * value,
    proven: Math.max(need.found, need.proven) * value,
    least: value - tolerance,
    most: value + tolerance,
  };
}

interface Decision {
  readonly verdict: Verdict;
  /** what friction has to do with it; '' where it has nothing */
  readonly friction: string;
}

function decide(
  ratio: number,
  proven: number,
  coefficients: Coefficients | null,
  measured: boolean,
): Decision {
  if (coefficients === null) return { verdict: 'fails', friction: '' };
  const { found, least, most } = coefficients;
  const needs = Number.isFinite(coefficients.proven) ? coefficients.proven : found;
  if (measured) {
    const verdict = decided('at least', 1, ratio, proven);
    const needed = verdict === 'holds' ? `no more than ${coefficient(needs)}` : coefficient(found);
    const says = `needs ${needed}, measured at least ${figure(least)}`;
    return { verdict, friction: Number.isFinite(found) ? says : 'no friction suffices' };
  }
  if (!Number.isFinite(found)) return { verdict: 'fails', friction: 'no friction suffices' };
  if (found > most) {
    const friction = `needs ${coefficient(found)}, assumed at most ${figure(most)}`;
    return { verdict: 'fails', friction };
  }
  const friction = `depends on friction: needs ${coefficient(needs)}`;
  return { verdict: 'depends on friction', friction };
}

function because(
  { load }: Asked,
  { verdict, friction }: Decision,
  demand: Amount,
  capacity: Amount,
  mode: FailureMode | null,
  locked: boolean,
): string {
  const show = (each: Amount): string => quantity(each.value, each.dimension);
  const what = load.kind === 'incline' ? 'On the incline' : 'Under the push';
  const verb = mode === null ? 'moves' : VERBS[mode.kind];
  const moves = `${what} it ${verb} at ${show(capacity)} where ${show(demand)} is asked`;
  if (!locked) return `No wheel is locked. ${moves}.`;
  const open = verdict === 'not decided' ? ', but the bound proven is below what is asked' : '';
  return friction === '' ? `${moves}${open}.` : `${moves}${open}; ${friction}.`;
}

const VERBS: Readonly<Record<FailureMode['kind'], string>> = {
  tips: 'tips',
  slides: 'slides',
  pivots: 'pivots',
  rolls: 'rolls',
  stops: 'stops',
  overloads: 'gives way',
};

function proofOf(
  asked: Asked,
  state: HoldingState,
  { proven, boxes, governing }: Searched,
  capacity: Amount,
): Finding['proof'] {
  if (governing.ratio === 0) {
    const none = amount(0, capacity.dimension);
    return { kind: 'proven', bound: none, gap: none, method: 'it moves by itself', boxes };
  }
  if (!(proven > 0)) {
    return {
      kind: 'sampled',
      samples: governing.worst.evaluations,
      reason:
        'the bound over motions, directions, castor angles and configurations did not close within the boxes allowed',
    };
  }
  const bound = asAmount(asked, state.demand, proven);
  const against = asked.load.kind === 'push' ? PUSH_METHOD : '';
  return {
    kind: 'proven',
    bound,
    gap: amount(Math.max(0, capacity.value - bound.value), capacity.dimension),
    method: `${against}friction power bounded over motions, directions, castor angles and configurations by branch and bound; tipping bounded apart`,
    boxes,
  };
}

const PUSH_METHOD =
  'every configuration against the force asked of it, here at the weight of the worst: ';

const NO_FRICTION_HELPS =
  'it tips, the brakes give way, or the locked castors lose their load, whatever the friction';

function neededOf(
  model: CartModel,
  asked: Asked,
  need: Need | null,
  coefficients: Coefficients | null,
): Finding['frictionNeeded'] {
  if (need === null || coefficients === null) {
    return { kind: 'none suffices', reason: 'no wheel is locked: the cart rolls on any floor' };
  }
  const { found, proven } = coefficients;
  if (!Number.isFinite(found) || need.variables === null) {
    return {
      kind: 'none suffices',
      reason: NO_FRICTION_HELPS,
    };
  }
  return {
    kind: 'value',
    found,
    proven: Number.isFinite(proven) ? proven : null,
    words: needWords(model, asked, need.placed, need.variables),
  };
}

function needWords(
  model: CartModel,
  { load }: Asked,
  placed: Need['placed'],
  variables: Float64Array,
): string {
  const direction = directionOf(model, variables);
  const swivels = lockedTurns(model, variables);
  return configurationOf(model, placed, variables, {
    swivels: swivelRecord(model, swivels),
    direction,
    point: null,
    ...massStateOf(model, variables),
    action: `${load.kind === 'incline' ? 'downhill' : 'pushed'} towards ${heading(direction)}`,
  }).words;
}

function notesOf(
  model: CartModel,
  asked: Asked,
  state: HoldingState,
  /** whether friction at its low end is measured; null: friction is not at its low end */
  low: boolean | null,
): readonly string[] {
  const movement = quantity(requiredValue(asked.clause, 'movement'), 'length');
  const lean = leanOf(model, state);
  return [
    ...pivotNote(model),
    ...(lean === null
      ? []
      : [
          `Before it moves it leans about ${quantity(lean, 'length', 2)} at the height of the force, by the give of its castors.`,
        ]),
    `A cart that once slides, pivots or rolls under a steady force is taken to move further than ${movement}.`,
    ...(low === null ? [] : [low ? MEASURED_LOW : ASSUMED_LOW]),
  ];
}

const MEASURED_LOW = 'Friction is measured: the capacity is at the low end of its tolerance.';
const ASSUMED_LOW =
  'Friction is assumed: the capacity is at the low end of the tolerance stated for it.';

function pivotNote({ castors }: CartModel): readonly string[] {
  const trails = castors.flatMap(({ lock, fixedDirection, trail }) =>
    lock === 'wheel' && fixedDirection === null && trail > 0 ? [trail] : [],
  );
  if (trails.length === 0) return [];
  const pivot = quantity(2 * Math.max(...trails), 'length');
  return [
    `Wheel-locked castors that still swivel pivot first, by up to ${pivot} (twice the trail), before they hold: the verdict is about the movement after that.`,
  ];
}
