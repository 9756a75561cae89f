/** Edits drawn at random for a cart, all of which can be made. */

import type { Cart, CartEdit, CastorKind, LoadState } from '../../src/document/index.js';
import { editCart, editsProblem } from '../../src/document/index.js';

type Random = () => number;

function pick<T>(random: Random, from: readonly T[]): T {
  const item = from[Math.floor(random() * from.length)];
  if (item === undefined) throw new Error('pick: nothing to pick from');
  return item;
}

/** Names that other readers would take for something else, or that YAML would cut. */
export const HOSTILE_NAMES: readonly string[] = [
  ...['yes', 'null', '~', '0x1', '1e3', '012', '1_000', '2024-01-01', '12:30', 'true', 'Off'],
  ...['- a', '? a', ': a', 'a: b', 'a:', '# a', 'a # b', '&a', '*a', '!a', '|', '>', '%a', '@a'],
  ...['{a}', '[a]', 'a, b', ',', '"', "'", `it's "so"`, "''", '\\', '\\n', '---', '...', '<<'],
  ...[
    'العربية',
    'עגלה 12',
    '台車 №3',
    'größe ½',
    '😀 cart',
    'e\u0301tage',
    '.inf',
    '-',
    '=',
    '`a`',
  ],
];

const WAYS: readonly ((cart: Cart, random: Random) => CartEdit | null)[] = [
  (_, random) => ({ kind: 'rename', name: pick(random, [...HOSTILE_NAMES, 'Another cart']) }),
  (cart, random) => {
    const { name, fixedDirection } = pick(random, cart.castors);
    const locks = ['none', 'wheel', 'directional', 'total'] as const;
    const lock = pick(random, fixedDirection === null ? locks : (['none', 'wheel'] as const));
    const isBraked = lock === 'wheel' || lock === 'total';
    const isHeld = lock === 'directional' || lock === 'total';
    const angles = [0, 90, 180, 270].slice(0, 1 + Math.floor(random() * 4));
    return {
      kind: 'castor lock',
      castor: name,
      lock,
      brakeTorque: isBraked && random() < 0.6 ? 1 + 20 * random() : null,
      lockDirections: isHeld && random() < 0.6 ? angles.map((a) => (a * Math.PI) / 180) : null,
    };
  },
  (cart, random) => {
    const { name, at } = pick(random, cart.castors);
    const step = () => (random() < 0.3 ? 0 : (random() - 0.5) / 10);
    return { kind: 'castor place', castor: name, at: [at[0] + step(), at[1] + step()] };
  },
  (cart, random) => {
    const { name } = pick(random, cart.castors);
    return { kind: 'castor kind', castor: name, becomes: kindOf(cart, name, random) };
  },
  (cart, random) => {
    const known = cart.floor.friction.map(({ tread }) => tread);
    const tread = pick(random, [...known, ...known, pick(random, HOSTILE_NAMES)]);
    const value = pick(random, [0.3, 0.55, 0.2 + random()]);
    const basis = pick(random, ['assumed', 'measured'] as const);
    return { kind: 'friction', tread, value, tolerance: value * random() * 0.4, basis };
  },
  (cart, random) => ({
    kind: 'add part',
    name: pick(random, [...HOSTILE_NAMES, 'ballast']),
    mass: pick(random, [3.2, 0.1 + 10 * random()]),
    at: [random() - 0.5, pick(random, [0, 0.3 - 0.1 - 0.2]), random()],
    on: pick(random, [null, ...cart.movers.map(({ name }) => name)]),
  }),
  (cart, random) => {
    const { name, mass } = pick(random, cart.parts);
    return { kind: 'part mass', part: name, mass: mass * pick(random, [1, 1.5, 0.5 + random()]) };
  },
  (cart, random) => {
    const { name, at } = pick(random, cart.parts);
    return { kind: 'part place', part: name, at: [at[0], random() - 0.5, at[2] + 0.1] };
  },
  (cart, random) => {
    if (cart.movers.length === 0) return null;
    const { name, from, to } = pick(random, cart.movers);
    const [a, b] = [from + (to - from) * 0.6 * random(), to + (to - from) * (random() - 0.3)];
    return { kind: 'mover range', mover: name, from: pick(random, [from, a]), to: Math.max(a, b) };
  },
  (cart, random) => {
    if (cart.movers.length === 0) return null;
    const { name, from, to } = pick(random, cart.movers);
    const ends = [from + (to - from) * random(), pick(random, [from, to])].sort((p, q) => p - q);
    const [low = 0, high = 0] = random() < 0.3 ? [ends[0], ends[0]] : ends;
    const position = pick(random, cart.positions).name;
    return { kind: 'position mover', position, mover: name, from: low, to: high };
  },
  (cart, random) => {
    if (cart.loads.length === 0) return null;
    const { name, kind, least, most } = pick(random, cart.loads);
    const some = least + (most - least) * random();
    const states: LoadState[] = [
      { least: 0, most: 0, mayBeAbsent: false },
      { least: most, most, mayBeAbsent: false },
      { least: some, most, mayBeAbsent: false },
      { least, most, mayBeAbsent: kind === 'removable' },
    ];
    const position = pick(random, cart.positions).name;
    return { kind: 'position load', position, load: name, state: pick(random, states) };
  },
  (_, random) => {
    const marking = pick(random, ['no pushing', 'no sitting', 'no stepping'] as const);
    return { kind: 'add marking', marking };
  },
  (_, random) => ({ kind: 'raise', by: pick(random, [0.0127, 0.01, 0, random() / 10]) }),
];

function kindOf(cart: Cart, name: string, random: Random): CastorKind {
  const own = cart.castors.find((each) => each.name === name);
  const other = pick(random, cart.castors);
  if (own === undefined) throw new Error(`kindOf: ${name}`);
  if (random() < 0.3 && (own.fixedDirection === null) === (other.fixedDirection === null)) {
    return other;
  }
  const swivels = own.fixedDirection === null;
  return {
    ...own,
    // few values, so that castors come to be alike
    wheelDiameter: pick(random, [own.wheelDiameter, 0.15, 0.2]),
    trail: swivels ? pick(random, [own.trail, 0.02, 0.01 + random() / 10]) : 0,
    swivelMoment: swivels ? pick(random, [own.swivelMoment, 0.4]) : 0,
    rating: pick(random, [own.rating, null, 100]),
    tread: pick(random, cart.floor.friction).tread,
  };
}

/** @returns `count` edits, fewer where many drawn could not be made */
export function randomEdits(cart: Cart, count: number, random: Random): readonly CartEdit[] {
  const edits: CartEdit[] = [];
  for (let attempt = 0; attempt < 6 * count && edits.length < count; attempt += 1) {
    const made = editCart(cart, edits);
    const edit = pick(random, WAYS)(made, random);
    if (edit !== null && editsProblem(made, [edit]) === null) edits.push(edit);
  }
  return edits;
}
