/**
 * Random carts with movers, loads and castors of every kind, for tests of whole searches. Drawn from
 * the ranges that carts for medical equipment have; imports nothing of the engine.
 */

import type { RandomMover } from './configurations.js';
import type { ReferenceCart, ReferenceCastor, ReferenceLoad } from './holding-slack.js';
import type { Random, Vec2 } from './random-contacts.js';

type Range = readonly [number, number];

export interface RandomCart extends ReferenceCart {
  /** pieces that every variable may be in: movers, loads, direction, one swivel angle a castor (of no
   * meaning for a fixed castor) */
  readonly domains: readonly (readonly Range[])[];
}

/** What to draw; left out: anything. */
export interface CartKind {
  readonly locks?: readonly ReferenceCastor['lock'][];
  readonly castors?: number;
  readonly movers?: number;
  readonly loads?: number;
}

const between = (random: Random, least: number, most: number): number =>
  least + (most - least) * random();

const oneOf = <T>(random: Random, choices: readonly T[]): T =>
  choices[Math.floor(random() * choices.length)] as T;

const FULL: Range = [-Math.PI, Math.PI];
const LOCKS = ['none', 'wheel', 'directional', 'total'] as const;

const holdsSwivel = (lock: ReferenceCastor['lock']): boolean =>
  lock === 'directional' || lock === 'total';

function randomCastor(random: Random, at: Vec2, tread: number, kind: CartKind): ReferenceCastor {
  const fixed = random() < 0.15;
  const wheelDiameter = between(random, 0.05, 0.15);
  const lock = oneOf(random, kind.locks ?? LOCKS);
  const engages = !fixed && holdsSwivel(lock) && random() < 0.3;
  return {
    at,
    wheelDiameter,
    trail: fixed || random() < 0.1 ? 0 : between(random, 0, 0.06),
    fixedDirection: fixed ? between(random, -Math.PI, Math.PI) : null,
    lock,
    brakeTorque: random() < 0.5 ? null : between(random, 1, 15),
    lockDirections: engages ? [0, Math.PI / 2, Math.PI, -Math.PI / 2] : null,
    swivelMoment: between(random, 0, 1),
    // To 4.5 mm: hard rubber on carpet (Al-Eisawi et al. 1999).
    rollingLength: between(random, 0.0005, 0.0045),
    stiffness: 1e5 * between(random, 1, 6),
    friction: tread * between(random, 0.8, 1.2),
  };
}

function swivelDomain(castor: ReferenceCastor): readonly Range[] {
  if (castor.fixedDirection !== null) return [[0, 0]];
  if (castor.lockDirections === null) return [FULL];
  return [...castor.lockDirections].sort((a, b) => a - b).map((angle): Range => [angle, angle]);
}

function randomMovers(random: Random, count: number): { mover: RandomMover; range: Range }[] {
  return Array.from({ length: count }, (_, i) => {
    const slides = random() < 0.5;
    const tilted = random() < 0.2;
    const lean = tilted ? between(random, -0.5, 0.5) : 0;
    const full = random() < 0.2;
    const turn: Range = full ? FULL : [between(random, -2, 0), between(random, 0, 2)];
    return {
      mover: {
        name: `mover ${i}`,
        kind: slides ? ('slide' as const) : ('turn' as const),
        on: i > 0 && random() < 0.7 ? `mover ${i - 1}` : null,
        origin: [between(random, -0.1, 0.1), between(random, -0.1, 0.1), 0.8] as const,
        axis: [Math.sin(lean), 0, Math.cos(lean)] as const,
      },
      range: slides ? ([0, between(random, 0, 0.4)] as const) : turn,
    };
  });
}

function randomLoad(random: Random, movers: number): ReferenceLoad {
  if (random() < 0.5) return { kind: 'incline', angle: between(random, 0.08, 0.18) };
  const points = Array.from({ length: random() < 0.5 ? 1 : 2 }, () => ({
    mover: Math.floor(between(random, -1, movers)),
    at: [between(random, -0.3, 0.3), between(random, -0.3, 0.3), between(random, 0, 1.4)] as const,
  }));
  return {
    kind: 'push',
    fraction: 0.15,
    cap: random() < 0.3 ? between(random, 20, 150) : 150,
    greatestHeight: between(random, 0.3, 1.5),
    points,
  };
}

/** Stems on a ring, now and then one further in. */
function randomStems(random: Random, count: number): Vec2[] {
  const turn = between(random, 0, 2 * Math.PI);
  return Array.from({ length: count }, (_, i): Vec2 => {
    const angle = turn + (2 * Math.PI * (i + between(random, -0.25, 0.25))) / count;
    const radius = count > 4 && random() < 0.2 ? 0.1 : between(random, 0.25, 0.45);
    return [radius * Math.cos(angle), radius * Math.sin(angle)];
  });
}

/** 3 to 6 castors, 0 to 2 movers, 0 to 3 loads, a heavy base and lighter parts above. */
export function randomCart(random: Random, kind: CartKind = {}): RandomCart {
  const tread = between(random, 0.2, 1);
  const stems = randomStems(random, kind.castors ?? 3 + Math.floor(4 * random()));
  const castors = stems.map((stem) => randomCastor(random, stem, tread, kind));
  const placed = randomMovers(random, kind.movers ?? Math.floor(3 * random()));
  const movers = placed.map(({ mover }) => mover);
  const carrier = (): string | null =>
    movers[Math.floor(between(random, -1, movers.length))]?.name ?? null;
  const near = (): number => between(random, -0.25, 0.25);
  const parts = [
    { mass: between(random, 10, 60), at: [0.2 * near(), 0.2 * near(), 0.15] as const, on: null },
    ...[0, 1, 2].map(() => ({
      mass: between(random, 1, 8),
      at: [near(), near(), between(random, 0.2, 1.2)] as const,
      on: carrier(),
    })),
  ];
  const loads = Array.from({ length: kind.loads ?? Math.floor(4 * random()) }, () => ({
    at: [near(), near(), between(random, 0.3, 1.3)] as const,
    on: carrier(),
  }));
  const masses = loads.map((): readonly Range[] => {
    const present: Range = [between(random, 0.1, 1), between(random, 1, 5)];
    return random() < 0.4 ? [[0, 0], present] : [present];
  });
  return {
    parts,
    movers,
    loads,
    castors,
    load: randomLoad(random, movers.length),
    gravity: 9.80665,
    domains: [
      ...placed.map(({ range }) => [range]),
      ...masses,
      [FULL],
      ...castors.map(swivelDomain),
    ],
  };
}
