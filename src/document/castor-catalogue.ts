/**
 * A catalogue of castors in CSV: one row a castor, fields by heading, units in the headings or beside
 * the numbers. Each row is read by the same shapes as a castor type of a cart file, so that the same
 * limits and the same issues hold.
 */

import { parseNumber } from '../units/index.js';
import { castorTypeFields, OUTLASTS_THE_TREAD } from './cart-shape.js';
import type { CastorKind } from './castor-kind.js';
import type { ReadResult } from './issue.js';
import type { IssueLog } from './issue-log.js';
import { issueLog } from './issue-log.js';
import { QUANTITY_LIMITS, STUDY_LIMITS } from './limits.js';
import { namesOf } from './names.js';
import { nearestName } from './nearest-name.js';
import { MAX_ROWS } from './parts-list.js';
import type { Separator } from './parts-list-csv.js';
import { scanRows } from './parts-list-csv.js';
import { partsListLog } from './parts-list-problems.js';
import type { Cell, TableRow } from './parts-list-table.js';
import { decodeText } from './parts-list-text.js';
import type { Draft } from './shape.js';
import { bareNumber, object, optional, quantity, quantityOr, sure } from './shape.js';
import { lineStartsOf } from './text-checks.js';
import type { YamlEntry, YamlMap } from './yaml-tree.js';

export interface CatalogueCastor {
  readonly name: string;
  /** trail and swivel moment null: not stated, as of a castor that is made fixed only */
  readonly kind: Omit<CastorKind, 'trail' | 'swivelMoment'> & {
    readonly trail: number | null;
    readonly swivelMoment: number | null;
  };
  /** kg of one; null: not stated */
  readonly mass: number | null;
  /** of one, in the study's currency; null: not stated */
  readonly cost: number | null;
  /** N m, or 'outlasts the tread'; null: not stated */
  readonly brakeTorque: number | typeof OUTLASTS_THE_TREAD | null;
  readonly line: number;
}

export interface CastorCatalogue {
  readonly file: string;
  /** unit in the heading of the costs; '': none */
  readonly currency: string;
  readonly castors: readonly CatalogueCastor[];
}

const catalogueRow = object('a castor of the catalogue', {
  ...castorTypeFields,
  mass: optional(quantity(QUANTITY_LIMITS.partMass), 'Of one castor.'),
  cost: optional(bareNumber(STUDY_LIMITS.cost), 'Of one castor.'),
  'brake torque': optional(
    quantityOr(OUTLASTS_THE_TREAD, QUANTITY_LIMITS.brakeTorque),
    'What its brake holds.',
  ),
});

const { properties, required } = catalogueRow.schema as {
  readonly properties: object;
  readonly required: readonly string[];
};
const LABELS: readonly string[] = Object.keys(properties);

/** @param bytes of the file; UTF-8, UTF-16 or Windows-1252, as parts lists */
export function readCastorCatalogue(bytes: Uint8Array, file: string): ReadResult<CastorCatalogue> {
  const text = decodeText(bytes, file);
  if (text.kind === 'invalid') return text;
  const { rows, stop } = scanRows(text.value, separatorOf(text.value), MAX_ROWS);
  if (stop !== null) {
    const log = partsListLog(file);
    const { code, line, column, actual, allowed } = stop;
    log.error(code, { line, column, path: `line ${line}` }, actual, allowed);
    return log.result<CastorCatalogue>(null);
  }
  const log = issueLog(file, lineStartsOf(text.value));
  const castors = readRows(text.value, rows, log);
  const currency = currencyOf(rows[0]);
  const issues = log.issues();
  if (log.errorCount() > 0) return { kind: 'invalid', issues };
  return {
    kind: 'ok',
    value: { file, currency, castors },
    warnings: [...text.warnings, ...issues],
  };
}

/** The one that makes the most headings; the comma where none makes any. */
function separatorOf(text: string): Separator {
  const counts = ([',', ';', '\t'] as const).map((separator) => {
    const [first] = scanRows(text, separator, 1).rows;
    const cells = first === undefined ? [] : [...first.cells.values()];
    const known = cells.filter((cell) => LABELS.includes(headingOf(cell).label));
    return { separator, known: known.length };
  });
  return counts.reduce((p, q) => (q.known > p.known ? q : p)).separator;
}

interface Heading {
  readonly label: string;
  /** '': none */
  readonly unit: string;
}

/** Longer cells are text of some kind, not headings. */
const LONGEST_HEADING = 60;

function headingOf({ text }: Cell): Heading {
  if (text.length > LONGEST_HEADING) return { label: text, unit: '' };
  const [, label = text, unit = ''] = /^(.*?)\s*[[(]([^[\]()]*)[\])]$/s.exec(text) ?? [];
  const plain = label.normalize('NFKC').replace(/[\s_]+/g, ' ');
  return { label: plain.trim().toLowerCase(), unit: unit.trim() };
}

function currencyOf(headings: TableRow | undefined): string {
  const all = [...(headings?.cells.values() ?? [])].map(headingOf);
  return all.find(({ label }) => label === 'cost')?.unit ?? '';
}

