/**
 * Question: how much does a cart in one pose hold in each direction, against what is asked, and which
 * way does it go?
 *
 * The load is the finding's (an incline, or a push at the place the clause names), the movers and loads
 * are the pose's; what acts on the pose, and a castor taken away there, play no part: the clause says
 * what acts, and all castors stand. Tipping competes with sliding: the lesser counts. All mechanics are
 * those of the findings (docs/theory/holding.md, Holding by direction).
 *
 * An incline is shown by the force along the slope: on an incline of angle theta a cart of weight W has
 * to be held by W sin(theta), at most W. Demand and capacity stand in that proportion for theta as
 * asked and as it first moves; the capacity as stated is the angle.
 */

import type { Cart } from '../document/index.js';
import type {
  CastorInput,
  HoldingCase,
  HoldingEvaluator,
  HoldingPoint,
  LoadPath,
  SupportEdge,
} from '../engine/index.js';
import { canSwivel, createEvaluator, findHolding } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { wrapped } from './angle.js';
import type { CartModel } from './cart-model.js';
import { modelOf } from './cart-model.js';
import type { Amount, FailureMode } from './finding.js';
import { castorsAt, inclineAsked, pushAsked } from './holding.js';
import type { Asked, FrictionEnd } from './holding-search.js';
import { caseOf } from './holding-search.js';
import { asAmount, lineReached, loadPathOf, modeOf, swivelRecord } from './holding-state.js';
import type { Pose } from './pose.js';
import { positionNamed, variablesOf } from './pose.js';
import type { ScreenEffort } from './screen-cart.js';
import { tipsOver } from './tipping.js';

export interface HoldingRay {
  /** rad in (-pi, pi], cart frame: downhill, or the way of the push */
  readonly direction: number;
  /** N, >= 0: what is asked there; for an incline the force along the slope that it takes to hold the
   * cart on it, W sin(theta) */
  readonly demand: number;
  /** N, >= 0: at which it moves; for an incline W sin of the angle at which it moves */
  readonly capacity: number;
  /** capacity as the finding states it (an angle for an incline) */
  readonly stated: Amount;
  /** how it goes; null: the castors stand in a line and support nothing */
  readonly mode: FailureMode | null;
  /** rad by castor name, as they stand at that capacity; of those that swivel */
  readonly swivels: Readonly<Record<string, number>>;
}

export interface HoldingRose {
  readonly finding: string;
  readonly load: 'incline' | 'push';
  /** in order of direction, evenly over the full turn */
  readonly rays: readonly HoldingRay[];
  /** index of the ray with the least capacity / demand, the first of them */
  readonly least: number;
}

export interface RoseOptions {
  /** rays, a whole number from 1 on; default 72 */
  readonly directions?: number;
  /** rad: a direction that one of the rays has exactly, such as that of the finding's worst; default 0 */
  readonly through?: number;
  /** castors that a lock keeps from swivelling: 'as posed': as the pose has them (where the lock engages
   * at some angles only, at the nearest of them); 'turned the worst way': as is worst for each direction,
   * searched and not proven. Castors free to swivel trail behind the motion that starts, as in the
   * findings; over a tipping line, 'turned the worst way' lets every castor stand as it needs. */
  readonly castors: 'as posed' | 'turned the worst way';
  /** as in a check; default 'as stated' */
  readonly friction?: FrictionEnd;
}

/**
 * @throws RangeError when the set has no finding of the id that asks for holding, or the pose does not
 *   fit the cart, or an option cannot be
 * @returns null when there is nothing to push on
 */
export function holdingRose(
  cart: Cart,
  set: RequirementSet,
  finding: string,
  pose: Pose,
  options: RoseOptions,
): HoldingRose | null {
  const directions = directionsOf(options);
  const x = variablesOf(cart, pose);
  const model = modelOf(cart);
  const asked = askedOf(model, clauseOf(set, finding));
  if (asked === null) return null;
  const friction = options.friction ?? 'as stated';
  const holding = caseOf(model, asked, castorsAt(model, friction), {
    position: positionNamed(cart, pose.position),
    domain: { domains: Array.from(x, (value) => [[value, value]]) },
  });
  const swivels = holding.problem.castors.map((castor, i) =>
    engagedAt(castor, pose.swivels[cart.castors[i]?.name ?? ''] ?? 0),
  );
  const posed = Float64Array.from([...x, 0, ...swivels]);
  const rays =
    options.castors === 'as posed'
      ? raysAsPosed(model, asked, holding, posed, directions)
      : raysTurnedWorst(model, asked, holding, posed, directions);
  return { finding, load: asked.load.kind, rays, least: leastOf(rays) };
}

