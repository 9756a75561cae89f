/** Bytes into text and back, exactly. */

import { Problem } from './problem.js';

const strict = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });

/** The text, byte order mark kept; null: the bytes are not UTF-8. */
export function textIn(bytes: Uint8Array): string | null {
  try {
    return strict.decode(bytes);
  } catch {
    return null;
  }
}

/** @throws Problem that names the line, the place in it and the byte */
export function textOf(bytes: Uint8Array, name: string): string {
  const text = textIn(bytes);
  if (text !== null) return text;
  const at = firstFault(bytes);
  const lineStart = bytes.subarray(0, at).lastIndexOf(0x0a) + 1;
  const line = countOf(bytes.subarray(0, at), 0x0a) + 1;
  // all before the fault is right, so it can be counted in characters
  const column = [...strict.decode(bytes.subarray(lineStart, at))].length + 1;
  const hex = (bytes[at] ?? 0).toString(16).toUpperCase().padStart(2, '0');
  throw new Problem(
    'not text',
    `${name}:${line}:${column}: the byte 0x${hex} is not text in UTF-8; allowed: a file saved as UTF-8`,
  );
}

/** Index of the first byte of the first wrong sequence. */
function firstFault(bytes: Uint8Array): number {
  // what is right up to a point stays right: the length is found by halving
  let [right, wrong] = [0, bytes.length];
  while (wrong - right > 1) {
    const middle = (right + wrong) >> 1;
    if (isBegunRight(bytes.subarray(0, middle))) right = middle;
    else wrong = middle;
  }
  return startOfCharacter(bytes, right);
}

/** Whether it is UTF-8 as far as it goes; the last character may be cut. */
function isBegunRight(bytes: Uint8Array): boolean {
  try {
    new TextDecoder('utf-8', { fatal: true }).decode(bytes, { stream: true });
    return true;
  } catch {
    return false;
  }
}

/** Where the character begins that the byte at `index` belongs to or breaks off; all before it is right. */
function startOfCharacter(bytes: Uint8Array, index: number): number {
  let start = index;
  // a character of UTF-8 has four bytes at most
  while (start > 0 && index - start < 3 && textIn(bytes.subarray(0, start)) === null) start -= 1;
  return start;
}

function countOf(bytes: Uint8Array, byte: number): number {
  let count = 0;
  for (const each of bytes) if (each === byte) count += 1;
  return count;
}

/** @throws Problem when half characters are in it, which no file can hold */
export function bytesOf(text: string, name: string): Uint8Array {
  if (/\p{Cs}/u.test(text)) {
    throw new Problem('bad request', `${name}: holds half of a character, which is not text`);
  }
  return Buffer.from(text, 'utf8');
}
