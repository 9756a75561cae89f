/**
 * Random configurations of a cart against the bounds that its report says are proven. Tipping, castor
 * loads and propulsion are worked out here from the cart file by other means than the engine's;
 * holding by the engine's single evaluation, which docs/agreement.md checks by itself.
 */

import { cartFacts } from '../../src/analysis/cart-facts.js';
import type { CartModel, PlacedPosition } from '../../src/analysis/cart-model.js';
import { castorInputs, frictionOf, modelOf, positionsOf } from '../../src/analysis/cart-model.js';
import { topCentres } from '../../src/analysis/force-points.js';
import type { CheckReport, Finding } from '../../src/analysis/index.js';
import type { Body, Cart, Surface } from '../../src/document/index.js';
import type { ConfigurationDomain, HoldingLoad } from '../../src/engine/index.js';
import { createEvaluator, holdingDomain } from '../../src/engine/index.js';
import type { Clause, RequirementSet } from '../../src/requirements/index.js';
import { surfacesAsked } from '../../src/requirements/index.js';
import { randomVariables } from '../engine/dense-sampling.js';
import { placeOf } from '../reference/configurations.js';
import { elasticLoads } from '../reference/elastic-loads.js';

type Vec2 = readonly [number, number];
type Vec3 = readonly [number, number, number];
type Random = () => number;

/** m/s2, standard: what the bounds are in newtons of. */
const G = 9.80665;

/** One random configuration as a figure in the unit of the bound; null: nothing to compare, such as a
 * force that cannot tip. */
type Sampler = (random: Random) => number | null;

export interface SampledFinding {
  readonly id: string;
  readonly title: string;
  /** whether more is worse or less */
  readonly sense: Finding['sense'];
  readonly unit: 'rad' | 'N' | 'times what is asked';
  readonly samples: number;
  /** the worst of the samples, the worst found by the search, the bound proven */
  readonly sampled: number;
  readonly found: number;
  readonly proven: number;
  /** a sample lies beyond the bound by more than rounding */
  readonly beaten: boolean;
}

/** Relative: the holding force is known to 1e-5 of itself (holding.ts), all else better. */
const ACCURACY = 1e-5;

/**
 * Spreads `count` random configurations evenly over the findings of a report that carry a proven bound
 * and can be sampled (overbalance, pushes, downward force, holding, castor load, propulsion).
 */
export function sampleReport(
  cart: Cart,
  set: RequirementSet,
  report: CheckReport,
  count: number,
  random: Random,
): readonly SampledFinding[] {
  const model = modelOf(cart);
  const asked = report.findings.flatMap((finding) => {
    const clause = set.clauses.find(({ id }) => id === finding.id);
    const measured = clause === undefined ? null : measureOf(model, clause, finding);
    return measured === null ? [] : [{ finding, ...measured }];
  });
  const each = Math.ceil(count / asked.length);
  return asked.map(({ finding, sample, unit, found, proven }) => {
    const atLeast = finding.sense === 'at least';
    const worse = atLeast ? Math.min : Math.max;
    let sampled = atLeast ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
    for (let k = 0; k < each; k += 1) sampled = worse(sampled, sample(random) ?? sampled);
    const slack = ACCURACY * Math.abs(proven);
    const beaten = atLeast ? sampled < proven - slack : sampled > proven + slack;
    const { id, title, sense } = finding;
    return { id, title, sense, unit, samples: each, sampled, found, proven, beaten };
  });
}

interface Measure {
  readonly sample: Sampler;
  readonly unit: SampledFinding['unit'];
  readonly found: number;
  readonly proven: number;
}

