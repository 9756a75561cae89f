/**
 * Stand-alone: the horizontal force at which a cart whose castors have settled begins to turn about one
 * of its stems, or slides straight. Statics by hand: the castors are equal springs, so the plane through
 * the pressed contacts balances weight and push; each castor takes its limit at its stem, against the
 * motion. Legend: N newtons, m metres, rad; x forward, y left.
 */

export type Point = readonly [number, number];

export interface SettledCastor {
  readonly stem: Point;
  readonly trail: number;
  /** N that it takes at its stem, in any direction, under the load (N) */
  readonly limit: (load: number) => number;
}

export interface PivotPush {
  readonly weight: number;
  /** centre of mass, seen from above */
  readonly centre: Point;
  /** where it is pushed, how high, and which way (rad) */
  readonly point: Point;
  readonly height: number;
  readonly direction: number;
  /** index of the castor about whose stem it turns, and how that castor is turned (rad) */
  readonly pivot: number;
  readonly pivotAngle: number;
  /** +1 counter-clockwise from above */
  readonly sense: 1 | -1;
}

/** Stem and contact of every castor while the cart turns: the contact trails behind the stem. */
export function trailingContacts(castors: readonly SettledCastor[], push: PivotPush): Point[] {
  const about = castors[push.pivot]?.stem ?? [0, 0];
  return castors.map(({ stem: [x, y], trail }, i) => {
    if (i === push.pivot) {
      return [x + trail * Math.cos(push.pivotAngle), y + trail * Math.sin(push.pivotAngle)];
    }
    const [rx, ry] = [x - about[0], y - about[1]];
    const r = Math.hypot(rx, ry);
    // velocity of the stem: sense (-ry, rx) / r
    return [x + (trail * push.sense * ry) / r, y - (trail * push.sense * rx) / r];
  });
}

/** N on each of equal springs that carry the weight at `at`; one that would be pulled carries nothing.
 * null: no split carries it there (it tips). */
export function springLoads(
  contacts: readonly Point[],
  weight: number,
  at: Point,
): readonly number[] | null {
  let pressed = contacts.map(() => true);
  for (let round = 0; round < 10 && pressed.filter(Boolean).length >= 3; round++) {
    const kept = contacts.filter((_, i) => pressed[i]);
    const plane = solve3(
      [
        [kept.length, sum(kept, ([x]) => x), sum(kept, ([, y]) => y)],
        [sum(kept, ([x]) => x), sum(kept, ([x]) => x * x), sum(kept, ([x, y]) => x * y)],
        [sum(kept, ([, y]) => y), sum(kept, ([x, y]) => x * y), sum(kept, ([, y]) => y * y)],
      ],
      [weight, weight * at[0], weight * at[1]],
    );
    const loads = contacts.map(([x, y]) => plane[0] + plane[1] * x + plane[2] * y);
    const next = loads.map((load) => load > 0);
    if (next.every((each, i) => each === pressed[i])) {
      return loads.map((load, i) => (pressed[i] ? load : 0));
    }
    pressed = next;
  }
  return null;
}

function sum(points: readonly Point[], of: (point: Point) => number): number {
  return points.reduce((total, point) => total + of(point), 0);
}

type Three = readonly [number, number, number];

/** By Cramer's rule. */
function solve3(m: readonly [Three, Three, Three], b: Three): Three {
  const det = (p: Three, q: Three, r: Three) =>
    p[0] * (q[1] * r[2] - q[2] * r[1]) -
    p[1] * (q[0] * r[2] - q[2] * r[0]) +
    p[2] * (q[0] * r[1] - q[1] * r[0]);
  const d = det(m[0], m[1], m[2]);
  const column = (k: 0 | 1 | 2): number => {
    const put = (row: Three, value: number): Three => [
      k === 0 ? value : row[0],
      k === 1 ? value : row[1],
      k === 2 ? value : row[2],
    ];
    return det(put(m[0], b[0]), put(m[1], b[1]), put(m[2], b[2])) / d;
  };
  return [column(0), column(1), column(2)];
}

export interface PivotResult {
  readonly force: number;
  readonly loads: readonly number[];
  /** N m about the pivot: what the push brings for each newton, and what the castors take in all */
  readonly arm: number;
  readonly moment: number;
}

/** Moments about the stem: F arm = sum of limit times distance, with loads that follow F. */
export function pivotForce(castors: readonly SettledCastor[], push: PivotPush): PivotResult {
  const about = castors[push.pivot]?.stem ?? [0, 0];
  const contacts = trailingContacts(castors, push);
  const [dx, dy] = [Math.cos(push.direction), Math.sin(push.direction)];
  const arm = push.sense * ((push.point[0] - about[0]) * dy - (push.point[1] - about[1]) * dx);
  const at = (force: number): PivotResult | null => {
    const shift = (force * push.height) / push.weight;
    const loads = springLoads(contacts, push.weight, [
      push.centre[0] + shift * dx,
      push.centre[1] + shift * dy,
    ]);
    if (loads === null) return null;
    const moment = castors.reduce(
      (total, { stem, limit }, i) =>
        total + limit(loads[i] ?? 0) * Math.hypot(stem[0] - about[0], stem[1] - about[1]),
      0,
    );
    return { force, loads, arm, moment };
  };
  let low = 0;
  let high = push.weight;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    const held = at(middle);
    if (held !== null && held.moment > middle * arm) low = middle;
    else high = middle;
  }
  const first = at(low);
  if (first === null) throw new Error('pivotForce: it tips under its own weight');
  return first;
}
