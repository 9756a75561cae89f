/** Which names may be asked for: names that are one file on every system, and nothing but a name. */

import { Problem } from './problem.js';

export const CART_NAME_RULE =
  'a plain name that ends in .cart.yaml or .cart.yml, such as lamp-stand.cart.yaml';
const PARTS_LIST_NAME_RULE =
  'the name of a .csv or .xlsx file of the folder or below it, such as parts.csv';
const REQUIREMENT_NAME_RULE = 'a plain name that ends in .yaml or .yml';

/** UTF-8 bytes: most file systems take 255, and what is put beside a file needs some of them. */
const LONGEST = 200;

/** No separators, no control, format or half characters, nothing that Windows forbids in a name. */
const UNSAFE = /[\\/:*?"<>|\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/u;

/** Windows takes these for devices, whatever follows the first dot (Microsoft, "Naming Files, Paths, and
 * Namespaces"). */
const DEVICE = /^(?:con|prn|aux|nul|conin\$|conout\$|com[0-9¹²³]|lpt[0-9¹²³])\s*(?:\.|$)/i;

function isPlain(name: string): boolean {
  const isBare = !name.startsWith('.') && !/^\s|[\s.]$/.test(name) && name !== '';
  return (
    isBare && !UNSAFE.test(name) && !DEVICE.test(name) && Buffer.byteLength(name, 'utf8') <= LONGEST
  );
}

export function isCartName(name: string): boolean {
  return isPlain(name) && /[^.]\.cart\.ya?ml$/i.test(name);
}

/** Something in the folder that is meant as a cart file, whether or not its name may be used. */
export function looksLikeCart(name: string): boolean {
  return /\.cart\.ya?ml$/i.test(name) && !name.startsWith('.');
}

export function isPartsListName(name: string): boolean {
  const isShort = Buffer.byteLength(name, 'utf8') <= 3 * LONGEST;
  return isShort && name.split('/').every(isPlain) && /[^./]\.(?:csv|xlsx)$/i.test(name);
}

export function isRequirementFileName(name: string): boolean {
  return isPlain(name) && /[^.]\.ya?ml$/i.test(name) && !looksLikeCart(name);
}

/** @throws Problem when it is no name of a cart file */
export function cartName(name: string | undefined): string {
  return checked(name, isCartName, CART_NAME_RULE);
}

/** @throws Problem */
export function partsListName(name: string | undefined): string {
  return checked(name, isPartsListName, PARTS_LIST_NAME_RULE);
}

/** @throws Problem */
export function requirementFileName(name: string | undefined): string {
  return checked(name, isRequirementFileName, REQUIREMENT_NAME_RULE);
}

function checked(
  name: string | undefined,
  isRight: (name: string) => boolean,
  rule: string,
): string {
  if (name !== undefined && isRight(name)) return name;
  const said =
    name === undefined ? 'no name is given' : `${JSON.stringify(name)} cannot be a name here`;
  throw new Problem('bad request', `${said}; allowed: ${rule}`);
}
