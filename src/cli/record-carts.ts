/** Carts in the record: from a file into a revision, and back. */

import type { Cart, PartsList } from '../document/index.js';
import { partsListFileOf, readCart, readPartsList } from '../document/index.js';
import type { RecordStore } from '../record-store/index.js';
import type { CartBody } from '../test-record/index.js';
import { sentences } from './cart-file.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';
import type { FileToKeep } from './record-files.js';
import { besideFile, fileToKeep } from './record-files.js';

/** The parts lists that a cart file names, under the names that it gives. */
export async function partsListsToKeep(
  file: string,
  text: string,
): Promise<Outcome<readonly FileToKeep[]>> {
  const name = partsListFileOf(text);
  if (name === null) return fine([]);
  const list = await fileToKeep(besideFile(file, name), name);
  return list.kind === 'ok' ? fine([list.value]) : list;
}

/** The cart of a revision as it was when it was kept. */
export async function cartOfRevision(store: RecordStore, body: CartBody): Promise<Outcome<Cart>> {
  const lists = await keptLists(store, body);
  if (lists.kind === 'bad input') return lists;
  const cart = readCart(body.text, body.file, lists.value);
  if (cart.kind === 'ok') return fine(cart.value);
  return bad(...sentences(cart.issues).map((each) => `revision ${body.revision}: ${each}`));
}

async function keptLists(
  store: RecordStore,
  { revision, partsLists }: CartBody,
): Promise<Outcome<ReadonlyMap<string, PartsList>>> {
  const lists = new Map<string, PartsList>();
  for (const { name, hash } of partsLists) {
    const file = await store.file(hash);
    if (file === null) return bad(`revision ${revision}: the bytes of ${name} are not there`);
    const list = await readPartsList(file.bytes, name);
    if (list.kind === 'invalid') return bad(...sentences(list.issues));
    lists.set(name, list.value);
  }
  return fine(lists);
}
