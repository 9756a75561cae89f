/**
 * Tipping and slipping loads from a physics engine: a rigid cart on small round feet stands on a
 * plane, the plane is tilted slowly or a push grows slowly, and the load is noted at which it
 * starts to slide or to tip. Nothing of our own mechanics is used.
 *
 * The load ratio is tan(tilt) on the ramp and push / weight under the push.
 *
 * Set-up: explicit contact pairs foot-floor with an elliptic cone; a braked foot has friction mu
 * all round, a free one a contact without friction. Contacts are given by stiffness and damping
 * per unit mass, so stiffnesses in a given ratio share the load as springs do. Together they make
 * a bounce of 500 rad/s: the cart sags by 40 micrometres and leaning hardly moves the centre of
 * mass.
 *
 * Damping is 6 % of critical, for a reason: this engine's contact law pushes a sliding foot off the
 * floor in proportion to damping x speed x mu. Where the split of the loads is statically
 * undetermined that shifts load onto the sliding feet. With critical damping a cart on two braked
 * feet across the diagonal slid at 0.06 mm/s under 8 % more than the limit instead of running away.
 * Contacts creep below the limit; impratio 10^5 keeps that to a micrometre a second or so (10^6
 * upsets the solver).
 *
 * Onset: past the limit load the excess grows in proportion to time t, so movement grows with t^3.
 * From the times t1 and t2 at which a foot has slid 0.1 mm and 0.8 mm = 2^3 x 0.1 mm (lifted 2 mm
 * and 16 mm) the start is t1 - (t2 - t1). 0.1 mm is well above creep within a run.
 */

import type { MainModule, MjData, MjModel } from 'mujoco';
import loadModule from 'mujoco';
import type { FootedCart } from './random-contacts.js';

/** What the load acts on. */
export type Loaded = Pick<FootedCart, 'mass' | 'centre' | 'direction' | 'point'>;

export type Physics = MainModule;

export interface PhysicsLimit {
  readonly kind: 'slips' | 'tips' | 'neither';
  /** tan(tilt), or push / weight */
  readonly ratio: number;
  /** the load ratio at which the first of the two movements was reached: at or after the onset, and
   * the better reading where a cart that has begun to move is held again by its own movement */
  readonly reached: number;
  /** s of simulated time spent */
  readonly simulated: number;
}

export type Loading = 'ramp' | 'push';

export const loadPhysics = (): Promise<Physics> => loadModule();

/** m/s^2, standard gravity (CGPM 1901) */
const GRAVITY = 9.80665;
const TIMESTEP = 1e-3; // s
/** rad/s: bounce of the whole cart on its feet; half a radian a time step is stable */
const BOUNCE = 500;
/** share of critical, see above */
const DAMPING = 0.06;
/** the physics engine's impedance: contact force = IMPEDANCE / (1 - IMPEDANCE) x mass x reference.
 * Below 0.1 and above 0.5 carts with six feet begin to shake. */
const IMPEDANCE = 0.2;
const FOOT_RADIUS = 0.005; // m
/** m of sliding and of lifting at which onset is timed; `FAR` is 2^3 times `NEAR`. Lifting by more
 * because a foot that has left the floor rises by some tenths of a millimetre as the others sag. */
const NEAR = [1e-4, 2e-3] as const;
const FAR = [8e-4, 1.6e-2] as const;
/** s: half of it to bring the load up, half to come to rest; the slowest rocking dies away in 0.2 s */
const SETTLE = 1.6;
/** s: a cart gone this soon was moving before the load began to rise. A cart at rest is first taken
 * through the last tenth of its load, 5 s or more. */
const MOVING_ALREADY = 1;
/** load ratio beyond which nothing built stands */
const MOST_RATIO = 2;

/** Finer runs, to tell an effect of the set-up from everything else. */
export interface Care {
  /** 2: feet bounce twice as fast, sag a quarter; half the time step. Damping in N s/m stays. */
  readonly hardness: number;
  /** 2: the load rises at half the rate */
  readonly patience: number;
}

/** A contact pair of the floor with one foot. `stiffness` and `damping` are forces per movement and
 * speed; `inverseMass` is what the physics engine divides contact forces by at that foot. */
