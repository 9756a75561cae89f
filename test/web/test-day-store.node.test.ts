/** Entries of a test day between the browser and the program: none is lost, none is kept twice. */

import 'fake-indexeddb/auto';
import { deleteDB, openDB } from 'idb';
import { describe, expect, it, vi } from 'vitest';
import type { KeptEntry, NoteBody } from '../../src/test-record/index.js';
import { chained } from '../../src/test-record/index.js';
import { ApiError } from '../../src/web/store/api.js';
import { httpRecords } from '../../src/web/test-day/store/http-records.js';
import type { LocalShelf } from '../../src/web/test-day/store/local-shelf.js';
import { indexedShelf } from '../../src/web/test-day/store/local-shelf.js';
import { shelteredShelf } from '../../src/web/test-day/store/sheltered-shelf.js';
import type { TestDayStore, TestDaySurroundings } from '../../src/web/test-day/store/test-day.js';
import { createTestDay } from '../../src/web/test-day/store/test-day.js';
import type { FakeRecords } from './fake-records.js';
import { fakeRecords } from './fake-records.js';

interface Browser {
  /** loads the page (again) */
  readonly page: (changes?: Partial<TestDaySurroundings>) => Promise<TestDayStore>;
  /** what the browser itself keeps */
  readonly shelf: LocalShelf;
  readonly said: string[];
}

let browsers = 0;

/** A browser with its own storage; ids count up so that a test can name them. */
function browser(records: FakeRecords, who = 'first operator'): Browser {
  browsers += 1;
  const number = browsers;
  const texts = new Map<string, string>();
  const storage = {
    getItem: (key: string) => texts.get(key) ?? null,
    setItem: (key: string, value: string) => void texts.set(key, value),
    removeItem: (key: string) => void texts.delete(key),
  };
  const said: string[] = [];
  let id = 0;
  let line: Promise<unknown> = Promise.resolve();
  const shelf = indexedShelf(`folder of browser ${number}`);
  return {
    said,
    shelf,
    async page(changes = {}) {
      const store = createTestDay({
        api: records.api,
        shelf,
        storage,
        alone: (act) => {
          const done = line.then(act);
          line = done.catch(() => {});
          return done;
        },
        now: () => '2026-11-25T09:30:00.000Z',
        newId: () => {
          id += 1;
          return `${String(number).padStart(8, '0')}-0000-4000-8000-${String(id).padStart(12, '0')}`;
        },
        say: (words) => void said.push(words),
        ...changes,
      });
      store.getState().setWho(who);
      await store.getState().begin();
      return store;
    },
  };
}

const note = (text: string): NoteBody => ({ kind: 'note', about: null, text, photos: [] });

async function withProject(records: FakeRecords): Promise<[Browser, TestDayStore, string]> {
  const first = browser(records);
  const store = await first.page();
  const project = await store.getState().newProject('Lamp stand', 'lakeside clinic', '');
  if (project === null) throw new Error('no project was begun');
  return [first, store, project];
}

const textsOf = (records: FakeRecords, project: string): string[] =>
  (records.projects.get(project) ?? []).flatMap(({ body }) =>
    body.kind === 'note' ? [body.text] : [],
  );

