/** Files kept by their content. */

import type { Kysely } from 'kysely';
import { ATTACHMENT_MEDIA, MOST_ATTACHMENT_BYTES } from '../test-record/index.js';
import { bytesOf, fileHash } from './entry-row.js';
import type { RecordDatabase } from './record-database.js';
import type { KeptFile } from './record-store.js';
import { RecordStoreError } from './record-store.js';
import type { RecordTables } from './tables.js';

/** Names asked for in one statement; SQLite takes 32 766. */
const NAMES_A_STATEMENT = 1000;

const MEDIA: readonly string[] = ATTACHMENT_MEDIA;

type Db = Kysely<RecordTables>;

export async function putFile(
  { alone, attempt, place }: RecordDatabase,
  bytes: Uint8Array,
  media: string,
): Promise<string> {
  const problem = fileProblem(bytes, media);
  if (problem !== null) {
    throw new RecordStoreError('file refused', `${place}: a file is not taken: ${problem}`);
  }
  const hash = fileHash(bytes);
  await attempt(() =>
    alone(hash, async (db) => {
      if ((await missingFiles(db, [hash])).length === 0) return;
      await db.insertInto('file').values({ hash, media, bytes }).execute();
    }),
  );
  return hash;
}

/** null: a record takes such a file */
export function fileProblem(bytes: Uint8Array, media: string): string | null {
  if (bytes.length > MOST_ATTACHMENT_BYTES) {
    return `it has ${bytes.length} bytes; allowed: at most ${MOST_ATTACHMENT_BYTES}`;
  }
  if (MEDIA.includes(media)) return null;
  return `its media type is ${media}; allowed: ${MEDIA.join(', ')}`;
}

export async function fileOf(db: Db, hash: string, place: string): Promise<KeptFile | null> {
  const row = await db.selectFrom('file').selectAll().where('hash', '=', hash).executeTakeFirst();
  if (row === undefined) return null;
  const bytes = bytesOf(row.bytes);
  if (fileHash(bytes) === hash) return { hash, media: row.media, bytes };
  throw new RecordStoreError(
    'broken record',
    `${place}: the file ${hash} has other bytes than those that were kept (SHA-256 ${fileHash(bytes)}); allowed: files as they were kept (they are in the last backup)`,
  );
}

export async function missingFiles(db: Db, hashes: readonly string[]): Promise<string[]> {
  const asked = [...new Set(hashes)];
  const there = new Set<string>();
  for (let from = 0; from < asked.length; from += NAMES_A_STATEMENT) {
    const some = asked.slice(from, from + NAMES_A_STATEMENT);
    const found = await db.selectFrom('file').select('hash').where('hash', 'in', some).execute();
    for (const { hash } of found) there.add(hash);
  }
  return asked.filter((hash) => !there.has(hash));
}

export async function fileHashes(db: Db, after: string, most: number): Promise<string[]> {
  const found = await db
    .selectFrom('file')
    .select('hash')
    .where('hash', '>', after)
    .orderBy('hash')
    .limit(most)
    .execute();
  return found.map(({ hash }) => hash);
}

/** Is it there, with the bytes that its hash says? */
export async function isWhole(
  { attempt, db, place }: RecordDatabase,
  hash: string,
): Promise<boolean> {
  try {
    return (await attempt(() => fileOf(db, hash, place))) !== null;
  } catch (error) {
    if (error instanceof RecordStoreError && error.problem === 'broken record') return false;
    throw error;
  }
}
