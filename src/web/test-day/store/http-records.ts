/** Test records over HTTP. */

import type { KeptEntry, SubmitOutcome } from '../../../test-record/index.js';
import { ApiError } from '../../store/api.js';
import { asked, contentOf, got, MARK } from '../../store/http-api.js';
import type { RecordsApi } from './records-api.js';

const of = (project: string): string => `project=${encodeURIComponent(project)}`;

export const httpRecords: RecordsApi = {
  records: () => got('records'),
  entries: async (project, after) => {
    const answer = await got<{ readonly entries: readonly KeptEntry[] }>(
      `records/entries?${of(project)}&after=${after}`,
    );
    return answer.entries;
  },
  submit: async (entries) => {
    const response = await asked('records/entries', {
      method: 'POST',
      headers: { ...MARK, 'content-type': 'application/json' },
      body: JSON.stringify({ entries }),
    });
    const answer = await contentOf<{ readonly outcomes: readonly SubmitOutcome[] }>(response);
    return answer.outcomes;
  },
  putFile: async (hash, bytes, media) => {
    await asked(`records/file?hash=${hash}`, {
      method: 'PUT',
      headers: { ...MARK, 'content-type': media },
      body: bytes,
    });
  },
  file: async (hash) => {
    try {
      return await (await asked(`records/file?hash=${hash}`)).blob();
    } catch (error) {
      if (error instanceof ApiError && error.status === 404) return null;
      throw error;
    }
  },
  verify: (project) => got(`records/verify?${of(project)}`),
  archiveAddress: (project) => `/api/records/archive?${of(project)}`,
};
