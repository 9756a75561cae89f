/**
 * Random carts for the checks against an LP solver and a physics engine: contacts, limits and load
 * paths drawn from the ranges that carts for medical equipment have. Imports nothing of the engine;
 * the types repeat its contract so that a drawn problem can be handed to it as it is.
 */

export type Vec2 = readonly [number, number];
export type Random = () => number;

/** One castor as the friction problem sees it (SI, radians). Limits may be Infinity. */
export interface ReferenceContact {
  /** where the normal force acts, m */
  readonly contact: Vec2;
  /** where the horizontal force acts on the cart, m */
  readonly grip: Vec2;
  /** rolling direction, rad from x to y */
  readonly direction: number;
  readonly friction: number;
  /** |force along| <= alongFixed + alongPerNormal * N */
  readonly alongFixed: number;
  readonly alongPerNormal: number;
  /** |force across| <= acrossFixed + acrossPerNormal * N */
  readonly acrossFixed: number;
  readonly acrossPerNormal: number;
  /** N/m, vertical */
  readonly stiffness: number;
}

/** A horizontal force growing from 0 in `direction` at `point` (m), `height` (m) above the floor,
 * on a cart of `weight` (N) with its centre of mass above `centre` (m). */
export interface ReferencePath {
  readonly weight: number;
  readonly centre: Vec2;
  readonly direction: number;
  readonly point: Vec2;
  readonly height: number;
}

export interface HoldingProblem {
  readonly contacts: readonly ReferenceContact[];
  readonly path: ReferencePath;
  /** lock of each castor, in words, for messages */
  readonly locks: readonly string[];
}

/** Least distance of the centre of mass from every edge of the hull of the contacts, m: nearer
 * than this no cart is built, and the tipping force is lost in rounding. */
const LEAST_INSET = 0.01;

const between = (random: Random, least: number, most: number): number =>
  least + (most - least) * random();

const oneOf = <T>(random: Random, choices: readonly T[]): T => {
  const choice = choices[Math.floor(random() * choices.length)];
  if (choice === undefined) throw new Error('oneOf: nothing to choose from');
  return choice;
};

/** Distance of a point from the nearest hull edge of `points` (> 0 inside): the least gap over all
 * pairs that have every other point on one side. Slow and plain on purpose. */
export function insetOf(point: Vec2, points: readonly Vec2[]): number {
  let least = Number.POSITIVE_INFINITY;
  for (const a of points) {
    for (const b of points) {
      const length = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (length < 1e-12) continue;
      const gap = (q: Vec2): number =>
        ((b[0] - a[0]) * (q[1] - a[1]) - (b[1] - a[1]) * (q[0] - a[0])) / length;
      // Counter-clockwise edge: every other contact on its left (1 nm for rounding).
      if (points.every((q) => gap(q) > -1e-9)) least = Math.min(least, gap(point));
    }
  }
  return least;
}

/** Stems about a ring of random radii, as on a star base or a chassis with rounded corners; from
 * five castors on some stand further in. */
function randomStems(random: Random, count: number): Vec2[] {
  const turn = between(random, 0, 2 * Math.PI);
  const stretch = between(random, 0.6, 1);
  const stems: Vec2[] = [];
  for (let i = 0; i < count; i += 1) {
    const angle = turn + (2 * Math.PI * (i + between(random, -0.3, 0.3))) / count;
    const inner = count >= 5 && random() < 0.25;
    const radius = inner ? between(random, 0.05, 0.25) : between(random, 0.25, 0.5);
    stems.push([radius * Math.cos(angle), stretch * radius * Math.sin(angle)]);
  }
  return stems;
}

