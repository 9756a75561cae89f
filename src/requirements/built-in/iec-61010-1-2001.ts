import type { SetDraft } from '../draft.js';

const NOTE = 'national adoption of the 2001 edition';
const CLAUSE_NOTE = 'clause number from memory';

/** Equipment for measurement, control and laboratory use, as a national adoption has the edition. */
export const iec61010Edition2001: SetDraft = {
  id: 'iec-61010-1-2001',
  title: 'Measurement, control and laboratory equipment, edition of 2001',
  standard: 'IEC 61010-1',
  edition: '2 (2001)',
  clauses: [
    {
      id: 'overbalance',
      clause: '7.3',
      title: 'Overbalance on an incline',
      asks: 'In any position of normal use, tilted in each direction, the equipment does not tip.',
      note: CLAUSE_NOTE,
      question: 'overbalance',
      positions: 'all',
      values: {
        incline: { value: '10 deg', basis: 'seen', note: NOTE },
      },
    },
    {
      id: 'horizontal-force',
      clause: '7.3',
      title: 'Horizontal force',
      asks: 'The equipment does not tip under a horizontal force at its top, or at the stated height if it is taller, while it is kept from sliding. Other equipment is asked from 1 m and 25 kg on, floor equipment always; a cart is floor equipment.',
      note: `${CLAUSE_NOTE}; whether 1 m and 25 kg limit floor equipment too is unresolved: the stricter reading, that they do not, is used`,
      question: 'horizontal force',
      values: {
        'weight-fraction': { value: '20 %', basis: 'seen', note: NOTE },
        'force-cap': { value: '250 N', basis: 'seen', note: NOTE },
        'greatest-height': { value: '2 m', basis: 'seen', note: NOTE },
      },
    },
    {
      id: 'downward-force',
      clause: '7.3',
      title: 'Downward force on surfaces',
      asks: 'The equipment does not tip under a downward force at the point of greatest moment on any surface that people work, step or sit on, up to the stated height.',
      note: CLAUSE_NOTE,
      question: 'downward force',
      surfaces: ['foothold', 'seat', 'work surface'],
      values: {
        force: { value: '800 N', basis: 'seen', note: NOTE },
        'patch-length': {
          value: '0 mm',
          basis: 'memory',
          note: 'the figures at hand state no area: the force stands at the very edge, the stricter',
        },
        'patch-width': {
          value: '0 mm',
          basis: 'memory',
          note: 'the figures at hand state no area: the force stands at the very edge, the stricter',
        },
        'greatest-height': { value: '1 m', basis: 'seen', note: NOTE },
      },
    },
  ],
};
