import type { SetDraft } from '../draft.js';

/**
 * Medical electrical equipment, general requirements, first issue of edition 3. Figures mostly from
 * memory, as each `basis` says. Where the figures at hand leave two values open, the stricter stands
 * and the note says so.
 */
export const iec60601Edition30: SetDraft = {
  id: 'iec-60601-1-3.0',
  title: 'Medical electrical equipment, edition 3.0',
  standard: 'IEC 60601-1',
  edition: '3.0 (2005)',
  clauses: [
    {
      id: 'overbalance-transport',
      clause: '9.4.2.1',
      title: 'Overbalance in the transport position',
      asks: 'Prepared for transport, the cart does not tip on the incline in any direction, with the least favourable accessories, liquids, cords, castor orientation and load up to the safe working load.',
      question: 'overbalance',
      positions: 'transport',
      values: {
        incline: { value: '10 deg', basis: 'memory', note: 'confidence high' },
      },
    },
    {
      id: 'overbalance-use',
      clause: '9.4.2.2',
      title: 'Overbalance excluding transport',
      asks: 'In every other position of normal use, with doors, drawers and shelves the least favourable way, the cart does not tip on the incline; if it would tip on the steeper one, a marking is due.',
      question: 'overbalance',
      positions: 'use',
      values: {
        incline: { value: '5 deg', basis: 'memory', note: 'confidence high' },
        'mark-incline': { value: '10 deg', basis: 'memory', note: 'confidence high' },
      },
    },
    {
      id: 'horizontal-force',
      clause: '9.4.2.3 a)',
      title: 'Horizontal force',
      asks: 'Equipment on the floor does not tip under a force in any direction without an upward part, at its highest point but no higher than stated, while a low stop keeps it from sliding; a sign against pushing (ISO 7010 P017) takes this demand away.',
      question: 'horizontal force',
      conditions: ['may be pushed'],
      values: {
        'mass-at-least': { value: '25 kg', basis: 'memory', note: 'confidence medium' },
        'weight-fraction': { value: '25 %', basis: 'memory', note: 'confidence medium' },
        'force-cap': { value: '220 N', basis: 'memory', note: 'confidence medium' },
        'greatest-height': { value: '1.5 m', basis: 'memory', note: 'confidence medium' },
      },
    },
    {
      id: 'downward-force',
      clause: '9.4.2.3 b)',
      title: 'Downward force on footholds and seats',
      asks: 'The cart does not tip under a downward force at the point of greatest moment on each foothold or seat up to the height stated, unless it is signed against (ISO 7010 P018 sitting, P019 stepping).',
      question: 'downward force',
      surfaces: ['foothold', 'seat'],
      values: {
        force: { value: '800 N', basis: 'memory', note: 'confidence medium' },
        'patch-length': { value: '20 cm', basis: 'memory', note: 'confidence medium' },
        'patch-width': { value: '20 cm', basis: 'memory', note: 'confidence medium' },
        'foothold-patch-width': {
          value: '5 cm',
          basis: 'memory',
          note: 'confidence medium; unresolved: footholds of 5 cm x 20 cm are also met; the narrower area, which lets the force nearer to the edge, is the stricter and is used for footholds',
        },
        'greatest-height': { value: '1 m', basis: 'memory', note: 'confidence medium' },
      },
    },
    {
      id: 'propulsion',
      clause: '9.4.2.4.2',
      title: 'Force for propulsion',
      asks: 'A mobile cart starts and keeps moving over a hard flat floor under no more than the stated force, applied at the stated height or at the top if that is lower.',
      question: 'propulsion',
      conditions: ['mobile', 'has castors'],
      values: {
        'force-limit': { value: '200 N', basis: 'secondary' },
        'greatest-height': { value: '1 m', basis: 'memory', note: 'confidence high' },
        speed: { value: '0.4 m/s', basis: 'memory', note: 'confidence high' },
        'speed-tolerance': { value: '0.1 m/s', basis: 'memory', note: 'confidence high' },
      },
    },
    {
      id: 'threshold',
      clause: '9.4.2.4.3',
      title: 'Moving over a threshold',
      asks: 'A mobile cart is driven over the threshold at the stated speed as often as stated, without tipping.',
      question: 'threshold',
      conditions: ['mobile', 'has castors'],
      values: {
        'step-height': { value: '20 mm', basis: 'memory' },
        'step-width': { value: '80 mm', basis: 'memory' },
        speed: { value: '0.4 m/s', basis: 'memory' },
        'speed-tolerance': {
          value: '0.1 m/s',
          basis: 'memory',
          note: 'the figures at hand state no tolerance; that of the propulsion speed in the same edition is used, the stricter',
        },
        passes: { value: 10, basis: 'memory' },
      },
    },
    {
      id: 'unwanted-movement-transport',
      clause: '9.4.3.1',
      title: 'Unwanted movement in the transport position',
      asks: 'Prepared for transport, locks on, under the safe working load and with the castors the least favourable way, the cart on a hard floor covered with vinyl moves no further than stated once the first elastic movement, creepage and pivoting are over.',
      question: 'holding on incline',
      positions: 'transport',
      conditions: ['has castors'],
      values: {
        incline: {
          value: '10 deg',
          basis: 'memory',
          note: 'unresolved: 6 deg or 10 deg in this edition; the stricter, 10 deg, is used',
        },
        movement: { value: '50 mm', basis: 'common practice' },
        'floor-covering-least': { value: '2 mm', basis: 'memory' },
        'floor-covering-most': { value: '4 mm', basis: 'memory' },
      },
    },
    {
      id: 'unwanted-movement-use',
      clause: '9.4.3.2',
      title: 'Unwanted movement excluding transport',
      asks: 'In every other position of normal use, locks on, under the safe working load and with the castors the least favourable way, the cart on a hard floor covered with vinyl moves no further than stated once the first elastic movement, creepage and pivoting are over.',
      question: 'holding on incline',
      positions: 'use',
      conditions: ['has castors'],
      values: {
        incline: { value: '5 deg', basis: 'common practice' },
        movement: { value: '50 mm', basis: 'common practice' },
        'floor-covering-least': { value: '2 mm', basis: 'memory' },
        'floor-covering-most': { value: '4 mm', basis: 'memory' },
      },
    },
    {
      id: 'handles',
      clause: '9.4.4',
      title: 'Handles for lifting',
      asks: 'The handles a cart is lifted by bear the stated multiple of its weight, spread over the stated length of grip, for the stated time.',
      question: 'handles',
      conditions: ['has lifting handles'],
      values: {
        'mass-above': { value: '20 kg', basis: 'memory' },
        factor: { value: 4, basis: 'secondary' },
        'grip-width': { value: '7 cm', basis: 'memory' },
        duration: { value: '1 min', basis: 'memory' },
      },
    },
    {
      id: 'castor-rating',
      clause: 'common practice',
      title: 'Castor loads against their rating',
      asks: 'No castor carries more than it is rated for.',
      note: 'no clause of the standard: common practice among makers of carts',
      question: 'castor load',
      conditions: ['has castors'],
      values: {
        factor: { value: 1, basis: 'common practice' },
      },
    },
    {
      id: 'castor-missing',
      clause: 'common practice',
      title: 'All castors but one carry the cart',
      asks: 'On an uneven floor one castor may hang free: the ratings of all the others together bear the weight (three of four).',
      note: 'no clause of the standard: common practice among makers of carts',
      question: 'castor missing',
      test: 'ratings',
      conditions: ['has castors'],
      values: {
        'castors-removed': { value: 1, basis: 'common practice' },
      },
    },
  ],
};
