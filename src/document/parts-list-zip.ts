/**
 * The ZIP container of a spreadsheet: which entries it has and their bytes, within limits.
 *
 * Own reader of the container: a spreadsheet library bounds each entry but not their sum, and unpacks
 * one entry as often as the file refers to it (pictures included), so that a small file can still ask
 * for any amount of memory. Here every entry is unpacked at most once, only those that are
 * needed, never beyond the size it states, and the stated sizes are added up first.
 * Layout: APPNOTE.TXT 6.3 of the ZIP format, 4.3 to 4.5; gzip: RFC 1952 (both from memory).
 */

import { MAX_UNPACKED_BYTES } from './parts-list.js';
import type { PartsListProblemCode } from './parts-list-problems.js';

// Part of every runtime we run on, but of no library type we compile with.
declare class DecompressionStream {
  constructor(format: 'gzip');
  readonly readable: {
    getReader(): {
      read(): Promise<{ done: boolean; value?: Uint8Array }>;
      cancel(): Promise<void>;
    };
  };
  readonly writable: {
    getWriter(): { write(bytes: Uint8Array): Promise<void>; close(): Promise<void> };
  };
}

/** Thrown inside the XLSX reader only, which turns it into an issue. */
export class XlsxProblem extends Error {
  constructor(
    readonly code: PartsListProblemCode,
    readonly actual: string | null,
    readonly allowed: string,
  ) {
    super(code);
  }
}

const UNDAMAGED = 'an XLSX file as a spreadsheet program saves it';

export function damaged(what: string): XlsxProblem {
  return new XlsxProblem('damaged-xlsx', what, UNDAMAGED);
}

interface Entry {
  readonly method: number;
  readonly crc: number;
  readonly packedSize: number;
  readonly size: number;
  readonly offset: number;
}

export interface Archive {
  readonly bytes: Uint8Array;
  readonly entries: ReadonlyMap<string, Entry>;
}

const END_SIGNATURE = 0x06054b50;
const DIRECTORY_SIGNATURE = 0x02014b50;
const LOCAL_SIGNATURE = 0x04034b50;
const END_SIZE = 22;
const LONGEST_COMMENT = 0xffff;
/** A 4-byte field at this value points to the 8-byte extension (ZIP64). */
const EXTENDED = 0xffff_ffff;
/** A parts list has a few dozen. */
const MOST_ENTRIES = 10_000;

/** Reads the directory; throws XlsxProblem (not-xlsx, damaged-xlsx, encrypted-xlsx,
 * unpacks-too-large). */
export function openArchive(bytes: Uint8Array): Archive {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  const count = view.getUint16(end + 10, true);
  if (count > MOST_ENTRIES) throw damaged(`${count} entries`);
  const entries = new Map<string, Entry>();
  let at = view.getUint32(end + 16, true);
  let sum = 0;
  for (let i = 0; i < count; i += 1) {
    const { name, entry, next } = readEntry(view, bytes, at);
    if (entries.has(name)) throw damaged(`the entry ${name} twice`);
    entries.set(name, entry);
    sum += entry.size;
    at = next;
  }
  if (sum > MAX_UNPACKED_BYTES) throw tooLarge(`${sum} bytes`);
  return { bytes, entries };
}

function tooLarge(actual: string): XlsxProblem {
  return new XlsxProblem('unpacks-too-large', actual, `at most ${MAX_UNPACKED_BYTES} bytes`);
}

function findEnd(view: DataView): number {
  const least = Math.max(0, view.byteLength - END_SIZE - LONGEST_COMMENT);
  for (let at = view.byteLength - END_SIZE; at >= least; at -= 1) {
    if (view.getUint32(at, true) === END_SIGNATURE) return at;
  }
  throw new XlsxProblem('not-xlsx', null, UNDAMAGED);
}

