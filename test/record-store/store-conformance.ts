/** What every place for test records must do, whichever database is behind it. */

import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { RecordStore } from '../../src/record-store/index.js';
import { RecordStoreError } from '../../src/record-store/index.js';
import type { KeptEntry, NewEntry, SubmitOutcome } from '../../src/test-record/index.js';
import {
  canonicalJson,
  contentHash,
  entryHash,
  FIRST_PREVIOUS,
  MOST_ATTACHMENT_BYTES,
  verifyChain,
} from '../../src/test-record/index.js';
import { seededRandom } from '../reference/random.js';
import { entryWriter, photo } from './sample-entries.js';

export interface RecordPlace {
  /** a session of its own with the same place; closed by whoever opens it */
  readonly open: () => Promise<RecordStore>;
  /** a statement by hand, in the schema of the tables; @returns rows, where there are some */
  readonly raw: (statement: string) => Promise<readonly unknown[]>;
  /** after it, tables take changes and deletions */
  readonly unguard: () => Promise<void>;
  /** stores closed */
  readonly clean: () => Promise<void>;
}

/** The store's clock in these tests. */
export const NOW = '2026-11-25T09:31:07.250Z';

const random = seededRandom(41);
const writer = entryWriter(random);

/** @throws Error unless it was kept */
export function keptOf(outcome: SubmitOutcome | undefined): KeptEntry {
  if (outcome?.kind === 'kept') return outcome.entry;
  throw new Error(`not kept: ${JSON.stringify(outcome)}`);
}

async function keep(store: RecordStore, ...entries: NewEntry[]): Promise<KeptEntry[]> {
  return (await store.submit(entries)).map(keptOf);
}

/** @returns the error, or null */
export async function problemIn(act: Promise<unknown>): Promise<RecordStoreError | null> {
  try {
    await act;
    return null;
  } catch (error) {
    if (error instanceof RecordStoreError) return error;
    throw error;
  }
}

