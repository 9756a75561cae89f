/** Files that entries name: read from disk, or kept already. */

import { basename, dirname, isAbsolute, join } from 'node:path';
import type { TraceReading } from '../metrology/index.js';
import { readGaugeFile, readTrace } from '../metrology/index.js';
import type { Attachment, RecordState, TraceTaken } from '../test-record/index.js';
import {
  ATTACHMENT_ENDINGS,
  contentHash,
  MOST_ATTACHMENT_BYTES,
  mediaOf,
} from '../test-record/index.js';
import { readBytes } from './files.js';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

/** A file that is kept with an entry. */
export interface FileToKeep {
  readonly attachment: Attachment;
  readonly bytes: Uint8Array;
}

/** @param name what the record calls it; null: by its own name */
export async function fileToKeep(
  path: string,
  name: string | null = null,
): Promise<Outcome<FileToKeep>> {
  const media = mediaOf(path);
  if (media === null) {
    const allowed = ATTACHMENT_ENDINGS.map((ending) => `.${ending}`).join(', ');
    return bad(`${path}: is of a kind that no record keeps; allowed: ${allowed}`);
  }
  const read = await readBytes(path, MOST_ATTACHMENT_BYTES);
  if (read.kind === 'bad input') return read;
  const bytes = read.value;
  if (bytes.length === 0) return bad(`${path}: is empty`);
  const attachment = {
    hash: contentHash(bytes),
    name: name ?? basename(path),
    media,
    bytes: bytes.length,
  };
  return fine({ attachment, bytes });
}

/** Where a file lies that another one names. */
export function besideFile(file: string, name: string): string {
  return isAbsolute(name) ? name : join(dirname(file), name);
}

export interface TraceRead {
  readonly file: FileToKeep;
  readonly taken: TraceTaken;
  /** what was found, in a sentence; and what the reader doubts */
  readonly remarks: readonly string[];
}

/** A force gauge's file with its peak, hold and onset of slip. */
export async function traceToKeep(path: string): Promise<Outcome<TraceRead>> {
  const file = await fileToKeep(path);
  if (file.kind === 'bad input') return file;
  const text = plainText(file.value.bytes);
  if (text === null) return bad(`${path}: is not text in UTF-8, the only encoding read here`);
  const read = readGaugeFile(text, path);
  if (read.kind === 'refused') return bad(...read.issues.map(({ message }) => message));
  const reading = readTrace(read.trace);
  const taken = traceTaken(file.value.attachment, reading);
  return fine(
    { file: file.value, taken, remarks: [`${path}: ${foundWords(reading)}`, ...reading.remarks] },
    read.warnings,
  );
}

function plainText(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

function traceTaken(file: Attachment, { peak, hold, onset }: TraceReading): TraceTaken {
  const found = onset.kind === 'found' ? onset.onset : null;
  return {
    file,
    peak: { time: peak.time, force: peak.force },
    hold: hold?.force.value ?? null,
    onset: found && {
      time: found.time.value,
      force: found.force.value,
      u: found.force.u,
      timeU: found.time.u,
    },
    overruled: null,
  };
}

function foundWords({ peak, onset }: TraceReading): string {
  const peakWords = `peak ${newtons(peak.force)} at ${seconds(peak.time)}`;
  if (onset.kind !== 'found') return `${peakWords}; no onset of slip: ${onset.reason}`;
  const { force, time } = onset.onset;
  return `${peakWords}; onset of slip at ${newtons(force.value)} (standard uncertainty ${newtons(force.u)}), ${seconds(time.value)}`;
}

function newtons(force: number): string {
  return `${Number(force.toPrecision(4))} N`;
}

function seconds(time: number): string {
  return `${Number(time.toFixed(2))} s`;
}

/** How a file that a record has already is named in a sheet: `kept 1a2b3c4d tilt.jpg`. */
const KEPT = /^kept ([0-9a-f]{8,64})\b/;

export function keptName({ hash, name }: Attachment): string {
  return `kept ${hash.slice(0, 12)} ${name}`;
}

/** A file that the record has already; null: the text does not name one so. */
export function keptAttachment(
  text: string,
  record: RecordState | null,
): Outcome<Attachment> | null {
  const start = KEPT.exec(text)?.[1];
  if (start === undefined) return null;
  const found = allOf(record, isAttachment).find(({ hash }) => hash.startsWith(start));
  if (found !== undefined) return fine(found);
  return bad(`is no file of this record; allowed: ${keptAllowed(record)}`);
}

function keptAllowed(record: RecordState | null): string {
  const names = allOf(record, isAttachment).map(keptName);
  return names.length === 0 ? 'the path of a file' : [...new Set(names)].join('; ');
}

/** What was read from a gauge's file that the record has already. */
export function keptTrace(file: Attachment, record: RecordState | null): TraceTaken | null {
  return allOf(record, isTrace).find((each) => each.file.hash === file.hash) ?? null;
}

/** All that is of a kind in any entry of a record, newest first. */
function allOf<T>(record: RecordState | null, is: (value: unknown) => value is T): readonly T[] {
  const found: T[] = [];
  const visit = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    if (is(value)) found.push(value);
    Object.values(value).forEach(visit);
  };
  for (const { body } of [...(record?.entries ?? [])].reverse()) visit(body);
  return found;
}

function isAttachment(value: unknown): value is Attachment {
  return typeof value === 'object' && value !== null && 'hash' in value && 'media' in value;
}

function isTrace(value: unknown): value is TraceTaken {
  return typeof value === 'object' && value !== null && 'peak' in value && 'overruled' in value;
}
