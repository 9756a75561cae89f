/** Entries of a test day between the browser and the program: none is lost, none is kept twice. */

import 'fake-indexeddb/auto';
import { describe, expect, it } from 'vitest';
import { ApiError } from '../../src/web/store/api.js';
import { indexedShelf } from '../../src/web/test-day/store/local-shelf.js';
import type { TestDayStore } from '../../src/web/test-day/store/test-day.js';
import { createTestDay } from '../../src/web/test-day/store/test-day.js';
import type { FakeRecords } from './fake-records.js';
import { fakeRecords } from './fake-records.js';

interface Browser {
  /** loads the page (again) */
  readonly page: () => Promise<TestDayStore>;
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
  return {
    said,
    async page() {
      const store = createTestDay({
        api: records.api,
        shelf: indexedShelf(`folder of browser ${number}`),
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
      });
      store.getState().setWho(who);
      await store.getState().begin();
      return store;
    },
  };
}

const note = (text: string) => ({ kind: 'note', about: null, text, photos: [] }) as const;

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
