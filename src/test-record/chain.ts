/**
 * The hash chain: each entry carries the hash of the one before, so that no change stays unseen.
 *
 * hash = SHA-256 (FIPS 180-4) of the UTF-8 bytes of the entry without `hash`, in canonical JSON
 * (RFC 8785). What the chain cannot see by itself: entries cut off at its end, or a chain written anew
 * from some entry on. Both show against a head that was noted down somewhere else (`KnownHead`).
 */

import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import type { KeptEntry, NewEntry } from './entry.js';

export const FIRST_PREVIOUS = '0'.repeat(64);

/** Deeper values than any entry has are refused rather than followed until the stack ends. */
const MOST_DEPTH = 100;

/**
 * JSON with the keys in order and no blanks (RFC 8785): the same for the same content.
 *
 * @throws TypeError for what is not JSON: numbers that are not finite, undefined, functions, symbols,
 *   big integers, objects of a class, holes in a list, a lone surrogate in a text, more than 100 levels
 */
export function canonicalJson(value: unknown): string {
  return canonical(value, 0);
}

function canonical(value: unknown, depth: number): string {
  if (depth > MOST_DEPTH) throw notJson(`more than ${MOST_DEPTH} levels`);
  if (value === null || typeof value === 'boolean') return String(value);
  if (typeof value === 'string') return canonicalText(value);
  if (typeof value === 'number') return canonicalNumber(value);
  if (Array.isArray(value)) {
    return `[${Array.from(value, (each) => canonical(each, depth + 1)).join(',')}]`;
  }
  if (typeof value === 'object' && isPlain(value)) return canonicalMap(value, depth);
  throw notJson(typeof value === 'object' ? 'an object of a class' : typeof value);
}

/** RFC 8785, 3.2.3: keys by their UTF-16 units, which is how `sort` compares texts. */
function canonicalMap(map: Readonly<Record<string, unknown>>, depth: number): string {
  const fields = Object.keys(map)
    .sort()
    .map((key) => `${canonicalText(key)}:${canonical(map[key], depth + 1)}`);
  return `{${fields.join(',')}}`;
}

/** RFC 8785, 3.2.2.2: as ECMAScript writes it; what is not Unicode is refused. */
function canonicalText(text: string): string {
  if (/\p{Cs}/u.test(text)) throw notJson('a text with half a character (a lone surrogate)');
  return JSON.stringify(text);
}

/** RFC 8785, 3.2.2.3: as ECMAScript writes it, -0 as 0. */
function canonicalNumber(value: number): string {
  if (!Number.isFinite(value)) throw notJson(String(value));
  return JSON.stringify(value);
}

function isPlain(value: object): value is Readonly<Record<string, unknown>> {
  const prototype: unknown = Object.getPrototypeOf(value);
  // a plain object of another window or context has another Object: its own prototype has none
  return prototype === null || Object.getPrototypeOf(prototype) === null;
}

function notJson(what: string): TypeError {
  return new TypeError(`canonicalJson: ${what} is not JSON`);
}

/**
 * SHA-256 of the canonical JSON of the entry without its hash, lower-case hex.
 *
 * @throws TypeError when the entry holds what is not JSON
 */
export function entryHash(entry: Omit<KeptEntry, 'hash'> & { readonly hash?: string }): string {
  const { hash: _, ...rest } = entry;
  return contentHash(utf8ToBytes(canonicalJson(rest)));
}

/** The entry as it follows `before` (null: the first). */
export function chained(entry: NewEntry, before: KeptEntry | null, received: string): KeptEntry {
  const { id, project, subject, base, who, at, why, body } = entry;
  const kept = {
    id,
    project,
    subject,
    base,
    who,
    at,
    why,
    body,
    sequence: (before?.sequence ?? 0) + 1,
    received,
    previous: before?.hash ?? FIRST_PREVIOUS,
  };
  return { ...kept, hash: entryHash(kept) };
}

export type ChainReport =
  | { readonly kind: 'whole'; readonly entries: number; readonly head: string }
  | {
      readonly kind: 'broken';
      /** of the first entry that does not fit */
      readonly sequence: number;
      readonly reason: string;
    };

/** The end of a chain as somebody noted it down. */
export interface KnownHead {
  readonly sequence: number;
  readonly hash: string;
}

/**
 * Is this the whole chain of one project, as it was written? Never throws.
 *
 * @param entries in their order, from the first
 * @param knownHead of this project, noted down before: the chain has to go through it; further entries
 *   may have come since
 */
export function verifyChain(entries: readonly KeptEntry[], knownHead?: KnownHead): ChainReport {
  const check = chainCheck(knownHead);
  for (const entry of entries) {
    const report = check.next(entry);
    if (report !== null) return report;
  }
  return check.end();
}

export interface ChainCheck {
  /** what is wrong with the next entry; null: nothing */
  readonly next: (entry: KeptEntry) => Extract<ChainReport, { readonly kind: 'broken' }> | null;
  /** after the last one */
  readonly end: () => ChainReport;
}

/** `verifyChain` for entries that come one by one, so that an archive need not be held as a whole. */
export function chainCheck(knownHead?: KnownHead): ChainCheck {
  let before: KeptEntry | null = null;
  return {
    next(entry) {
      const reason = misfit(entry, before) ?? headMisfit(entry, knownHead);
      if (reason !== null) return { kind: 'broken', sequence: (before?.sequence ?? 0) + 1, reason };
      before = entry;
      return null;
    },
    end() {
      const sequence = before?.sequence ?? 0;
      if (knownHead !== undefined && sequence < knownHead.sequence) {
        const reason = `the chain ends with entry ${sequence}, and an entry ${knownHead.sequence} is known: entries are missing at its end`;
        return { kind: 'broken', sequence: sequence + 1, reason };
      }
      return { kind: 'whole', entries: sequence, head: before?.hash ?? FIRST_PREVIOUS };
    },
  };
}

function misfit(entry: KeptEntry, before: KeptEntry | null): string | null {
  const due = (before?.sequence ?? 0) + 1;
  if (entry.sequence !== due) {
    return `entry ${due} is due here and entry ${String(entry.sequence)} stands here: entries were removed, added or moved`;
  }
  if (before !== null && entry.project !== before.project) {
    return `entry ${due} is of another project`;
  }
  if (entry.previous !== (before?.hash ?? FIRST_PREVIOUS)) {
    const named =
      before === null ? 'the 64 zeros of a first entry' : `the hash of entry ${due - 1}`;
    return `entry ${due} does not carry ${named} as the hash before it: entries were removed, added, moved or changed`;
  }
  return hashOf(entry) === entry.hash
    ? null
    : `entry ${due} does not have the content its hash was made of: it was changed`;
}

/** null: the entry holds what is not JSON and has no hash */
function hashOf(entry: KeptEntry): string | null {
  try {
    return entryHash(entry);
  } catch {
    return null;
  }
}

function headMisfit(entry: KeptEntry, knownHead: KnownHead | undefined): string | null {
  if (entry.sequence !== knownHead?.sequence || entry.hash === knownHead.hash) return null;
  return `entry ${entry.sequence} has another hash than the one known: the chain was written anew`;
}

/** SHA-256 of bytes in lower-case hex. */
export function contentHash(bytes: Uint8Array): string {
  return bytesToHex(sha256(bytes));
}