function readEntry(view: DataView, bytes: Uint8Array, at: number) {
  if (at + 46 > view.byteLength || view.getUint32(at, true) !== DIRECTORY_SIGNATURE) {
    throw damaged('a broken directory');
  }
  if ((view.getUint16(at + 8, true) & 1) === 1) {
    throw new XlsxProblem('encrypted-xlsx', null, 'a file without a password');
  }
  const nameLength = view.getUint16(at + 28, true);
  const extraLength = view.getUint16(at + 30, true);
  const next = at + 46 + nameLength + extraLength + view.getUint16(at + 32, true);
  if (next > view.byteLength) throw damaged('a broken directory');
  const name = String.fromCharCode(...bytes.subarray(at + 46, at + 46 + Math.min(nameLength, 500)));
  const [size, packedSize, offset] = extended(
    view,
    at + 46 + nameLength,
    extraLength,
    [at + 24, at + 20, at + 42].map((field) => view.getUint32(field, true)),
  );
  const method = view.getUint16(at + 10, true);
  const crc = view.getUint32(at + 16, true);
  const entry: Entry = {
    method,
    crc,
    size: size ?? 0,
    packedSize: packedSize ?? 0,
    offset: offset ?? 0,
  };
  return { name, entry, next };
}

/** Replaces the fields that point to the 8-byte extension, which holds just those, in this order. */
function extended(view: DataView, at: number, length: number, fields: readonly number[]): number[] {
  if (!fields.includes(EXTENDED)) return [...fields];
  let block = at;
  while (block + 4 <= at + length && view.getUint16(block, true) !== 1) {
    block += 4 + view.getUint16(block + 2, true);
  }
  let from = block + 4;
  return fields.map((field) => {
    if (field !== EXTENDED) return field;
    if (from + 8 > at + length) throw damaged('a size that is not stated');
    from += 8;
    return Number(view.getBigUint64(from - 8, true));
  });
}

/** Unpacks one entry; throws XlsxProblem. */
export async function unpack(archive: Archive, name: string): Promise<Uint8Array> {
  const { bytes, entries } = archive;
  const entry = entries.get(name);
  if (entry === undefined) throw damaged(`no entry ${name}`);
  const packed = packedBytes(bytes, entry, name);
  if (entry.method === 8) return inflate(packed, entry, name);
  if (entry.method !== 0) throw damaged(`compression method ${entry.method}`);
  if (packed.length !== entry.size || crc32(packed) !== entry.crc) {
    throw damaged(`the contents of ${name}`);
  }
  return packed;
}

function packedBytes(bytes: Uint8Array, entry: Entry, name: string): Uint8Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const at = entry.offset;
  if (at + 30 > bytes.length || view.getUint32(at, true) !== LOCAL_SIGNATURE) {
    throw damaged(`the start of ${name}`);
  }
  const start = at + 30 + view.getUint16(at + 26, true) + view.getUint16(at + 28, true);
  if (start + entry.packedSize > bytes.length) throw damaged(`the end of ${name}`);
  return bytes.subarray(start, start + entry.packedSize);
}

/**
 * The runtime's gzip decoder rather than its raw one: older runtimes lack the raw one, and the gzip
 * trailer (checksum and size, which the directory states) makes the runtime check both.
 */
async function inflate(packed: Uint8Array, entry: Entry, name: string): Promise<Uint8Array> {
  const stream = new DecompressionStream('gzip');
  const writer = stream.writable.getWriter();
  // a broken stream fails both ends; the reading end reports it
  const ignore = () => {};
  writer.write(gzip(packed, entry)).catch(ignore);
  writer.close().catch(ignore);
  const reader = stream.readable.getReader();
  const out = new Uint8Array(entry.size);
  let length = 0;
  for (;;) {
    const { done, value } = await reader.read().catch(() => {
      throw damaged(`the contents of ${name}`);
    });
    if (done || value === undefined) break;
    if (length + value.length > entry.size) {
      await reader.cancel().catch(ignore);
      throw tooLarge(`${name}, more than the ${entry.size} bytes it states`);
    }
    out.set(value, length);
    length += value.length;
  }
  if (length !== entry.size) throw damaged(`the contents of ${name}`);
  return out;
}

function gzip(packed: Uint8Array, entry: Entry): Uint8Array {
  const framed = new Uint8Array(10 + packed.length + 8);
  framed.set([0x1f, 0x8b, 8, 0, 0, 0, 0, 0, 0, 0xff]);
  framed.set(packed, 10);
  const trailer = new DataView(framed.buffer, 10 + packed.length);
  trailer.setUint32(0, entry.crc, true);
  trailer.setUint32(4, entry.size >>> 0, true);
  return framed;
}

/** CRC-32 (reflected polynomial 0xEDB88320), for the few entries that are not packed. */
function crc32(bytes: Uint8Array): number {
  let crc = 0xffff_ffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb8_8320 : 0);
  }
  return (crc ^ 0xffff_ffff) >>> 0;
}
