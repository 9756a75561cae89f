/** Revisions of the cart: their labels, and whether the sheet holds another cart than the newest. */

import { partsListFileOf } from '../../../document/index.js';
import type { CartBody } from '../../../test-record/index.js';
import { contentHash } from '../../../test-record/index.js';
import type { Difference } from '../../compare/cart-differences.js';
import type { PartsListFile } from '../../store/reading.js';
import { bytesOf } from '../../store/reading.js';

/** What the workbench has open. */
export interface SheetCart {
  readonly text: string;
  readonly partsLists: ReadonlyMap<string, PartsListFile>;
}

/**
 * The label after the newest one, in its own way of counting: A, B ... Z, AA; 1, 2; A1, A2. One that is
 * taken is passed over.
 *
 * @param labels in the order they were given
 */
export function nextRevision(labels: readonly string[]): string {
  let next = labels.at(-1)?.trim() ?? '';
  do next = after(next);
  while (labels.some((label) => label.trim().toLowerCase() === next.toLowerCase()));
  return next;
}

function after(label: string): string {
  const digits = /\d+$/.exec(label)?.[0];
  if (digits !== undefined) {
    const number = String(BigInt(digits) + 1n).padStart(digits.length, '0');
    return `${label.slice(0, -digits.length)}${number}`;
  }
  if (label === '') return 'A';
  return /^[A-Za-z]{1,2}$/.test(label) ? lettersAfter(label) : `${label} 2`;
}

function lettersAfter(label: string): string {
  const last = label.at(-1) ?? '';
  const head = label.slice(0, -1);
  if (last.toLowerCase() !== 'z') return `${head}${String.fromCharCode(last.charCodeAt(0) + 1)}`;
  const first = last === 'z' ? 'a' : 'A';
  return head === '' ? `${first}${first}` : `${lettersAfter(head)}${first}`;
}

/** The parts list that the sheet's text names; null: it names none, or it is not there. */
export function namedList({ text, partsLists }: SheetCart): PartsListFile | null {
  return partsLists.get(partsListFileOf(text) ?? '') ?? null;
}

/** The same file and the same parts list? */
export function isSameCart(
  sheet: SheetCart,
  { text, partsLists }: Pick<CartBody, 'text' | 'partsLists'>,
): boolean {
  if (sheet.text !== text) return false;
  const list = namedList(sheet);
  if (list === null) return partsLists.length === 0;
  const hash = contentHash(bytesOf(list.base64));
  return partsLists.some((kept) => kept.hash === hash);
}

/** Differences told in one line: the rest is in the two files. */
const MOST_TOLD = 5;

/** What differs between two revisions, as a first wording of the change; '' for nothing. */
export function changeWords(differences: readonly Difference[]): string {
  const told = differences.slice(0, MOST_TOLD).map(({ what, field, a, b }) => {
    const thing = [what, field].filter((each) => each !== '').join(', ');
    return `${thing}: ${a} -> ${b}`;
  });
  const left = differences.length - told.length;
  return [...told, ...(left > 0 ? [`and ${left} more`] : [])].join('; ');
}