/** The castor table of the mechanics: which lock limits what. */
function randomContact(
  random: Random,
  stem: Vec2,
  friction: number,
): { readonly contact: ReferenceContact; readonly lock: string } {
  const lock = oneOf(random, ['none', 'wheel', 'directional', 'total'] as const);
  const fixed = random() < 0.2;
  const wheelRadius = between(random, 0.025, 0.08);
  // Trails to 60 mm; one swivelling castor in ten has none, and then no side limit.
  const trail = fixed || random() < 0.1 ? 0 : between(random, 0.005, 0.06);
  const swivel = between(random, 0, 2 * Math.PI);
  // Rolling lengths to 4.5 mm (hard rubber on carpet, Al-Eisawi et al. 1999).
  const rolling = between(random, 0.0005, 0.0045) / wheelRadius;
  const braked = lock === 'wheel' || lock === 'total';
  const brakeForce =
    random() < 0.4 ? between(random, 1, 15) / wheelRadius : Number.POSITIVE_INFINITY;
  const swivels = !fixed && (lock === 'none' || lock === 'wheel') && trail > 0;
  const trailed = swivels && random() < 0.2;
  const contact: Vec2 = [stem[0] + trail * Math.cos(swivel), stem[1] + trail * Math.sin(swivel)];
  return {
    lock: `${fixed ? 'fixed ' : ''}${lock}${trailed ? ' trailed' : ''}`,
    contact: {
      contact,
      grip: trailed ? stem : contact,
      direction: swivel,
      friction,
      alongFixed: braked ? brakeForce : 0,
      alongPerNormal: braked ? 0 : rolling,
      acrossFixed: swivels ? between(random, 0.05, 1) / trail : Number.POSITIVE_INFINITY,
      acrossPerNormal: 0,
      stiffness: 1e5 * between(random, 1, 4),
    },
  };
}

/** A random problem with 3 to 8 castors. Draws again until the centre of mass is properly inside. */
export function randomProblem(random: Random): HoldingProblem {
  for (;;) {
    const count = 3 + Math.floor(random() * 6);
    const tread = between(random, 0.2, 1);
    const drawn = randomStems(random, count).map((stem) =>
      randomContact(random, stem, tread * between(random, 0.8, 1.2)),
    );
    const contacts = drawn.map((d) => d.contact);
    const shares = contacts.map(() => -Math.log(1 - random()));
    const sum = shares.reduce((total, share) => total + share, 0);
    const mean = (axis: 0 | 1): number =>
      contacts.reduce((total, c, i) => total + ((shares[i] ?? 0) / sum) * c.contact[axis], 0);
    const centre: Vec2 = [mean(0), mean(1)];
    const path: ReferencePath = {
      weight: between(random, 100, 2000),
      centre,
      direction: between(random, 0, 2 * Math.PI),
      point: [between(random, -0.6, 0.6), between(random, -0.6, 0.6)],
      height: random() < 0.1 ? 0 : between(random, 0, 1.5),
    };
    if (
      insetOf(
        centre,
        contacts.map((c) => c.contact),
      ) < LEAST_INSET
    )
      continue;
    return { contacts, path, locks: drawn.map((d) => d.lock) };
  }
}

/** Carts as they are built: symmetric, equal castors, turned and pushed by multiples of 45 degrees, at
 * the middle, over a castor or beyond. Everything that can coincide does: ties between castors, loads
 * lifting off together, forces in corners of their sets, centres of rotation on a castor. */
export function symmetricProblem(random: Random): HoldingProblem {
  const eighth = (): number => (Math.PI / 4) * Math.floor(8 * random());
  const count = oneOf(random, [3, 4, 4, 4, 5, 6]);
  const stems: Vec2[] =
    count === 4 || count === 6
      ? ([0.25, -0.25, 0].slice(0, count / 2) as readonly number[]).flatMap((x): Vec2[] => [
          [x, 0.25],
          [x, -0.25],
        ])
      : Array.from({ length: count }, (_, i): Vec2 => {
          const angle = (2 * Math.PI * i) / count;
          return [0.3 * Math.cos(angle), 0.3 * Math.sin(angle)];
        });
  const trail = oneOf(random, [0, 0.03]);
  const friction = oneOf(random, [0.3, 0.5, 0.7]);
  const brakeForce = oneOf(random, [60, Number.POSITIVE_INFINITY]);
  const drawn = stems.map((stem) => {
    const lock = oneOf(random, ['none', 'wheel', 'directional', 'total'] as const);
    const swivel = eighth();
    const contact: Vec2 = [stem[0] + trail * Math.cos(swivel), stem[1] + trail * Math.sin(swivel)];
    const braked = lock === 'wheel' || lock === 'total';
    const swivels = (lock === 'none' || lock === 'wheel') && trail > 0;
    return {
      lock,
      contact: {
        contact,
        grip: contact,
        direction: swivel,
        friction,
        alongFixed: braked ? brakeForce : 0,
        alongPerNormal: braked ? 0 : 0.044,
        acrossFixed: swivels ? 10 : Number.POSITIVE_INFINITY,
        acrossPerNormal: 0,
        stiffness: 4e5,
      },
    };
  });
  const path: ReferencePath = {
    weight: 600,
    centre: [0, 0],
    direction: eighth(),
    point: oneOf(random, [
      [0, 0],
      [0.25, 0],
      [0.25, 0.25],
      [-0.5, 0.25],
    ] as const),
    height: oneOf(random, [0, 0.4, 1]),
  };
  return { contacts: drawn.map((d) => d.contact), path, locks: drawn.map((d) => d.lock) };
}

