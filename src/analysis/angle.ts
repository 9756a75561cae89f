/** Angles of a full turn. */

/** Into (-pi, pi], rad. */
export function wrapped(angle: number): number {
  return angle - 2 * Math.PI * Math.ceil(angle / (2 * Math.PI) - 0.5);
}
