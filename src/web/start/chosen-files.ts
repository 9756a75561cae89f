/** Files that a user chose on this machine: which is the cart, which its parts list, and whether they fit. */

import { CART_FILE_LIMITS, MAX_INPUT_BYTES, partsListFileOf } from '../../document/index.js';
import { sizeWords } from './size-words.js';

export interface ChosenFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export type Chosen =
  | { readonly kind: 'refused'; readonly problem: string }
  /** the cart names a parts list that was not chosen */
  | {
      readonly kind: 'list wanted';
      readonly name: string;
      readonly text: string;
      readonly list: string;
    }
  | {
      readonly kind: 'ready';
      readonly name: string;
      readonly text: string;
      /** under the name that the cart file gives */
      readonly partsList: ChosenFile | null;
    };

const CART = /\.ya?ml$/i;
const LIST = /\.(?:csv|xlsx)$/i;

export function chosenOf(files: readonly ChosenFile[]): Chosen {
  const carts = files.filter(({ name }) => CART.test(name));
  const lists = files.filter(({ name }) => LIST.test(name));
  const other = files.find(({ name }) => !CART.test(name) && !LIST.test(name));
  const [cart] = carts;
  if (other !== undefined) {
    return refused(
      `${other.name} is neither a cart file (.cart.yaml) nor a parts list (.csv, .xlsx).`,
    );
  }
  if (cart === undefined) return refused('Choose a cart file (.cart.yaml); none is among these.');
  if (carts.length > 1) return refused('Choose one cart file at a time.');
  if (lists.length > 1) return refused('Choose at most one parts list with it.');
  const text = textOf(cart);
  if (typeof text !== 'string') return text;
  return withList(cart.name, text, lists[0]);
}

function refused(problem: string): Chosen & { readonly kind: 'refused' } {
  return { kind: 'refused', problem };
}

function textOf({ name, bytes }: ChosenFile): string | ReturnType<typeof refused> {
  const most = CART_FILE_LIMITS.bytes;
  if (bytes.length > most) {
    return refused(
      `${name} holds ${sizeWords(bytes.length)}; allowed: at most ${sizeWords(most)}.`,
    );
  }
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return refused(`${name} is no text in UTF-8, which a cart file has to be.`);
  }
}

function withList(name: string, text: string, list: ChosenFile | undefined): Chosen {
  const named = partsListFileOf(text);
  if (list === undefined) {
    if (named !== null) return { kind: 'list wanted', name, text, list: named };
    return { kind: 'ready', name, text, partsList: null };
  }
  if (named === null) {
    return refused(`${name} names no parts list, but ${list.name} was chosen with it.`);
  }
  const { length } = list.bytes;
  if (length > MAX_INPUT_BYTES) {
    const most = sizeWords(MAX_INPUT_BYTES);
    return refused(`${list.name} holds ${sizeWords(length)}; allowed: at most ${most}.`);
  }
  return { kind: 'ready', name, text, partsList: { name: named, bytes: list.bytes } };
}
