/** Does any castor carry more than it is rated for, whatever the configuration and the way the
 * castors are turned? */

import type { CastorLoad, CastorLoads } from '../engine/index.js';
import { STANDARD_GRAVITY, worstCastorLoads } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import {
  BLANK_ANSWER,
  commonBasis,
  decided,
  figure,
  requiredValue,
  stiffnessBasis,
} from './answer.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf, positionsOf } from './cart-model.js';
import type { CastorShare, WorkingStep } from './finding.js';
import { configurationOf } from './tipping.js';
import { listed, quantity } from './words.js';
import { amount, si, step } from './working.js';

export interface PlacedLoads {
  readonly placed: PlacedPosition;
  readonly loads: CastorLoads;
}

export const LOAD_METHOD: Readonly<Record<CastorLoads['method'], string>> = {
  springs:
    'no castor lifts: linear functionals of the moments over masses and movers, rigorous allowance for the way the castors are turned',
  statics:
    'a castor may lift: moments about the line of the outermost castors, whatever the springs do',
};

export function castorLoadsOf(model: CartModel): readonly PlacedLoads[] {
  return positionsOf(model, 'all').map((placed) => ({
    placed,
    loads: worstCastorLoads(model.mass, placed.domain, model.stands),
  }));
}

/** One castor in one position, against its rating. */
interface Rated {
  readonly castor: number;
  readonly placed: PlacedPosition;
  readonly load: CastorLoad;
  readonly method: CastorLoads['method'];
  /** N; null: not stated */
  readonly rating: number | null;
}

export function answerCastorLoad(
  model: CartModel,
  clause: Clause,
  loads: readonly PlacedLoads[],
): Answer {
  const factor = requiredValue(clause, 'factor');
  const all = ratedLoads(model, loads);
  const rated = all.filter(({ rating }) => rating !== null);
  const unrated = model.cart.castors.filter(({ rating }) => rating === null);
  const worst = (rated.length > 0 ? rated : all).reduce((p, q) => (use(q) > use(p) ? q : p));
  const bound = Math.max(
    ...all.filter(({ castor }) => castor === worst.castor).map(({ load }) => load.bound),
  );
  const decisions = rated.map(({ load, rating }) =>
    decided('at most', rating ?? 0, factor * load.value, factor * load.bound),
  );
  const fails = decisions.includes('fails');
  const open = unrated.length > 0 || decisions.includes('not decided');
  const verdict = fails ? 'fails' : open ? 'not decided' : 'holds';
  const demand = factor * worst.load.value;
  const { rating } = worst;
  return {
    ...BLANK_ANSWER,
    verdict,
    because: because(model, worst, factor, bound),
    sense: 'at most',
    demand: amount(demand, 'force'),
    capacity: rating === null ? null : amount(rating, 'force'),
    margin: rating === null ? null : amount(rating - demand, 'force'),
    mode: { kind: 'overloads', what: nameOf(model, worst.castor) },
    castors: loadShares(model, worst.load),
    worst: loadConfiguration(model, worst.placed, worst.load, null),
    proof: {
      kind: 'proven',
      bound: amount(factor * bound, 'force'),
      gap: amount(Math.max(0, factor * (bound - worst.load.value)), 'force'),
      method: LOAD_METHOD[worst.method],
      boxes: all.reduce((sum, { load }) => sum + load.boxes, 0),
    },
    restsOn: [
      ...commonBasis(clause, model),
      stiffnessBasis(model),
      ...unrated.map(({ name }) => `rating of ${name}: not stated`),
    ],
    working: loadSteps(model, worst, factor),
    notes: [
      'Level flat floor, rigid cart; on an uneven floor a castor may carry more: see the clause that leaves one castor out of account.',
    ],
  };
}

function ratedLoads({ cart }: CartModel, loads: readonly PlacedLoads[]): readonly Rated[] {
  return loads.flatMap(({ placed, loads: { most, method } }) =>
    most.map((load, castor): Rated => {
      const rating = cart.castors[castor]?.rating ?? null;
      const force = rating === null ? null : rating * STANDARD_GRAVITY;
      return { castor, placed, load, method, rating: force };
    }),
  );
}

function use({ load, rating }: Rated): number {
  return rating === null ? load.value : load.value / rating;
}

function nameOf({ cart }: CartModel, castor: number): string {
  return cart.castors[castor]?.name ?? '';
}

function because(model: CartModel, worst: Rated, factor: number, bound: number): string {
  const { castor, load, rating } = worst;
  const times = factor === 1 ? '' : `${figure(factor)} times `;
  const name = nameOf(model, castor);
  const missing = model.cart.castors.filter((each) => each.rating === null);
  const unknown =
    missing.length === 0
      ? ''
      : `; the rating of ${listed(missing.map((each) => each.name))} is not stated`;
  const carries = `The ${name} castor carries ${quantity(load.value, 'force')}`;
  if (rating === null) return `${carries}${unknown}.`;
  const rated = `${times === '' ? '' : `, ${times}which is ${quantity(factor * load.value, 'force')},`}`;
  const open =
    factor * load.value <= rating && factor * bound > rating
      ? `, and ${quantity(bound, 'force')} is not excluded`
      : '';
  return `${carries}${rated} and is rated for ${quantity(rating, 'force')}${open}${unknown}.`;
}