describe('entries written while the program is away', () => {
  it('are shown at once, outlive the page, and are sent once, in order', async () => {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    records.gone = true;
    await store.getState().write(note('one'));
    await store.getState().write(note('two'));
    expect(store.getState().state?.records.size).toBe(3);
    await expect.poll(() => store.getState().link).toBe('away');
    expect(textsOf(records, project)).toEqual([]);

    // the page is closed without a word, and opened again when the program is back
    records.gone = false;
    const again = await first.page();
    await again.getState().open(project);
    expect(textsOf(records, project)).toEqual(['one', 'two']);
    expect(again.getState().pending).toEqual([]);
    expect(again.getState().state?.records.size).toBe(3);
  });

  it('stay shown while they are sent, and while another writes in between', async () => {
    const records = fakeRecords();
    const [, one, project] = await withProject(records);
    const two = await browser(records, 'second operator').page();
    await two.getState().open(project);
    const sizes: (number | undefined)[] = [];
    one.subscribe(({ state }) => sizes.push(state?.records.size));
    await two.getState().write(note('of another'));
    await expect.poll(() => textsOf(records, project)).toEqual(['of another']);
    await one.getState().write(note('mine'));
    await expect.poll(() => one.getState().pending).toEqual([]);
    expect(one.getState().state?.records.size).toBe(3);
    // never fewer than a moment before
    expect(sizes).toEqual([...sizes].sort((a = 0, b = 0) => a - b));
    expect(sizes).not.toContain(undefined);
  });

  it('of a project that is just begun stay shown while it is sent', async () => {
    const records = fakeRecords();
    const first = browser(records);
    const store = await first.page();
    const states: boolean[] = [];
    store.subscribe(({ state, project }) => {
      if (project !== null) states.push(state !== null);
    });
    await store.getState().newProject('Lamp stand', '', '');
    await store.getState().lookAgain();
    // nothing while it is opened, then there for good
    expect(states.lastIndexOf(false)).toBeLessThan(states.indexOf(true));
    expect(states.at(-1)).toBe(true);
  });

  it('begin a project too', async () => {
    const records = fakeRecords();
    records.gone = true;
    const [first, store] = await withProject(records);
    expect(store.getState().state?.records.size).toBe(1);
    await store.getState().write(note('before it was sent'));
    records.gone = false;
    await (await first.page()).getState().lookAgain();
    const [kept] = [...records.projects.values()];
    expect(kept?.map(({ body }) => body.kind)).toEqual(['project', 'note']);
  });

  it('are kept once where the answer is lost on its way', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    records.answersAreLost = true;
    await store.getState().write(note('once'));
    await expect.poll(() => textsOf(records, project)).toEqual(['once']);
    await expect.poll(() => store.getState().link).toBe('away');
    expect(store.getState().pending).toHaveLength(1);
    records.answersAreLost = false;
    await store.getState().lookAgain();
    expect(store.getState().pending).toEqual([]);
    expect(textsOf(records, project)).toEqual(['once']);
  });

  it('go after the files that they name, which are sent from the browser', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    records.gone = true;
    const bytes = new Blob(['a photo, so to speak'], { type: 'image/png' });
    const photo = await store.getState().attach(bytes, 'ramp.png');
    if (photo === null) throw new Error('the photo was not kept');
    expect(photo).toMatchObject({ name: 'ramp.png', media: 'image/png', bytes: 20 });
    await store
      .getState()
      .write({ kind: 'note', about: null, text: 'with a photo', photos: [photo] });
    // shown although the program is away
    expect(await store.getState().fileText(photo.hash)).toBe('a photo, so to speak');
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toEqual(['with a photo']);
    expect(await records.files.get(photo.hash)?.text()).toBe('a photo, so to speak');
    // and had from the program from then on
    expect(await store.getState().fileText(photo.hash)).toBe('a photo, so to speak');
    expect(records.asked.at(-1)).toBe(`file ${photo.hash}`);
  });
});

