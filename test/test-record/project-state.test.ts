import { describe, expect, test } from 'vitest';
import type { KeptEntry, NewEntry, NoteBody } from '../../src/test-record/index.js';
import {
  chained,
  entriesOf,
  entryOf,
  isPending,
  projectState,
  recordOf,
  recordsOf,
  withEntries,
  withPending,
} from '../../src/test-record/index.js';
import { keptEntries, sampleId, sampleProject } from './sample-entries.js';

const project = sampleProject();
const kept = keptEntries(project.entries);
const state = projectState(kept);

describe('the state of a project', () => {
  test('has one record a subject, in the order they were begun', () => {
    const begun = project.entries.filter(({ id, subject }) => id === subject);
    expect([...state.records.keys()]).toEqual(begun.map(({ id }) => id));
    expect(recordsOf(state, 'cart').map(({ content }) => content.revision)).toEqual(['A', 'B']);
    expect(recordsOf(state, 'instrument').map(({ content }) => content.name)).toEqual([
      'Gauge 3',
      'Level 1',
      'Pad scale 2',
      'Tape 9',
    ]);
  });

  test('has as its head the newest entry', () => {
    const last = kept.at(-1) as KeptEntry;
    expect(state.head).toEqual({ sequence: last.sequence, hash: last.hash });
    expect(state.id).toBe(sampleId(1, 0));
  });

  test('has the content of a correction, and keeps what was before', () => {
    const run = recordOf(state, 'run', project.id('incline run'));
    expect(run?.content.readings[0]?.load).toBe('12.1 deg');
    expect(run?.entries.map(({ id }) => id)).toEqual([
      project.id('incline run'),
      project.id('incline correction'),
    ]);
    expect(run?.newest).toBe(project.id('incline correction'));
    expect(run).toMatchObject({ reviewedAt: null, corrections: 0, withdrawn: false });
  });

  test('knows what was reviewed and what was withdrawn', () => {
    const reviewed = recordOf(state, 'run', project.id('push run'));
    const review = kept.find(({ id }) => id === project.id('review'));
    expect(reviewed?.reviewedAt).toBe(review?.sequence);
    expect(recordOf(state, 'note', project.id('note'))?.withdrawn).toBe(true);
  });

  test('counts corrections after a review, which stays; content brings a withdrawn record back', () => {
    const push = project.entry('push run');
    const correction = project.further(100, push.body, {
      subject: project.id('push run'),
      base: project.id('review'),
    });
    const back = project.further(101, project.entry('note').body, {
      subject: project.id('note'),
      base: project.id('withdrawn note'),
    });
    const after = withEntries(state, following(kept, [correction, back]));
    expect(recordOf(after, 'run', project.id('push run'))).toMatchObject({
      corrections: 1,
      reviewedAt: recordOf(state, 'run', project.id('push run'))?.reviewedAt,
    });
    expect(recordOf(after, 'note', project.id('note'))?.withdrawn).toBe(false);
  });

  test('gives nothing for a record of another kind or of nobody', () => {
    expect(recordOf(state, 'plan', project.id('cart A'))).toBeNull();
    expect(recordOf(state, 'plan', sampleId(9, 9))).toBeNull();
  });

  test('finds an entry by its id, and lists all in their order', () => {
    expect(entryOf(state, project.id('review'))?.body.kind).toBe('review');
    expect(entryOf(state, sampleId(9, 9))).toBeNull();
    expect(entriesOf(state)).toEqual(kept);
  });

  test('is the same one by one, and leaves the state before as it was', () => {
    let one = projectState(kept.slice(0, 1));
    for (const entry of kept.slice(1)) {
      const sizes = one.records.size;
      const next = withEntries(one, [entry]);
      expect(one.records.size).toBe(sizes);
      one = next;
    }
    expect(one).toEqual(state);
  });

  test.each<[string, readonly KeptEntry[], RegExp]>([
    ['no entries', [], /no entries/],
    ['no project at the beginning', kept.slice(1), /begins no project/],
    ['an entry left out', kept.filter((_, i) => i !== 4), /after 4/],
    ['an entry of another project', [...kept.slice(0, 2), ofOther(kept[2])], /after 2/],
    ['a base that is not the newest', withBase(sampleId(1, 1)), /does not follow/],
    ['a record that begins in its middle', withBase(sampleId(9, 9)), /does not follow/],
  ])('cannot be made of %s', (_, entries, message) => {
    expect(() => projectState(entries)).toThrow(message);
  });
});

describe('pending entries', () => {
  const note: NoteBody = { kind: 'note', about: null, text: 'Rain on the ramp.', photos: [] };
  const first = project.further(100, note);
  const second = project.further(
    101,
    { ...note, text: 'It dried.' },
    { subject: first.id, base: first.id },
  );
  const old = project.further(102, project.entry('push run').body, {
    subject: project.id('push run'),
    base: project.id('push run'),
  });

  test('lie on top, follow each other, and leave the head where it is', () => {
    const top = withPending(state, [first, second]);
    const record = recordOf(top, 'note', first.id);
    expect(record?.content.text).toBe('It dried.');
    expect(record?.newest).toBe(second.id);
    expect(record?.entries.map(isPending)).toEqual([true, true]);
    expect(top.head).toEqual(state.head);
    expect(state.records.has(first.id)).toBe(false);
  });

  test('are left out when their base is old, when they are kept by now, or of another project', () => {
    const other = { ...first, id: sampleId(1, 103), subject: sampleId(1, 103), project: 'x' };
    expect(withPending(state, [old, project.entry('note'), other])).toEqual(state);
  });

  test('may begin a project of which nothing is kept', () => {
    const top = withPending(null, project.entries);
    expect(top?.records.size).toBe(state.records.size);
    expect(top?.head.sequence).toBe(0);
    expect(withPending(null, [first])).toBeNull();
  });

  test('are gone from the top when they were kept', () => {
    const after = withEntries(state, following(kept, [first]));
    const top = withPending(after, [first, second]);
    expect(recordOf(top, 'note', first.id)?.entries.map(isPending)).toEqual([false, true]);
  });
});

function following(before: readonly KeptEntry[], entries: readonly NewEntry[]): KeptEntry[] {
  const all: KeptEntry[] = [];
  for (const entry of entries) {
    all.push(chained(entry, all.at(-1) ?? before.at(-1) ?? null, entry.at));
  }
  return all;
}

function ofOther(entry: KeptEntry | undefined): KeptEntry {
  return { ...(entry as KeptEntry), project: sampleId(2, 0) };
}

/** The project, and a third entry that is not the first of its record. */
function withBase(base: string): readonly KeptEntry[] {
  const odd = project.further(100, project.entry('cart A').body, {
    subject: project.id('cart A'),
    base: base === sampleId(1, 1) ? sampleId(1, 0) : base,
  });
  return [...kept.slice(0, 2), ...following(kept.slice(0, 2), [odd])];
}
