/**
 * Question: on a floor that is not flat the weight may share itself among the castors in any way
 * that statics allows. At which force does the cart first move then?
 *
 * Assumptions: those of holding.ts, but for the stiffness of the castors, which plays no part here.
 * Source: the force that friction can balance is concave in the normal forces (limit analysis), so
 * over all splits it is least at a corner of their set: three castors that carry everything, the
 * load point in their triangle, the others nothing.
 *
 * Symbols: F horizontal force, q its load point: q(F) = centre + F height d / W; S(N) the force that
 * friction can balance with the normal forces N. The cart holds F in a corner when S(N(F)) >= F.
 */

import type { Vec2 } from '../kernel/index.js';
import type { Contact, LoadPath } from './holding.js';
import { holdingForce } from './holding.js';

export interface LeastFavourable {
  /** N, the least force over all splits at which it moves; at most the force given */
  readonly force: number;
  /** the castors that carry the cart in that split; null: none is worse than the split given */
  readonly carrying: readonly [number, number, number] | null;
}

/**
 * The least holding force over all splits of the weight.
 *
 * @param force N, at which the cart moves in some split (the nominal one): where to stop
 */
export function leastFavourableSplit(
  contacts: readonly Contact[],
  path: LoadPath,
  force: number,
): LeastFavourable {
  let best = force;
  let carrying: readonly [number, number, number] | null = null;
  for (let i = 0; i < contacts.length; i++) {
    for (let j = i + 1; j < contacts.length; j++) {
      for (let l = j + 1; l < contacts.length; l++) {
        const three = [contacts[i], contacts[j], contacts[l]] as readonly Contact[] as Three;
        const found = firstFailing(three, path, best);
        if (found >= best) continue;
        best = found;
        carrying = [i, j, l];
      }
    }
  }
  return { force: best, carrying };
}

type Three = readonly [Contact, Contact, Contact];

/** Share of the way along which the load point is taken inside the triangle: at its very rim two
 * castors carry everything and the third has no place in the support. */
const INSIDE = 1e-7;

/** The force is halved in on until it stands to this share of itself, far below the accuracy of any
 * input. */
const FORCE_TOLERANCE = 1e-6;
const STEPS = 40;

/** First force in [0, most) at which three castors that carry everything give way while the load
 * point is in their triangle; `most` when they do not. */
function firstFailing(three: Three, path: LoadPath, most: number): number {
  const range = forcesInside(three, path, most);
  if (range === null) return most;
  const [from, to] = range;
  const spare = (force: number): number => resisted(three, path, force) - force;
  if (spare(from) < 0) return from;
  // S(N(F)) - F is concave: not negative at both ends, it is so all the way.
  if (spare(to) >= 0) return most;
  let low = from;
  let high = to;
  for (let step = 0; step < STEPS && high - low > FORCE_TOLERANCE * high; step++) {
    const middle = 0.5 * (low + high);
    if (spare(middle) < 0) high = middle;
    else low = middle;
  }
  return high;
}

/** S(N(F)): a force of no height, the weight at q(F). */
function resisted(three: Three, path: LoadPath, force: number): number {
  const level = { ...path, centre: loadPoint(path, force), height: 0 };
  return holdingForce(three, level).force;
}

function loadPoint({ weight, centre, direction, height }: LoadPath, force: number): Vec2 {
  const shift = (force * height) / weight;
  return [centre[0] + shift * Math.cos(direction), centre[1] + shift * Math.sin(direction)];
}

/** The forces in [0, most] at which the load point is inside the triangle; null: none. */
function forcesInside(
  three: Three,
  path: LoadPath,
  most: number,
): readonly [number, number] | null {
  const [a, b, c] = three.map(({ contact }) => contact) as [Vec2, Vec2, Vec2];
  const area = cross(a, b, c);
  if (area === 0) return null;
  const start = loadPoint(path, 0);
  const end = loadPoint(path, most);
  let from = 0;
  let to = 1;
  for (const [p, q] of [
    [a, b],
    [b, c],
    [c, a],
  ] as const) {
    // Share of the third castor in the weight, linear in the force.
    const atStart = cross(p, q, start) / area;
    const atEnd = cross(p, q, end) / area;
    if (atStart < 0 && atEnd < 0) return null;
    const root = atStart / (atStart - atEnd);
    if (atStart < 0) from = Math.max(from, root);
    else if (atEnd < 0) to = Math.min(to, root);
  }
  const width = to - from;
  if (!(width > 2 * INSIDE)) return null;
  return [most * (from + (from > 0 ? INSIDE : 0)), most * (to - (to < 1 ? INSIDE : 0))];
}

/** Twice the area of the triangle, positive counter-clockwise. */
function cross(p: Vec2, q: Vec2, r: Vec2): number {
  return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
}
