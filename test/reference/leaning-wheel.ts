/**
 * Where a thin wheel touches the level when the cart is tilted, by looking for the lowest point of its rim:
 * the rim is turned point by point, and no formula for the touching point is used.
 *
 * @param radius m
 * @param off rad, of the way it rolls off the slope
 * @param tilt rad
 * @returns m, along the level towards the raised end, from below its axle to where it touches
 */
export function touchesBeside(radius: number, off: number, tilt: number): number {
  const rim = (turn: number) => {
    const [along, up] = [radius * Math.cos(turn) * Math.cos(off), radius * Math.sin(turn)];
    return {
      level: along * Math.cos(tilt) - up * Math.sin(tilt),
      height: along * Math.sin(tilt) + up * Math.cos(tilt),
    };
  };
  let [low, high] = [-Math.PI, 0];
  for (let step = 0; step < 200; step += 1) {
    const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
    if (rim(a).height < rim(b).height) high = b;
    else low = a;
  }
  return rim((low + high) / 2).level;
}
