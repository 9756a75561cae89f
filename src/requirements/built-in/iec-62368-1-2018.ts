import type { SetDraft } from '../draft.js';

const EITHER = 'either this or the other clause is enough';

/** Audio, video, information and communication technology equipment: either of two demands. */
export const iec62368Edition2018: SetDraft = {
  id: 'iec-62368-1-2018',
  title: 'Audio, video, information and communication equipment, edition of 2018',
  standard: 'IEC 62368-1',
  edition: '3 (2018)',
  clauses: [
    {
      id: 'overbalance',
      clause: '8.6',
      title: 'Overbalance on an incline',
      asks: 'Tilted in any direction, in any position of normal use, the equipment does not tip.',
      note: EITHER,
      alternative: 'combined-force',
      question: 'overbalance',
      positions: 'all',
      values: {
        incline: { value: '10 deg', basis: 'secondary' },
      },
    },
    {
      id: 'combined-force',
      clause: '8.6',
      title: 'Horizontal and downward force together',
      asks: 'The equipment does not tip under a horizontal force and a downward force at once, both in the least favourable place up to the stated height.',
      note: EITHER,
      alternative: 'overbalance',
      question: 'combined force',
      values: {
        'weight-fraction': { value: '13 %', basis: 'secondary' },
        'force-cap': { value: '250 N', basis: 'secondary' },
        'down-fraction': { value: '50 %', basis: 'secondary' },
        'down-cap': { value: '100 N', basis: 'secondary' },
        'greatest-height': { value: '1.5 m', basis: 'secondary' },
      },
    },
  ],
};
