/** A report as a check would hand it over, made by hand to exercise the sheets: every verdict, every
 * way to fail, every kind of proof. Its numbers are plausible but nothing computes them. */

import type { Amount, CheckReport, Dimension, Finding } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';

const DEGREE = Math.PI / 180;

function amount(value: number, dimension: Dimension): Amount {
  return { value, dimension };
}
export function degrees(value: number): Amount {
  return amount(value * DEGREE, 'angle');
}
export function newtons(value: number): Amount {
  return amount(value, 'force');
}

const BASE: Finding = {
  id: 'overbalance-transport',
  title: 'Overbalance in transport position',
  requirement: {
    set: 'iec-60601-1-3.2',
    clause: '9.4.2.1',
    title: 'Instability in transport position',
    asks: 'The cart, prepared for transport, does not overbalance on an incline of 10 deg whichever way it is turned.',
    values: [{ id: 'incline', text: '10 deg', basis: 'memory', confirmed: false }],
  },
  applicability: { applies: true, reason: 'the cart is mobile' },
  verdict: 'holds',
  because: 'It tips at 13.24 deg where 10 deg is asked.',
  sense: 'at least',
  demand: degrees(10),
  capacity: degrees(13.24),
  margin: degrees(3.24),
  mode: {
    kind: 'tips',
    castors: ['front left', 'rear left'],
    line: [
      [0.25, 0.19],
      [-0.25, 0.19],
    ],
  },
  castors: [],
  frictionNeeded: null,
  worst: {
    position: 'transport',
    movers: { lift: 0, arm: Math.PI / 2 },
    loads: { 'left bag': 3, supplies: 0 },
    swivels: { 'front left': Math.PI / 2 },
    direction: Math.PI / 2,
    point: null,
    mass: 52.4,
    centreOfMass: [0.012, 0.034, 0.662],
    words:
      'lift at 0 mm, arm at 90 deg, left bag full, supplies absent, left castors trailing right, left side downhill',
  },
  proof: {
    kind: 'proven',
    bound: degrees(13.24),
    gap: degrees(0),
    method: 'closed form over headings and castor angles, corners of loads',
    boxes: 1,
  },
  leastFavourable: null,
  restsOn: ['incline 10 deg: unconfirmed, from memory'],
  working: [
    {
      text: 'distance from the load point to the tipping line',
      formula: 'd = n · (s - t) - n · c',
      substituted: '0.190 m - 0.034 m',
      value: amount(0.156, 'length'),
    },
    {
      text: 'tip angle',
      formula: 'θ = atan(d / h)',
      substituted: 'atan(0.156 m / 0.662 m)',
      value: degrees(13.24),
    },
  ],
  notes: [],
};

const PUSH: Finding = {
  ...BASE,
  id: 'movement-push',
  title: 'Unwanted movement under a horizontal push, locks on',
  requirement: {
    set: 'iec-60601-1-3.2',
    clause: '9.4.3.2',
    title: 'Instability from unwanted lateral movement, excluding transport',
    asks: 'With its locks on the cart moves no more than 50 mm under a horizontal push of 15 % of its weight.',
    values: [
      { id: 'weight-fraction', text: '15 %', basis: 'common practice', confirmed: false },
      { id: 'force-cap', text: '150 N', basis: 'memory', confirmed: true },
    ],
  },
  verdict: 'fails',
  because: 'Pulled to the right it pivots at 61.2 N where 77.1 N is asked.',
  demand: newtons(77.1),
  capacity: newtons(61.2),
  margin: newtons(-15.9),
  mode: { kind: 'pivots', about: [0.213, 0.041], sense: -1 },
  castors: [
    {
      name: 'front left',
      contact: [0.25, 0.19],
      swivel: -Math.PI / 2,
      lock: 'wheel',
      load: 88.2,
      share: 0.17,
      force: [12.5, -38.1],
      limit: 40.4,
    },
    {
      name: 'rear right',
      contact: [-0.25, -0.22],
      swivel: null,
      lock: 'none',
      load: 301.5,
      share: 0.59,
      force: null,
      limit: null,
    },
  ],
  frictionNeeded: { kind: 'none suffices', reason: 'the locked pair is unloaded by the pull' },
  worst: {
    ...(BASE.worst as NonNullable<Finding['worst']>),
    position: 'in use',
    direction: -Math.PI / 2,
    point: [0, 0, 1.2],
  },
  proof: {
    kind: 'proven',
    bound: newtons(60.9),
    gap: newtons(0.3),
    method: 'branch and bound',
    boxes: 12345,
  },
  leastFavourable: { capacity: newtons(48.8), words: 'rear left castor lifted by an uneven floor' },
  restsOn: [
    'friction of grey rubber on vinyl 3 mm on concrete 0.6, 0.5 to 0.7: assumed, not measured',
    'weight-fraction 15 %: unconfirmed, common practice',
  ],
  notes: ['A push the other way holds to 118 N.'],
};

