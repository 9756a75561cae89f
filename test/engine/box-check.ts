/**
 * Tries to break the bound of a box: looks inside the box for a motion in a configuration where
 * friction falls further short of the load than the bound says. Shared by the test of the bound and
 * the long run of campaign/holding-bound.ts.
 */

import type { ConfigurationBox } from '../../src/engine/domain.js';
import type { HoldingBound, TwistCell } from '../../src/engine/holding-bound.js';
import { createHoldingBound } from '../../src/engine/holding-bound.js';
import { buildMassModel } from '../../src/engine/mass-model.js';
import type { Twist } from '../reference/holding-slack.js';
import { isFree, slackAt, stemFrame, turnedBehind } from '../reference/holding-slack.js';
import type { RandomCart } from '../reference/random-carts.js';

type Random = () => number;

export interface BoxTrial {
  readonly box: ConfigurationBox;
  readonly cell: TwistCell;
  readonly factor: number;
  readonly point: number;
}

export interface Counter {
  readonly variables: readonly number[];
  readonly twist: Twist;
  /** N, at the point and claimed for the box */
  readonly slack: number;
  readonly claimed: number;
  /** how far below the claim, as a share of the weight */
  readonly below: number;
}

export interface BoxOutcome {
  readonly trial: BoxTrial;
  /** greatest multiple of the demand found at which the bound is not negative; 0: none */
  readonly target: number;
  /** points at which the cart stood and the slack was compared */
  readonly points: number;
  /** the worst point, whether it breaks the bound or not; null: none stood */
  readonly worst: Counter | null;
}

/** The bound of a random cart. */
export function boundOf(cart: RandomCart): HoldingBound {
  return createHoldingBound({
    model: buildMassModel(cart),
    castors: cart.castors,
    load: cart.load,
    gravity: cart.gravity,
  });
}

const WIDTHS = [0, 1e-4, 0.003, 0.03, 0.15, 0.5, 1] as const;

function oneOf<T>(random: Random, choices: readonly T[]): T {
  return choices[Math.floor(random() * choices.length)] as T;
}

/** Part of [from, to] of a random width, or all of it. */
function partOf(random: Random, [from, to]: readonly [number, number], share: number) {
  const width = share * (to - from);
  const low = from + random() * (to - from - width);
  return [low, Math.min(to, low + width)] as const;
}

/**
 * How wide a box is in every variable, and its cell: alike, each as it comes, or nothing but one
 * variable (or the cell): each part of the bound is then the only one that counts.
 */
function randomWidths(
  random: Random,
  count: number,
  direction: number,
): { readonly shares: readonly number[]; readonly cell: number } {
  const dice = random();
  const alike = oneOf(random, WIDTHS);
  // The direction of the force enters most of the bound: as often alone as all others together.
  const only = random() < 0.5 ? direction : Math.floor(random() * (count + 1));
  const share = (i: number): number => {
    if (dice < 0.3) return alike;
    return dice < 0.6 || i === only ? oneOf(random, WIDTHS) : 0;
  };
  return { shares: Array.from({ length: count }, (_, i) => share(i)), cell: share(count) };
}

/** A castor that trails is given any angle, or some angles about the one it has in the middle of the
 * cell. Now and then the load is a range of shares of the target. */
function randomBox(
  random: Random,
  cart: RandomCart,
  cell: TwistCell,
  shares: readonly number[],
): ConfigurationBox {
  const middle = twistOf(cell, 0.5 * (cell.a0 + cell.a1), 0.5 * (cell.b0 + cell.b1));
  const behind = turnedBehind(cart, [], middle);
  const first = cart.movers.length + cart.loads.length + 1;
  const ranges = cart.domains.map((pieces, variable) => {
    const share = shares[variable] ?? 0;
    const castor = cart.castors[variable - first];
    if (castor !== undefined && isFree(castor)) {
      const angle = behind[variable - first] ?? 0;
      if (random() < 0.5 || !Number.isFinite(angle)) return [-Math.PI, Math.PI] as const;
      return [angle - share * random(), angle + share * random()] as const;
    }
    const last = pieces[pieces.length - 1] as readonly [number, number];
    if (share === 1) return [pieces[0]?.[0] ?? 0, last[1]] as const;
    return partOf(random, oneOf(random, pieces), share);
  });
  const share = random() < 0.3 ? [partOf(random, [0, 1], oneOf(random, WIDTHS))] : [];
  return boxOf([...ranges, ...share]);
}

function boxOf(ranges: readonly (readonly [number, number])[]): ConfigurationBox {
  return {
    lo: Float64Array.from(ranges, ([low]) => low),
    hi: Float64Array.from(ranges, ([, high]) => high),
    first: new Int32Array(ranges.length),
    last: new Int32Array(ranges.length),
  };
}