/** How a finding is sampled; null: it is not, or carries no proven bound. */
function measureOf(model: CartModel, clause: Clause, finding: Finding): Measure | null {
  const { proof, capacity, demand, sense } = finding;
  if (proof.kind !== 'proven' || capacity === null || demand === null) return null;
  const sampler = samplerOf(model, clause, finding);
  if (sampler === null) return null;
  const { sample, per } = sampler;
  const bound = proof.bound.value;
  const found = sense === 'at least' ? capacity.value : demand.value;
  if (per === 'itself') {
    return { sample, unit: capacity.dimension === 'angle' ? 'rad' : 'N', found, proven: bound };
  }
  // Forces asked depend on the weight: these findings are bounded as multiples of what is asked.
  const asked = demand.dimension === 'angle' ? Math.tan : (value: number): number => value;
  const unit = 'times what is asked';
  const of = (value: number): number => asked(value) / asked(demand.value);
  return { sample, unit, found: of(found), proven: of(bound) };
}

interface SamplerOf {
  readonly sample: Sampler;
  readonly per: 'itself' | 'demand';
}

function samplerOf(model: CartModel, clause: Clause, finding: Finding): SamplerOf | null {
  const { question } = clause;
  switch (question.kind) {
    case 'overbalance':
      return { sample: tipAngle(model, positionsOf(model, question.positions)), per: 'itself' };
    case 'horizontal force':
      return { sample: pushTip(model, clause), per: 'demand' };
    case 'downward force':
      return { sample: downTip(model, clause), per: 'itself' };
    case 'castor load':
      return finding.mode?.kind === 'overloads'
        ? { sample: castorLoad(model, clause, finding.mode.what), per: 'itself' }
        : null;
    case 'propulsion':
      return { sample: startForce(model), per: 'itself' };
    case 'holding on incline': {
      const load = { kind: 'incline', angle: clauseValue(clause, 'incline') } as const;
      return { sample: held(model, positionsOf(model, question.positions), load), per: 'demand' };
    }
    case 'holding against push':
      return {
        sample: held(model, positionsOf(model, 'use'), pushLoad(model, clause)),
        per: 'demand',
      };
    default:
      return null;
  }
}

function clauseValue(clause: Clause, id: string): number {
  const found = clause.values.find((value) => value.id === id);
  if (found === undefined) throw new Error(`${clause.id} has no value ${id}`);
  return found.value;
}

function oneOf<T>(random: Random, choices: readonly T[]): T {
  return choices[Math.floor(random() * choices.length)] as T;
}

/** A configuration of one of the positions, the castors turned at random or all against a direction. */
interface State {
  readonly mass: number;
  readonly centre: Vec3;
  readonly contacts: readonly Vec2[];
  readonly direction: number;
  readonly placeOf: (on: string | null, at: Vec3) => Vec3;
}

function randomState(
  random: Random,
  model: CartModel,
  positions: readonly PlacedPosition[],
): State {
  const { cart } = model;
  const values = randomVariables(random, oneOf(random, positions).domain);
  const named = new Map(cart.movers.map(({ name }, i) => [name, values[i] ?? Number.NaN]));
  const place = (on: string | null, at: Vec3): Vec3 => placeOf(cart.movers, named, on, at);
  const direction = 2 * Math.PI * random();
  const against = random() < 0.5;
  const bodies = [
    ...cart.parts,
    ...cart.loads.map((load, i) => ({ ...load, mass: values[cart.movers.length + i] ?? 0 })),
  ];
  let mass = 0;
  const sum = [0, 0, 0] as [number, number, number];
  for (const body of bodies) {
    const [x, y, z] = place(body.on, body.at);
    mass += body.mass;
    sum[0] += body.mass * x;
    sum[1] += body.mass * y;
    sum[2] += body.mass * z;
  }
  return {
    mass,
    centre: [sum[0] / mass, sum[1] / mass, sum[2] / mass],
    contacts: cart.castors.map(({ at, trail, fixedDirection }): Vec2 => {
      const turn = against ? direction + Math.PI : 2 * Math.PI * random();
      const t = fixedDirection === null ? trail : 0;
      return [at[0] + t * Math.cos(turn), at[1] + t * Math.sin(turn)];
    }),
    direction,
    placeOf: place,
  };
}

interface Line {
  readonly normal: Vec2;
  readonly offset: number;
}

