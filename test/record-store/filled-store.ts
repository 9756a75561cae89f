/** Places with something in them, archives as bytes, and what of two places has to be the same. */

import { Readable, Writable } from 'node:stream';
import type { ArchiveRead, RecordStore } from '../../src/record-store/index.js';
import { readArchive, writeArchive } from '../../src/record-store/index.js';
import type { KeptEntry } from '../../src/test-record/index.js';
import type { EntryWriter } from './sample-entries.js';
import { photo } from './sample-entries.js';
import { keptOf } from './store-conformance.js';

export interface Filling {
  readonly notes: number;
  /** bytes of the photo of each second note */
  readonly photo: number;
}

/** @returns the id of a project with notes, photos, corrections and a review */
export async function filled(
  store: RecordStore,
  writer: EntryWriter,
  random: () => number,
  { notes, photo: size }: Filling,
): Promise<string> {
  const project = writer.project();
  await store.submit([project]);
  for (let i = 0; i < notes; i += 1) {
    const { bytes, attachment } = photo(random, size);
    if (i % 2 === 0) await store.putFile(bytes, attachment.media);
    const note = writer.note(project.id, `Note ${i}`, i % 2 === 0 ? [attachment] : []);
    const [kept] = (await store.submit([note])).map(keptOf);
    if (kept !== undefined && i % 3 === 0) await store.submit([writer.correction(kept, 'Mended')]);
    if (kept !== undefined && i % 3 === 1) await store.submit([writer.review(kept)]);
  }
  return project.id;
}

/** @param project null: everything */
export async function archiveBytes(store: RecordStore, project: string | null): Promise<Buffer> {
  const pieces: Buffer[] = [];
  const sink = new Writable({
    write: (piece, _encoding, done) => {
      pieces.push(piece);
      done();
    },
  });
  await writeArchive(store, sink, project);
  return Buffer.concat(pieces);
}

export function readBytes(store: RecordStore, bytes: Uint8Array): Promise<ArchiveRead> {
  return readArchive(store, () => Readable.from([bytes]), { name: 'a.archive' });
}

export interface Contents {
  readonly entries: Readonly<Record<string, readonly KeptEntry[]>>;
  /** media and bytes by hash */
  readonly files: Readonly<Record<string, string>>;
}

/** All that is kept there. */
export async function contentsOf(store: RecordStore): Promise<Contents> {
  const entries: Record<string, readonly KeptEntry[]> = {};
  for (const { id } of await store.projects()) entries[id] = await store.entries(id);
  const files: Record<string, string> = {};
  for (const hash of await store.fileHashes('', 10_000)) {
    const file = await store.file(hash);
    files[hash] = `${file?.media} ${Buffer.from(file?.bytes ?? []).toString('base64')}`;
  }
  return { entries, files };
}