describe('two people who write to one record', () => {
  async function inConflict() {
    const records = fakeRecords();
    const [, one, project] = await withProject(records);
    const subject = await one.getState().write(note('as it was'));
    if (subject === null) throw new Error('nothing was written');
    await expect.poll(() => one.getState().pending).toEqual([]);
    const other = browser(records, 'second operator');
    const two = await other.page();
    await two.getState().open(project);
    await one.getState().write(note('by one'), { subject });
    await expect.poll(() => textsOf(records, project)).toEqual(['as it was', 'by one']);
    await two.getState().write(note('by the other'), { subject });
    await expect.poll(() => two.getState().pending[0]?.since?.length).toBe(1);
    return { records, project, subject, two, said: other.said };
  }

  it('both keep what they wrote until one decides; mine then follows theirs', async () => {
    const { records, project, two, said } = await inConflict();
    expect(said.join(' ')).toContain('Somebody else wrote to the same record first');
    const waiting = two.getState().pending[0];
    expect(waiting?.since?.[0]?.body).toMatchObject({ text: 'by one' });
    expect(textsOf(records, project)).toEqual(['as it was', 'by one']);
    await two.getState().settle(waiting?.entry.id ?? '', 'mine', 'measured again');
    expect(textsOf(records, project)).toEqual(['as it was', 'by one', 'by the other']);
    expect(records.projects.get(project)?.at(-1)).toMatchObject({
      who: 'second operator',
      why: 'measured again',
    });
    expect(two.getState().pending).toEqual([]);
  });

  it('have what was not taken over beside it as a note', async () => {
    const { records, project, subject, two } = await inConflict();
    const id = two.getState().pending[0]?.entry.id ?? '';
    await two.getState().settle(id, 'theirs', 'theirs is the better reading');
    const last = records.projects.get(project)?.at(-1);
    expect(last?.body).toMatchObject({ kind: 'note', about: subject });
    expect(textsOf(records, project).at(-1)).toContain('by the other');
    expect(two.getState().state?.records.get(subject)?.content).toMatchObject({ text: 'by one' });
    expect(two.getState().pending).toEqual([]);
  });
});

describe('an entry that is laid aside', () => {
  async function inConflict(body: NoteBody) {
    const records = fakeRecords();
    const [, one, project] = await withProject(records);
    const subject = (await one.getState().write(note('as it was'))) ?? '';
    await expect.poll(() => one.getState().pending).toEqual([]);
    const other = browser(records, 'second operator');
    const two = await other.page();
    await two.getState().open(project);
    await one.getState().write(note('by one'), { subject });
    await expect.poll(() => textsOf(records, project)).toEqual(['as it was', 'by one']);
    await two.getState().write(body, { subject });
    await expect.poll(() => two.getState().pending[0]?.since?.length).toBe(1);
    return { records, project, other, two, id: two.getState().pending[0]?.entry.id ?? '' };
  }

  it('is still there where its note cannot be put away', async () => {
    const { other, two, id } = await inConflict(note('by the other'));
    const full = vi.spyOn(other.shelf, 'putPending').mockRejectedValue(new Error('no room'));
    await two
      .getState()
      .settle(id, 'theirs', '')
      .catch(() => {});
    full.mockRestore();
    expect((await other.shelf.pending()).map(({ entry }) => entry.body)).toEqual([
      note('by the other'),
    ]);
  });

  it('is a file of its note where it is too long for one, and its photos stay with it', async () => {
    const body = note('long '.repeat(1990));
    const { records, project, other, two, id } = await inConflict(body);
    const photo = await two.getState().attach(new Blob(['castor']), 'castor.jpg');
    if (photo === null) throw new Error('not kept');
    const pending = two.getState().pending[0];
    if (pending === undefined) throw new Error('nothing waits');
    const { entry } = pending;
    const withPhoto = { ...entry, body: { ...body, photos: [photo] } };
    await other.shelf.putPending({ ...pending, entry: withPhoto });
    await two.getState().lookAgain();
    await two.getState().settle(id, 'theirs', 'theirs is right');
    const last = records.projects.get(project)?.at(-1)?.body;
    if (last?.kind !== 'note') throw new Error(`not kept: ${JSON.stringify(last)}`);
    expect(two.getState().pending).toEqual([]);
    expect(last.photos.map(({ name }) => name)).toEqual(['not-taken-over.txt', 'castor.jpg']);
    const kept = await records.files.get(last.photos[0]?.hash ?? '')?.text();
    expect(JSON.parse(kept ?? '')).toEqual(withPhoto.body);
  });

  it('says why, where a rule was broken and nobody else wrote', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    const about = '00000000-0000-4000-8000-00000000dead';
    await store.getState().write({ ...note('about nothing'), about });
    await expect.poll(() => store.getState().pending[0]?.problems?.length).toBe(1);
    await store.getState().settle(store.getState().pending[0]?.entry.id ?? '', 'theirs', '');
    const [text] = textsOf(records, project);
    expect(text).toContain('is no record of this project');
    expect(text).not.toContain('another entry');
  });
});

