/** Random trees of movers and random values of their variables, for tests. No engine code. */

type Vec3 = readonly [number, number, number];

export interface RandomMover {
  readonly name: string;
  readonly kind: 'slide' | 'turn';
  readonly on: string | null;
  readonly origin: Vec3;
  readonly axis: Vec3;
}

export interface RandomTree {
  readonly parts: readonly {
    readonly mass: number;
    readonly at: Vec3;
    readonly on: string | null;
  }[];
  readonly movers: readonly RandomMover[];
  readonly loads: readonly { readonly at: Vec3; readonly on: string | null }[];
}

/**
 * A tree with up to `movers` movers. Coordinates within 1 m, parts up to 10 kg. Six axes in ten are
 * upright, one way or the other, as in most carts; the others point anywhere.
 */
export function randomTree(random: () => number, movers: number, loads: number): RandomTree {
  const between = (from: number, to: number): number => from + (to - from) * random();
  const vector = (): Vec3 => [between(-1, 1), between(-1, 1), between(-1, 1)];
  const unit = (): Vec3 => {
    if (random() < 0.6) return [0, 0, random() < 0.5 ? 1 : -1];
    const [x, y, z] = vector();
    const length = Math.hypot(x, y, z);
    return [x / length, y / length, z / length];
  };
  const count = Math.floor(between(0, movers + 1));
  const carrier = (below: number): string | null =>
    below > 0 && random() < 0.75 ? `mover ${Math.floor(random() * below)}` : null;
  return {
    movers: Array.from({ length: count }, (_, index) => ({
      name: `mover ${index}`,
      kind: random() < 0.4 ? ('slide' as const) : ('turn' as const),
      on: carrier(index),
      origin: vector(),
      axis: unit(),
    })),
    parts: Array.from({ length: 4 }, () => ({
      mass: between(0, 10),
      at: vector(),
      on: carrier(count),
    })),
    loads: Array.from({ length: Math.floor(between(0, loads + 1)) }, () => ({
      at: vector(),
      on: carrier(count),
    })),
  };
}

/** A value between two ends, at either end a quarter of the time: worst cases are often there. */
export function randomValue(random: () => number, from: number, to: number): number {
  const dice = random();
  if (dice < 0.25) return from;
  if (dice < 0.5) return to;
  return from + (to - from) * random();
}

/** Rotates v by q about the unit axis through the origin, by a quaternion product. */
function rotated(axis: Vec3, q: number, v: Vec3): Vec3 {
  const w = Math.cos(q / 2);
  const s = Math.sin(q / 2);
  const [ux, uy, uz] = [axis[0] * s, axis[1] * s, axis[2] * s];
  const tx = 2 * (uy * v[2] - uz * v[1]);
  const ty = 2 * (uz * v[0] - ux * v[2]);
  const tz = 2 * (ux * v[1] - uy * v[0]);
  return [
    v[0] + w * tx + (uy * tz - uz * ty),
    v[1] + w * ty + (uz * tx - ux * tz),
    v[2] + w * tz + (ux * ty - uy * tx),
  ];
}

/** Where a point carried by a mover is: every carrier's motion in turn, outermost last. */
export function placeOf(
  movers: readonly RandomMover[],
  values: ReadonlyMap<string, number>,
  on: string | null,
  p: Vec3,
): Vec3 {
  const mover = movers.find(({ name }) => name === on);
  if (mover === undefined) return p;
  const q = values.get(mover.name) ?? Number.NaN;
  const { axis, origin: o } = mover;
  let moved: Vec3;
  if (mover.kind === 'slide') moved = [p[0] + q * axis[0], p[1] + q * axis[1], p[2] + q * axis[2]];
  else {
    const v = rotated(axis, q, [p[0] - o[0], p[1] - o[1], p[2] - o[2]]);
    moved = [o[0] + v[0], o[1] + v[1], o[2] + v[2]];
  }
  return placeOf(movers, values, mover.on, moved);
}
