/** Entries between memory and their table. */

import { createHash } from 'node:crypto';
import type { KeptEntry } from '../test-record/index.js';
import { canonicalJson } from '../test-record/index.js';
import { RecordStoreError } from './record-store.js';
import type { EntryTable } from './tables.js';

export function entryRow(entry: KeptEntry): EntryTable {
  const { hash, ...rest } = entry;
  const { project, sequence, id, subject, base, received, body } = entry;
  const kind = body.kind;
  return { project, sequence, id, subject, base, kind, received, hash, text: canonicalJson(rest) };
}

/** @throws RecordStoreError naming the row where its text is no entry, or another than its columns say */
export function keptEntry(row: EntryTable, place: string): KeptEntry {
  const problem = rowProblem(row);
  if (problem === null) return { ...JSON.parse(row.text), hash: row.hash };
  const which = `entry ${row.sequence} (${row.id}) of project ${row.project}`;
  throw new RecordStoreError(
    'broken record',
    `${place}: ${which} ${problem}; allowed: rows as standstill wrote them (they are in the last backup)`,
  );
}

/** null: the text is the one that the hash was made of, and the columns say what it says. Whether the hash is
 * the one that was kept, the chain tells. */
export function rowProblem(row: EntryTable): string | null {
  const said = parsedObject(row.text);
  if (said === null) return 'has a text that is not that of an entry';
  const body = typeof said.body === 'object' && said.body !== null ? said.body : {};
  const kind = 'kind' in body ? body.kind : undefined;
  const told = { ...said, kind } as Readonly<Record<string, unknown>>;
  const columns = ['project', 'sequence', 'id', 'subject', 'base', 'kind', 'received'] as const;
  const other = columns.find((column) => told[column] !== row[column]);
  if (other === undefined) {
    return fileHash(Buffer.from(row.text)) === row.hash
      ? null
      : 'does not have the text that its hash was made of';
  }
  return `has ${other} ${JSON.stringify(row[other])} in its column and ${JSON.stringify(told[other])} in its text`;
}

function parsedObject(text: string): Readonly<Record<string, unknown>> | null {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null ? { ...value } : null;
  } catch {
    return null;
  }
}

/** Blobs come as an ArrayBuffer from libsql, as a Buffer from pg. */
export function bytesOf(blob: Uint8Array | ArrayBuffer): Uint8Array {
  return blob instanceof ArrayBuffer ? new Uint8Array(blob) : blob;
}

/** A text that was read as its bytes (see `plainColumn`), with a sign for what is no UTF-8: it is then another
 * text than the one that was kept. */
export function textOf(value: string | Uint8Array | ArrayBuffer): string {
  return typeof value === 'string' ? value : Buffer.from(bytesOf(value)).toString('utf8');
}

/** `contentHash`, by the runtime's own code: files are large. */
export function fileHash(bytes: Uint8Array): string {
  return createHash('sha256').update(bytes).digest('hex');
}
