/**
 * Question: a push test is made on a floor that is called level and slopes by epsilon, in a direction
 * that nobody chose. What force does the cart still take?
 *
 * Assumptions: the cart and its castors as in the check; the slope has the least favourable direction;
 * the push is parallel to the floor. Range: epsilon from 0 to a few degrees.
 *
 * Derivation. On the slope the weight presses with W cos(epsilon) and pulls with W sin(epsilon)
 * downhill at the centre of mass. Let F0 be the least push that moves or tips the cart on the level,
 * and theta0 the least incline on which it moves or tips by itself, both over all configurations
 * and directions.
 *
 * Tipping over a line at distance d of the centre of mass, height z, push at height h:
 *   F h = W cos(epsilon) d - W sin(epsilon) z = W d cos(epsilon) (1 - tan(epsilon) / tan(theta)),
 *   tan(theta) = d / z: with F0 = W d / h
 *   F = F0 cos(epsilon) (1 - tan(epsilon) / tan(theta)).                               exact
 *
 * Holding by friction: the pairs (push F, downhill pull G) that the castors hold form a convex set, as
 * long as no castor lifts: the castor loads N are linear in the pair, what a castor holds is convex in
 * force and load together, and what is left of a convex set when the castor forces are not looked at
 * is convex. (F0, 0) and (0, W tan(theta0)) belong to it, and so does every pair on the line between:
 *   F >= F0 cos(epsilon) (1 - tan(epsilon) / tan(theta0)).                        a lower bound
 * The limits that do not grow with the load (brake, swivel moment) are scaled by cos(epsilon) too,
 * which makes them a little smaller than they are.
 *
 * With F0 and theta0 each the least over all configurations the same formula is a lower bound for both.
 * It is exact where one configuration and direction is the worst of both, as of a symmetric cart.
 */

/**
 * @param capacity on the level, >= 0, in any unit
 * @param slope rad; its sign does not count
 * @param incline rad: least incline on which the cart moves or tips by itself
 * @returns what is left of the capacity, >= 0; 0 where it moves by itself
 */
export function capacityOnSlope(capacity: number, slope: number, incline: number): number {
  const steep = Math.abs(slope);
  if (steep === 0) return capacity;
  if (steep >= incline) return 0;
  return capacity * Math.cos(steep) * (1 - Math.tan(steep) / Math.tan(incline));
}
