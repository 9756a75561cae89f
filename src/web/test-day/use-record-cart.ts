/** The cart of a revision in the record, read as the workbench reads its file. */

import { useEffect, useState } from 'react';
import type { Cart, PartsList } from '../../document/index.js';
import type { CartBody, Subject } from '../../test-record/index.js';
import { recordOf } from '../../test-record/index.js';
import type { PartsListFile } from '../store/reading.js';
import { base64Of, listsOf, readPartsListFile, readSheet } from '../store/reading.js';
import type { TestDayStore } from './store/test-day.js';
import { useTestDay, useTestDayStore } from './use-test-day.js';

export interface RecordCart {
  /** null: not read yet, or it cannot be read; the same object as long as the revision says the same */
  readonly cart: Cart | null;
  /** why it cannot be read, a sentence; null: nothing against it */
  readonly problem: string | null;
}

const NOTHING_YET: RecordCart = { cart: null, problem: null };

/** By what was read: content decides, so that what was read once is never read again. */
const known = new Map<string, RecordCart>();
/** Revisions kept read; a project has a handful. */
const MOST_KNOWN = 30;

/** @param subject of a cart record of the project that is open; null: none is asked about */
export function useRecordCart(subject: Subject | null): RecordCart {
  const store = useTestDayStore();
  const body = useTestDay((s) =>
    s.state === null || subject === null
      ? null
      : (recordOf(s.state, 'cart', subject)?.content ?? null),
  );
  // a parts list that could not be had is asked for again when the program answers
  const link = useTestDay((s) => s.link);
  const key = body === null ? null : keyOf(body);
  const [read, setRead] = useState<{ readonly key: string; readonly cart: RecordCart } | null>(
    null,
  );
  useEffect(() => {
    void link;
    if (body === null || key === null || known.has(key)) return;
    let isAsked = true;
    void readRecordCart(store, body).then((cart) => {
      if (isAsked) setRead({ key, cart });
    });
    return () => {
      isAsked = false;
    };
  }, [store, body, key, link]);
  if (key === null) return NOTHING_YET;
  return known.get(key) ?? (read?.key === key ? read.cart : NOTHING_YET);
}

function keyOf({ file, text, partsLists }: CartBody): string {
  return JSON.stringify([file, text, partsLists.map(({ name, hash }) => [name, hash])]);
}

/** Reads a revision with its parts lists, which are fetched by their content hash. Never throws. */
export async function readRecordCart(
  store: Pick<TestDayStore, 'getState'>,
  body: CartBody,
): Promise<RecordCart> {
  const key = keyOf(body);
  const before = known.get(key);
  if (before !== undefined) return before;
  const lists = await recordListFiles(store, body);
  if (typeof lists === 'string') return { cart: null, problem: lists };
  const read = recordCartOf(body, lists);
  if (known.size >= MOST_KNOWN) known.delete([...known.keys()][0] ?? '');
  known.set(key, read);
  return read;
}

/** Parts lists of a revision, to edit its file with; a sentence: why they cannot be had. */
export async function recordPartsLists(
  store: Pick<TestDayStore, 'getState'>,
  body: CartBody,
): Promise<ReadonlyMap<string, PartsList> | string> {
  const files = await recordListFiles(store, body);
  return typeof files === 'string' ? files : listsOf(files);
}

async function recordListFiles(
  store: Pick<TestDayStore, 'getState'>,
  { revision, partsLists }: CartBody,
): Promise<ReadonlyMap<string, PartsListFile> | string> {
  const lists = new Map<string, PartsListFile>();
  for (const { hash, name } of partsLists) {
    const bytes = await store.getState().fileBytes(hash);
    if (bytes === null) return `The parts list ${name} of revision ${revision} cannot be had now.`;
    lists.set(name, await readPartsListFile(name, base64Of(bytes)));
  }
  return lists;
}

function recordCartOf(
  { revision, file, text }: CartBody,
  lists: ReadonlyMap<string, PartsListFile>,
): RecordCart {
  const { cart, issues } = readSheet(text, file, lists);
  if (cart !== null) return { cart, problem: null };
  const errors = issues.filter(({ issue }) => issue.severity === 'error');
  const more = errors.length > 1 ? ` And ${errors.length - 1} more.` : '';
  const [first] = errors;
  const words = first === undefined ? 'it is refused' : `${first.issue.path}: ${first.words}`;
  return { cart: null, problem: `Revision ${revision} (${file}) cannot be read: ${words}.${more}` };
}