describe('what follows an entry that was not taken', () => {
  async function twoInConflict() {
    const records = fakeRecords();
    const [, one, project] = await withProject(records);
    const subject = (await one.getState().write(note('as it was'))) ?? '';
    await expect.poll(() => one.getState().pending).toEqual([]);
    const two = await browser(records, 'second operator').page();
    await two.getState().open(project);
    await one.getState().write(note('by one'), { subject });
    await expect.poll(() => textsOf(records, project)).toEqual(['as it was', 'by one']);
    records.gone = true;
    await two.getState().write(note('first of two'), { subject });
    await two.getState().write(note('second of two'), { subject });
    records.gone = false;
    await two.getState().lookAgain();
    return { records, project, two };
  }

  it('waits with it, and goes after it once that is decided', async () => {
    const { records, project, two } = await twoInConflict();
    const states = () =>
      two.getState().pending.map(({ since, problems }) => [since?.length, problems]);
    expect(states()).toEqual([
      [1, null],
      [undefined, null],
    ]);
    await two.getState().settle(two.getState().pending[0]?.entry.id ?? '', 'mine', 'both');
    expect(textsOf(records, project)).toEqual([
      'as it was',
      'by one',
      'first of two',
      'second of two',
    ]);
    expect(two.getState().pending).toEqual([]);
  });

  it('has to be decided too where the other stands', async () => {
    const { records, project, two } = await twoInConflict();
    await two.getState().settle(two.getState().pending[0]?.entry.id ?? '', 'theirs', '');
    const left = two.getState().pending;
    expect(left.map(({ since }) => since?.length)).toEqual([1]);
    expect(left[0]?.entry.body).toMatchObject({ text: 'second of two' });
    await two.getState().settle(left[0]?.entry.id ?? '', 'mine', 'this one counts');
    expect(textsOf(records, project).at(-1)).toBe('second of two');
    expect(textsOf(records, project)).toHaveLength(4);
  });
});

describe('an entry that breaks a rule', () => {
  it('is known before it is written, stays with the reason when it was, and can be taken back', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    const nowhere = '00000000-0000-4000-8000-00000000dead';
    const body = { ...note('about nothing'), about: nowhere };
    expect(
      store
        .getState()
        .check(body)
        .map(({ code }) => code),
    ).toEqual(['reference']);
    await store.getState().write(body);
    await expect.poll(() => store.getState().pending[0]?.problems?.[0]?.code).toBe('reference');
    // others go on past it
    await store.getState().write(note('a good one'));
    await expect.poll(() => textsOf(records, project)).toEqual(['a good one']);
    const id = store.getState().pending[0]?.entry.id ?? '';
    expect(await store.getState().takeBack(id)).toEqual(body);
    expect(store.getState().pending).toEqual([]);
  });

  it('has no writer: nothing is written and it is said', async () => {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    store.getState().setWho('  ');
    expect(await store.getState().write(note('by nobody'))).toBeNull();
    expect(first.said.at(-1)).toContain('Say who you are');
    expect(records.projects.get(project)).toHaveLength(1);
  });
});

describe('a project opened without the program', () => {
  it('is shown as last seen', async () => {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    await store.getState().write(note('seen before'));
    await expect.poll(() => store.getState().pending).toEqual([]);
    records.gone = true;
    const again = await first.page();
    await again.getState().open(project);
    expect(again.getState().state?.records.size).toBe(2);
    expect(again.getState().link).toBe('away');
  });
});