const DIRECTIONS = 72;

function directionsOf({ directions = DIRECTIONS, through = 0 }: RoseOptions): readonly number[] {
  if (!Number.isInteger(directions) || directions < 1 || !Number.isFinite(through)) {
    throw new RangeError(`holdingRose: ${directions} directions, one through ${through}`);
  }
  const first = wrapped(through);
  return Array.from({ length: directions }, (_, k) =>
    k === 0 ? first : wrapped(first + (2 * Math.PI * k) / directions),
  ).sort((a, b) => a - b);
}

function clauseOf(set: RequirementSet, finding: string): Clause {
  const holds = ({ question: { kind } }: Clause): boolean =>
    kind === 'holding on incline' || kind === 'holding against push';
  const found = set.clauses.find(({ id }) => id === finding);
  if (found !== undefined && holds(found)) return found;
  const allowed = set.clauses.filter(holds).map(({ id }) => id);
  throw new RangeError(
    `holdingRose: ${finding} asks for no holding in ${set.id}; allowed: ${allowed.join(', ')}`,
  );
}

function askedOf(model: CartModel, clause: Clause): Asked | null {
  const { question } = clause;
  return question.kind === 'holding on incline'
    ? inclineAsked(model, clause, question.positions)
    : pushAsked(model, clause);
}

/** rad: the angle itself, or the nearest at which its lock engages. */
function engagedAt(castor: CastorInput, angle: number): number {
  const { lockDirections } = castor;
  if (lockDirections === null || !keepsAngle(castor)) return angle;
  const off = (at: number): number => Math.abs(wrapped(at - angle));
  return lockDirections.reduce((p, q) => (off(q) < off(p) ? q : p));
}

function keepsAngle(castor: CastorInput): boolean {
  return castor.fixedDirection === null && !canSwivel(castor);
}

function leastOf(rays: readonly HoldingRay[]): number {
  const ratio = (ray: HoldingRay | undefined): number =>
    ray === undefined ? Number.POSITIVE_INFINITY : ray.capacity / ray.demand;
  return rays.reduce((least, ray, i) => (ratio(ray) < ratio(rays[least]) ? i : least), 0);
}

function raysAsPosed(
  model: CartModel,
  asked: Asked,
  { problem }: HoldingCase,
  posed: Float64Array,
  directions: readonly number[],
): readonly HoldingRay[] {
  const evaluator = createEvaluator(problem, 1);
  const { demand } = evaluator.evaluate(posed);
  return directions.map((direction) => {
    const at = pointed(model, posed, direction);
    return slidingRay(model, asked, demand, direction, evaluator.describe(at));
  });
}

/** The point of the holding problem with its force pointed another way. */
function pointed({ mass }: CartModel, point: Float64Array, direction: number): Float64Array {
  const at = point.slice();
  at[mass.variableCount] = direction;
  return at;
}

function slidingRay(
  model: CartModel,
  asked: Asked,
  demand: number,
  direction: number,
  { result, path: numbers, swivels }: ReturnType<HoldingEvaluator['describe']>,
): HoldingRay {
  const path = loadPathOf(numbers, direction);
  const tips = result.kind !== 'slips';
  return {
    direction,
    ...amountsOf(asked, path.weight, demand, result.force / demand),
    mode: modeOf(model, { tips }, { result, path, swivels }, isWheelLocked(model)),
    swivels: swivelRecord(model, swivels),
  };
}

function isWheelLocked({ cart }: CartModel): boolean {
  return cart.castors.some(({ lock }) => lock === 'wheel' || lock === 'total');
}

/** @param demand N, of the level problem */
function amountsOf(
  asked: Asked,
  weight: number,
  demand: number,
  ratio: number,
): Pick<HoldingRay, 'demand' | 'capacity' | 'stated'> {
  const stated = asAmount(asked, demand, ratio);
  if (asked.load.kind === 'push') return { demand, capacity: stated.value, stated };
  return {
    demand: weight * Math.sin(asked.load.angle),
    capacity: weight * Math.sin(stated.value),
    stated,
  };
}

