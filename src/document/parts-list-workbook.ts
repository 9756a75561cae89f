/**
 * The parts of a workbook that a parts list needs: sheets, shared texts, which number formats are
 * dates, cells. Layout: ECMA-376 part 1, clause 18 (SpreadsheetML), from memory.
 */

import { MAX_CELLS, MAX_ROWS } from './parts-list.js';
import type { Cell, TableRow } from './parts-list-table.js';
import type { Attributes, XmlHandlers } from './parts-list-xml.js';
import { scanXml } from './parts-list-xml.js';
import { damaged, XlsxProblem } from './parts-list-zip.js';

export interface SheetEntry {
  readonly name: string;
  readonly relation: string;
}

/** Throws XlsxProblem where the XML is malformed. */
function readXml(xml: string, handlers: XmlHandlers): void {
  if (!scanXml(xml, handlers)) throw damaged('malformed XML');
}

/** Characters that XML cannot hold are written so: `_x000D_`. */
function decodeEscapes(text: string): string {
  return text.replace(/_x([0-9a-f]{4})_/gi, (_, hex) =>
    String.fromCharCode(Number.parseInt(hex, 16)),
  );
}

/** Targets of a relationships part by id, with the last word of their type. */
export function readRelations(xml: string): Map<string, { target: string; type: string }> {
  const relations = new Map<string, { target: string; type: string }>();
  readXml(xml, {
    open(tag, { Id, Target, Type }) {
      if (tag !== 'Relationship' || Id === undefined || Target === undefined) return;
      relations.set(Id, { target: Target, type: (Type ?? '').split('/').at(-1) ?? '' });
    },
  });
  return relations;
}

export function readSheetList(xml: string): SheetEntry[] {
  const sheets: SheetEntry[] = [];
  readXml(xml, {
    open(tag, attributes) {
      if (tag !== 'sheet') return;
      const relation = Object.entries(attributes).find(([key]) => key.endsWith(':id'))?.[1];
      sheets.push({ name: attributes.name ?? '', relation: relation ?? '' });
    },
  });
  return sheets;
}

/** The texts that cells refer to by number. Phonetic guides (rPh) are left out. */
export function readSharedTexts(xml: string): string[] {
  const texts: string[] = [];
  let current = '';
  let isText = false;
  let isGuide = false;
  readXml(xml, {
    open(tag) {
      if (tag === 'si') current = '';
      else if (tag === 't') isText = true;
      else if (tag === 'rPh') isGuide = true;
    },
    close(tag) {
      if (tag === 'si') texts.push(decodeEscapes(current));
      else if (tag === 't') isText = false;
      else if (tag === 'rPh') isGuide = false;
    },
    text(piece) {
      if (isText && !isGuide) current += piece;
    },
  });
  return texts;
}

/** Numbers of the built-in formats that show a date or a time (ECMA-376 18.8.30, from memory). */
const BUILT_IN_DATES: readonly (readonly [number, number])[] = [
  [14, 22],
  [27, 36],
  [45, 47],
  [50, 58],
];

/** Which cell styles, by their number, show their value as a date. */
export function readDateStyles(xml: string): Set<number> {
  const ownDates = new Set<number>();
  const styles = new Set<number>();
  let isCellFormats = false;
  let count = 0;
  readXml(xml, {
    open(tag, attributes) {
      if (tag === 'cellXfs') isCellFormats = true;
      const format = Number(attributes.numFmtId);
      if (tag === 'numFmt' && isDateFormat(attributes.formatCode ?? '')) ownDates.add(format);
      if (tag !== 'xf' || !isCellFormats) return;
      const isBuiltIn = BUILT_IN_DATES.some(([from, to]) => format >= from && format <= to);
      if (isBuiltIn || ownDates.has(format)) styles.add(count);
      count += 1;
    },
    close(tag) {
      if (tag === 'cellXfs') isCellFormats = false;
    },
  });
  return styles;
}