describe('what the program refuses', () => {
  it('is told in its own words, and nothing is thrown away', async () => {
    const records = fakeRecords();
    const [, store] = await withProject(records);
    const refusing = { ...records.api };
    Object.assign(records.api, {
      submit: async () => {
        throw new ApiError(507, 'test-records.sqlite: there is no room on the device');
      },
    });
    await store.getState().write(note('waits'));
    await expect.poll(() => store.getState().problem).toContain('no room on the device');
    expect(store.getState().pending).toHaveLength(1);
    Object.assign(records.api, refusing);
    await store.getState().lookAgain();
    expect(store.getState().pending).toEqual([]);
    expect(store.getState().problem).toBeNull();
  });
});

describe('a half-filled form', () => {
  it('is there again after the page was closed, in its own project only', async () => {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    store.getState().keepDraft('run 1', { load: '34.2 lbf' });
    const again = await first.page();
    await again.getState().open(project);
    expect(again.getState().draft('run 1')).toEqual({ load: '34.2 lbf' });
    await again.getState().open(null);
    expect(again.getState().draft('run 1')).toBeNull();
    await again.getState().open(project);
    again.getState().dropDraft('run 1');
    expect(again.getState().draft('run 1')).toBeNull();
  });
});

describe('one thing that the program does not take', () => {
  it('stops no other entry: a file of another kind', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    const { putFile } = records.api;
    Object.assign(records.api, {
      putFile: async (hash: string, bytes: Blob, media: string) => {
        if (media === 'image/heic') throw new ApiError(415, 'A file has to be of another type.');
        await putFile(hash, bytes, media);
      },
    });
    const odd = await store.getState().attach(new Blob(['?'], { type: 'image/heic' }), 'odd.heic');
    if (odd === null) throw new Error('not kept');
    records.gone = true;
    await store.getState().write({ ...note('with an odd file'), photos: [odd] });
    await store.getState().write(note('a good one'));
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toEqual(['a good one']);
    expect(store.getState().pending.map(({ problems }) => problems)).toMatchObject([
      [{ code: 'attachment', message: 'A file has to be of another type.' }],
    ]);
  });

  it('stops no other entry: one that is too large to be sent', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    const { submit } = records.api;
    Object.assign(records.api, {
      submit: async (entries: Parameters<typeof submit>[0]) => {
        if (JSON.stringify(entries).includes('large')) throw new ApiError(413, 'too large');
        return submit(entries);
      },
    });
    records.gone = true;
    await store.getState().write(note('the first'));
    await store.getState().write(note('large'));
    await store.getState().write(note('the last'));
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toEqual(['the first', 'the last']);
    expect(store.getState().pending.map(({ problems }) => problems?.[0]?.message)).toEqual([
      'too large',
    ]);
  });

  it('is sent a few MB at a time', async () => {
    const records = fakeRecords();
    const [, store, project] = await withProject(records);
    const sizes: number[] = [];
    const { submit } = records.api;
    Object.assign(records.api, {
      submit: async (entries: Parameters<typeof submit>[0]) => {
        sizes.push(JSON.stringify(entries).length);
        return submit(entries);
      },
    });
    records.gone = true;
    // long texts of three bytes a character: what is sent counts, not what is seen
    for (let i = 0; i < 6; i += 1)
      await store.getState().write(note(`${'\u4e00'.repeat(5e5)}${i}`));
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toHaveLength(6);
    expect(Math.max(...sizes)).toBeLessThan(4e6 / 3);
  });

  it('stops no other project', async () => {
    const records = fakeRecords();
    const [, store, broken] = await withProject(records);
    const whole = (await store.getState().newProject('Kit trolley', '', '')) ?? '';
    const { submit } = records.api;
    Object.assign(records.api, {
      submit: async (entries: Parameters<typeof submit>[0]) => {
        if (entries.some(({ project }) => project === broken)) {
          throw new ApiError(503, 'entry 1 was changed');
        }
        return submit(entries);
      },
    });
    records.gone = true;
    await store.getState().open(broken);
    await store.getState().write(note('to the broken one'));
    await store.getState().open(whole);
    await store.getState().write(note('to the whole one'));
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, whole)).toEqual(['to the whole one']);
    expect(store.getState().pending.map(({ entry }) => entry.project)).toEqual([broken]);
    expect(store.getState().problem).toBe('entry 1 was changed');
  });

  it('is a project: what was written into it waits with it', async () => {
    const records = fakeRecords();
    const [, store] = await withProject(records);
    const { submit } = records.api;
    Object.assign(records.api, {
      submit: async (entries: Parameters<typeof submit>[0]) => {
        const problem = { code: 'value', path: ['name'], actual: null, allowed: '', message: 'no' };
        const outcomes = await submit(entries.filter(({ body }) => body.kind !== 'project'));
        const refused = entries.filter(({ body }) => body.kind === 'project');
        return [...refused.map(() => ({ kind: 'refused', problems: [problem] })), ...outcomes];
      },
    });
    records.gone = true;
    await store.getState().newProject('no such name', '', '');
    await store.getState().write(note('written into it'));
    records.gone = false;
    await store.getState().lookAgain();
    expect(store.getState().pending.map(({ problems }) => problems?.length ?? null)).toEqual([
      1,
      null,
    ]);
  });
});

