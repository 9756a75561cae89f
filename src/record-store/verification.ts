/** Is what is kept what was kept? */

import type { KeptEntry, KnownHead } from '../test-record/index.js';
import { attachmentsOf, chainCheck } from '../test-record/index.js';
import { rowsPaged } from './entry-queries.js';
import { keptEntry, rowProblem } from './entry-row.js';
import { isWhole } from './file-queries.js';
import type { RecordDatabase } from './record-database.js';
import type { RecordVerification } from './record-store.js';
import { RecordStoreError } from './record-store.js';

/** Row by row, then file by file. */
export async function verify(
  database: RecordDatabase,
  project: string,
  knownHead: KnownHead | undefined,
): Promise<RecordVerification> {
  const named = new Set<string>();
  const chain = await verifiedChain(database, project, knownHead, named);
  const broken: string[] = [];
  for (const hash of named) if (!(await isWhole(database, hash))) broken.push(hash);
  return { chain, files: { whole: named.size - broken.length, broken } };
}

/** @param named takes the hashes of the files that entries name, those after a broken one too */
async function verifiedChain(
  database: RecordDatabase,
  project: string,
  knownHead: KnownHead | undefined,
  named: Set<string>,
): Promise<RecordVerification['chain']> {
  const check = chainCheck(knownHead);
  let broken: RecordVerification['chain'] | null = null;
  let count = 0;
  for await (const row of rowsPaged(database, project)) {
    count += 1;
    const problem = rowProblem(row);
    if (problem !== null) {
      broken ??= {
        kind: 'broken',
        sequence: row.sequence,
        reason: `entry ${row.sequence} ${problem}: it was changed`,
      };
      continue;
    }
    const entry = keptEntry(row, database.place);
    const hashes = filesNamed(entry);
    for (const hash of hashes ?? []) named.add(hash);
    broken ??= check.next(entry) ?? (hashes === null ? misshapen(entry) : null);
  }
  if (count === 0) throw noProject(database.place, project);
  return broken ?? check.end();
}

/** null: it says what no entry says, and was chained all the same */
function filesNamed(entry: KeptEntry): readonly string[] | null {
  try {
    return attachmentsOf(entry);
  } catch {
    return null;
  }
}

function misshapen({ sequence }: KeptEntry): RecordVerification['chain'] {
  const reason = `entry ${sequence} says what no entry says: it was changed`;
  return { kind: 'broken', sequence, reason };
}

function noProject(place: string, project: string): RecordStoreError {
  return new RecordStoreError('no project', `${place}: holds no project ${project}`);
}
