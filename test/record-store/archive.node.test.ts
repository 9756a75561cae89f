/** Archives: written, read elsewhere, taken further, and refused when they are not what was written. */

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { RecordStore } from '../../src/record-store/index.js';
import {
  openRecords,
  readArchive,
  readArchiveFile,
  writeArchive,
  writeArchiveFile,
} from '../../src/record-store/index.js';
import type { KeptEntry } from '../../src/test-record/index.js';
import { contentHash, entryHash, FIRST_PREVIOUS } from '../../src/test-record/index.js';
import { seededRandom } from '../reference/random.js';
import type { Contents } from './filled-store.js';
import { archiveBytes, contentsOf, filled, readBytes } from './filled-store.js';
import { entryWriter } from './sample-entries.js';
import { rawSqlite } from './sqlite-place.js';
import { NOW, problemIn } from './store-conformance.js';

const folder = mkdtempSync(join(tmpdir(), 'standstill-archives-'));
const random = seededRandom(43);
const writer = entryWriter(random);

let files = 0;
async function newStore(): Promise<RecordStore> {
  files += 1;
  return openRecords(join(folder, `records-${files}.sqlite`), { now: () => NOW });
}

const ids: string[] = [];
let source: RecordStore;
let contents: Contents;
let whole: Buffer;
let lines: readonly string[];
let target: RecordStore;
beforeAll(async () => {
  source = await newStore();
  for (const notes of [30, 7]) {
    ids.push(await filled(source, writer, random, { notes, photo: 3000 }));
  }
  contents = await contentsOf(source);
  whole = await archiveBytes(source, null);
  lines = gunzipSync(whole).toString().trimEnd().split('\n');
  target = await newStore();
});
afterAll(async () => {
  await source?.close();
  await target?.close();
  rmSync(folder, { recursive: true });
});

/** An archive of other lines; its end, given without a digest, gets the right one. */
function archiveOf(changed: readonly string[]): Buffer {
  const body = changed.slice(0, -1).map((line) => `${line}\n`);
  const end = JSON.parse(changed.at(-1) ?? '');
  const digest = contentHash(Buffer.from(body.join('')));
  return gzipSync(`${body.join('')}${JSON.stringify({ ...end, digest })}\n`);
}