describe('where the records were set back or replaced', () => {
  /** Three entries seen; then the program has the first, and `since` others after it. */
  async function setBack(since: number) {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    for (const text of ['seen', 'seen too']) await store.getState().write(note(text));
    await expect.poll(() => store.getState().pending).toEqual([]);
    const [begun, ...lost] = records.projects.get(project) as [KeptEntry, ...KeptEntry[]];
    const others: KeptEntry[] = [begun];
    for (let i = 0; i < since; i += 1) {
      const id = `00000000-0000-4000-8000-00000000000${i}`;
      const { project: of, who, at, why } = begun;
      const entry = { id, project: of, subject: id, base: null, who, at, why, body: note(`n${i}`) };
      others.push(chained(entry, others.at(-1) as KeptEntry, begun.received));
    }
    records.projects.set(project, others);
    return { records, first, store, project, lost };
  }

  const shown = (store: TestDayStore): string[] =>
    [...(store.getState().state?.records.values() ?? [])].flatMap(({ content }) =>
      content.kind === 'note' ? [content.text] : [],
    );

  it.each([
    [0, []],
    [1, ['n0']],
    [2, ['n0', 'n1']],
    [3, ['n0', 'n1', 'n2']],
  ])('what the program has is shown, not a mixture (%i entries since)', async (since, texts) => {
    const { first, store } = await setBack(since);
    await store.getState().lookAgain();
    expect(shown(store)).toEqual(texts);
    expect(first.said.filter((words) => words.includes('other entries'))).toHaveLength(1);
    await store.getState().lookAgain();
    expect(first.said.filter((words) => words.includes('other entries'))).toHaveLength(1);
  });

  it('what was seen before stays in the browser', async () => {
    const { first, store, project, lost } = await setBack(3);
    await store.getState().lookAgain();
    await store.getState().write(note('on top'));
    await expect.poll(() => shown(store)).toEqual(['n0', 'n1', 'n2', 'on top']);
    await expect.poll(() => store.getState().pending).toEqual([]);
    expect((await first.shelf.seen(project)).slice(1)).toEqual(lost);
    const again = await first.page();
    await again.getState().open(project);
    expect(shown(again)).toEqual(['n0', 'n1', 'n2', 'on top']);
  });
});

