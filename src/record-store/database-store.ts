/** Test records over either database. */

import type { SubmitOutcome } from '../test-record/index.js';
import { adopt } from './adoption.js';
import { entryRows, summaries } from './entry-queries.js';
import { keptEntry } from './entry-row.js';
import { fileHashes, fileOf, missingFiles, putFile } from './file-queries.js';
import type { RecordDatabase } from './record-database.js';
import type { RecordStore } from './record-store.js';
import { RecordStoreError } from './record-store.js';
import type { Submission } from './submission.js';
import { submitOne } from './submission.js';
import type { EntryTable } from './tables.js';
import { verify } from './verification.js';

/** Rows that somebody removed or renumbered by hand show here already, since nothing can be made of the rest. */
function unbroken(rows: EntryTable[], after: number, place: string): EntryTable[] {
  const odd = rows.findIndex(({ sequence }, i) => sequence !== after + 1 + i);
  const row = rows[odd];
  if (row === undefined) return rows;
  throw new RecordStoreError(
    'broken record',
    `${place}: in project ${row.project} entry ${after + 1 + odd} is due here and entry ${row.sequence} stands here: entries were removed, added or moved; allowed: rows as standstill wrote them (they are in the last backup)`,
  );
}

export function databaseStore(database: RecordDatabase, now: () => string): RecordStore {
  const { place, kind, db, attempt, close } = database;
  const here: Submission = { database, now, cache: new Map() };
  return {
    place,
    kind,
    projects: () => attempt(() => summaries(db)),
    entries: (project, after = 0, most) =>
      attempt(async () =>
        unbroken(await entryRows(db, project, after, most), after, place).map((row) =>
          keptEntry(row, place),
        ),
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