describe('an archive', () => {
  test('brings everything into an empty place: entries, hashes and files, and then nothing more', async () => {
    const empty = await newStore();
    const end = JSON.parse(lines.at(-1) ?? '');
    const { projects, entries, files: fileCount, bytes } = end;
    expect({ projects, files: fileCount, bytes }).toEqual({
      projects: 2,
      files: 19,
      bytes: 57_000,
    });
    expect(entries).toBe(Object.values(contents.entries).flat().length);
    const count = { projects, entries, files: fileCount, bytes };
    expect(await readBytes(empty, whole)).toEqual({ ...count, added: count });
    expect(await contentsOf(empty)).toEqual(contents);
    expect(await empty.projects()).toEqual(await source.projects());
    for (const id of ids) {
      expect(await empty.verify(id)).toEqual(await source.verify(id));
    }
    const none = { projects: 0, entries: 0, files: 0, bytes: 0 };
    expect((await readBytes(empty, whole)).added).toEqual(none);
    expect(await archiveBytes(empty, null)).toEqual(whole);
    await empty.close();
  });

  test('of one project has that project, and the files that it names', async () => {
    const [id = ''] = ids;
    const empty = await newStore();
    const { added } = await readBytes(empty, await archiveBytes(source, id));
    expect(added).toMatchObject({ projects: 1, files: 15 });
    expect((await contentsOf(empty)).entries).toEqual({ [id]: contents.entries[id] });
    expect(await empty.verify(id)).toMatchObject({ files: { whole: 15, broken: [] } });
    const absent = problemIn(archiveBytes(empty, ids[1] ?? ''));
    expect(await absent).toMatchObject({ problem: 'no project' });
    await empty.close();
  });

  test('takes a project further whose entries are its beginning, and leaves one that is further on', async () => {
    const [id = ''] = ids;
    const place = await newStore();
    const earlier = await archiveBytes(source, id);
    await readBytes(place, earlier);
    await place.submit([writer.note(id, 'Later.')]);
    const later = await archiveBytes(place, id);
    const behind = await newStore();
    await readBytes(behind, earlier);
    expect((await readBytes(behind, later)).added).toMatchObject({ projects: 0, entries: 1 });
    expect(await behind.entries(id)).toEqual(await place.entries(id));
    expect((await readBytes(behind, earlier)).added).toMatchObject({ entries: 0 });
    expect(await behind.entries(id)).toEqual(await place.entries(id));
    // what was read continues like what was sent
    const [outcome] = await behind.submit([writer.note(id, 'On here.')]);
    expect(outcome?.kind).toBe('kept');
    for (const each of [place, behind]) await each.close();
  });

  test('of a project that went another way is refused, and nothing of it is kept', async () => {
    const [id = ''] = ids;
    const one = await newStore();
    const other = await newStore();
    for (const each of [one, other]) {
      await readBytes(each, await archiveBytes(source, id));
      await each.submit([writer.note(id, 'One way or the other.')]);
    }
    // a new project beside it must not come in either
    await filled(other, writer, random, { notes: 1, photo: 10 });
    const before = await contentsOf(one);
    for (const project of [id, null]) {
      const problem = await problemIn(readBytes(one, await archiveBytes(other, project)));
      expect(problem?.problem).toBe('other project');
      expect(problem?.message).toContain(`project ${id} has other entries here`);
    }
    await other.submit([writer.note(id, 'And further.')]);
    const longer = await problemIn(readBytes(one, await archiveBytes(other, id)));
    expect(longer?.problem).toBe('other project');
    expect(await contentsOf(one)).toEqual(before);
    for (const each of [one, other]) await each.close();
  });

  test('of what is not whole is not written', async () => {
    const place = await newStore();
    await readBytes(place, whole);
    const raw = (statement: string) => rawSqlite(place.place, statement);
    raw('drop trigger file_stays');
    raw(`update file set bytes = x'00' where hash = (select min(hash) from file)`);
    expect((await problemIn(archiveBytes(place, null)))?.problem).toBe('broken record');
    raw('drop trigger entry_remains');
    raw(`delete from entry where project = '${ids[1]}' and sequence = 3`);
    const problem = await problemIn(archiveBytes(place, ids[1] ?? ''));
    expect(problem?.message).toMatch(/entry 3 is due here and entry 4 stands here/);
    await place.close();
  });

  test('ends with an error where its sink does', async () => {
    const full = new Writable({ write: (_piece, _encoding, done) => done(new Error('disk full')) });
    await expect(writeArchive(source, full, null)).rejects.toThrow('disk full');
  });
});