/** @param name of the database, for the tests' names */
export function recordConformance(name: string, factory: () => Promise<RecordPlace>): void {
  let place: RecordPlace;
  let store: RecordStore;
  const reopened = async (): Promise<RecordStore> => {
    await store.close();
    store = await place.open();
    return store;
  };
  beforeEach(async () => {
    place = await factory();
    store = await place.open();
  });
  afterEach(async () => {
    await store.close();
    await place.clean();
  });

  describe(`what is kept in ${name}`, () => {
    test('is nothing at first', async () => {
      const { id } = writer.project();
      expect(await store.projects()).toEqual([]);
      expect(await store.entries(id)).toEqual([]);
      expect(await store.file(contentHash(new Uint8Array()))).toBeNull();
      expect(await store.fileHashes('', 10)).toEqual([]);
      expect((await problemIn(store.verify(id)))?.problem).toBe('no project');
    });

    test('is numbered, timed by the store and chained, and the same when opened again', async () => {
      const project = writer.project();
      const note = writer.note(project.id, 'Front left castor is stiff.');
      const kept = await keep(
        store,
        project,
        note,
        writer.correction(note, 'It is the right one.'),
      );
      expect(kept.map(({ sequence }) => sequence)).toEqual([1, 2, 3]);
      expect(kept.map(({ received }) => received)).toEqual([NOW, NOW, NOW]);
      expect(kept.map(({ previous }) => previous)).toEqual([
        FIRST_PREVIOUS,
        kept[0]?.hash,
        kept[1]?.hash,
      ]);
      for (const entry of kept) expect(entryHash(entry)).toBe(entry.hash);
      expect(kept[1]).toMatchObject(note);
      const again = await reopened();
      expect(await again.entries(project.id)).toEqual(kept);
      expect(await again.entries(project.id, 1)).toEqual(kept.slice(1));
      expect(await again.entries(project.id, 0, 2)).toEqual(kept.slice(0, 2));
      expect(await again.verify(project.id)).toEqual({
        chain: { kind: 'whole', entries: 3, head: kept[2]?.hash },
        files: { whole: 0, broken: [] },
      });
    });

    test('keeps every text, character by character', async () => {
      const project = writer.project('Wagen \u{1F6D2} für "Übung"; drop table entry; --');
      const text = `\\ ' " \u{10FFFF} \u2028 \u00A0 é e\u0301\n\t${'ä'.repeat(4000)}`;
      const [, note] = await keep(store, project, writer.note(project.id, text));
      const [, read] = await (await reopened()).entries(project.id);
      expect(read).toEqual(note);
      expect((read as KeptEntry).body).toMatchObject({ text });
      expect((await store.projects())[0]?.name).toBe(
        'Wagen \u{1F6D2} für "Übung"; drop table entry; --',
      );
    });

    test('is listed by project, by name, as the newest entries say', async () => {
      const [trolley, lamp] = [writer.project('Kit trolley'), writer.project('Lamp stand')];
      const [, , note] = await keep(store, lamp, trolley, writer.note(lamp.id, 'On the ramp.'));
      const renamed = {
        ...writer.correction(trolley, ''),
        body: { kind: 'project' as const, name: 'Zinc trolley', customer: 'Clinic', notes: '' },
      };
      const [last] = await keep(store, renamed);
      expect(await store.projects()).toEqual([
        {
          id: lamp.id,
          name: 'Lamp stand',
          customer: 'Tarn Hollow Instruments',
          entries: 2,
          changed: NOW,
          head: note?.hash,
        },
        {
          id: trolley.id,
          name: 'Zinc trolley',
          customer: 'Clinic',
          entries: 2,
          changed: NOW,
          head: last?.hash,
        },
      ]);
    });
  });

  describe(`what is sent to ${name}`, () => {
    test('twice is kept once, and the same id with another content not at all', async () => {
      const project = writer.project();
      const note = writer.note(project.id, 'Sent twice.');
      const [, kept] = await keep(store, project, note);
      expect(await store.submit([note])).toEqual([{ kind: 'already', entry: kept }]);
      expect(await (await reopened()).submit([note])).toEqual([{ kind: 'already', entry: kept }]);
      const [other] = await store.submit([{ ...note, who: 'Bo Tarn' }]);
      expect(other).toMatchObject({ kind: 'refused', problems: [{ code: 'other content' }] });
      const elsewhere = writer.project();
      const [, taken] = await store.submit([elsewhere, { ...note, project: elsewhere.id }]);
      expect(taken).toMatchObject({ kind: 'refused', problems: [{ code: 'other content' }] });
      expect(await store.entries(project.id)).toHaveLength(2);
      expect(await store.entries(elsewhere.id)).toHaveLength(1);
    });

    test('and refused undoes nothing before it and stops nothing after it', async () => {
      const project = writer.project();
      const note = writer.note(project.id, 'First.');
      const misshapen = { ...writer.note(project.id, ''), who: '  ' };
      const stray = { ...writer.note(project.id, 'Stray.'), subject: note.id };
      const outcomes = await store.submit([project, misshapen, note, stray, writer.review(note)]);
      expect(outcomes.map(({ kind }) => kind)).toEqual([
        'kept',
        'refused',
        'kept',
        'refused',
        'kept',
      ]);
      expect(outcomes[1]).toMatchObject({
        problems: [{ path: ['who'] }, { path: ['body', 'text'] }],
      });
      const entries = await store.entries(project.id);
      expect(entries.map(({ sequence }) => sequence)).toEqual([1, 2, 3]);
    });

    test('to a reviewed record needs a reason', async () => {
      const project = writer.project();
      const note = writer.note(project.id, 'Seen.');
      const [, , review] = await keep(store, project, note, writer.review(note));
      const late = { ...writer.correction(note, 'Seen late.'), base: review?.id ?? null };
      const [refused] = await store.submit([late]);
      expect(refused).toMatchObject({ kind: 'refused', problems: [{ code: 'rule' }] });
      await keep(store, { ...late, why: 'a slip of the pen' });
    });

    test('by two sessions about one record: one kept, the other told, and both in the history', async () => {
      const other = await place.open();
      const project = writer.project();
      const note = writer.note(project.id, 'Both read this.');
      await keep(store, project, note);
      const mine = writer.correction(note, 'Mine.');
      const theirs = writer.correction(note, 'Theirs.');
      const outcomes = [...(await store.submit([mine])), ...(await other.submit([theirs]))];
      const first = keptOf(outcomes[0]);
      expect(outcomes[1]).toEqual({ kind: 'conflict', since: [first] });
      expect(await other.entries(project.id)).toHaveLength(3);
      const [again] = await other.submit([{ ...theirs, base: first.id }]);
      const texts = (await store.entries(project.id)).map(
        ({ body }) => 'text' in body && body.text,
      );
      expect(texts.slice(1)).toEqual(['Both read this.', 'Mine.', 'Theirs.']);
      // and the first session's picture of the project is not the old one
      const last = keptOf(again);
      await keep(store, writer.correction(last, 'Mine again.'));
      await other.close();
    });

    test('by two sessions about one record at the same moment: one is kept', async () => {
      const other = await place.open();
      const project = writer.project();
      await keep(store, project);
      for (let round = 0; round < 5; round += 1) {
        const note = writer.note(project.id, 'Both read this.');
        await keep(store, note);
        const [one, two] = await Promise.all([
          store.submit([writer.correction(note, 'Mine.')]),
          other.submit([writer.correction(note, 'Theirs.')]),
        ]);
        const kinds = [...one, ...two].map(({ kind }) => kind);
        expect(kinds.sort()).toEqual(['conflict', 'kept']);
      }
      await other.close();
    });

    test('twice at the same moment by two sessions is kept once', async () => {
      const other = await place.open();
      const project = writer.project();
      const both = await Promise.all([store.submit([project]), other.submit([project])]);
      expect(
        both
          .flat()
          .map(({ kind }) => kind)
          .sort(),
      ).toEqual(['already', 'kept']);
      expect(await store.entries(project.id)).toHaveLength(1);
      await other.close();
    });

    const [WRITERS, EACH] = [8, 25];
    test(`by ${WRITERS} writers at once, ${WRITERS * EACH} entries, is all there in one chain`, async () => {
      const project = writer.project();
      await keep(store, project);
      const sent = Array.from({ length: WRITERS }, (_, who) =>
        Array.from({ length: EACH }, (_, i) => writer.note(project.id, `${i} of ${who}`)),
      );
      await Promise.all(
        sent.map(async (notes) => {
          const session = await place.open();
          for (const note of notes) await keep(session, note);
          await session.close();
        }),
      );
      const entries = await store.entries(project.id);
      expect(verifyChain(entries)).toMatchObject({ kind: 'whole', entries: 1 + WRITERS * EACH });
      const ids = entries.slice(1).map(({ id }) => id);
      expect(ids.sort()).toEqual(
        sent
          .flat()
          .map(({ id }) => id)
          .sort(),
      );
      // each one's own in the order in which they were sent
      for (const notes of sent) {
        const places = notes.map(({ id }) => entries.findIndex((entry) => entry.id === id));
        expect(places).toEqual([...places].sort((a, b) => a - b));
      }
    });

    test('goes on where the database was set back to an earlier time', async () => {
      const project = writer.project();
      const [lost, next] = [writer.note(project.id, 'Lost.'), writer.note(project.id, 'Next.')];
      const [first] = await keep(store, project, lost);
      await place.unguard();
      await place.raw(`delete from entry where id = '${lost.id}'`);
      const [kept] = await keep(store, next);
      expect(kept).toMatchObject({ sequence: 2, previous: first?.hash });
    });
  });

  describe(`files in ${name}`, () => {
    test('are kept by their content, once, byte for byte', async () => {
      const { bytes, attachment } = photo(random, 70_001);
      // a view into a larger buffer, as a request's body is
      const view = new Uint8Array([...new Uint8Array(9), ...bytes, 1, 2]).subarray(9, 70_010);
      expect(await store.putFile(view, 'image/jpeg')).toBe(attachment.hash);
      expect(await store.putFile(bytes, 'image/png')).toBe(attachment.hash);
      const empty = await store.putFile(new Uint8Array(), 'text/csv');
      const again = await reopened();
      const file = await again.file(attachment.hash);
      expect(file?.media).toBe('image/jpeg');
      expect(Buffer.from(file?.bytes ?? []).equals(Buffer.from(bytes))).toBe(true);
      expect((await again.file(empty))?.bytes).toHaveLength(0);
      const absent = contentHash(new Uint8Array([1]));
      expect(await again.missingFiles([empty, absent, attachment.hash])).toEqual([absent]);
      const hashes = [empty, attachment.hash].sort();
      expect(await again.fileHashes('', 10)).toEqual(hashes);
      expect(await again.fileHashes('', 1)).toEqual(hashes.slice(0, 1));
      expect(await again.fileHashes(hashes[0] ?? '', 10)).toEqual(hashes.slice(1));
    });

    test('are kept once when they come twice at the same moment', async () => {
      const other = await place.open();
      const { bytes, attachment } = photo(random, 1000);
      await Promise.all([store, other].map((each) => each.putFile(bytes, 'image/jpeg')));
      expect(await store.fileHashes('', 10)).toEqual([attachment.hash]);
      await other.close();
    });

    test('must be there before the entry that names them', async () => {
      const project = writer.project();
      const { bytes, attachment } = photo(random, 100);
      const note = writer.note(project.id, 'With a photo.', [attachment]);
      const [, refused] = await store.submit([project, note]);
      expect(refused).toMatchObject({
        kind: 'refused',
        problems: [{ code: 'attachment', actual: attachment.hash }],
      });
      await store.putFile(bytes, 'image/jpeg');
      await keep(store, note);
      expect(await store.verify(project.id)).toMatchObject({ files: { whole: 1, broken: [] } });
    });

    test('have the size that an entry says', async () => {
      const { bytes, attachment } = photo(random, 100);
      await store.putFile(bytes, attachment.media);
      const project = writer.project();
      const note = writer.note(project.id, 'Of another size.', [{ ...attachment, bytes: 99 }]);
      const [, refused] = await store.submit([project, note]);
      expect(refused).toMatchObject({
        kind: 'refused',
        problems: [{ code: 'attachment', actual: '99', allowed: '100, the bytes that were sent' }],
      });
    });

    test('are refused when they are too large or of another kind', async () => {
      const large = new Uint8Array(MOST_ATTACHMENT_BYTES + 1);
      expect((await problemIn(store.putFile(large, 'image/jpeg')))?.message).toContain(
        `: a file is not taken: it has ${large.length} bytes; allowed: at most ${MOST_ATTACHMENT_BYTES}`,
      );
      const page = await problemIn(store.putFile(new Uint8Array(1), 'text/html'));
      expect(page?.problem).toBe('file refused');
      expect(page?.message).toMatch(/media type is text\/html; allowed: image\/jpeg, /);
    });
  });

  describe(`statements by hand in ${name}`, () => {
    let project: NewEntry;
    let note: NewEntry;
    let hash: string;
    beforeEach(async () => {
      const { bytes, attachment } = photo(random, 100);
      hash = await store.putFile(bytes, 'image/jpeg');
      project = writer.project();
      note = writer.note(project.id, 'As it was.', [attachment]);
      await keep(store, project, note, writer.note(project.id, 'And another.'));
    });

    test.each([
      "update entry set text = replace(text, 'As it was', 'As I like it')",
      'delete from entry where sequence = 3',
      "update file set media = 'image/png'",
      'delete from file',
    ])('cannot change or delete anything: %s', async (statement) => {
      const before = await store.entries(project.id);
      await expect(place.raw(statement)).rejects.toThrow(
        /only ever added, never changed or deleted/,
      );
      expect(await store.entries(project.id)).toEqual(before);
      expect(await store.missingFiles([hash])).toEqual([]);
    });

    /** Another follower of `note`, as the columns have it. */
    const rowAfter = (values: string) =>
      `insert into entry (project, sequence, id, subject, base, kind, received, hash, text) select project, ${values}, kind, received, hash, text from entry where id = '${note.id}'`;

    test('cannot put in a second follower, number, beginning, or a gap in what is followed', async () => {
      await place.raw(rowAfter(`4, 'a', '${note.id}', '${note.id}'`));
      const refused = [
        rowAfter(`5, 'b', '${note.id}', '${note.id}'`),
        rowAfter(`3, 'b', '${note.id}', 'a'`),
        rowAfter(`0, 'b', '${note.id}', 'a'`),
        rowAfter(`5, 'b', '${note.id}', null`),
        rowAfter(`5, '${note.id}', '${note.id}', 'a'`),
        rowAfter(`5, 'b', '${note.id}', 'nowhere'`),
        rowAfter(`1, 'b', 'b', null`),
      ];
      for (const statement of refused) {
        await expect(place.raw(statement), statement).rejects.toThrow();
      }
      expect(await place.raw('select id from entry')).toHaveLength(4);
    });

    const broken: readonly [string, string, number, RegExp][] = [
      ['a changed text', "text = replace(text, 'As it was', 'As it is')", 2, /text that its hash/],
      ['a changed column', "received = '2020-01-01T00:00:00.000Z'", 2, /received "2020-01-01T/],
      ['a text that is none', "text = '{'", 2, /text that is not that of an entry/],
      ['a changed hash', `hash = '${'0'.repeat(64)}'`, 2, /text that its hash/],
    ];
    test.each(broken)(
      'past the guards: %s is found and named',
      async (_, change, sequence, why) => {
        await place.unguard();
        await place.raw(`update entry set ${change} where id = '${note.id}'`);
        const { chain } = await store.verify(project.id);
        expect(chain).toMatchObject({
          kind: 'broken',
          sequence,
          reason: expect.stringMatching(why),
        });
        const problem = await problemIn((await reopened()).entries(project.id));
        expect(problem?.problem).toBe('broken record');
        expect(problem?.message).toContain(`entry 2 (${note.id}) of project ${project.id}`);
        expect(await store.projects()).toHaveLength(1);
      },
    );

    test('past the guards: an entry changed with its hash breaks the chain after it', async () => {
      await place.unguard();
      const [, second] = await store.entries(project.id);
      const changed = { ...(second as KeptEntry), who: 'Bo Tarn' };
      const other = entryHash(changed);
      await place.raw(
        `update entry set text = replace(text, 'Ada Fell', 'Bo Tarn'), hash = '${other}' where id = '${note.id}'`,
      );
      const { chain } = await store.verify(project.id);
      expect(chain).toMatchObject({ kind: 'broken', sequence: 3 });
    });

    test('past the guards: an entry taken out is found, at the end by a head that was noted down', async () => {
      const [, , last] = await store.entries(project.id);
      await place.unguard();
      await place.raw('delete from entry where sequence = 3');
      expect((await store.verify(project.id)).chain.kind).toBe('whole');
      const known = { sequence: 3, hash: last?.hash ?? '' };
      expect((await store.verify(project.id, known)).chain).toMatchObject({
        kind: 'broken',
        sequence: 3,
      });
      await keep(store, writer.note(project.id, 'Third again.'));
      expect((await store.verify(project.id, known)).chain).toMatchObject({ kind: 'broken' });
      await place.raw(`delete from entry where id = '${note.id}'`);
      expect((await store.verify(project.id)).chain).toMatchObject({ kind: 'broken', sequence: 2 });
    });

    test('past the guards: a file is looked at though the chain is broken before it', async () => {
      await place.unguard();
      await place.raw("update entry set received = '2020-01-01T00:00:00.000Z' where sequence = 1");
      await place.raw('delete from file');
      expect(await store.verify(project.id)).toMatchObject({
        chain: { kind: 'broken', sequence: 1 },
        files: { whole: 0, broken: [hash] },
      });
    });

    test('past the guards: a changed and a missing file are found and named', async () => {
      await place.unguard();
      await place.raw(`update file set bytes = cast('other' as ${BLOB[store.kind]})`);
      expect((await store.verify(project.id)).files).toEqual({ whole: 0, broken: [hash] });
      const problem = await problemIn(store.file(hash));
      expect(problem?.message).toContain(`the file ${hash} has other bytes`);
      await place.raw('delete from file');
      expect((await store.verify(project.id)).files).toEqual({ whole: 0, broken: [hash] });
    });

    test('past the guards: a file of a type that no file has is found, and not written to an archive', async () => {
      await place.unguard();
      await place.raw("update file set media = 'text/html'");
      expect((await store.verify(project.id)).files).toEqual({ whole: 0, broken: [hash] });
      expect((await problemIn(store.file(hash)))?.message).toContain('media type is text/html');
    });

    test('past the guards: a body that no entry has is found, though its hash was made anew', async () => {
      const [, , last] = await store.entries(project.id);
      const { hash: _, ...rest } = last as KeptEntry;
      const changed = { ...rest, body: { kind: 'note', photos: [null] } };
      const text = canonicalJson(changed);
      await place.unguard();
      await place.raw(
        `update entry set text = '${text}', hash = '${contentHash(Buffer.from(text))}', kind = 'note' where sequence = 3`,
      );
      expect((await store.verify(project.id)).chain).toEqual({
        kind: 'broken',
        sequence: 3,
        reason: 'entry 3 says what no entry says: it was changed',
      });
    });

    test('past the guards: nothing is added to a project with an entry taken out', async () => {
      await place.unguard();
      await place.raw(`delete from entry where id = '${note.id}'`);
      const adding = (await reopened()).submit([writer.note(project.id, 'On top.')]);
      const problem = await problemIn(adding);
      expect(problem?.problem).toBe('broken record');
      expect(problem?.message).toContain(`project ${project.id} has entries that do not follow`);
    });
  });
}

const BLOB = { SQLite: 'blob', PostgreSQL: 'bytea' };
