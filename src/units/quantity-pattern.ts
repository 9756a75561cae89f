/** The same grammar as a regular expression, for editors that complete and check cart files. */

import type { Dimension } from './unit-table.js';
import { listSpellings } from './unit-table.js';

const SPACE = '\\s*';
const SIGN = '[-+\\u2212\\u2013]?';
// refused by the reader too: a comma that could separate thousands
const NOT_AMBIGUOUS = '(?![1-9]\\d{0,2},\\d{3}(?!\\d))';
const DECIMAL = '(?:\\d+(?:[.,]\\d+)?|[.,]\\d+)(?:[eE][-+]?\\d{1,2})?';
const VULGAR = '\\d*\\s?[½⅓⅔¼¾⅛⅜⅝⅞]';
const FRACTION = '(?:\\d+[ -])?\\d+/0*[1-9]\\d*';

/**
 * Source of a regular expression (ECMA-262, as JSON Schema wants it), anchored at both ends. What it
 * matches `parseQuantity` reads; it is a little stricter than that reader (fewer kinds of dashes
 * and primes), so that an editor marks what is better written plainly.
 */
export function quantityPattern(dimension: Dimension): string {
  // longest first, so that no spelling hides behind its own beginning
  const spellings = listSpellings(dimension).sort((a, b) => b.length - a.length);
  const units = [...new Set(spellings.map(spellingPattern))].join('|');
  const number = `(?:${FRACTION}|${VULGAR}|${NOT_AMBIGUOUS}${DECIMAL})`;
  return `^${SPACE}${SIGN}${number}${SPACE}(?:${units})${SPACE}$`;
}

function spellingPattern(spelling: string): string {
  return spelling
    .replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
    .replaceAll(' ', '\\s?[ ·*-]\\s?')
    .replaceAll('/', '\\s?/\\s?');
}
