/** Files kept by their content. */

import type { Kysely } from 'kysely';
import { sql } from 'kysely';
import { ATTACHMENT_MEDIA, MOST_ATTACHMENT_BYTES } from '../test-record/index.js';
import { bytesOf, fileHash, textOf } from './entry-row.js';
import { plainColumn } from './plain-column.js';
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
  const row = await db
    .selectFrom('file')
    .select([
      plainColumn<string, 'media'>(db, 'file', 'media'),
      plainColumn<Uint8Array, 'bytes'>(db, 'file', 'bytes'),
    ])
    .where('hash', '=', hash)
    .executeTakeFirst();
  if (row === undefined) return null;
  const [bytes, media] = [bytesOf(row.bytes), textOf(row.media)];
  const actual = fileHash(bytes);
  const problem =
    actual === hash
      ? fileProblem(bytes, media)
      : `has other bytes than those that were kept (SHA-256 ${actual})`;
  if (problem === null) return { hash, media, bytes };
  throw new RecordStoreError(
    'broken record',
    `${place}: the file ${hash} ${problem}; allowed: files as they were kept (they are in the last backup)`,
  );
}

/** Bytes of each that is there. */
export async function fileSizes(
  db: Db,
  hashes: readonly string[],
): Promise<ReadonlyMap<string, number>> {
  const sizes = new Map<string, number>();
  for (let from = 0; from < hashes.length; from += NAMES_A_STATEMENT) {
    const some = hashes.slice(from, from + NAMES_A_STATEMENT);
    const found = await db
      .selectFrom('file')
      .select(['hash', sql<number>`length(bytes)`.as('size')])
      .where('hash', 'in', some)
      .execute();
    for (const { hash, size } of found) sizes.set(hash, size);
  }
  return sizes;
}

export async function missingFiles(db: Db, hashes: readonly string[]): Promise<string[]> {
  const asked = [...new Set(hashes)];
  const there = await fileSizes(db, asked);
  return asked.filter((hash) => !there.has(hash));
}

export async function fileHashes(db: Db, after: string, most: number): Promise<string[]> {
  const found = await db
    .selectFrom('file')
    .select(plainColumn<string, 'hash'>(db, 'file', 'hash'))
    .where('hash', '>', after)
    .orderBy('hash')
    .limit(most)
    .execute();
  return found.map(({ hash }) => textOf(hash));
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
