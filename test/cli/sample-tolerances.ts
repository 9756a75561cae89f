/** An assessment of tolerances with everything a sheet has to show, by hand. */

import type { ToleranceFinding, ToleranceReport } from '../../src/tolerances/index.js';

const DEGREE = Math.PI / 180;

function reserve(mean: number, standard: number): NonNullable<ToleranceFinding['reserve']> {
  const symmetric = { from: mean - 1.96 * standard, to: mean + 1.96 * standard };
  const known = { tolerance: 0.005, unsteady: 0.002, converged: true };
  return { trials: 4000, mean, standard, symmetric, shortest: symmetric, ...known };
}

const ALWAYS = { value: 1, from: 0.9991, to: 1 } as const;

const PUSH: ToleranceFinding = {
  id: 'unwanted-movement-push',
  clause: '9.4.3.2',
  title: 'Unwanted movement under a push, excluding transport',
  kind: 'judged',
  reason: 'The cart has 2 castor locks.',
  probability: { value: 0.762, from: 0.7485, to: 0.7751 },
  applied: 1,
  dimension: 'force',
  nominal: { demand: 82.8, capacity: 85.7, reserve: 1.0355 },
  demand: { mean: 82.81, standard: 0.39 },
  capacity: { mean: 84.93, standard: 2.8 },
  reserve: reserve(1.026, 0.032),
  effects: [
    {
      input: 'friction of grey rubber',
      low: -4.81,
      high: 3.73,
      main: { value: 0.78, from: 0.7, to: 0.86 },
      total: { value: 0.81, from: 0.72, to: 0.9 },
    },
    {
      input: 'trail of all castors',
      low: 0.307,
      high: -0.00001,
      main: { value: 0.01, from: 0, to: 0.02 },
      total: { value: 0.012, from: 0.01, to: 0.014 },
    },
    { input: 'mass of display', low: 0.1, high: -0.1, main: null, total: null },
  ],
};

const TIPS: ToleranceFinding = {
  ...PUSH,
  id: 'overbalance-transport',
  clause: '9.4.2.1',
  title: 'Overbalance in the transport position',
  probability: ALWAYS,
  dimension: 'angle',
  nominal: { demand: 10 * DEGREE, capacity: 38 * DEGREE, reserve: 3.8 },
  demand: { mean: 10 * DEGREE, standard: 0 },
  capacity: { mean: 38.02 * DEGREE, standard: 0.2 * DEGREE },
  reserve: reserve(3.8, 0.027),
  effects: [
    {
      input: 'trail of all castors',
      low: 0.11 * DEGREE,
      high: -0.11 * DEGREE,
      main: { value: 0.97, from: 0.9, to: 1.04 },
      total: { value: 0.99, from: 0.91, to: 1.07 },
    },
  ],
};

export const SAMPLE_TOLERANCES: ToleranceReport = {
  cart: 'Telehealth cart',
  requirementSet: { id: 'iec-60601-1-3.2', title: 'Medical electrical equipment, edition 3.2' },
  inputs: [
    {
      name: 'mass of display',
      dimension: 'mass',
      nominal: 4.6,
      tolerance: 0.1,
      distribution: 'rectangular',
      standard: 0.1 / Math.sqrt(3),
      from: 'parts > display > mass tolerance',
      redrawn: 0,
      ranked: false,
    },
    {
      name: 'trail of all castors',
      dimension: 'length',
      nominal: 0.032,
      tolerance: 0.001,
      distribution: 'normal',
      standard: 0.0005,
      from: 'uncertainty > trail',
      redrawn: 12,
      ranked: true,
    },
    {
      name: 'friction of grey rubber',
      dimension: 'ratio',
      nominal: 0.6,
      tolerance: 0.1,
      distribution: 't',
      standard: 0.05,
      from: 'floor > friction > grey rubber > tolerance',
      redrawn: 0,
      ranked: true,
    },
    ...(['forward place', 'sideways place'] as const).map((axis) => ({
      name: `${axis} of front left castor`,
      dimension: 'length' as const,
      nominal: 0.32,
      tolerance: 0.002,
      distribution: 'triangular' as const,
      standard: 0.002 / Math.sqrt(6),
      from: 'uncertainty > castor places',
      redrawn: 0,
      ranked: true,
    })),
  ],
  findings: [
    TIPS,
    {
      ...TIPS,
      id: 'horizontal-force',
      clause: '9.4.2.3 a)',
      title: 'Horizontal force',
      probability: { value: 0.9998, from: 0.99861, to: 0.999994 },
      applied: 0.483,
      dimension: 'force',
      nominal: null,
      demand: { mean: 76.9, standard: 0.4 },
      capacity: null,
      effects: [],
    },
    {
      ...TIPS,
      id: 'propulsion',
      clause: '9.4.2.4.2',
      title: 'Force for propulsion',
      kind: 'not known',
      reason: 'Something is not given.',
      probability: null,
      demand: null,
      capacity: null,
      reserve: null,
      effects: [],
    },
    {
      ...TIPS,
      id: 'handles',
      clause: '9.4.4',
      title: 'Handles for lifting',
      kind: 'never asked',
      reason: 'The cart has no handle for lifting.',
      applied: 0,
      effects: [],
    },
    PUSH,
  ],
  governing: 'unwanted-movement-push',
  together: { value: 0.7618, from: 0.7483, to: 0.7749 },
  trials: 4000,
  seed: 1,
  precision: 0.01,
  convergence: {
    kind: 'not converged',
    reasons: ['all together: the probability is known to 1.3 %, 1.0 % is wanted'],
  },
  rankingRows: 200,
  search: { trials: 10, difference: 0.0016 },
  notes: [],
  cautions: ['A prediction: it does not replace the test.'],
};