/** A random cart that a physics engine can hold up: rigid, on round feet, each either braked (the
 * whole friction disc) or free (no horizontal force). */
export interface FootedCart {
  readonly feet: readonly {
    readonly at: Vec2;
    readonly friction: number;
    /** N/m relative to the others: only ratios matter */
    readonly stiffness: number;
  }[];
  /** kg */
  readonly mass: number;
  /** centre of mass, m */
  readonly centre: readonly [number, number, number];
  /** rad: downhill, or the direction of the push */
  readonly direction: number;
  /** where the push acts, m */
  readonly point: readonly [number, number, number];
}

/** At least two feet braked: with fewer nothing holds the yaw and the answer is nil by statics. */
export function randomFootedCart(random: Random): FootedCart {
  for (;;) {
    const count = 3 + Math.floor(random() * 4);
    const friction = between(random, 0.2, 0.9);
    const feet = randomStems(random, count).map((at) => ({
      at,
      friction: random() < 0.65 ? friction : 0,
      stiffness: between(random, 1, 4),
    }));
    const shares = feet.map(() => -Math.log(1 - random()));
    const sum = shares.reduce((total, share) => total + share, 0);
    const mean = (axis: 0 | 1): number =>
      feet.reduce((total, f, i) => total + ((shares[i] ?? 0) / sum) * f.at[axis], 0);
    const cart: FootedCart = {
      feet,
      mass: between(random, 20, 150),
      centre: [mean(0), mean(1), between(random, 0.2, 1.1)],
      direction: between(random, 0, 2 * Math.PI),
      point: [between(random, -0.3, 0.3), between(random, -0.3, 0.3), between(random, 0.1, 1.5)],
    };
    const braked = feet.filter((f) => f.friction > 0).length;
    if (braked < 2) continue;
    if (
      insetOf(
        [cart.centre[0], cart.centre[1]],
        feet.map((f) => f.at),
      ) < 0.03
    )
      continue;
    return cart;
  }
}

/** The same cart and loading as a problem of contacts. On a ramp F / W is tan(tilt), and the force
 * acts at the centre of mass. */
export function footedProblem(
  cart: FootedCart,
  loading: 'ramp' | 'push',
): { readonly contacts: readonly ReferenceContact[]; readonly path: ReferencePath } {
  const [x, y, height] = cart.centre;
  const at = loading === 'ramp' ? cart.centre : cart.point;
  return {
    contacts: cart.feet.map((foot) => ({
      contact: foot.at,
      grip: foot.at,
      direction: 0,
      friction: foot.friction,
      alongFixed: Number.POSITIVE_INFINITY,
      alongPerNormal: 0,
      acrossFixed: Number.POSITIVE_INFINITY,
      acrossPerNormal: 0,
      stiffness: 1e5 * foot.stiffness,
    })),
    path: {
      // m/s^2, standard gravity (CGPM 1901); only ratios to the weight are compared.
      weight: cart.mass * 9.80665,
      centre: [x, y],
      direction: cart.direction,
      point: [at[0], at[1]],
      height: loading === 'ramp' ? height : at[2],
    },
  };
}
