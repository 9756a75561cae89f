/** Reads a cart file with its parts list, for the bench: any problem is thrown. */
import { readFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import type { Cart, PartsList } from '../src/document/index.js';
import { partsListFileOf, readCart, readPartsList, sentence } from '../src/document/index.js';
import type { RequirementSet } from '../src/requirements/index.js';
import { builtInSets, findSet } from '../src/requirements/index.js';

export async function loadCart(file: string): Promise<Cart> {
  const text = await readFile(file, 'utf8');
  const lists = new Map<string, PartsList>();
  const name = partsListFileOf(text);
  if (name !== null) {
    const path = join(dirname(file), name);
    const list = await readPartsList(await readFile(path), path);
    if (list.kind === 'invalid') throw new Error(list.issues.map(sentence).join('\n'));
    lists.set(name, list.value);
  }
  const cart = readCart(text, file, lists);
  if (cart.kind === 'invalid') throw new Error(cart.issues.map(sentence).join('\n'));
  return cart.value;
}

export function requirementSetOf(cart: Cart): RequirementSet {
  const id = cart.requirements ?? 'iec-60601-1-3.2';
  const set = findSet(builtInSets, id);
  if (set === null) throw new Error(`${cart.name}: no requirement set ${id}`);
  return set;
}
