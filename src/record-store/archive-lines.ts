/**
 * The form of an archive, version 1: gzip of lines of JSON.
 *
 *   {"format":"standstill test records","version":1,"projects":[{"id":"…","entries":3,"head":"…"}]}
 *   {"kind":"file","hash":"…","media":"image/jpeg","bytes":"…base64…"}       each file once
 *   {"kind":"entry","entry":{…}}         project after project, as in the heading, each from its first entry
 *   {"kind":"end","projects":1,"entries":3,"files":1,"bytes":73112,"digest":"…"}
 *
 * The digest is the SHA-256 of all bytes before the last line. It tells an archive that was cut short or
 * damaged. That nobody wrote it anew, only heads that were noted down elsewhere can tell.
 */

import { createHash } from 'node:crypto';
import type { Readable } from 'node:stream';
import { pipeline } from 'node:stream';
import { createGunzip } from 'node:zlib';
import { MOST_ATTACHMENT_BYTES } from '../test-record/index.js';
import { RecordStoreError } from './record-store.js';
import { MOST_ENTRY_TEXT } from './submission.js';

export const ARCHIVE_FORMAT = 'standstill test records';
export const ARCHIVE_VERSION = 1;

export interface ArchiveCount {
  readonly projects: number;
  readonly entries: number;
  readonly files: number;
  /** of the files' contents */
  readonly bytes: number;
}

export interface ProjectHead {
  readonly id: string;
  readonly entries: number;
  /** hash of the last of them */
  readonly head: string;
}

export type ArchivePart =
  | { readonly kind: 'heading'; readonly projects: readonly ProjectHead[] }
  | {
      readonly kind: 'file';
      readonly hash: string;
      readonly media: string;
      readonly bytes: Uint8Array;
    }
  /** JSON of a `KeptEntry`, not looked at yet */
  | { readonly kind: 'entry'; readonly entry: unknown }
  /** its digest is right, and nothing comes after it */
  | { readonly kind: 'end'; readonly count: ArchiveCount };

/** Bytes. No line is longer: a file in base64, or an entry (four bytes a character at most), and what stands
 * around it. */
const MOST_LINE = Math.max(Math.ceil(MOST_ATTACHMENT_BYTES / 3) * 4, 4 * MOST_ENTRY_TEXT) + 4096;

/** Bytes after unpacking: what unpacks to more is a trap rather than an archive. */
const MOST_BYTES = 64 * 1024 ** 3;

export interface ArchiveLimits {
  /** bytes; default: what a file or an entry can take */
  readonly line?: number;
  /** bytes; default 64 GiB */
  readonly unpacked?: number;
}

export function notAnArchive(name: string): RecordStoreError {
  const allowed = 'a file written by standstill records export or backup';
  return new RecordStoreError(
    'not an archive',
    `${name}: is no archive of test records; allowed: ${allowed}`,
  );
}

export function brokenArchive(name: string, why: string, cause?: unknown): RecordStoreError {
  return new RecordStoreError(
    'broken archive',
    `${name}: ${why}; nothing of it can be trusted, take another copy`,
    cause === undefined ? undefined : { cause },
  );
}

/**
 * The parts of an archive: its heading first, its end last. Memory holds one line.
 *
 * @param name for messages
 * @throws RecordStoreError; what reading the source throws, as it is
 */
export async function* archiveParts(
  source: Readable,
  name: string,
  limits: ArchiveLimits = {},
): AsyncGenerator<ArchivePart> {
  const digest = createHash('sha256');
  let number = 0;
  let hasEnded = false;
  for await (const line of unpackedLines(source, name, limits)) {
    number += 1;
    if (hasEnded) throw brokenArchive(name, `line ${number} stands after its end`);
    const value = parsed(line);
    if (number === 1) yield heading(value, name);
    else if (value?.kind === 'end') {
      hasEnded = true;
      yield end(value, digest.digest('hex'), name);
      continue;
    } else yield part(value, number, name);
    digest.update(line).update('\n');
  }
  if (number === 0) throw notAnArchive(name);
  if (!hasEnded) throw brokenArchive(name, 'it ends in the middle: it was cut short');
}

type Fields = Readonly<Record<string, unknown>>;