describe('a browser whose storage fails for a while', () => {
  it('opens it again', async () => {
    // one of a form to come cannot be opened; then it is gone
    const name = 'standstill records a folder of its own';
    (await openDB(name, 99)).close();
    const shelf = indexedShelf('a folder of its own');
    await expect(shelf.pending()).rejects.toThrow();
    await deleteDB(name);
    expect(await shelf.pending()).toEqual([]);
  });

  it('sends again what it could not tick off, and says so', async () => {
    const records = fakeRecords();
    const [first, store, project] = await withProject(records);
    const failing = vi.spyOn(first.shelf, 'dropPending').mockRejectedValue(new Error('no room'));
    await store.getState().write(note('kept'));
    await expect.poll(() => textsOf(records, project)).toEqual(['kept']);
    await store.getState().lookAgain();
    expect(first.said.join(' ')).toContain('no room');
    expect(store.getState().atRisk).toBe(true);
    failing.mockRestore();
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toEqual(['kept']);
    expect(store.getState().pending).toEqual([]);
  });
});

it('an answer that breaks off is none: what was sent waits, and is sent again', async () => {
  const broken = new ReadableStream({
    start(stream) {
      stream.enqueue(new TextEncoder().encode('{"outcomes":['));
      stream.error(new TypeError('terminated'));
    },
  });
  vi.stubGlobal('fetch', async () => new Response(broken));
  const answer = httpRecords.submit([]);
  await expect(answer).rejects.toMatchObject({ name: 'ApiError', status: 0 });
  vi.unstubAllGlobals();
});

describe('a browser that keeps nothing', () => {
  /** Every call fails, as with storage forbidden. */
  const forbidden = new Proxy({} as LocalShelf, {
    get: () => () => Promise.reject(new Error('forbidden')),
  });

  function sheltered(records: FakeRecords) {
    const held: number[] = [];
    const shelf = shelteredShelf(forbidden, (entries) => void held.push(entries));
    let id = 0;
    const store = createTestDay({
      api: records.api,
      shelf,
      storage: { getItem: () => null, setItem: () => {}, removeItem: () => {} },
      alone: (act) => act(),
      now: () => '2026-11-25T09:30:00.000Z',
      newId: () => {
        id += 1;
        return `0000aaaa-0000-4000-8000-${String(id).padStart(12, '0')}`;
      },
      say: () => {},
    });
    store.getState().setWho('first operator');
    return { store, held };
  }

  it('sends what is written all the same, with its files, and tells how much is held in memory alone', async () => {
    const records = fakeRecords();
    const { store, held } = sheltered(records);
    await store.getState().begin();
    const project = (await store.getState().newProject('Lamp stand', '', '')) ?? '';
    records.gone = true;
    const file = await store.getState().attach(new Blob(['a photo']), 'ramp.png');
    if (file === null) throw new Error('the photo was not held');
    const photo = { ...note('with a photo'), photos: [file] };
    expect(await store.getState().write(photo)).not.toBeNull();
    expect(held.at(-1)).toBe(1);
    expect(store.getState().state?.records.size).toBe(2);
    records.gone = false;
    await store.getState().lookAgain();
    expect(textsOf(records, project)).toEqual(['with a photo']);
    expect(await records.files.get(file.hash)?.text()).toBe('a photo');
    expect(held.at(-1)).toBe(0);
    expect(store.getState().pending).toEqual([]);
  });

  it('of a shelf that works, everything is on the shelf and nothing is held', async () => {
    const kept = indexedShelf('a shelf that works');
    const held: number[] = [];
    const shelf = shelteredShelf(kept, (entries) => void held.push(entries));
    const records = fakeRecords();
    const [, store] = await withProject(records);
    records.gone = true;
    await store.getState().write(note('one'));
    const [pending] = store.getState().pending;
    if (pending === undefined) throw new Error('nothing waits');
    await shelf.putPending(pending);
    expect(held).toEqual([0]);
    expect(await kept.pending()).toEqual([pending]);
    await shelf.dropPending([pending.entry.id]);
    expect(await shelf.pending()).toEqual([]);
  });
});