describe('refused before anything is kept: an archive', () => {
  beforeEach(async () => {
    expect(await target.projects()).toEqual([]);
  });
  const refused = async (bytes: Uint8Array): Promise<string> => {
    const problem = await problemIn(readBytes(target, bytes));
    expect(await target.projects()).toEqual([]);
    expect(await target.fileHashes('', 1)).toEqual([]);
    expect(problem?.message).toMatch(/^a\.archive: /);
    return problem?.problem ?? 'taken';
  };

  test('that is none', async () => {
    for (const text of ['', 'a,b\n1,2\n', '{"format":"standstill test records","version":1}\n']) {
      expect(await refused(Buffer.from(text))).toBe(
        text === '' ? 'broken archive' : 'not an archive',
      );
    }
    for (const text of [
      '',
      'a,b\n1,2\n',
      '{"format":"other"}\n',
      'null\n',
      `${'x'.repeat(1e6)}\n`,
    ]) {
      expect(await refused(gzipSync(text))).toBe('not an archive');
    }
  });

  test('of a version to come', async () => {
    const heading = { ...JSON.parse(lines[0] ?? ''), version: 2 };
    const archive = archiveOf([JSON.stringify(heading), ...lines.slice(1)]);
    expect(await refused(archive)).toBe('too new');
  });

  test('that was cut short, anywhere (100 places, seed 47)', async () => {
    const chance = seededRandom(47);
    for (let i = 0; i < 100; i += 1) {
      const length = i < 40 ? whole.length - 1 - i : Math.floor(chance() * whole.length);
      const cut = whole.subarray(0, length);
      expect(await refused(cut), `${length} bytes`).toBe('broken archive');
    }
    for (let count = 1; count < lines.length; count += 7) {
      const cut = gzipSync(lines.slice(0, count).join('\n'));
      expect(await refused(cut), `${count} lines`).toBe('broken archive');
    }
  });

  test('with a flipped bit, anywhere past the head of the gzip (150 bits, seed 53)', async () => {
    const chance = seededRandom(53);
    for (let i = 0; i < 150; i += 1) {
      // the ten bytes before hold a time and a system, which nobody reads, and what is no archive
      const at = 10 + Math.floor(chance() * (whole.length - 10));
      const flipped = Buffer.from(whole);
      flipped[at] = (flipped[at] ?? 0) ^ (1 << Math.floor(chance() * 8));
      expect(await refused(flipped), `byte ${at}`).toMatch(/^(broken|not an) archive$/);
    }
  });

  const entryAt = (count: number) => {
    const at = lines.findIndex((line) => line.startsWith('{"kind":"entry"')) + count;
    return { at, entry: JSON.parse(lines[at] ?? '').entry as KeptEntry };
  };
  const withLine = (at: number, value: unknown) => lines.with(at, JSON.stringify(value));
  const cases: readonly [string, () => readonly string[], RegExp][] = [
    [
      'another text of an entry',
      () => {
        const { at, entry } = entryAt(2);
        return withLine(at, { kind: 'entry', entry: { ...entry, who: 'Bo Tarn' } });
      },
      /entry 3 does not have the content its hash was made of/,
    ],
    [
      'an entry written anew with its hash',
      () => {
        const { at, entry } = entryAt(2);
        const other = { ...entry, who: 'Bo Tarn' };
        return withLine(at, { kind: 'entry', entry: { ...other, hash: entryHash(other) } });
      },
      /entry 4 does not carry the hash of entry 3/,
    ],
    [
      'an entry of no known shape',
      () => {
        const { at, entry } = entryAt(2);
        const other = { ...entry, body: { kind: 'review', statement: 'x', more: 1 } } as KeptEntry;
        return withLine(at, { kind: 'entry', entry: { ...other, hash: entryHash(other) } });
      },
      /more/,
    ],
    ['an entry left out', () => lines.toSpliced(entryAt(2).at, 1), /entry 3 is due/],
    ['a last entry left out', () => lines.toSpliced(-2, 1), /has \d+ of \d+ entries/],
    [
      'one entry twice',
      () => lines.toSpliced(entryAt(2).at, 0, lines[entryAt(2).at] ?? ''),
      /entry 4 is due here and entry 3 stands here/,
    ],
    [
      'a file left out',
      () => lines.toSpliced(1, 1),
      /names the file [0-9a-f]{64}, which is not in it/,
    ],
    ['a file twice', () => lines.toSpliced(1, 0, lines[1] ?? ''), /stands in it twice/],
    [
      'other bytes of a file',
      () => withLine(1, { ...JSON.parse(lines[1] ?? ''), bytes: 'AAAA' }),
      /has other bytes than its hash says/,
    ],
    [
      'a page in place of a photo',
      () => withLine(1, { ...JSON.parse(lines[1] ?? ''), media: 'text/html' }),
      /its media type is text\/html/,
    ],
    [
      'a hash of a file that a terminal would obey',
      () => withLine(1, { ...JSON.parse(lines[1] ?? ''), hash: '\u001b[2J' }),
      /line 2 is neither a file nor an entry/,
    ],
    ['a line that is no JSON', () => lines.with(3, '{'), /line 4 is neither a file nor an entry/],
    ['an empty line', () => lines.with(3, ''), /line 4 is neither/],
    [
      'another count at its end',
      () => withLine(lines.length - 1, { ...JSON.parse(lines.at(-1) ?? ''), files: 1 }),
      /its end counts 1 files, it has 19/,
    ],
    [
      'a heading without one of its projects',
      () => {
        const heading = JSON.parse(lines[0] ?? '');
        return withLine(0, { ...heading, projects: heading.projects.slice(0, 1) });
      },
      /holds more than its heading says/,
    ],
    [
      'a project twice',
      () => {
        const heading = JSON.parse(lines[0] ?? '');
        return withLine(0, { ...heading, projects: [heading.projects[0], heading.projects[0]] });
      },
      /is in it twice/,
    ],
  ];
  test.each(cases)('with %s, its digest being right', async (_, changed, why) => {
    const problem = await problemIn(readBytes(target, archiveOf(changed())));
    expect(problem?.problem).toBe('broken archive');
    expect(problem?.message).toMatch(why);
    expect(await target.fileHashes('', 1)).toEqual([]);
  });

  test('with a chain of its own that begins with no project', async () => {
    const note = writer.note(writer.project().id, 'Stray.');
    const stray = { ...note, sequence: 1, received: NOW, previous: FIRST_PREVIOUS };
    const entry = { ...stray, hash: entryHash(stray) };
    const heading = {
      ...JSON.parse(lines[0] ?? ''),
      projects: [{ id: note.project, entries: 1, head: entry.hash }],
    };
    const end = { kind: 'end', projects: 1, entries: 1, files: 0, bytes: 0 };
    const archive = archiveOf(
      [heading, { kind: 'entry', entry }, end].map((each) => JSON.stringify(each)),
    );
    const problem = await problemIn(readBytes(target, archive));
    expect(problem?.message).toMatch(/entry 1 of project .* does not follow its record/);
  });

  test('with something after its end', async () => {
    const text = gunzipSync(whole).toString();
    expect(await refused(gzipSync(`${text}${lines[1]}\n`))).toBe('broken archive');
    expect(await refused(Buffer.concat([whole, gzipSync('x\n')]))).toBe('broken archive');
  });

  test('that unpacks to far more than it is', async () => {
    const bomb = gzipSync(Buffer.alloc(30_000_000, 32));
    expect(bomb.length).toBeLessThan(40_000);
    for (const limits of [{ line: 1e6 }, { unpacked: 2e6 }]) {
      const reading = readArchive(target, () => Readable.from([bomb]), { limits });
      expect((await problemIn(reading))?.message).toMatch(/(a line has|unpacks to) more than/);
    }
  });
});

