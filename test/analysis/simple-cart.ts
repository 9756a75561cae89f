/** A cart whose answers are known in closed form: one body, four castors at the corners of a square. */

import type { Cart, Castor, Position, Vec3 } from '../../src/document/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';

/** m: the tipping lines are this far from the middle: stems at 0.28 m, trail 0.03 m. */
export const HALF_BASE = 0.25;
const STEM = 0.28;
const TRAIL = 0.03;

export function castorAt(
  name: string,
  at: readonly [number, number],
  lock: Castor['lock'],
): Castor {
  return {
    name,
    at,
    wheelDiameter: 0.125,
    trail: TRAIL,
    fixedDirection: null,
    lock,
    brakeTorque: null,
    lockDirections: null,
    swivelMoment: 0.3,
    rollingLength: 0.0022,
    rating: 60,
    stiffness: 4e5,
    tread: 'rubber',
  };
}

export const CORNERS: readonly (readonly [string, readonly [number, number]])[] = [
  ['front left', [STEM, STEM]],
  ['front right', [STEM, -STEM]],
  ['rear left', [-STEM, STEM]],
  ['rear right', [-STEM, -STEM]],
];

export const TRANSPORT: Position = { name: 'transport', kind: 'transport', movers: {}, loads: {} };
export const USE: Position = { name: 'in use', kind: 'use', movers: {}, loads: {} };

/** 50 kg with its centre of mass at `centre`; friction 0.6 +/- 0.1, assumed; pushed at 1 m. */
export function simpleCart(centre: Vec3, changes: Partial<Cart> = {}): Cart {
  return {
    name: 'Simple cart',
    description: '',
    mobility: 'mobile',
    parts: [
      {
        name: 'body',
        mass: 50,
        massTolerance: 0,
        massDistribution: 'rectangular',
        at: centre,
        atTolerance: 0,
        atDistribution: 'rectangular',
        on: null,
        massFrom: 'cart file',
      },
    ],
    movers: [],
    loads: [],
    castors: CORNERS.map(([name, at]) => castorAt(name, at, 'total')),
    floor: {
      name: 'vinyl',
      friction: [
        {
          tread: 'rubber',
          value: 0.6,
          tolerance: 0.1,
          distribution: 'rectangular',
          readings: null,
          basis: 'assumed',
        },
      ],
    },
    outline: [
      {
        name: 'box',
        on: null,
        shape: { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 1] },
        pushable: true,
      },
    ],
    surfaces: [],
    handles: [],
    markings: [],
    positions: [TRANSPORT, USE],
    requirements: null,
    uncertainty: {},
    ...changes,
  };
}

export function builtIn(id: string): RequirementSet {
  const set = findSet(builtInSets, id);
  if (set === null) throw new Error(`no set ${id}`);
  return set;
}

/** The set with the value of one clause replaced. */
export function withValue(
  set: RequirementSet,
  clause: string,
  id: string,
  value: number,
): RequirementSet {
  return {
    ...set,
    clauses: set.clauses.map((each) =>
      each.id === clause
        ? { ...each, values: each.values.map((v) => (v.id === id ? { ...v, value } : v)) }
        : each,
    ),
  };
}
