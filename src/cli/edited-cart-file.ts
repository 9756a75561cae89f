/** A cart file with changes in it, under a name of its own. */

import { dirname, resolve } from 'node:path';
import type { CartEdit } from '../document/index.js';
import { editCartFile, LONGEST_NAME, partsListFileOf } from '../document/index.js';
import type { CartFile } from './cart-file.js';
import { sentences } from './cart-file.js';
import { fileExists, writeNew } from './files.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

/** Why the cart of `file` cannot be written into `into`; null: it can. Asked before anything long is
 * computed. */
export async function placeProblem(
  file: string,
  { text }: CartFile,
  into: string,
): Promise<string | null> {
  if (await fileExists(into)) {
    return `${into}: cannot be written: it already exists and is not overwritten`;
  }
  const listed = partsListFileOf(text);
  if (listed === null || resolve(dirname(into)) === resolve(dirname(file))) return null;
  return `--into ${into}: the cart takes masses from ${listed} beside it; allowed: a file in ${dirname(file)}`;
}

/** @param called what is added to the cart's name: 'variant 12' */
export async function writeEditedCart(
  file: string,
  { text, lists, cart }: CartFile,
  { edits, called }: { readonly edits: readonly CartEdit[]; readonly called: string },
  into: string,
): Promise<Outcome<null>> {
  const rename: CartEdit = { kind: 'rename', name: nameWith(cart.name, called) };
  const edited = editCartFile(text, file, [...edits, rename], lists);
  if (edited.kind === 'refused') return bad(...sentences(edited.issues));
  const written = await writeNew(into, edited.text);
  if (written.kind === 'bad input') return written;
  return fine(null, sentences(edited.warnings));
}

/** The cart's name gives way where both are too long for a name. */
function nameWith(name: string, called: string): string {
  const end = `, ${called}`;
  let head = '';
  for (const character of name) {
    if (head.length + character.length + end.length > LONGEST_NAME) break;
    head += character;
  }
  return `${head.trimEnd()}${end}`;
}