describe('a file of an archive', () => {
  test('is whole under its name, replaces what was there, and leaves nothing beside', async () => {
    const place = join(folder, 'backup');
    const path = `${place}.archive`;
    writeFileSync(path, 'an older one');
    const count = await writeArchiveFile(source, path, null);
    expect(readFileSync(path)).toEqual(whole);
    const empty = await newStore();
    expect(await readArchiveFile(empty, path)).toEqual({ ...count, added: count });
    await empty.close();
    expect(readdirSync(folder).filter((name) => name.includes('half-written'))).toEqual([]);
  });

  test('never takes the place of the records themselves', async () => {
    for (const end of ['', '-wal']) {
      const problem = await problemIn(writeArchiveFile(source, `${source.place}${end}`, null));
      expect(problem?.message).toMatch(
        /is the file of the test records itself; allowed: another name/,
      );
    }
    expect(await contentsOf(source)).toEqual(contents);
  });

  test('that cannot be written or read is told in words, and nothing is left', async () => {
    const nowhere = join(folder, 'none', 'a.archive');
    const unwritten = await problemIn(writeArchiveFile(source, nowhere, null));
    expect(unwritten?.message).toContain(
      `${nowhere}: cannot be written: no such file or directory`,
    );
    const unread = await problemIn(readArchiveFile(target, nowhere));
    expect(unread?.message).toContain(`${nowhere}: cannot be read: no such file or directory`);
    const path = join(folder, 'none.archive');
    expect((await problemIn(writeArchiveFile(target, path, ids[0] ?? '')))?.problem).toBe(
      'no project',
    );
    expect(existsSync(path)).toBe(false);
    expect(readdirSync(folder).filter((name) => name.includes('half-written'))).toEqual([]);
  });
});
