/**
 * Carts on real castors in a physics engine: a stem that swivels, a wheel behind it that rolls,
 * locks that weld the one or the other. Nothing here knows a limit along or across a wheel: a
 * castor that swivels carries no moment about its stem because it is a hinge. So the engine's table
 * of limits by lock is checked, not assumed.
 *
 * Wheels are balls of the wheel's radius (a wheel has no width on the floor here); bearings and
 * brakes are dry friction in the hinges. The hinges' inertia is raised and their friction made hard,
 * so that they do not creep: a micrometre a second or so at the wheel.
 */

import type { Loaded, Physics, PhysicsLimit } from './physics-ramp.js';
import { compiled, contactPair, footSprings, limitOf, world } from './physics-ramp.js';
import type { Random, ReferenceContact, ReferencePath, Vec2 } from './random-contacts.js';
import { insetOf } from './random-contacts.js';

export interface JointedCastor {
  readonly stem: Vec2;
  /** m, > 0 */
  readonly trail: number;
  /** rad, from stem to contact */
  readonly swivel: number;
  /** m */
  readonly wheelRadius: number;
  readonly friction: number;
  /** relative */
  readonly stiffness: number;
  readonly lock: 'none' | 'wheel' | 'directional' | 'total';
  /** N m of dry friction about the stem where it may swivel */
  readonly swivelMoment: number;
  /** N m of dry friction at the axle: the bearing's, or the brake's; null: welded */
  readonly axleTorque: number | null;
}

export interface JointedCart extends Loaded {
  readonly castors: readonly JointedCastor[];
}

/** kg of a fork and of a wheel: next to nothing, since they would move the centre of mass */
const PIECE = 0.002;
/** kg: a hinge's inertia is this times its arm (trail, wheel radius) squared. The lighter, the more
 * it creeps; the heavier, the slower a cart gives way, and it can tip before it is seen to slide. */
const HINGE = 20;
const HARD = 'solimpfriction="0.9999 0.9999 0.001" solreffriction="0.004 1"';
const FEATHER = `<inertial pos="0 0 0" mass="${PIECE}" diaginertia="1e-5 1e-5 1e-5"/>`;

type Vec3 = JointedCart['centre'];

const swivels = (c: JointedCastor): boolean => c.lock === 'none' || c.lock === 'wheel';

function hinge(axis: string, arm: number, friction: number, mass: number): string {
  return `<joint type="hinge" axis="${axis}" armature="${mass * arm * arm}"
    frictionloss="${friction}" ${HARD}/>`;
}

function castorXml(c: JointedCastor, i: number, centre: Vec3, hingeMass: number): string {
  const cos = Math.cos(c.swivel);
  const sin = Math.sin(c.swivel);
  const stem = `pos="${c.stem[0] - centre[0]} ${c.stem[1] - centre[1]} ${-centre[2]}"`;
  const turn = swivels(c) ? hinge('0 0 1', c.trail, c.swivelMoment, hingeMass) : '';
  const roll =
    c.axleTorque === null ? '' : hinge(`${-sin} ${cos} 0`, c.wheelRadius, c.axleTorque, hingeMass);
  return `<site ${stem}/>
    <body ${stem}>${turn}${FEATHER}
      <body name="wheel${i}" pos="${c.trail * cos} ${c.trail * sin} ${c.wheelRadius}">
        ${roll}${FEATHER}
        <geom name="foot${i}" type="sphere" size="${c.wheelRadius}" contype="0" conaffinity="0"/>
      </body>
    </body>`;
}

function jointedXml(
  cart: JointedCart,
  inverseMasses: readonly number[],
  hingeMass: number,
): string {
  const springs = footSprings(
    cart.mass,
    cart.castors.map((c) => c.stiffness),
    1,
  );
  const inside = cart.castors.map((c, i) => castorXml(c, i, cart.centre, hingeMass));
  const pairs = cart.castors.map((c, i) => {
    const { stiffness = 0, damping = 0 } = springs[i] ?? {};
    return contactPair(`foot${i}`, c.friction, stiffness, damping, inverseMasses[i] ?? 1);
  });
  const ownMass = cart.mass - 2 * PIECE * cart.castors.length;
  return world(cart, ownMass, inside.join(''), pairs.join(''), 1);
}