export function contactPair(
  geom: string,
  friction: number,
  stiffness: number,
  damping: number,
  inverseMass: number,
): string {
  const part = (inverseMass * (1 - IMPEDANCE)) / IMPEDANCE;
  const cone =
    friction > 0 ? `condim="3" friction="${friction} ${friction} 0.001 0.001 0.001"` : 'condim="1"';
  return `<pair geom1="floor" geom2="${geom}" ${cone} solref="${-part * stiffness} ${-part * damping}"
    solimp="${IMPEDANCE} ${IMPEDANCE} 0.001"/>`;
}

/** Stiffness (N/m) and damping (N s/m) of each foot for the bounce and damping above; `shares` are
 * relative stiffnesses. Damping is the same whatever the hardness. */
export function footSprings(
  mass: number,
  shares: readonly number[],
  hardness: number,
): readonly { readonly stiffness: number; readonly damping: number }[] {
  const total = shares.reduce((sum, share) => sum + share, 0);
  return shares.map((share) => ({
    stiffness: (share / total) * mass * (BOUNCE * hardness) ** 2,
    damping: (share / total) * mass * 2 * DAMPING * BOUNCE,
  }));
}

/** A cart of this mass about its centre, over the floor. `inside` holds geoms, sites and bodies in
 * coordinates from the centre of mass. */
export function world(
  cart: Loaded,
  ownMass: number,
  inside: string,
  pairs: string,
  hardness: number,
): string {
  // A radius of gyration of 0.5 m. Only the speed of what follows the onset depends on it; with
  // less, carts on a wide base rock too fast for the time step.
  const inertia = cart.mass * 0.25;
  return `<mujoco>
    <option timestep="${TIMESTEP / hardness}" cone="elliptic" impratio="100000" tolerance="1e-12"
      iterations="200" gravity="0 0 ${-GRAVITY}"/>
    <worldbody>
      <geom name="floor" type="plane" size="5 5 1" contype="0" conaffinity="0"/>
      <body name="cart" pos="${cart.centre.join(' ')}">
        <freejoint/>
        <inertial pos="0 0 0" mass="${ownMass}" diaginertia="${inertia} ${inertia} ${inertia}"/>
        ${inside}
      </body>
    </worldbody>
    <contact>${pairs}</contact>
  </mujoco>`;
}

function footedXml(cart: FootedCart, hardness: number): string {
  const [cx, cy, cz] = cart.centre;
  const springs = footSprings(
    cart.mass,
    cart.feet.map((f) => f.stiffness),
    hardness,
  );
  const inside = cart.feet.map(({ at }, i) => {
    const place = `pos="${at[0] - cx} ${at[1] - cy} ${FOOT_RADIUS - cz}"`;
    return `<site ${place}/>
      <geom name="foot${i}" type="sphere" size="${FOOT_RADIUS}" contype="0" conaffinity="0" ${place}/>`;
  });
  const pairs = cart.feet.map(({ friction }, i) => {
    const { stiffness = 0, damping = 0 } = springs[i] ?? {};
    return contactPair(`foot${i}`, friction, stiffness, damping, 1 / cart.mass);
  });
  return world(cart, cart.mass, inside.join(''), pairs.join(''), hardness);
}

/** Sets the load: tilts gravity, or applies the push as a force and its moment about the centre. */
function applyLoad(
  model: MjModel,
  data: MjData,
  cart: Loaded,
  loading: Loading,
  ratio: number,
): void {
  const dx = Math.cos(cart.direction);
  const dy = Math.sin(cart.direction);
  if (loading === 'ramp') {
    const cosine = 1 / Math.hypot(1, ratio);
    const along = GRAVITY * ratio * cosine;
    model.opt.gravity.set([along * dx, along * dy, -GRAVITY * cosine]);
    return;
  }
  const force = ratio * cart.mass * GRAVITY;
  const [rx, ry, rz] = cart.point.map((p, k) => p - (cart.centre[k] ?? 0)) as [
    number,
    number,
    number,
  ];
  const fx = force * dx;
  const fy = force * dy;
  // Body 0 is the world; six numbers a body: force, then moment.
  data.xfrc_applied.set([fx, fy, 0, -rz * fy, rz * fx, rx * fy - ry * fx], 6);
}

