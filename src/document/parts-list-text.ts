/** Bytes of a text file into text. */

import type { ReadResult } from './issue.js';
import { MAX_INPUT_BYTES } from './parts-list.js';
import { partsListLog, WHOLE_FILE } from './parts-list-problems.js';

// Part of every runtime (WHATWG Encoding), but of no library type we compile with.
declare class TextDecoder {
  constructor(encoding: string, options?: { fatal?: boolean });
  decode(bytes: Uint8Array): string;
}

type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be';

/**
 * Decodes UTF-8 and UTF-16 (by byte order mark, or by the zeros that UTF-16 leaves in plain text). Text
 * that is neither is read as Windows-1252, which spreadsheet programs still write on some
 * machines, with a warning. The byte order mark is dropped.
 *
 * Errors: file-too-large, empty-file, not-text (zero bytes left in it: not text in any encoding).
 */
export function decodeText(bytes: Uint8Array, file: string): ReadResult<string> {
  const log = partsListLog(file);
  if (bytes.length > MAX_INPUT_BYTES) {
    log.error('file-too-large', WHOLE_FILE, `${bytes.length} bytes`, `${MAX_INPUT_BYTES} bytes`);
    return log.result<string>(null);
  }
  const strict = decodeStrictly(bytes, encodingOf(bytes));
  const text = strict ?? decodeWindows1252(bytes);
  if (text.includes('\0')) log.error('not-text', WHOLE_FILE, null, 'UTF-8 or UTF-16 text');
  else if (text.trim() === '') log.error('empty-file', WHOLE_FILE, null, 'a table with headings');
  else if (strict === null) log.warning('not-utf8', WHOLE_FILE, null, 'UTF-8 or UTF-16 text');
  return log.result(text);
}

function encodingOf(bytes: Uint8Array): Encoding {
  const [first = 0, second = 0] = bytes;
  if (first === 0xff && second === 0xfe) return 'utf-16le';
  if (first === 0xfe && second === 0xff) return 'utf-16be';
  const head = bytes.subarray(0, 512);
  const zeros = [0, 0];
  head.forEach((byte, i) => {
    if (byte === 0) zeros[i % 2] = (zeros[i % 2] ?? 0) + 1;
  });
  const [even = 0, odd = 0] = zeros;
  // headings are nearly all ASCII: every second byte is zero; a quarter of all is proof enough
  if (even === 0 && odd * 4 > head.length) return 'utf-16le';
  if (odd === 0 && even * 4 > head.length) return 'utf-16be';
  return 'utf-8';
}

function decodeStrictly(bytes: Uint8Array, encoding: Encoding): string | null {
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

/** Windows-1252 from 0x80 to 0x9f (WHATWG Encoding index); elsewhere it is Latin-1. */
const WINDOWS_1252 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ';

/** Some runtimes decode it as Latin-1 and leave the control characters in between. */
function decodeWindows1252(bytes: Uint8Array): string {
  const text = new TextDecoder('windows-1252').decode(bytes);
  return text.replace(/[\u0080-\u009f]/g, (c) => WINDOWS_1252[c.charCodeAt(0) - 0x80] ?? c);
}
