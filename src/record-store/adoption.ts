/** Taking over a project that was kept elsewhere. */

import type { Kysely } from 'kysely';
import type { KeptEntry } from '../test-record/index.js';
import { chainCheck } from '../test-record/index.js';
import { entryRows, insertRow, newestRow } from './entry-queries.js';
import { entryRow } from './entry-row.js';
import type { RecordDatabase } from './record-database.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

type Db = Kysely<RecordTables>;

export async function adopt(
  { place, attempt, alone }: RecordDatabase,
  project: string,
  entries: AsyncIterable<KeptEntry>,
): Promise<number> {
  let isBegun = false;
  return attempt(() =>
    alone(project, (db) => {
      if (isBegun) throw cutShort(place, project);
      isBegun = true;
      return takenOver(db, place, project, entries);
    }),
  );
}

function cutShort(place: string, project: string): RecordStoreError {
  return new RecordStoreError(
    'away',
    `${place}: the connection was lost while project ${project} was taken over; nothing of it was kept; allowed: begin again`,
  );
}

async function takenOver(
  db: Db,
  place: string,
  project: string,
  entries: AsyncIterable<KeptEntry>,
): Promise<number> {
  const check = chainCheck();
  const head = await newestRow(db, project);
  let last: KeptEntry | null = null;
  let added = 0;
  for await (const entry of entries) {
    const broken = entry.project === project ? check.next(entry) : null;
    if (entry.project !== project || broken !== null) {
      throw new RecordStoreError(
        'broken archive',
        `project ${project}: ${broken?.reason ?? `entry ${entry.id} is of project ${entry.project}`}`,
      );
    }
    last = entry;
    if (entry.sequence === head?.sequence && entry.hash !== head.hash) throw parted(place, project);
    if (entry.sequence <= (head?.sequence ?? 0)) continue;
    if (!(await insertRow(db, entryRow(entry)))) throw parted(place, project);
    added += 1;
  }
  if (head !== null && last !== null && last.sequence < head.sequence) {
    const [same] = await entryRows(db, project, last.sequence - 1, 1);
    if (same?.hash !== last.hash) throw parted(place, project);
  }
  return added;
}

/** What is said of a project that went another way here. */
export function parted(place: string, project: string): RecordStoreError {
  return new RecordStoreError(
    'other project',
    `${place}: project ${project} has other entries here than in the archive: the two went different ways; allowed: an archive that begins with what is here, or a new place for it`,
  );
}