/** Greatest horizontal movement and greatest lift of any marked point since `from`, m. */
function movement(from: Float64Array, data: MjData): readonly [number, number] {
  const now = data.site_xpos as Float64Array;
  let slide = 0;
  let lift = 0;
  for (let i = 0; i < from.length; i += 3) {
    const x = (now[i] ?? 0) - (from[i] ?? 0);
    const y = (now[i + 1] ?? 0) - (from[i + 1] ?? 0);
    slide = Math.max(slide, Math.hypot(x, y));
    lift = Math.max(lift, (now[i + 2] ?? 0) - (from[i + 2] ?? 0));
  }
  return [slide, lift];
}

/** A limit, and for how long (s) the load rose until the far movement was reached. */
interface Rise extends PhysicsLimit {
  readonly rise: number;
}

/** Raises the load from `start` at `rate` (per second) after settling there. */
function raise(
  physics: Physics,
  model: MjModel,
  cart: Loaded,
  loading: Loading,
  start: number,
  rate: number,
): Rise {
  const timestep = model.opt.timestep;
  const data = new physics.MjData(model);
  try {
    const settle = Math.round(SETTLE / timestep);
    const up = settle / 2;
    for (let step = 0; step < settle; step += 1) {
      const part = Math.min(1, step / up);
      // Smooth at both ends, or the first jolt moves what would have held.
      applyLoad(model, data, cart, loading, start * part * part * (3 - 2 * part));
      physics.mj_step(model, data);
    }
    const still = Float64Array.from(data.site_xpos);
    const near: [number | null, number | null] = [null, null];
    for (let step = 1; ; step += 1) {
      const ratio = start + rate * step * timestep;
      const simulated = (settle + step) * timestep;
      if (ratio > MOST_RATIO) {
        return { kind: 'neither', ratio, reached: ratio, simulated, rise: simulated };
      }
      applyLoad(model, data, cart, loading, ratio);
      physics.mj_step(model, data);
      const moved = movement(still, data);
      for (const k of [0, 1] as const) {
        if (moved[k] > NEAR[k]) near[k] ??= ratio;
        if (moved[k] > FAR[k]) {
          const onset = 2 * (near[k] ?? ratio) - ratio;
          const rise = step * timestep;
          const reached = near[k] ?? ratio;
          return { kind: k === 0 ? 'slips' : 'tips', ratio: onset, reached, simulated, rise };
        }
      }
    }
  } finally {
    data.delete();
  }
}

/** Compiles a model; the caller deletes it. */
export function compiled(physics: Physics, xml: string): MjModel {
  const spec = physics.parseXMLString(xml);
  try {
    return physics.mj_compile(spec);
  } finally {
    spec.delete();
  }
}

/**
 * The load ratio at which a point marked by a site of the model starts to move: once at 0.1 a second
 * to find about where, then from nine tenths of that at 2 % of it a second (5e-4 at least: slower,
 * creep would pass for sliding). If it has moved before that start the search begins lower.
 */
export function limitOf(
  physics: Physics,
  model: MjModel,
  cart: Loaded,
  loading: Loading,
  patience: number,
): PhysicsLimit {
  const rough = raise(physics, model, cart, loading, 0, 0.1);
  let { kind, ratio, reached, simulated } = rough;
  if (kind === 'neither') return { kind, ratio, reached, simulated };
  const about = Math.max(ratio, 0.005);
  const rate = Math.max(0.02 * about, 5e-4) / patience;
  for (const part of [0.9, 0.7, 0.4, 0]) {
    const fine = raise(physics, model, cart, loading, part * about, rate);
    simulated += fine.simulated;
    ({ kind, ratio, reached } = fine);
    if (fine.rise > MOVING_ALREADY && ratio > part * about) break;
  }
  return { kind, ratio, reached, simulated };
}

/** The load ratio at which a cart on feet starts to move. */
export function physicsLimit(
  physics: Physics,
  cart: FootedCart,
  loading: Loading,
  care: Care = { hardness: 1, patience: 1 },
): PhysicsLimit {
  const model = compiled(physics, footedXml(cart, care.hardness));
  try {
    return limitOf(physics, model, cart, loading, care.patience);
  } finally {
    model.delete();
  }
}