/** What the physics engine divides contact forces by, per wheel: known once a model is compiled. */
function inverseMassesOf(physics: Physics, cart: JointedCart, hingeMass: number): number[] {
  const model = compiled(physics, jointedXml(cart, [], hingeMass));
  try {
    // Bodies: world, cart, then fork and wheel of each castor; two numbers a body, translation first.
    return cart.castors.map((_, i) => Number(model.body_invweight0[2 * (3 + 2 * i)]));
  } finally {
    model.delete();
  }
}

/** Push / weight at which a stem starts to move. `hingeMass` (kg) other than usual tells creep from
 * everything else. */
export function jointedLimit(
  physics: Physics,
  cart: JointedCart,
  hingeMass: number = HINGE,
): PhysicsLimit {
  const masses = inverseMassesOf(physics, cart, hingeMass);
  const model = compiled(physics, jointedXml(cart, masses, hingeMass));
  try {
    return limitOf(physics, model, cart, 'push', 1);
  } finally {
    model.delete();
  }
}

const contactOf = (c: JointedCastor): Vec2 => [
  c.stem[0] + c.trail * Math.cos(c.swivel),
  c.stem[1] + c.trail * Math.sin(c.swivel),
];

/** The same cart by the castor table: along the wheel axle torque / radius, across it swivel moment /
 * trail where it may swivel, the friction disc else. */
export function jointedProblem(cart: JointedCart): {
  readonly contacts: readonly ReferenceContact[];
  readonly path: ReferencePath;
} {
  return {
    contacts: cart.castors.map((c) => ({
      contact: contactOf(c),
      grip: contactOf(c),
      direction: c.swivel,
      friction: c.friction,
      alongFixed: c.axleTorque === null ? Number.POSITIVE_INFINITY : c.axleTorque / c.wheelRadius,
      alongPerNormal: 0,
      acrossFixed: swivels(c) ? c.swivelMoment / c.trail : Number.POSITIVE_INFINITY,
      acrossPerNormal: 0,
      stiffness: 1e5 * c.stiffness,
    })),
    path: {
      weight: cart.mass * 9.80665, // m/s^2, standard gravity (CGPM 1901)
      centre: [cart.centre[0], cart.centre[1]],
      direction: cart.direction,
      point: [cart.point[0], cart.point[1]],
      height: cart.point[2],
    },
  };
}

const between = (random: Random, least: number, most: number): number =>
  least + (most - least) * random();

function randomCastor(random: Random, stem: Vec2, friction: number): JointedCastor {
  const lock = (['none', 'wheel', 'directional', 'total'] as const)[Math.floor(4 * random())];
  const braked = lock === 'wheel' || lock === 'total';
  const welded = random() < 0.6;
  return {
    stem,
    trail: between(random, 0.02, 0.05),
    swivel: between(random, 0, 2 * Math.PI),
    wheelRadius: between(random, 0.035, 0.06),
    friction,
    stiffness: between(random, 1, 4),
    lock: lock ?? 'none',
    swivelMoment: between(random, 0.2, 1.5),
    axleTorque: braked ? (welded ? null : between(random, 2, 8)) : between(random, 0.05, 0.3),
  };
}

/** 3 to 6 castors of all lock kinds, two or more of them locked somehow. */
export function randomJointedCart(random: Random): JointedCart {
  for (;;) {
    const count = 3 + Math.floor(random() * 4);
    const friction = between(random, 0.4, 0.9);
    const castors = Array.from({ length: count }, (_, i) => {
      const angle = (2 * Math.PI * (i + between(random, -0.3, 0.3))) / count;
      const radius = between(random, 0.3, 0.5);
      const stem: Vec2 = [radius * Math.cos(angle), 0.8 * radius * Math.sin(angle)];
      return randomCastor(random, stem, friction);
    });
    const contacts = castors.map(contactOf);
    const shares = castors.map(() => -Math.log(1 - random()));
    const sum = shares.reduce((total, share) => total + share, 0);
    const mean = (axis: 0 | 1): number =>
      contacts.reduce((total, c, i) => total + ((shares[i] ?? 0) / sum) * c[axis], 0);
    const cart: JointedCart = {
      castors,
      mass: between(random, 30, 120),
      centre: [mean(0), mean(1), between(random, 0.2, 0.6)],
      direction: between(random, 0, 2 * Math.PI),
      point: [between(random, -0.3, 0.3), between(random, -0.3, 0.3), between(random, 0.1, 0.6)],
    };
    const isHeld = castors.filter((c) => c.lock !== 'none').length >= 2;
    // Further inside than carts on feet: with wheels this light a castor near lift-off shakes.
    if (isHeld && insetOf([cart.centre[0], cart.centre[1]], contacts) > 0.06) return cart;
  }
}
