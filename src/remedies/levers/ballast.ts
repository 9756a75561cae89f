/**
 * Ballast: how much, and where. The mass is solved for; the place is searched over the hull of the
 * stems at a stated height, for the greatest least reserve. The two are solved by turns, since the best
 * place depends on the mass.
 */

import type { Cart, Vec2 } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { grid, length, leverOf, mass, tidy } from '../lever.js';
import type { Reaches } from '../reaches.js';
import { STEPS } from '../reaches.js';
import type { Screener } from '../screener.js';
import type { LeverAnswer } from '../solve-lever.js';
import { reached, solveLever } from '../solve-lever.js';

/** Turns of place and mass. */
const TURNS = 3;
/** m: the place is found to this. */
const PLACE_STEP = 0.005;

/** The best answer; null: no ballast within the reach at all. */
export function solveBallast(
  screener: Screener,
  watch: readonly string[],
  reaches: Reaches,
): LeverAnswer | null {
  const { cart } = screener;
  const height = ballastHeight(cart);
  const most = ballastReach(cart, reaches);
  let share = 0.5;
  let best: LeverAnswer | null = null;
  let place = middleOf(cart);
  for (let turn = 0; turn < TURNS; turn++) {
    place = bestPlace(screener, watch, place, share * most, height);
    const [lever] = ballastLever(cart, reaches, place);
    if (lever === undefined) return null;
    const answer = solveLever(screener, lever, watch);
    if (best !== null && !isBetter(answer, best)) return best;
    best = answer;
    share = lever.shareAt(answer.k);
  }
  return best;
}

function isBetter(p: LeverAnswer, q: LeverAnswer): boolean {
  if (p.kind !== q.kind) return p.kind === 'passes';
  return p.kind === 'passes' ? p.k < q.k : p.outlook.score > q.outlook.score;
}

/** Share of the mass of all parts, kg. */
function ballastReach(cart: Cart, { ballast }: Reaches): number {
  return ballast * cart.parts.reduce((sum, part) => sum + part.mass, 0);
}

/** m: of the heaviest part that stands on the base, where ballast finds room beside it. */
export function ballastHeight({ parts }: Cart): number {
  const onBase = parts.filter(({ on }) => on === null);
  const [first, ...rest] = onBase.length > 0 ? onBase : parts;
  if (first === undefined) throw new Error('ballastHeight: a cart without parts');
  return rest.reduce((p, q) => (q.mass > p.mass ? q : p), first).at[2];
}

export function ballastLever(cart: Cart, reaches: Reaches, place: Vec2): readonly Lever[] {
  const name = unusedName(cart);
  const [x, y] = place;
  const z = ballastHeight(cart);
  return leverOf({
    id: 'ballast',
    kind: 'ballast',
    dimension: 'mass',
    amounts: grid(ballastReach(cart, reaches), STEPS.mass),
    edits: (kg) => [{ kind: 'add part', name, mass: kg, at: [x, y, z], on: null }],
    words: (kg) => [
      'ballast of ',
      mass(kg),
      ' at x ',
      length(x),
      ', y ',
      length(y),
      ', z ',
      length(z),
    ],
    notes: [
      'Its place is the best found between the stems, at the height of the heaviest part of the base.',
    ],
  });
}

function unusedName({ parts }: Cart): string {
  const taken = new Set(parts.map(({ name }) => name.toLowerCase()));
  let name = 'added ballast';
  for (let i = 2; taken.has(name); i++) name = `added ballast ${i}`;
  return name;
}

function middleOf({ castors }: Cart): Vec2 {
  const sum = castors.reduce<Vec2>(([x, y], { at }) => [x + at[0], y + at[1]], [0, 0]);
  return [tidy(sum[0] / castors.length), tidy(sum[1] / castors.length)];
}

const WAYS: readonly Vec2[] = [
  [1, 0],
  [-1, 0],
  [0, 1],
  [0, -1],
  [1, 1],
  [1, -1],
  [-1, 1],
  [-1, -1],
];

/** Compass search: to the best neighbour while there is a better one, then with half the step. */
function bestPlace(
  screener: Screener,
  watch: readonly string[],
  start: Vec2,
  kg: number,
  height: number,
): Vec2 {
  const name = unusedName(screener.cart);
  const stems = screener.cart.castors.map(({ at }) => at);
  const score = ([x, y]: Vec2): number =>
    reached(
      screener.quick([{ kind: 'add part', name, mass: kg, at: [x, y, height], on: null }], watch),
    );
  let best = { at: start, score: score(start) };
  let step = PLACE_STEP * 2 ** Math.round(Math.log2(sizeOf(stems) / 4 / PLACE_STEP));
  while (step >= PLACE_STEP) {
    const next = WAYS.map(
      ([dx, dy]): Vec2 => [tidy(best.at[0] + dx * step), tidy(best.at[1] + dy * step)],
    )
      .filter((at) => isWithin(at, stems))
      .map((at) => ({ at, score: score(at) }))
      .reduce((p, q) => (q.score > p.score * (1 + WORTH_MOVING) ? q : p), best);
    if (next === best) step /= 2;
    else best = next;
  }
  return best.at;
}

/** A gain below this share is the noise of the search, and no reason to leave the middle. */
const WORTH_MOVING = 1e-4;

function sizeOf(points: readonly Vec2[]): number {
  const spread = ([0, 1] as const).map((axis) => {
    const values = points.map((point) => point[axis]);
    return Math.max(...values) - Math.min(...values);
  });
  return Math.max(...spread);
}

/** In the hull: seen from there, no half-plane is free of stems. */
export function isWithin([x, y]: Vec2, stems: readonly Vec2[]): boolean {
  const angles = stems.map(([sx, sy]) => Math.atan2(sy - y, sx - x)).sort((p, q) => p - q);
  return angles.every((angle, i) => {
    const next = angles[i + 1] ?? (angles[0] ?? angle) + 2 * Math.PI;
    return next - angle <= Math.PI;
  });
}