/** Sides of the hull of the contacts: pairs that have every other on one side. */
function tippingLines(contacts: readonly Vec2[]): readonly Line[] {
  return contacts.flatMap((a) =>
    contacts.flatMap((b): Line[] => {
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (length < 1e-9) return [];
      const normal: Vec2 = [(b[1] - a[1]) / length, (a[0] - b[0]) / length];
      const offset = normal[0] * a[0] + normal[1] * a[1];
      // 1e-12 m: a contact on the line, to rounding
      const outside = contacts.some(([x, y]) => normal[0] * x + normal[1] * y > offset + 1e-12);
      return outside ? [] : [{ normal, offset }];
    }),
  );
}

/** rad; the incline towards the direction of the state at which its load point is over a line. */
function tipAngle(model: CartModel, positions: readonly PlacedPosition[]): Sampler {
  return (random) => {
    const { centre, contacts, direction } = randomState(random, model, positions);
    const [x, y, height] = centre;
    let least = Number.POSITIVE_INFINITY;
    for (const { normal, offset } of tippingLines(contacts)) {
      const inside = offset - normal[0] * x - normal[1] * y;
      if (inside <= 0) return 0;
      const downhill = normal[0] * Math.cos(direction) + normal[1] * Math.sin(direction);
      if (downhill > 0) least = Math.min(least, inside / (height * downhill));
    }
    return Math.atan(least);
  };
}

/** N over what is asked; a push anywhere on a pushable body, level or slanting down. */
function pushTip(model: CartModel, clause: Clause): Sampler {
  const bodies = model.cart.outline.filter(({ pushable }) => pushable);
  const greatest = clauseValue(clause, 'greatest-height');
  const [fraction, cap] = [
    clauseValue(clause, 'weight-fraction'),
    clauseValue(clause, 'force-cap'),
  ];
  return (random) => {
    const state = randomState(random, model, positionsOf(model, 'all'));
    const body = oneOf(random, bodies);
    const [x, y, z] = state.placeOf(body.on, randomPoint(random, body));
    if (z > greatest) return null;
    const slant = random() < 0.5 ? 0 : (random() * Math.PI) / 2;
    const weight = G * state.mass;
    const force = tippingForce(state, (normal, offset) => {
      const level = normal[0] * Math.cos(state.direction) + normal[1] * Math.sin(state.direction);
      const beyond = normal[0] * x + normal[1] * y - offset;
      return z * Math.cos(slant) * level + Math.sin(slant) * beyond;
    });
    return force / Math.min(fraction * weight, cap);
  };
}

/** Least force (N) over the tipping lines, given its lever about each. */
function tippingForce(
  { mass, centre, contacts }: State,
  leverOf: (normal: Vec2, offset: number) => number,
): number {
  let least = Number.POSITIVE_INFINITY;
  for (const { normal, offset } of tippingLines(contacts)) {
    const inside = offset - normal[0] * centre[0] - normal[1] * centre[1];
    if (inside <= 0) return 0;
    const lever = leverOf(normal, offset);
    if (lever > 0) least = Math.min(least, (G * mass * inside) / lever);
  }
  return least;
}

/** A point of a body, half of the time of its top. */
function randomPoint(random: Random, { shape }: Body): Vec3 {
  const up = random() < 0.5 ? 1 : random();
  if (shape.kind === 'box') {
    const { from, to } = shape;
    const [i, j] = [random() < 0.8 ? Math.round(random()) : random(), Math.round(random())];
    return [
      from[0] + i * (to[0] - from[0]),
      from[1] + j * (to[1] - from[1]),
      from[2] + up * (to[2] - from[2]),
    ];
  }
  const angle = 2 * Math.PI * random();
  const [x, y, z] = shape.base;
  return [
    x + shape.radius * Math.cos(angle),
    y + shape.radius * Math.sin(angle),
    z + up * shape.height,
  ];
}

