/**
 * Question: how does the weight of a rigid cart share itself among its castors on a flat floor?
 *
 * Assumptions: the cart is rigid, each castor a linear vertical spring that pushes but never pulls
 * (a lifted castor carries nothing), the floor flat. Range: small lean (springs shorten by far less
 * than the wheelbase). Source: first principles (Winkler support, e.g. any text on bolt groups or
 * pile caps under eccentric load); the unilateral solution is the least-energy split, unique.
 *
 * Symbols: n castors at (x_i, y_i), stiffness k_i; plane of deflection p_i = u0 + u1 x_i + u2 y_i
 * (m, positive when the castor is pressed); N_i = k_i max(0, p_i); load b = (W, W q_x, W q_y):
 * the weight and its first moments about the frame's origin (N, N m).
 */

/** Contacts as parallel arrays; only the first `count` entries are meant. */
export interface SupportArrays {
  count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly stiffness: Float64Array;
}

/** Inverse of a symmetric 3x3 matrix, upper triangle a00 a01 a02 a11 a12 a22. */
export type Symmetric3 = Float64Array;

/** A determinant below this share of the product of the diagonal means contacts (nearly) in a
 * line: 1e-12 keeps ten digits of a double for the solution. */
const SINGULAR_SHARE = 1e-12;

/** Writes the inverse of the support matrix sum k a a^T, a = (1, x, y), over the castors whose bit
 * is set in `active` (1 or 0 each). Returns false when they stand in a line. */
export function invertSupport(
  support: SupportArrays,
  active: Uint8Array,
  out: Symmetric3,
): boolean {
  let s = 0;
  let sx = 0;
  let sy = 0;
  for (let i = 0; i < support.count; i++) {
    if (active[i] === 0) continue;
    const k = support.stiffness[i]!;
    s += k;
    sx += k * support.x[i]!;
    sy += k * support.y[i]!;
  }
  if (s === 0) return false;
  // Moments about the springs' own centre keep the determinant free of cancellation.
  const gx = sx / s;
  const gy = sy / s;
  let ixx = 0;
  let ixy = 0;
  let iyy = 0;
  for (let i = 0; i < support.count; i++) {
    if (active[i] === 0) continue;
    const k = support.stiffness[i]!;
    const dx = support.x[i]! - gx;
    const dy = support.y[i]! - gy;
    ixx += k * dx * dx;
    ixy += k * dx * dy;
    iyy += k * dy * dy;
  }
  const det = ixx * iyy - ixy * ixy;
  const size = ixx + iyy;
  if (!(det > SINGULAR_SHARE * size * size)) return false;
  const jxx = iyy / det;
  const jxy = -ixy / det;
  const jyy = ixx / det;
  // Shift back to the origin: u = (mean deflection - slope.g, slope).
  out[0] = 1 / s + gx * (jxx * gx + jxy * gy) + gy * (jxy * gx + jyy * gy);
  out[1] = -(jxx * gx + jxy * gy);
  out[2] = -(jxy * gx + jyy * gy);
  out[3] = jxx;
  out[4] = jxy;
  out[5] = jyy;
  return true;
}

/** out = inverse * (b0, b1, b2). */
export function applySymmetric(
  m: Symmetric3,
  b0: number,
  b1: number,
  b2: number,
  out: Float64Array,
): void {
  out[0] = m[0]! * b0 + m[1]! * b1 + m[2]! * b2;
  out[1] = m[1]! * b0 + m[3]! * b1 + m[4]! * b2;
  out[2] = m[2]! * b0 + m[4]! * b1 + m[5]! * b2;
}

/** Each pass changes the set of pressed castors; a cycle is broken by the energy (see below), and
 * more passes than this have never been seen with up to 16 castors. */
const MAX_PASSES = 60;

/** Solves the unilateral support. On return `active` marks the pressed castors, `inverse` belongs
 * to them and `u` is the plane. Returns false when no such plane is found: the load point is
 * outside the polygon of the contacts or on its rim. */
export function solveSupport(
  support: SupportArrays,
  b0: number,
  b1: number,
  b2: number,
  active: Uint8Array,
  inverse: Symmetric3,
  u: Float64Array,
): boolean {
  const n = support.count;
  for (let i = 0; i < n; i++) active[i] = 1;
  for (let pass = 0; pass < MAX_PASSES; pass++) {
    if (!invertSupport(support, active, inverse))
      return releaseFromRim(support, b0, b1, b2, active, inverse, u);
    applySymmetric(inverse, b0, b1, b2, u);
    if (!updateActive(support, u, active, pass)) return true;
  }
  return false;
}

/** Newton's step on the convex dual is: press what the plane presses. After a few passes only the
 * worst offender is changed, which cannot cycle. Returns whether anything changed. */
function updateActive(
  support: SupportArrays,
  u: Float64Array,
  active: Uint8Array,
  pass: number,
): boolean {
  const all = pass < 8;
  let worst = -1;
  let worstSize = 0;
  let changed = false;
  for (let i = 0; i < support.count; i++) {
    const p = u[0]! + u[1]! * support.x[i]! + u[2]! * support.y[i]!;
    const wrong = active[i] === 1 ? -p : p;
    if (wrong <= 0) continue;
    if (all) {
      active[i] = active[i] === 1 ? 0 : 1;
      changed = true;
    } else if (wrong > worstSize) {
      worstSize = wrong;
      worst = i;
    }
  }
  if (worst >= 0) active[worst] = active[worst] === 1 ? 0 : 1;
  return changed || worst >= 0;
}

/** Fewer than three pressed castors, or three in a line, came up on the way: try every triple as a
 * start. Rare, and small: at most a few dozen triples. */
function releaseFromRim(
  support: SupportArrays,
  b0: number,
  b1: number,
  b2: number,
  active: Uint8Array,
  inverse: Symmetric3,
  u: Float64Array,
): boolean {
  const n = support.count;
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++)
      for (let l = j + 1; l < n; l++) {
        active.fill(0);
        active[i] = active[j] = active[l] = 1;
        if (settleFrom(support, b0, b1, b2, active, inverse, u)) return true;
      }
  return false;
}

function settleFrom(
  support: SupportArrays,
  b0: number,
  b1: number,
  b2: number,
  active: Uint8Array,
  inverse: Symmetric3,
  u: Float64Array,
): boolean {
  for (let pass = 8; pass < MAX_PASSES; pass++) {
    if (!invertSupport(support, active, inverse)) return false;
    applySymmetric(inverse, b0, b1, b2, u);
    if (!updateActive(support, u, active, pass)) return true;
  }
  return false;
}
