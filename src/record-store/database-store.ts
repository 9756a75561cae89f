/** Test records over either database. */

import type { SubmitOutcome } from '../test-record/index.js';
import { adopt } from './adoption.js';
import { entryRows, summaries } from './entry-queries.js';
import { keptEntry } from './entry-row.js';
import { fileHashes, fileOf, missingFiles, putFile } from './file-queries.js';
import type { RecordDatabase } from './record-database.js';
import type { RecordStore } from './record-store.js';
import type { Submission } from './submission.js';
import { submitOne } from './submission.js';
import { verify } from './verification.js';

export function databaseStore(database: RecordDatabase, now: () => string): RecordStore {
  const { place, kind, db, attempt, close } = database;
  const here: Submission = { database, now, cache: new Map() };
  return {
    place,
    kind,
    projects: () => attempt(() => summaries(db)),
    entries: (project, after = 0, most) =>
      attempt(async () =>
        (await entryRows(db, project, after, most)).map((row) => keptEntry(row, place)),
      ),
    submit: async (entries) => {
      const outcomes: SubmitOutcome[] = [];
      for (const entry of entries) outcomes.push(await submitOne(here, entry));
      return outcomes;
    },
    putFile: (bytes, media) => putFile(database, bytes, media),
    file: (hash) => attempt(() => fileOf(db, hash, place)),
    missingFiles: (hashes) => attempt(() => missingFiles(db, hashes)),
    fileHashes: (after, most) => attempt(() => fileHashes(db, after, most)),
    verify: (project, knownHead) => verify(database, project, knownHead),
    adopt: (project, entries) => adopt(database, project, entries),
    close,
  };
}
