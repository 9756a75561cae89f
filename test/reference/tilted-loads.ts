/**
 * Loads on the castors of a cart that is tilted on level scales, by statics with coordinates of space:
 * the cart is turned point by point, and forces and moments are balanced where the axles then are. Nothing
 * is divided by cosines, and no formula for the height of the centre of mass is used.
 *
 * Two rows, the lower one at the back (least x) or wherever `lower` says; the rows are parallel to y. The
 * load of a row is split between its castors by the moment across; three loads (a row of one castor) are
 * statics alone.
 *
 * @param drag horizontal force on the axles of the upper row, away from the lower one, and the opposite one
 * on those of the lower row (kg of force): what resists when wheels roll towards each other
 */
export function tiltedLoads(
  cart: {
    readonly mass: number;
    readonly centre: readonly [number, number, number];
    readonly radius: number;
    readonly castors: readonly { readonly at: readonly [number, number] }[];
  },
  lower: readonly boolean[],
  angle: number,
  drag = 0,
): readonly number[] {
  const places = cart.castors.map(({ at: [x, y] }) => ({ x, y }));
  const lowerX = places.find((_, i) => lower[i])?.x ?? 0;
  const upperX = places.find((_, i) => !lower[i])?.x ?? 0;
  const sense = upperX > lowerX ? 1 : -1;
  // how far a point (x, z) of the cart is from the lower axle, along the level
  const level = (x: number, z: number) =>
    sense * (x - lowerX) * Math.cos(angle) - (z - cart.radius) * Math.sin(angle);
  const [x, y, z] = cart.centre;
  // about the lower axle: N_upper reach - drag rise = W lever
  const rise = Math.abs(upperX - lowerX) * Math.sin(angle);
  const upper = (cart.mass * level(x, z) + drag * rise) / level(upperX, cart.radius);
  const rowLoad = (isLower: boolean) => (isLower ? cart.mass - upper : upper);
  // across: each row carries the centre of mass at the same y, split by the lever rule
  return places.map((place, i) => {
    const row = places.filter((_, j) => lower[j] === lower[i]).map((one) => one.y);
    const [least, most] = [Math.min(...row), Math.max(...row)];
    const load = rowLoad(lower[i] ?? false);
    return most === least
      ? load
      : (load * (place.y === most ? y - least : most - y)) / (most - least);
  });
}
