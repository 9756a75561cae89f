/**
 * Question: what horizontal force can one castor's contact take, and what power does that force
 * take from a given sliding velocity?
 *
 * The friction set K is the disc |f| <= R = mu N cut by |f_along| <= A (brake torque / wheel
 * radius, or rolling resistance) and |f_across| <= B (swivel moment / trail). Isotropic Coulomb
 * friction, rigid-plastic. Everything here is in the wheel's own axes (along, across).
 * `reach` (R), `along` (A), `across` (B): N, >= 0, A and B may be Infinity.
 */

/** max over f in K of f.v: the power friction takes at the velocity (va, vs). */
export function frictionPower(
  reach: number,
  along: number,
  across: number,
  va: number,
  vs: number,
): number {
  const a = Math.abs(va);
  const s = Math.abs(vs);
  const speed = Math.sqrt(a * a + s * s);
  if (speed === 0 || reach === 0) return 0;
  const overA = reach * a > along * speed;
  const overS = reach * s > across * speed;
  if (!overA && !overS) return reach * speed;
  if (along * along + across * across <= reach * reach) return along * a + across * s;
  return overA
    ? along * a + Math.sqrt(reach * reach - along * along) * s
    : across * s + Math.sqrt(reach * reach - across * across) * a;
}

/** d frictionPower / dN, given dR/dN = `reachRate`, dA/dN, dB/dN (where the power has a kink, one
 * of its one-sided rates). */
export function frictionPowerRate(
  reach: number,
  along: number,
  across: number,
  reachRate: number,
  alongRate: number,
  acrossRate: number,
  va: number,
  vs: number,
): number {
  const a = Math.abs(va);
  const s = Math.abs(vs);
  const speed = Math.sqrt(a * a + s * s);
  if (speed === 0) return 0;
  const overA = reach * a > along * speed;
  const overS = reach * s > across * speed;
  if (!overA && !overS) return reachRate * speed;
  if (along * along + across * across <= reach * reach) return alongRate * a + acrossRate * s;
  if (overA) {
    const rest = Math.sqrt(reach * reach - along * along);
    return alongRate * a + (rest > 0 ? ((reach * reachRate - along * alongRate) / rest) * s : 0);
  }
  const rest = Math.sqrt(reach * reach - across * across);
  return acrossRate * s + (rest > 0 ? ((reach * reachRate - across * acrossRate) / rest) * a : 0);
}

/** Nearest point of K to (za, zs) and the derivative of that map, into out: fa, fs, daa, das, dss
 * (the derivative is symmetric). It is the friction force of a contact that creeps elastically
 * before it slides; the regularised holding problem is built on it. */
export function nearestGrip(
  reach: number,
  along: number,
  across: number,
  za: number,
  zs: number,
  out: Float64Array,
): void {
  const ca = Math.max(-along, Math.min(along, za));
  const cs = Math.max(-across, Math.min(across, zs));
  if (ca * ca + cs * cs <= reach * reach) {
    out[0] = ca;
    out[1] = cs;
    out[2] = ca === za ? 1 : 0;
    out[3] = 0;
    out[4] = cs === zs ? 1 : 0;
    return;
  }
  const size = Math.sqrt(za * za + zs * zs);
  const ratio = reach / size;
  const da = za * ratio;
  const ds = zs * ratio;
  if (Math.abs(da) <= along && Math.abs(ds) <= across) {
    out[0] = da;
    out[1] = ds;
    const ea = za / size;
    const es = zs / size;
    out[2] = ratio * es * es;
    out[3] = -ratio * ea * es;
    out[4] = ratio * ea * ea;
    return;
  }
  // A corner where a straight side meets the disc.
  if (Math.abs(da) > along) {
    out[0] = za > 0 ? along : -along;
    const rest = Math.sqrt(Math.max(0, reach * reach - along * along));
    out[1] = zs > 0 ? rest : -rest;
  } else {
    out[1] = zs > 0 ? across : -across;
    const rest = Math.sqrt(Math.max(0, reach * reach - across * across));
    out[0] = za > 0 ? rest : -rest;
  }
  out[2] = 0;
  out[3] = 0;
  out[4] = 0;
}