function readRows(text: string, rows: readonly TableRow[], log: IssueLog) {
  const [first, ...below] = rows;
  if (first === undefined) return [];
  const offsetOf = offsets(text);
  const headings = readHeadings(first, offsetOf, log);
  if (log.errorCount() > 0) return [];
  if (below.length === 0) {
    const [allowed, path] = ['at least one row with a castor', 'the rows'];
    log.report({ code: 'too-few', offset: offsetOf(first), path, actual: null, allowed });
  }
  for (const row of below) reportBeyond(row, Math.max(...first.cells.keys()), offsetOf, log);
  const drafts = below.flatMap((row) => {
    const draft = catalogueRow.read(nodeOf(row, headings, offsetOf), pathOf(row, headings), log);
    return draft === undefined ? [] : [{ ...draft, line: row.line }];
  });
  namesOf({ items: drafts, complete: true }, 'castor of the catalogue', log);
  if (log.errorCount() > 0) return [];
  return drafts.map(castorOf);
}

type Place = Pick<Cell, 'line'> & Partial<Pick<Cell, 'column'>>;

function offsets(text: string): (place: Place) => number {
  const starts = lineStartsOf(text);
  return ({ line, column = 1 }) => (starts[line - 1] ?? 0) + column - 1;
}

/** By index of the column; columns that say nothing we use are left out, with a warning. */
function readHeadings(
  row: TableRow,
  offsetOf: (place: Place) => number,
  log: IssueLog,
): ReadonlyMap<number, Heading> {
  const headings = new Map<number, Heading>();
  const seen = new Set<string>();
  for (const [index, cell] of row.cells) {
    const heading = headingOf(cell);
    const { label } = heading;
    const place = { offset: offsetOf(cell), path: 'headings', actual: cell.text };
    if (!LABELS.includes(label)) {
      const nearest = nearestName(label, LABELS);
      const hint = nearest === null ? '' : `; nearest: ${nearest}`;
      const allowed = `${LABELS.join(', ')}${hint}`;
      log.report({ code: 'unused-entry', severity: 'warning', ...place, allowed });
    } else if (seen.has(label)) {
      log.report({ code: 'duplicate-key', ...place, allowed: 'each heading once' });
    } else headings.set(index, heading);
    seen.add(label);
  }
  reportMissing(row, seen, offsetOf(row), log);
  return headings;
}

/** A comma that was meant as a decimal sign makes two cells of one, and moves all that follow. */
function reportBeyond(
  row: TableRow,
  last: number,
  offsetOf: (place: Place) => number,
  log: IssueLog,
): void {
  for (const [index, cell] of row.cells) {
    if (index <= last) continue;
    const place = { offset: offsetOf(cell), path: `line ${row.line}`, actual: cell.text };
    const allowed =
      'no more cells than there are headings; a number with a decimal comma stands in quotation marks, or semicolons part the cells';
    log.report({ code: 'cell-without-heading', ...place, allowed });
  }
}

/** Once, and not for every row. */
function reportMissing(
  row: TableRow,
  seen: ReadonlySet<string>,
  offset: number,
  log: IssueLog,
): void {
  const missing = required.filter((label) => !seen.has(label));
  if (missing.length === 0) return;
  const allowed = `headings ${required.join(', ')} with units, such as wheel diameter [mm]; missing: ${missing.join(', ')}`;
  const actual = [...row.cells.values()].map(({ text }) => text).join(' | ');
  log.report({ code: 'missing-heading', offset, path: 'headings', actual, allowed });
}

function pathOf(row: TableRow, headings: ReadonlyMap<number, Heading>): string {
  const name = [...row.cells].find(([index]) => headings.get(index)?.label === 'name')?.[1].text;
  return name === undefined ? `line ${row.line}` : `castor "${name}"`;
}

function nodeOf(
  row: TableRow,
  headings: ReadonlyMap<number, Heading>,
  offsetOf: (place: Place) => number,
): YamlMap {
  const entries = [...row.cells].flatMap(([index, cell]): YamlEntry[] => {
    const heading = headings.get(index);
    if (heading === undefined) return [];
    const offset = offsetOf(cell);
    const node = { kind: 'scalar' as const, offset, ...cellValue(cell.text, heading) };
    return [{ key: heading.label, keyOffset: offset, node }];
  });
  return { kind: 'map', offset: offsetOf(row), entries };
}

/** A number takes the unit of its heading; without one, and for whatever is no number, the cell
 * stands for itself. */
function cellValue(text: string, { label, unit }: Heading) {
  const number = parseNumber(text);
  if (label === 'name' || label === 'tread' || number.kind === 'error') {
    return { value: text, source: text };
  }
  if (unit === '') return { value: number.value, source: text };
  const source = `${text} ${unit}`;
  // a cost has the unit of money, which is the study's to name
  return { value: label === 'cost' ? number.value : source, source };
}

function castorOf({ fields, line }: Draft<Fields> & { readonly line: number }): CatalogueCastor {
  const torque = fields['brake torque'];
  return {
    name: sure(fields.name).value,
    kind: {
      wheelDiameter: sure(fields['wheel diameter']).value,
      trail: fields.trail?.value ?? null,
      swivelMoment: fields['swivel moment']?.value ?? null,
      rollingLength: sure(fields['rolling length']).value,
      rating: sure(fields.rating).value,
      stiffness: sure(fields.stiffness).value,
      tread: sure(fields.tread).value,
    },
    mass: fields.mass?.value ?? null,
    cost: fields.cost?.value ?? null,
    brakeTorque:
      torque === null || torque === undefined ? null : (torque.value ?? OUTLASTS_THE_TREAD),
    line,
  };
}

type Fields = typeof catalogueRow extends { read(...args: never[]): infer D }
  ? NonNullable<D> extends Draft<infer F>
    ? F
    : never
  : never;