/** N; the middle of the loaded area anywhere on the surface that the area fits, either way round. */
function downTip(model: CartModel, clause: Clause): Sampler {
  const names = surfacesAsked(clause, cartFacts(model)).map(({ name }) => name);
  const greatest = clauseValue(clause, 'greatest-height');
  const surfaces = model.cart.surfaces.filter(({ name }) => names.includes(name));
  return (random) => {
    const surface = oneOf(random, surfaces);
    const state = randomState(random, model, positionsOf(model, 'all'));
    const at = loadedMiddle(random, clause, surface);
    const [x, y, z] = state.placeOf(surface.on, [...at, surface.height]);
    if (z > greatest) return null;
    return tippingForce(state, (normal, offset) => normal[0] * x + normal[1] * y - offset);
  };
}

function loadedMiddle(random: Random, clause: Clause, { kind, from, to }: Surface): Vec2 {
  const optional = clause.values.find(({ id }) => id === 'foothold-patch-width');
  const length = clauseValue(clause, 'patch-length');
  const narrow = kind === 'foothold' ? optional?.value : undefined;
  const width = narrow ?? clauseValue(clause, 'patch-width');
  const [along, across] = random() < 0.5 ? [length, width] : [width, length];
  const within = (a: number, b: number, size: number): number => {
    const room = Math.max(0, Math.abs(b - a) - size);
    return 0.5 * (a + b) + room * (oneOf(random, [-0.5, 0.5, random() - 0.5]) as number);
  };
  return [within(from[0], to[0], along), within(from[1], to[1], across)];
}

/** N; what the springs put on one castor, times the factor asked. */
function castorLoad(model: CartModel, clause: Clause, name: string): Sampler {
  const factor = clauseValue(clause, 'factor');
  const index = model.cart.castors.findIndex((castor) => castor.name === name);
  return (random) => {
    const state = randomState(random, model, positionsOf(model, 'all'));
    const loads = loadsOf(model.cart, state);
    return loads === null ? null : factor * (loads[index] ?? Number.NaN);
  };
}

function loadsOf({ castors }: Cart, { mass, centre, contacts }: State): number[] | null {
  const weight = G * mass;
  const springs = contacts.map((contact, i) => ({
    contact,
    stiffness: castors[i]?.stiffness ?? Number.NaN,
  }));
  return elasticLoads(springs, weight, [weight * centre[0], weight * centre[1]]);
}

/** N; each castor rolling and swivelling at once. */
function startForce(model: CartModel): Sampler {
  return (random) => {
    const loads = loadsOf(model.cart, randomState(random, model, positionsOf(model, 'transport')));
    if (loads === null) return null;
    return model.cart.castors.reduce((sum, castor, i) => {
      const { rollingLength, wheelDiameter, swivelMoment, trail } = castor;
      const rolling = ((loads[i] ?? 0) * rollingLength) / (wheelDiameter / 2);
      return sum + (trail > 0 ? Math.hypot(rolling, swivelMoment / trail) : rolling);
    }, 0);
  };
}

function pushLoad({ cart }: CartModel, clause: Clause): HoldingLoad {
  return {
    kind: 'push',
    fraction: clauseValue(clause, 'weight-fraction'),
    cap: clauseValue(clause, 'force-cap'),
    greatestHeight: clauseValue(clause, 'greatest-height'),
    points: topCentres(cart).map(({ point }) => point),
  };
}

/** Multiple of what is asked at which it moves: friction as in the report, that is at the low end of
 * its tolerance where it is measured for every castor that grips. */
function held(model: CartModel, positions: readonly PlacedPosition[], load: HoldingLoad): Sampler {
  const { cart } = model;
  const grips = cart.castors.filter(
    ({ lock, fixedDirection }) => lock !== 'none' || fixedDirection !== null,
  );
  const measured =
    grips.length > 0 && grips.every(({ tread }) => frictionOf(cart, tread).basis === 'measured');
  const castors = castorInputs(cart, measured ? 'low' : 'nominal');
  const problem = { model: model.mass, castors, load, gravity: G };
  const { evaluate } = createEvaluator(problem, 1);
  const domains = new Map<PlacedPosition, ConfigurationDomain>(
    positions.map((placed) => [placed, holdingDomain({ problem, configurations: placed.domain })]),
  );
  return (random) => {
    const domain = domains.get(oneOf(random, positions)) as ConfigurationDomain;
    return evaluate(randomVariables(random, domain)).ratio;
  };
}
