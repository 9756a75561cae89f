/** Parts lists in XLSX. */

import type { ReadResult } from './issue.js';
import type { PartsList } from './parts-list.js';
import { MAX_INPUT_BYTES } from './parts-list.js';
import type { Headings } from './parts-list-headings.js';
import { findHeadings } from './parts-list-headings.js';
import type { PartsListLog } from './parts-list-problems.js';
import { partsListLog, WHOLE_FILE } from './parts-list-problems.js';
import { readParts } from './parts-list-rows.js';
import type { Table } from './parts-list-table.js';
import {
  readDateStyles,
  readRelations,
  readSharedTexts,
  readSheetList,
  readSheetRows,
} from './parts-list-workbook.js';
import type { Archive } from './parts-list-zip.js';
import { damaged, openArchive, unpack, XlsxProblem } from './parts-list-zip.js';

declare class TextDecoder {
  constructor(encoding: string);
  decode(bytes: Uint8Array): string;
}

/** More sheets are no parts list, and each one takes time to read. */
const MOST_SHEETS = 100;

/**
 * Reads a parts list from the bytes of an XLSX file: from the one sheet whose headings name parts and
 * masses. Numbers are taken as stored, not as shown. Never rejects.
 */
export async function readPartsListXlsx(
  bytes: Uint8Array,
  file: string,
): Promise<ReadResult<PartsList>> {
  const log = partsListLog(file);
  if (refuseBytes(bytes, log)) return log.result<PartsList>(null);
  try {
    const chosen = chooseSheet(await readTables(openArchive(bytes)), log);
    if (chosen === null) return log.result<PartsList>(null);
    return log.result(readParts(chosen.table, chosen.headings, file, log));
  } catch (error) {
    if (!(error instanceof XlsxProblem)) throw error;
    log.error(error.code, WHOLE_FILE, error.actual, error.allowed);
    return log.result<PartsList>(null);
  }
}

function refuseBytes(bytes: Uint8Array, log: PartsListLog): boolean {
  const [first, second] = bytes;
  if (bytes.length > MAX_INPUT_BYTES) {
    const allowed = `at most ${MAX_INPUT_BYTES} bytes`;
    log.error('file-too-large', WHOLE_FILE, `${bytes.length} bytes`, allowed);
  } else if (bytes.length === 0) {
    log.error('empty-file', WHOLE_FILE, null, 'an XLSX file');
  } else if (first === 0xd0 && second === 0xcf) {
    // the container of spreadsheets before XLSX, which encrypted XLSX files use too
    const allowed = 'an XLSX file without a password (older .xls files: save them as .xlsx)';
    log.error('not-xlsx', WHOLE_FILE, 'an older or encrypted spreadsheet', allowed);
  } else if (first !== 0x50 || second !== 0x4b) {
    log.error('not-xlsx', WHOLE_FILE, null, 'an XLSX file, which is a ZIP archive');
  }
  return log.errorCount() > 0;
}

async function readTables(archive: Archive): Promise<Table[]> {
  const text = async (name: string) => decodeXml(await unpack(archive, name));
  const root = readRelations(await text('_rels/.rels'));
  const start = [...root.values()].find((each) => each.type === 'officeDocument');
  if (start === undefined) throw damaged('no workbook');
  const workbook = resolve('', start.target);
  const relations = readRelations(await text(relationsOf(workbook)));
  const named = (type: string) => {
    const found = [...relations.values()].find((each) => each.type === type);
    const name = found === undefined ? undefined : resolve(folderOf(workbook), found.target);
    return name !== undefined && archive.entries.has(name) ? text(name) : null;
  };
  const texts = readSharedTexts((await named('sharedStrings')) ?? '');
  const dateStyles = readDateStyles((await named('styles')) ?? '');
  const sheets = readSheetList(await text(workbook));
  if (sheets.length > MOST_SHEETS) throw damaged(`${sheets.length} sheets`);
  const tables: Table[] = [];
  const seen = new Set<string>();
  for (const { name, relation } of sheets) {
    const target = relations.get(relation);
    // a chart can fill a sheet of its own
    if (target === undefined || target.type !== 'worksheet') continue;
    const entry = resolve(folderOf(workbook), target.target);
    if (seen.has(entry)) throw damaged(`the sheet ${entry} twice`);
    seen.add(entry);
    const rows = readSheetRows(await text(entry), { texts, dateStyles });
    tables.push({ kind: 'sheet', sheet: name, rows });
  }
  return tables;
}

function decodeXml(bytes: Uint8Array): string {
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (first === 0xfe && second === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  return new TextDecoder('utf-8').decode(bytes);
}

function folderOf(name: string): string {
  return name.slice(0, name.lastIndexOf('/') + 1);
}

function relationsOf(name: string): string {
  return `${folderOf(name)}_rels/${name.slice(folderOf(name).length)}.rels`;
}

function resolve(folder: string, target: string): string {
  const path = target.startsWith('/') ? target : `${folder}/${target}`;
  const steps: string[] = [];
  for (const step of path.split('/')) {
    if (step === '..') steps.pop();
    else if (step !== '' && step !== '.') steps.push(step);
  }
  return steps.join('/');
}

/** The sheet whose headings name parts and masses; with none, the one that comes nearest. */
function chooseSheet(
  tables: readonly Table[],
  log: PartsListLog,
): { table: Table; headings: Headings } | null {
  const found = tables
    .map((table) => ({ table, headings: findHeadings(table) }))
    .filter(({ table }) => table.rows.length > 0)
    .sort((a, b) => b.headings.score - a.headings.score);
  const whole = found.filter(({ headings }) => isPartsList(headings));
  if (whole.length > 1) {
    const names = whole.map(({ table }) => `"${table.sheet}"`).join(' and ');
    log.error(
      'several-tables',
      { ...WHOLE_FILE, path: 'sheets' },
      names,
      'one sheet with a parts list',
    );
    return null;
  }
  const best = whole[0] ?? found[0];
  if (best === undefined) log.error('empty-file', WHOLE_FILE, null, 'a sheet with headings');
  return best ?? null;
}

function isPartsList(headings: Headings): boolean {
  const roles = new Set([...headings.matches.values()].map((match) => match.role));
  return roles.has('name') && (roles.has('mass') || roles.has('total'));
}
