/**
 * Castor loads of a rigid cart on unilateral linear springs, by trying every set of pressed castors
 * and solving each by elimination. Slow and plain on purpose; imports nothing of the engine.
 */

import type { Vec2 } from './random-contacts.js';

export interface SpringContact {
  readonly contact: Vec2;
  /** N/m */
  readonly stiffness: number;
}

/** Share of the weight by which a load may be on the wrong side of zero: rounding of a 3 x 3 solve. */
const SIGN_SLACK = 1e-11;

/**
 * Normal forces (N) for a weight (N) whose line of action meets the floor at `moment / weight`;
 * null when no set of castors can carry it: the load point is outside, or on the rim.
 *
 * @param moment weight times load point, N m
 */
export function elasticLoads(
  contacts: readonly SpringContact[],
  weight: number,
  moment: Vec2,
): number[] | null {
  const n = contacts.length;
  for (let set = (1 << n) - 1; set > 0; set -= 1) {
    const pressed = (i: number): boolean => (set & (1 << i)) !== 0;
    const plane = planeUnder(
      contacts.filter((_, i) => pressed(i)),
      [weight, moment[0], moment[1]],
    );
    if (plane === null) continue;
    const pulls = contacts.map(
      ({ contact, stiffness }) =>
        stiffness * (plane[0] + plane[1] * contact[0] + plane[2] * contact[1]),
    );
    const slack = SIGN_SLACK * weight;
    if (pulls.every((pull, i) => (pressed(i) ? pull >= -slack : pull <= slack)))
      return pulls.map((pull, i) => (pressed(i) ? Math.max(0, pull) : 0));
  }
  return null;
}

/** Plane a + b x + c y of deflections in balance with the load; null for castors in a line. */
function planeUnder(
  contacts: readonly SpringContact[],
  load: readonly [number, number, number],
): readonly [number, number, number] | null {
  if (contacts.length < 3) return null;
  const x0 = contacts.reduce((sum, c) => sum + c.contact[0], 0) / contacts.length;
  const y0 = contacts.reduce((sum, c) => sum + c.contact[1], 0) / contacts.length;
  const rows = [0, 1, 2].map(() => [0, 0, 0, 0]);
  let scale = 0;
  for (const { contact, stiffness } of contacts) {
    const a = [1, contact[0] - x0, contact[1] - y0];
    scale += stiffness;
    for (let r = 0; r < 3; r += 1)
      for (let s = 0; s < 3; s += 1) rows[r]![s]! += stiffness * a[r]! * a[s]!;
  }
  rows[0]![3] = load[0];
  rows[1]![3] = load[1] - x0 * load[0];
  rows[2]![3] = load[2] - y0 * load[0];
  const solved = eliminate(rows, 1e-12 * scale);
  return solved && [solved[0]! - solved[1]! * x0 - solved[2]! * y0, solved[1]!, solved[2]!];
}

/** Gauss-Jordan with row pivoting on 3 x 4; null when a pivot is not above `least`. */
function eliminate(rows: number[][], least: number): number[] | null {
  for (let c = 0; c < 3; c += 1) {
    let best = c;
    for (let r = c + 1; r < 3; r += 1)
      if (Math.abs(rows[r]![c]!) > Math.abs(rows[best]![c]!)) best = r;
    [rows[c], rows[best]] = [rows[best]!, rows[c]!];
    const pivot = rows[c]![c]!;
    if (!(Math.abs(pivot) > least)) return null;
    for (let r = 0; r < 3; r += 1) {
      if (r === c) continue;
      const share = rows[r]![c]! / pivot;
      for (let s = c; s < 4; s += 1) rows[r]![s]! -= share * rows[c]![s]!;
    }
  }
  return [0, 1, 2].map((r) => rows[r]![3]! / rows[r]![r]!);
}