const FINDINGS: readonly Finding[] = [
  BASE,
  PUSH,
  {
    ...PUSH,
    id: 'movement-incline-use',
    title: 'Unwanted movement on an incline in use',
    verdict: 'depends on friction',
    because: 'It holds at 5 deg only where friction reaches 0.471; 0.6 is assumed.',
    demand: degrees(5),
    capacity: degrees(5.8),
    margin: degrees(0.8),
    mode: { kind: 'slides', direction: Math.PI / 2 },
    frictionNeeded: {
      kind: 'value',
      found: 0.4701,
      proven: 0.4832,
      words: 'lift at 400 mm, arm at 90 deg, left side downhill',
    },
  },
  {
    ...BASE,
    id: 'propulsion',
    title: 'Force for propulsion',
    requirement: { ...BASE.requirement, clause: '9.4.2.4.2' },
    sense: 'at most',
    because: 'Starting it takes 41.5 N where 200 N is allowed.',
    demand: newtons(41.5),
    capacity: newtons(200),
    margin: newtons(158.5),
    mode: { kind: 'rolls', direction: 0 },
    proof: { kind: 'sampled', samples: 20000, reason: 'the castor angles are not bounded' },
  },
  {
    ...BASE,
    id: 'threshold',
    title: 'Movement over a threshold',
    requirement: { ...BASE.requirement, clause: '9.4.2.4.3' },
    verdict: 'not decided',
    because: 'The speed at the step is not known.',
    demand: null,
    capacity: null,
    margin: null,
    mode: { kind: 'stops', what: 'the front castors meet the step' },
    worst: null,
    proof: { kind: 'none', reason: 'nothing to bound' },
  },
  {
    ...BASE,
    id: 'handles',
    title: 'Handles',
    requirement: { ...BASE.requirement, clause: '9.4.4' },
    applicability: { applies: false, reason: 'the cart has no lifting handles' },
    verdict: 'not applicable',
    because: 'It does not apply.',
    demand: null,
    capacity: null,
    margin: null,
    mode: null,
    worst: null,
    proof: { kind: 'none', reason: 'does not apply' },
    restsOn: [],
    working: [],
  },
];

export const SAMPLE_REPORT: CheckReport = {
  cart: 'Telehealth cart, two locks on one side',
  requirementSet: { id: 'iec-60601-1-3.2', title: 'IEC 60601-1 edition 3.2, stability' },
  verdict: 'fails',
  findings: FINDINGS,
  cautions: [
    'A calculation, not a test: it does not replace the test that the standard asks for.',
    'Requirement values marked unconfirmed were not compared with a purchased copy.',
  ],
};

/** Only what the sheets look up in a cart. */
export const SAMPLE_CART: Cart = {
  name: SAMPLE_REPORT.cart,
  description: '',
  mobility: 'mobile',
  parts: [],
  movers: [
    {
      name: 'lift',
      kind: 'slide',
      on: null,
      origin: [0, 0, 0],
      axis: [0, 0, 1],
      from: 0,
      to: 0.4,
      stops: null,
    },
    {
      name: 'arm',
      kind: 'turn',
      on: null,
      origin: [0, 0, 0.9],
      axis: [0, 0, 1],
      from: -Math.PI / 2,
      to: Math.PI / 2,
      stops: null,
    },
  ],
  loads: [],
  castors: [],
  floor: { name: 'vinyl', friction: [] },
  outline: [],
  surfaces: [],
  handles: [],
  markings: [],
  positions: [],
  requirements: null,
  uncertainty: {},
};