/** Letters of day, month, year, hour or second outside quoted text, escapes and [brackets]. */
function isDateFormat(format: string): boolean {
  return /[dmyhs]/i.test(format.replace(/"[^"]*"|\\.|_.|\*.|\[[^\]]*\]|General/gi, ''));
}

interface Shared {
  readonly texts: readonly string[];
  readonly dateStyles: ReadonlySet<number>;
}

/** A cell while its XML goes by. */
interface OpenCell {
  readonly row: number;
  readonly column: number;
  readonly type: string;
  readonly style: number;
  value: string;
  hasFormula: boolean;
  hasValue: boolean;
}

/** Reads the rows of a sheet that are not blank; cells beyond column 1000 are no parts list's. */
export function readSheetRows(xml: string, shared: Shared): TableRow[] {
  const rows = new Map<number, { hidden: boolean; cells: Map<number, Cell> }>();
  const state = { row: 0, column: 0, hidden: false, isRich: false, isGuide: false, cells: 0 };
  let cell: OpenCell | null = null;
  let takesText = false;
  readXml(xml, {
    open(tag, attributes) {
      if (tag === 'row') {
        state.row = positive(attributes.r) ?? state.row + 1;
        state.column = 0;
        state.hidden = attributes.hidden === '1' || attributes.hidden === 'true';
      } else if (tag === 'c') {
        cell = openCell(attributes, state.row, state.column);
        state.column = cell.column;
      } else if (tag === 'rPh') state.isGuide = true;
      else if (cell !== null && tag === 'f') cell.hasFormula = true;
      else if (cell !== null && (tag === 'v' || tag === 't')) {
        takesText = !state.isGuide;
        cell.hasValue = true;
      }
    },
    text(piece) {
      if (takesText && cell !== null) cell.value += piece;
    },
    close(tag) {
      if (tag === 'v' || tag === 't') takesText = false;
      else if (tag === 'rPh') state.isGuide = false;
      else if (tag === 'c' && cell !== null) {
        state.cells += 1;
        keepCell(cell, state.hidden, rows, shared);
        cell = null;
        refuseTooMany(rows.size, state.cells);
      }
    },
  });
  return [...rows]
    .sort(([a], [b]) => a - b)
    .map(([line, { hidden, cells }]) => ({ line, lastLine: line, cells, hidden }));
}

function refuseTooMany(rows: number, cells: number): void {
  if (rows > MAX_ROWS) {
    throw new XlsxProblem('too-many-rows', `more than ${MAX_ROWS}`, `at most ${MAX_ROWS}`);
  }
  if (cells > MAX_CELLS) {
    throw new XlsxProblem('too-many-cells', `more than ${MAX_CELLS}`, `at most ${MAX_CELLS}`);
  }
}

function positive(text: string | undefined): number | null {
  const value = Number(text);
  return Number.isSafeInteger(value) && value > 0 ? value : null;
}

/** The place comes from the reference (B7), or follows the cell before. */
function openCell(attributes: Attributes, row: number, previous: number): OpenCell {
  const place = /^([A-Z]{1,3})(\d{1,7})$/.exec(attributes.r ?? '');
  const column = place === null ? previous + 1 : columnNumber(place[1] ?? '');
  return {
    row: place === null ? row : Number(place[2]),
    column,
    type: attributes.t ?? 'n',
    style: Number(attributes.s ?? '0'),
    value: '',
    hasFormula: false,
    hasValue: false,
  };
}

function columnNumber(letters: string): number {
  return [...letters].reduce((sum, letter) => sum * 26 + letter.charCodeAt(0) - 64, 0);
}

const LAST_COLUMN = 1000;

function keepCell(
  open: OpenCell,
  hidden: boolean,
  rows: Map<number, { hidden: boolean; cells: Map<number, Cell> }>,
  shared: Shared,
): void {
  const content = contentOf(open, shared);
  if (content === null || open.column > LAST_COLUMN) return;
  const row = rows.get(open.row) ?? { hidden, cells: new Map<number, Cell>() };
  row.cells.set(open.column - 1, { ...content, line: open.row, column: open.column });
  rows.set(open.row, row);
}

function contentOf(open: OpenCell, shared: Shared): Pick<Cell, 'kind' | 'text'> | null {
  if (open.hasFormula && !open.hasValue) return { kind: 'no-result', text: 'a formula' };
  if (open.type === 's' && open.hasValue) {
    const text = shared.texts[Number(open.value)];
    if (text === undefined)
      throw damaged(`a reference to a text that is not there (${open.value})`);
    return textContent(text);
  }
  if (open.type === 'str' || open.type === 'inlineStr') {
    return textContent(decodeEscapes(open.value));
  }
  const value = open.value.trim();
  if (value === '') return null;
  if (open.type === 'e') return { kind: 'error', text: value };
  if (open.type === 'b') return { kind: 'boolean', text: value === '1' ? 'TRUE' : 'FALSE' };
  if (open.type === 'd') return { kind: 'date', text: value };
  if (shared.dateStyles.has(open.style)) return { kind: 'date', text: `number ${value}` };
  return { kind: 'number', text: value };
}

function textContent(text: string): Pick<Cell, 'kind' | 'text'> | null {
  const trimmed = text.trim();
  return trimmed === '' ? null : { kind: 'text', text: trimmed };
}