/** The box with the share of the load from nothing to all of it. */
function withLesserLoads({ box, ...trial }: BoxTrial, count: number): BoxTrial {
  const ranges = [...box.lo].map((low, i) => [low, box.hi[i] ?? low] as const);
  return { ...trial, box: boxOf([...ranges.slice(0, count), [0, 1]]) };
}

/** The twist about a stem, or any, scaled so that its greatest component is 1. */
function randomTwist(random: Random, cart: RandomCart, aboutStem: boolean): Twist {
  const { origin, size } = stemFrame(cart.castors);
  const castor = oneOf(random, cart.castors);
  const w = random() < 0.5 ? 1 : -1;
  const [vx, vy] = aboutStem
    ? [(w * (castor.at[1] - origin[1])) / size, (-w * (castor.at[0] - origin[0])) / size]
    : [2 * random() - 1, 2 * random() - 1];
  const spin = aboutStem || random() < 0.5 ? w : 2 * random() - 1;
  const most = Math.max(Math.abs(vx), Math.abs(vy), Math.abs(spin));
  return { vx: vx / most, vy: vy / most, w: spin / most };
}

function randomCell(random: Random, cart: RandomCart, width: number): TwistCell {
  const aboutStem = random() < 0.3;
  return cellAbout(randomTwist(random, cart, aboutStem), width * (0.1 + random()));
}

/** The cell of half-width `half` about a twist, cut to its face. */
function cellAbout({ vx, vy, w }: Twist, half: number): TwistCell {
  const values = [vx, vy, w];
  const sizes = values.map(Math.abs);
  const face = sizes.indexOf(Math.max(...sizes));
  const [a, b] = values.filter((_, i) => i !== face) as [number, number];
  return {
    face: 2 * face + ((values[face] ?? 0) > 0 ? 0 : 1),
    a0: Math.max(-1, a - half),
    a1: Math.min(1, a + half),
    b0: Math.max(-1, b - half),
    b1: Math.min(1, b + half),
  };
}

export function randomTrial(random: Random, cart: RandomCart): BoxTrial {
  const direction = cart.movers.length + cart.loads.length;
  const widths = randomWidths(random, cart.domains.length, direction);
  const cell = randomCell(random, cart, widths.cell);
  return {
    box: randomBox(random, cart, cell, widths.shares),
    cell,
    factor: random() < 0.5 ? 1 : 0.3 + random(),
    point: cart.load.kind === 'push' ? Math.floor(random() * cart.load.points.length) : 0,
  };
}

export function twistOf(cell: TwistCell, a: number, b: number): Twist {
  const sign = (cell.face & 1) === 0 ? 1 : -1;
  if (cell.face >> 1 === 0) return { vx: sign, vy: a, w: b };
  if (cell.face >> 1 === 1) return { vx: a, vy: sign, w: b };
  return { vx: a, vy: b, w: sign };
}

/** Multiples of the demand are sought up to here: far beyond any that a cart holds. */
const MOST_TARGET = 64;

