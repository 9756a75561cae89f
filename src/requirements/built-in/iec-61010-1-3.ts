import type { SetDraft } from '../draft.js';

const UNCHANGED =
  'seen in the 2001 edition only; taken to be the same in edition 3, which was not checked';
const CLAUSE_NOTE = 'clause number from memory';

/**
 * The third edition. Only the demands on castors are known of it (from a secondary source); the rest
 * is carried over from the edition of 2001 and marked as memory.
 */
export const iec61010Edition3: SetDraft = {
  id: 'iec-61010-1-3',
  title: 'Measurement, control and laboratory equipment, edition 3',
  standard: 'IEC 61010-1',
  edition: '3 (2010)',
  'based on': 'iec-61010-1-2001',
  clauses: [
    {
      id: 'overbalance',
      clause: '7.4',
      values: {
        incline: { value: '10 deg', basis: 'memory', note: UNCHANGED },
      },
    },
    {
      id: 'horizontal-force',
      clause: '7.4',
      values: {
        'weight-fraction': { value: '20 %', basis: 'memory', note: UNCHANGED },
        'force-cap': { value: '250 N', basis: 'memory', note: UNCHANGED },
        'greatest-height': { value: '2 m', basis: 'memory', note: UNCHANGED },
      },
    },
    {
      id: 'downward-force',
      clause: '7.4',
      values: {
        force: { value: '800 N', basis: 'memory', note: UNCHANGED },
        'greatest-height': { value: '1 m', basis: 'memory', note: UNCHANGED },
      },
    },
    {
      id: 'castor-rating',
      clause: '7.4',
      title: 'Strength of the most loaded castor',
      asks: 'The castor that carries most bears the stated multiple of its load; its rating is taken for what it bears.',
      note: CLAUSE_NOTE,
      question: 'castor load',
      conditions: ['has castors'],
      values: {
        factor: { value: 4, basis: 'secondary' },
      },
    },
    {
      id: 'castor-missing',
      clause: '7.4',
      title: 'Overbalance with a castor removed',
      asks: 'With the castor that carries most taken away, the equipment does not tip.',
      note: CLAUSE_NOTE,
      question: 'castor missing',
      test: 'balance',
      conditions: ['has castors'],
      values: {
        'castors-removed': { value: 1, basis: 'secondary' },
      },
    },
  ],
};
