/** The carts of examples/, read from their files. */

import { readdirSync, readFileSync } from 'node:fs';
import type { Cart, PartsList } from '../../src/document/index.js';
import { partsListFileOf, readCart, readPartsList, sentence } from '../../src/document/index.js';

const FOLDER = new URL('../../examples/', import.meta.url);

export const EXAMPLE_FILES: readonly string[] = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.cart.yaml'))
  .sort();

/** @throws Error with the issues when the file is refused */
export async function exampleCart(file: string): Promise<Cart> {
  const text = readFileSync(new URL(file, FOLDER), 'utf8');
  const lists = new Map<string, PartsList>();
  const name = partsListFileOf(text);
  if (name !== null) {
    const list = await readPartsList(readFileSync(new URL(name, FOLDER)), name);
    if (list.kind === 'invalid') throw new Error(list.issues.map(sentence).join('\n'));
    lists.set(name, list.value);
  }
  const cart = readCart(text, file, lists);
  if (cart.kind === 'invalid') throw new Error(cart.issues.map(sentence).join('\n'));
  return cart.value;
}