/** The greatest target with a bound that is not negative, to a relative 1e-4; 0: none from 1e-3 on. */
export function greatestTarget(bound: HoldingBound, trial: BoxTrial): number {
  const holds = (target: number): boolean =>
    bound.boxSlack(trial.box, trial.cell, target, trial.factor, trial.point) >= 0;
  let low = 1e-3;
  if (!holds(low)) return 0;
  let high = MOST_TARGET;
  if (holds(high)) return high;
  while (high / low > 1 + 1e-4) {
    const middle = Math.sqrt(low * high);
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return low;
}

/** Whether the castors that trail do so at angles of the box. */
function trailsWithin(
  cart: RandomCart,
  box: ConfigurationBox,
  variables: readonly number[],
  twist: Twist,
): boolean {
  const first = cart.movers.length + cart.loads.length + 1;
  return turnedBehind(cart, variables, twist).every((angle, i) => {
    if (!isFree(cart.castors[i]!)) return true;
    const [low, high] = [box.lo[first + i]!, box.hi[first + i]!];
    const turns = Math.ceil((low - angle) / (2 * Math.PI));
    return angle + 2 * Math.PI * turns <= high;
  });
}

/**
 * Points of the box: random ones, half of every coordinate at an end, then a compass search down from
 * the worst of them.
 */
export function attackBox(
  random: Random,
  cart: RandomCart,
  trial: BoxTrial,
  target: number,
  claimed: number,
  samples: number,
  rounds: number,
): { readonly points: number; readonly worst: Counter | null } {
  const { box, cell, factor, point } = trial;
  const lo = [...box.lo, cell.a0, cell.b0];
  const hi = [...box.hi, cell.a1, cell.b1];
  let points = 0;
  const measure = (at: readonly number[]): Counter | null => {
    const variables = at.slice(0, -2);
    const [a, b] = at.slice(-2) as [number, number];
    const twist = twistOf(cell, a, b);
    if (!trailsWithin(cart, box, variables, twist)) return null;
    const share = variables[cart.domains.length] ?? 1;
    const found = slackAt(cart, { variables, target: share * target, factor, point }, twist);
    if (found === null) return null;
    points += 1;
    const { slack, weight } = found;
    return { variables, twist, slack, claimed, below: (claimed - slack) / weight };
  };
  let best: Counter | null = null;
  let place: number[] = [];
  const offer = (at: readonly number[]): boolean => {
    const found = measure(at);
    if (found === null || (best !== null && found.slack >= best.slack)) return false;
    best = found;
    place = [...at];
    return true;
  };
  for (let k = 0; k < samples; k += 1)
    offer(
      lo.map((low, i) => {
        const dice = random();
        const share = dice < 0.2 ? 0 : dice < 0.4 ? 1 : dice < 0.5 ? 0.5 : random();
        return low + share * ((hi[i] ?? low) - low);
      }),
    );
  let step = 0.25;
  for (let round = 0; round < rounds && best !== null; round += 1) {
    let moved = false;
    for (let i = 0; i < lo.length; i += 1) {
      const span = (hi[i] ?? 0) - (lo[i] ?? 0);
      if (span === 0) continue;
      for (const change of [step * span, -step * span]) {
        const to = Math.min(hi[i] ?? 0, Math.max(lo[i] ?? 0, (place[i] ?? 0) + change));
        if (offer(place.map((value, j) => (j === i ? to : value)))) {
          moved = true;
          break;
        }
      }
    }
    if (!moved) step /= 3;
  }
  return { points, worst: best };
}

/** Multiple of the demand at which the middle of the box tips: around it castors change over. */
function tippingTarget(cart: RandomCart, trial: BoxTrial): number {
  const { box, cell, factor, point } = trial;
  const variables = box.lo.map((low, i) => 0.5 * (low + (box.hi[i] ?? low)));
  const twist = twistOf(cell, 0.5 * (cell.a0 + cell.a1), 0.5 * (cell.b0 + cell.b1));
  let low = 0;
  let high = MOST_TARGET;
  while (high - low > 1e-6) {
    const target = 0.5 * (low + high);
    if (slackAt(cart, { variables, target, factor, point }, twist) === null) high = target;
    else low = target;
  }
  return low;
}

/** One box of one cart: at the greatest load that the bound allows, at a random lower one, and where
 * it nearly tips; where the bound says that lesser loads hold too, at all of those. */
export function tryBox(
  random: Random,
  cart: RandomCart,
  bound: HoldingBound,
  samples: number,
  rounds: number,
): readonly BoxOutcome[] {
  const trial = randomTrial(random, cart);
  const greatest = greatestTarget(bound, trial);
  if (greatest === 0) return [{ trial, target: 0, points: 0, worst: null }];
  const tipping = tippingTarget(cart, trial) * (1 - 0.1 * random() ** 3);
  return [greatest, greatest * random(), tipping].flatMap((target) => {
    const claimed = bound.boxSlack(trial.box, trial.cell, target, trial.factor, trial.point);
    // The bound need not fall with every step of the target; only what it claims is tested.
    if (claimed < 0) return [];
    const below = trial.box.lo.length === cart.domains.length && bound.holdsBelow();
    const found = attackBox(random, cart, trial, target, claimed, samples, rounds);
    const outcome = { trial, target, ...found };
    if (!below) return [outcome];
    const lesser = withLesserLoads(trial, cart.domains.length);
    const all = attackBox(random, cart, lesser, target, 0, samples, rounds);
    return [outcome, { trial: lesser, target, ...all }];
  });
}

/** A box that is a single point and a single motion. */
export function pointTrial(random: Random, cart: RandomCart): BoxTrial {
  const trial = randomTrial(random, cart);
  const { box } = trial;
  const at = [...box.lo]
    .slice(0, cart.domains.length)
    .map((low, i) => 0.5 * (low + (box.hi[i] ?? low)));
  // Castors that trail do so at the angle of the motion; one angle more would be none.
  const first = cart.movers.length + cart.loads.length + 1;
  const ranges = at.map((value, i) =>
    isTrailing(cart, i - first) ? ([-Math.PI, Math.PI] as const) : ([value, value] as const),
  );
  return { ...trial, box: boxOf(ranges), cell: cellAbout(randomTwist(random, cart, false), 0) };
}

function isTrailing(cart: RandomCart, i: number): boolean {
  const castor = cart.castors[i];
  return castor !== undefined && isFree(castor);
}