/** null: no object of JSON */
function parsed(line: Buffer): Fields | null {
  try {
    const value: unknown = JSON.parse(line.toString('utf8'));
    return typeof value === 'object' && value !== null ? (value as Fields) : null;
  } catch {
    return null;
  }
}

function heading(value: Fields | null, name: string): ArchivePart {
  if (value?.format !== ARCHIVE_FORMAT) throw notAnArchive(name);
  const { version, projects } = value;
  if (typeof version === 'number' && version > ARCHIVE_VERSION) {
    throw new RecordStoreError(
      'too new',
      `${name}: is an archive in form ${version}; allowed: ${ARCHIVE_VERSION}, or a newer version of standstill`,
    );
  }
  const isWhole = version === ARCHIVE_VERSION && Array.isArray(projects) && projects.every(isHead);
  if (!isWhole) throw brokenArchive(name, 'its heading is not one');
  return { kind: 'heading', projects };
}

const HASH = /^[0-9a-f]{64}$/;
const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const MEDIA = /^[\w.+-]+\/[\w.+-]+$/;

/** So that messages can repeat it: a terminal obeys what a stranger may have written there. */
function isText(value: unknown, form: RegExp): value is string {
  return typeof value === 'string' && form.test(value);
}

function isHead(value: unknown): value is ProjectHead {
  if (typeof value !== 'object' || value === null) return false;
  const { id, entries, head } = value as Partial<Record<keyof ProjectHead, unknown>>;
  return isText(id, UUID) && isCount(entries) && entries > 0 && isText(head, HASH);
}

function isCount(value: unknown): value is number {
  return Number.isSafeInteger(value) && (value as number) >= 0;
}

function part(value: Fields | null, number: number, name: string): ArchivePart {
  if (value?.kind === 'entry') return { kind: 'entry', entry: value.entry };
  const { kind, hash, media, bytes } = value ?? {};
  const isFile = kind === 'file' && isText(hash, HASH) && isText(media, MEDIA);
  if (isFile && typeof bytes === 'string') {
    return { kind, hash, media, bytes: Buffer.from(bytes, 'base64') };
  }
  throw brokenArchive(name, `line ${number} is neither a file nor an entry`);
}

function end(value: Fields, digest: string, name: string): ArchivePart {
  const { projects, entries, files, bytes } = value;
  const isWhole = isCount(projects) && isCount(entries) && isCount(files) && isCount(bytes);
  if (!isWhole) throw brokenArchive(name, 'its last line is not one');
  if (value.digest !== digest) {
    throw brokenArchive(name, 'its digest is not that of its content: it was damaged or changed');
  }
  return { kind: 'end', count: { projects, entries, files, bytes } };
}

/** Lines without their ends. */
async function* unpackedLines(
  source: Readable,
  name: string,
  { line: mostLine = MOST_LINE, unpacked: mostBytes = MOST_BYTES }: ArchiveLimits,
): AsyncGenerator<Buffer> {
  const gunzip = createGunzip();
  // errors of either come out of the loop below, and a loop that is left ends both
  pipeline(source, gunzip, () => {});
  let [total, length] = [0, 0];
  let pieces: Buffer[] = [];
  try {
    for await (const chunk of gunzip as AsyncIterable<Buffer>) {
      total += chunk.length;
      if (total > mostBytes)
        throw brokenArchive(name, `it unpacks to more than ${mostBytes} bytes`);
      let from = 0;
      for (let to = chunk.indexOf(10); to >= 0; to = chunk.indexOf(10, from)) {
        yield Buffer.concat([...pieces, chunk.subarray(from, to)]);
        [pieces, length, from] = [[], 0, to + 1];
      }
      pieces.push(chunk.subarray(from));
      length += chunk.length - from;
      if (length > mostLine) throw brokenArchive(name, `a line has more than ${mostLine} bytes`);
    }
  } catch (error) {
    throw unpackingProblem(error, name, total);
  }
  if (length > 0) throw brokenArchive(name, 'it ends in the middle of a line: it was cut short');
}

function unpackingProblem(error: unknown, name: string, total: number): unknown {
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  if (!code.startsWith('Z_')) return error;
  if (total === 0 && code === 'Z_DATA_ERROR') return notAnArchive(name);
  const why = code === 'Z_BUF_ERROR' ? 'it was cut short' : 'it was damaged';
  return brokenArchive(name, `it cannot be unpacked: ${why}`, error);
}
