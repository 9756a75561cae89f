/** A parts list from the bytes of a file, of whichever kind it is. */

import type { ReadResult } from './issue.js';
import type { PartsList } from './parts-list.js';
import { readPartsListCsv } from './parts-list-csv.js';
import { decodeText } from './parts-list-text.js';
import { readPartsListXlsx } from './parts-list-xlsx.js';

/**
 * Tells XLSX from CSV by the first bytes, not by the name: lists are renamed on their way. Never
 * rejects.
 */
export async function readPartsList(
  bytes: Uint8Array,
  file: string,
): Promise<ReadResult<PartsList>> {
  const [first, second] = bytes;
  const isArchive = first === 0x50 && second === 0x4b;
  const isOldSpreadsheet = first === 0xd0 && second === 0xcf;
  if (isArchive || isOldSpreadsheet) return readPartsListXlsx(bytes, file);
  const text = decodeText(bytes, file);
  if (text.kind === 'invalid') return text;
  const read = readPartsListCsv(text.value, file);
  return read.kind === 'ok'
    ? { ...read, warnings: [...text.warnings, ...read.warnings] }
    : { ...read, issues: [...text.warnings, ...read.issues] };
}