export function loadShares({ cart }: CartModel, load: CastorLoad): readonly CastorShare[] {
  const total = load.loads.reduce((sum, each) => sum + each, 0);
  return cart.castors.map(
    (castor, i): CastorShare => ({
      name: castor.name,
      contact: load.contacts[i] ?? castor.at,
      swivel: castor.fixedDirection === null ? (load.swivels[i] ?? null) : null,
      lock: 'none',
      load: load.loads[i] ?? 0,
      share: total > 0 ? (load.loads[i] ?? 0) / total : 0,
      force: null,
      limit: null,
    }),
  );
}

export function loadConfiguration(
  model: CartModel,
  placed: PlacedPosition,
  load: CastorLoad,
  action: string | null,
) {
  const swivels = load.swivels.flatMap((angle, i): [string, number][] =>
    angle === null ? [] : [[nameOf(model, i), angle]],
  );
  return configurationOf(model, placed, load.x, {
    swivels: Object.fromEntries(swivels),
    direction: null,
    point: null,
    ...massStateOf(model, load.x),
    action,
  });
}

/** Moments about the springs' own centre, along its two axes: the bolt-group formula. Castors that
 * have lifted are no springs then. */
function loadSteps(model: CartModel, worst: Rated, factor: number): readonly WorkingStep[] {
  const { load, castor } = worst;
  const { mass, centreOfMass } = massStateOf(model, load.x);
  const weight = mass * STANDARD_GRAVITY;
  const group = springGroup(model, load);
  const [x, y] = load.contacts[castor] ?? [0, 0];
  const own = model.cart.castors[castor]?.stiffness ?? 0;
  const arm = [centreOfMass[0] - group.x, centreOfMass[1] - group.y] as const;
  const det = group.xx * group.yy - group.xy ** 2;
  const slopeX = (weight * (arm[0] * group.yy - arm[1] * group.xy)) / det;
  const slopeY = (weight * (arm[1] * group.xx - arm[0] * group.xy)) / det;
  const middle = weight / group.k;
  const steps = [
    step(
      'weight in the worst configuration',
      'W = M g',
      `${si(mass, 'kg')} * ${si(STANDARD_GRAVITY, 'm/s2')}`,
      weight,
      'force',
    ),
    step(
      'slope of the cart along x on its springs, a = centre of mass less the centre of the springs (x_k, y_k), J = Σ k of squares and products about that centre',
      'α = W (a_x J_yy - a_y J_xy) / (J_xx J_yy - J_xy^2)',
      `${si(weight, 'N')} * (${si(arm[0], 'm')} * ${si(group.yy, 'N m')} - ${si(arm[1], 'm')} * ${si(group.xy, 'N m')}) / (${si(group.xx, 'N m')} * ${si(group.yy, 'N m')} - ${si(group.xy, 'N m')}^2)`,
      slopeX,
      'ratio',
    ),
    step(
      'slope along y',
      'β = W (a_y J_xx - a_x J_xy) / (J_xx J_yy - J_xy^2)',
      `${si(weight, 'N')} * (${si(arm[1], 'm')} * ${si(group.xx, 'N m')} - ${si(arm[0], 'm')} * ${si(group.xy, 'N m')}) / (${si(group.xx, 'N m')} * ${si(group.yy, 'N m')} - ${si(group.xy, 'N m')}^2)`,
      slopeY,
      'ratio',
    ),
    step(
      `load of ${nameOf(model, castor)}`,
      'N = k (W / Σ k + α (x - x_k) + β (y - y_k))',
      `${si(own, 'N/m')} * (${si(weight, 'N')} / ${si(group.k, 'N/m')} + ${si(slopeX, '')} * (${si(x, 'm')} - ${si(group.x, 'm')}) + ${si(slopeY, '')} * (${si(y, 'm')} - ${si(group.y, 'm')}))`,
      own * (middle + slopeX * (x - group.x) + slopeY * (y - group.y)),
      'force',
    ),
  ];
  // Where the cart tips, or hangs on castors in a line, its weight is what one of them may get.
  const shown =
    Number.isFinite(slopeX) && (load.loads[castor] ?? 0) > 0 ? steps : steps.slice(0, 1);
  if (factor === 1) return shown;
  return [
    ...shown,
    step(
      'load times the factor asked',
      'F = factor N',
      `${si(factor, '')} * ${si(load.value, 'N')}`,
      factor * load.value,
      'force',
    ),
  ];
}

function springGroup({ cart }: CartModel, load: CastorLoad) {
  const springs = cart.castors.map(({ stiffness, at }, i) => ({
    k: (load.loads[i] ?? 0) > 0 ? stiffness : 0,
    at: load.contacts[i] ?? at,
  }));
  const k = springs.reduce((sum, each) => sum + each.k, 0);
  const x = springs.reduce((sum, each) => sum + each.k * each.at[0], 0) / k;
  const y = springs.reduce((sum, each) => sum + each.k * each.at[1], 0) / k;
  const moment = (of: (dx: number, dy: number) => number): number =>
    springs.reduce((sum, each) => sum + each.k * of(each.at[0] - x, each.at[1] - y), 0);
  return {
    k,
    x,
    y,
    xx: moment((dx) => dx * dx),
    xy: moment((dx, dy) => dx * dy),
    yy: moment((_, dy) => dy * dy),
  };
}