function raysTurnedWorst(
  model: CartModel,
  asked: Asked,
  holding: HoldingCase,
  posed: Float64Array,
  directions: readonly number[],
): readonly HoldingRay[] {
  const evaluator = createEvaluator(holding.problem, 1);
  const { demand } = evaluator.evaluate(posed);
  return turnedWorst(model, holding, posed, directions).map((at, i) => {
    const direction = directions[i] as number;
    const described = evaluator.describe(at);
    const path = loadPathOf(described.path, direction);
    const tip = tipAlong(model, path);
    if (tip === null || tip.force > described.result.force * CLOSE) {
      return slidingRay(model, asked, demand, direction, described);
    }
    return {
      direction,
      ...amountsOf(asked, path.weight, demand, tip.force / demand),
      mode: tipsOver(model, tip.edge),
      swivels: swivelRecord(model, tip.edge.swivels),
    };
  });
}

/** Two forces nearer to each other than a millionth are one. */
const CLOSE = 1 + 1e-6;

/** The force at which it tips with every castor standing as the line needs: F = W d / (h n.u). null: it
 * does not, or locks that engage at some angles only may keep the castors from standing so. */
function tipAlong(
  { cart, support }: CartModel,
  { weight, centre, direction, height }: LoadPath,
): { readonly edge: SupportEdge; readonly force: number } | null {
  if (cart.castors.some(({ lockDirections }) => lockDirections !== null)) return null;
  const line = lineReached(support, centre, direction);
  if (line === null) return null;
  if (line.distance <= 0) return { edge: line.edge, force: 0 };
  const lever = height * line.facing;
  return lever > 0 ? { edge: line.edge, force: (weight * line.distance) / lever } : null;
}

/**
 * For every direction the point of the holding problem whose castors are turned worst. The first search
 * of each starts from castors turned alike to the force, from scattered turns, and from the worst of the
 * direction before; then what any direction has found is tried in all, until nothing is gained.
 */
function turnedWorst(
  model: CartModel,
  holding: HoldingCase,
  posed: Float64Array,
  directions: readonly number[],
): readonly Float64Array[] {
  const { castors } = holding.problem;
  if (!castors.some(keepsAngle)) return directions.map((way) => pointed(model, posed, way));
  const search = (direction: number, effort: ScreenEffort, starts: readonly Float64Array[]) => {
    const hints = starts.map((start) => pointed(model, start, direction));
    const once = { ...holding, directions: [[direction, direction] as const] };
    return findHolding(once, effort, hints).found;
  };
  const found: HoldingPoint[] = [];
  for (const direction of directions) {
    const alike = turnedAlike(model, castors, posed, direction);
    const before = found.slice(-1).map(({ variables }) => variables);
    found.push(search(direction, SCATTERED, [posed, ...alike, ...before]));
  }
  let gained = true;
  for (let round = 0; gained && round < ROUNDS; round++) {
    gained = false;
    directions.forEach((direction, i) => {
      const own = found[i] as HoldingPoint;
      const all = found.map(({ variables }) => variables);
      const next = search(direction, HANDED_ON, all);
      if (next.force < own.force) found[i] = next;
      gained ||= next.force < own.force * (1 - GAIN);
    });
  }
  return found.map(({ variables }) => variables);
}

const SCATTERED: ScreenEffort = { seed: 1, starts: 24, followed: 3 };
const HANDED_ON: ScreenEffort = { seed: 1, starts: 0, followed: 1 };
const ROUNDS = 3;
/** Share of the force below which another round is not worth it. */
const GAIN = 1e-4;

/** Ways all castors are turned to the force at once. */
const ALIKE = 8;

function turnedAlike(
  { mass }: CartModel,
  castors: readonly CastorInput[],
  posed: Float64Array,
  direction: number,
): readonly Float64Array[] {
  return Array.from({ length: ALIKE }, (_, k) => {
    const angle = wrapped(direction + (2 * Math.PI * k) / ALIKE);
    const at = posed.slice();
    castors.forEach((castor, i) => {
      at[mass.variableCount + 1 + i] = engagedAt(castor, angle);
    });
    return at;
  });
}
