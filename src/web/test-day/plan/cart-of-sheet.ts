/** The cart on the sheet, put into the record as a revision. */

import { partsListFileOf } from '../../../document/index.js';
import type { Attachment, CartBody } from '../../../test-record/index.js';
import { contentHash, mediaOf } from '../../../test-record/index.js';
import { bytesOf } from '../../store/reading.js';
import type { TestDayStore } from '../store/test-day.js';
import type { SheetCart } from './revisions.js';
import { namedList } from './revisions.js';

export type RevisionWords = Pick<CartBody, 'revision' | 'file' | 'follows' | 'because' | 'change'>;

/** null: the browser cannot keep its parts list, and said so */
export async function cartBodyOf(
  store: TestDayStore,
  sheet: SheetCart,
  words: RevisionWords,
): Promise<CartBody | null> {
  const { text } = sheet;
  const list = namedList(sheet);
  if (list === null) return { kind: 'cart', ...words, text, partsLists: [], edits: [] };
  const bytes = new Uint8Array(bytesOf(list.base64));
  const kept = await store.getState().attach(new Blob([bytes]), partsListFileOf(text) ?? list.name);
  return kept === null ? null : { kind: 'cart', ...words, text, partsLists: [kept], edits: [] };
}

/** The parts list as it will be attached, for what is checked before. */
export function partsListsOf(sheet: SheetCart): readonly Attachment[] {
  const list = namedList(sheet);
  if (list === null) return [];
  const name = partsListFileOf(sheet.text) ?? list.name;
  const bytes = bytesOf(list.base64);
  // a name that tells no kind of file is refused by the check
  return [{ hash: contentHash(bytes), name, media: mediaOf(name) ?? '', bytes: bytes.length }];
}

/** A sheet that was never saved has no name yet. */
export function fileNameOf(name: string | null): string {
  return name ?? 'unnamed.cart.yaml';
}
