/** A cart from its file, with the parts list that it names read from beside it. */

import { dirname, isAbsolute, join } from 'node:path';
import type { Cart, Issue, PartsList } from '../document/index.js';
import {
  CART_FILE_LIMITS,
  partsListFileOf,
  readCart,
  readPartsList,
  sentence,
} from '../document/index.js';
import { readBytes, readText } from './files.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

interface PartsLists {
  readonly lists: ReadonlyMap<string, PartsList>;
  readonly warnings: readonly string[];
  readonly problems: readonly string[];
}

const NO_LISTS: PartsLists = { lists: new Map(), warnings: [], problems: [] };

export function sentences(issues: readonly Issue[]): string[] {
  return issues.map(sentence);
}

/** Of a file that is no YAML every line is a problem, and hides what is wrong. */
const MOST_OF_SYNTAX = 8;

function cartSentences(file: string, issues: readonly Issue[]): string[] {
  const further = issues.filter(({ code }) => code === 'yaml-syntax').slice(MOST_OF_SYNTAX);
  if (further.length === 0) return sentences(issues);
  const left = new Set(further);
  return [
    ...sentences(issues.filter((issue) => !left.has(issue))),
    `${file}: ${further.length} more places are not well-formed YAML; allowed: a cart file; mend the first places, the others often follow from them`,
  ];
}

async function partsListsOf(text: string, cartFile: string): Promise<PartsLists> {
  const name = partsListFileOf(text);
  if (name === null) return NO_LISTS;
  const file = isAbsolute(name) ? name : join(dirname(cartFile), name);
  const bytes = await readBytes(file);
  if (bytes.kind === 'bad input') return { ...NO_LISTS, problems: bytes.problems };
  const list = await readPartsList(bytes.value, file);
  if (list.kind === 'invalid') return { ...NO_LISTS, problems: sentences(list.issues) };
  return { lists: new Map([[name, list.value]]), warnings: sentences(list.warnings), problems: [] };
}

export interface CartFile {
  readonly text: string;
  /** by the name that the cart file gives */
  readonly lists: ReadonlyMap<string, PartsList>;
  readonly cart: Cart;
}

/** Every problem of the cart file and of its parts list, all at once. */
export async function loadCartFile(file: string): Promise<Outcome<CartFile>> {
  const text = await readText(file, CART_FILE_LIMITS.bytes);
  if (text.kind === 'bad input') return text;
  const { lists, warnings, problems } = await partsListsOf(text.value, file);
  const cart = readCart(text.value, file, lists);
  if (cart.kind === 'invalid') return bad(...cartSentences(file, cart.issues), ...problems);
  if (problems.length > 0) return bad(...problems);
  const value = { text: text.value, lists, cart: cart.value };
  return fine(value, [...warnings, ...sentences(cart.warnings)]);
}

export async function loadCart(file: string): Promise<Outcome<Cart>> {
  const loaded = await loadCartFile(file);
  return loaded.kind === 'ok' ? fine(loaded.value.cart, loaded.warnings) : loaded;
}
