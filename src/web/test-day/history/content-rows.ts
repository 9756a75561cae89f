/** The content of an entry as rows of a table, and two contents side by side. */

import type { EntryBody } from '../../../test-record/index.js';

export interface ContentRow {
  /** 'readings 2, load' */
  readonly place: string;
  readonly value: string;
}

export interface DifferenceRow {
  readonly place: string;
  /** null: not there */
  readonly one: string | null;
  readonly other: string | null;
}

/** Rows of what is long or kept whole elsewhere: said, not shown. */
const LONG: Readonly<Record<string, string>> = {
  plan: 'the runs of the plan, shown in Plan',
  text: 'the text as a whole',
};

export function contentRows(body: EntryBody): readonly ContentRow[] {
  const { kind, ...content } = body;
  return Object.entries(content).flatMap(([key, value]) => {
    const long = kind === 'plan' || kind === 'cart' ? LONG[key] : undefined;
    return long !== undefined && typeof value !== 'string'
      ? [{ place: key, value: long }]
      : rowsOf(wordsOf(key), value);
  });
}

function rowsOf(place: string, value: unknown): readonly ContentRow[] {
  if (value === null || value === '') return [];
  if (Array.isArray(value)) {
    return value.flatMap((each, i) => rowsOf(`${place} ${i + 1}`, each));
  }
  if (typeof value === 'object') {
    return Object.entries(value).flatMap(([key, each]) =>
      rowsOf(`${place}, ${wordsOf(key)}`, each),
    );
  }
  return [{ place, value: String(value) }];
}

/** 'forceToMove': 'force to move'. Names that people gave (movers, castors) keep their capitals. */
function wordsOf(key: string): string {
  return /^[a-z]+([A-Z][a-z]+)+$/.test(key)
    ? key.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
    : key;
}

/** Places at which they differ, in the order of the first, then what only the second has. */
export function differenceRows(one: EntryBody, other: EntryBody): readonly DifferenceRow[] {
  const mine = new Map(contentRows(one).map(({ place, value }) => [place, value]));
  const theirs = new Map(contentRows(other).map(({ place, value }) => [place, value]));
  const places = [...mine.keys(), ...[...theirs.keys()].filter((place) => !mine.has(place))];
  return places
    .map((place) => ({ place, one: mine.get(place) ?? null, other: theirs.get(place) ?? null }))
    .filter((row) => row.one !== row.other);
}
