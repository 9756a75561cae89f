import type { SetDraft } from '../draft.js';

/** Edition 3.1 with amendment 2, which leaves every figure here as it was. */
export const iec60601Edition32: SetDraft = {
  id: 'iec-60601-1-3.2',
  title: 'Medical electrical equipment, edition 3.2',
  standard: 'IEC 60601-1',
  edition: '3.2 (amendment 2:2020)',
  'based on': 'iec-60601-1-3.1',
  clauses: [],
};
