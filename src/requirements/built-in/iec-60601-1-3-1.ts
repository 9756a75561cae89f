import type { SetDraft } from '../draft.js';

/**
 * Edition 3.0 with amendment 1: what changes. The horizontal forces, the threshold and the angle of
 * unwanted movement are others, and a push with the locks on is added.
 */
export const iec60601Edition31: SetDraft = {
  id: 'iec-60601-1-3.1',
  title: 'Medical electrical equipment, edition 3.1',
  standard: 'IEC 60601-1',
  edition: '3.1 (amendment 1:2012)',
  'based on': 'iec-60601-1-3.0',
  clauses: [
    {
      id: 'horizontal-force',
      values: {
        'weight-fraction': { value: '15 %', basis: 'memory', note: 'confidence medium' },
        'force-cap': { value: '150 N', basis: 'memory', note: 'confidence medium' },
      },
    },
    {
      id: 'threshold',
      values: {
        'mass-above': { value: '45 kg', basis: 'secondary' },
        'step-height': { value: '10 mm', basis: 'secondary' },
        'step-width': {
          value: '80 mm',
          basis: 'memory',
          note: 'taken over from edition 3.0: the figures at hand state no width for this edition',
        },
        speed: { value: '0.8 m/s', basis: 'memory' },
        'speed-tolerance': { value: '0.1 m/s', basis: 'memory' },
      },
    },
    {
      id: 'unwanted-movement-transport',
      values: {
        incline: { value: '10 deg', basis: 'common practice' },
      },
    },
    {
      id: 'unwanted-movement-push',
      clause: '9.4.3.2',
      title: 'Unwanted movement under a push, excluding transport',
      asks: 'In every other position of normal use, locks on, with the castors the least favourable way, the cart on a hard floor covered with vinyl is pushed in every direction at its highest point but no higher than stated, and moves no further than stated once the first elastic movement, creepage and pivoting are over.',
      question: 'holding against push',
      conditions: ['has castors'],
      values: {
        'weight-fraction': { value: '15 %', basis: 'common practice' },
        'force-cap': { value: '150 N', basis: 'memory' },
        'greatest-height': { value: '1.5 m', basis: 'memory' },
        movement: { value: '50 mm', basis: 'common practice' },
        'floor-covering-least': { value: '2 mm', basis: 'memory' },
        'floor-covering-most': { value: '4 mm', basis: 'memory' },
      },
    },
  ],
};
