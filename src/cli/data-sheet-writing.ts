/** Writes a data sheet: what is known filled in, what is to be written down left blank, with a word on each. */

import type { Attachment, ProjectState, RecordState, TraceTaken } from '../test-record/index.js';
import type { Field, FieldKind, SheetKind } from './data-sheet-shapes.js';
import { SHEET_KEY, SHEET_VERSION, SHEETS } from './data-sheet-shapes.js';
import { writtenText } from './data-sheet-text.js';
import { keptName } from './record-files.js';
import { recordHandle } from './record-names.js';
import { wrapText } from './text-width.js';

export interface SheetToWrite {
  readonly kind: SheetKind;
  /** what is known, as the entry says it; a field that is not there is left blank */
  readonly values: Readonly<Record<string, unknown>>;
  /** the record that is corrected, reviewed or withdrawn; null: a new one */
  readonly record: RecordState | null;
  /** lines above the fields, for whoever fills them in */
  readonly heading: readonly string[];
}

/** Stands for a field that the sheet need not show; it may be written in all the same. */
export const LEFT_OUT = Symbol('left out');

/** Columns of a printed page. */
const WIDTH = 88;

export function dataSheetText(state: ProjectState, sheet: SheetToWrite): string {
  const { kind, values, record, heading } = sheet;
  const { about, fields } = SHEETS[kind];
  const why = record === null ? 'why it is written, where that has to be said' : 'a reason';
  return [
    ...[about, ...heading].flatMap(commentLines),
    `${SHEET_KEY}: ${SHEET_VERSION}`,
    `kind: ${kind}`,
    ...(record === null
      ? []
      : [
          `record: ${writtenText(recordHandle(state, record.subject))}`,
          ...withComment(`follows: ${record.newest}`, 'the entry it was made from'),
        ]),
    ...withComment('why:', why),
    ...fieldsLines(state, fields, values),
    '',
  ].join('\n');
}

function commentLines(text: string): string[] {
  if (text === '') return ['#'];
  const indent = /^ */.exec(text)?.[0] ?? '';
  return wrapText(text.trimStart(), WIDTH - 2 - indent.length).map(
    (piece, i) => `# ${indent}${i === 0 ? '' : CONTINUED}${piece}`,
  );
}

const CONTINUED = '  ';

function withComment(line: string, about: string): string[] {
  if (about === '') return [line];
  const whole = `${line}   # ${about}`;
  if (whole.length <= WIDTH) return [whole];
  const indent = /^[ -]*/.exec(line)?.[0].replace(/-/g, ' ') ?? '';
  return [`${indent}# ${about}`, line];
}

/** The fields of a record as they stand in a sheet: those that say something, without a word on each. */
export function dataSheetLines(
  state: ProjectState,
  fields: readonly Field[],
  values: Readonly<Record<string, unknown>>,
): string[] {
  return fieldsLines(state, fields.map(withoutWords), filledIn(values) ?? {});
}

/** A map with its blanks left out, and those in it; null: all of it is blank. */
function filledIn(
  values: Readonly<Record<string, unknown>>,
): Readonly<Record<string, unknown>> | null {
  const entries = Object.entries(values).map(([key, value]) => [key, filledValue(value)] as const);
  return entries.every(([, value]) => value === LEFT_OUT) ? null : Object.fromEntries(entries);
}

function filledValue(value: unknown): unknown {
  if (value === null || value === undefined || value === '') return LEFT_OUT;
  if (Array.isArray(value)) return value.length === 0 ? LEFT_OUT : value.map(filledValue);
  return typeof value === 'object' ? (filledIn(recordIn(value)) ?? LEFT_OUT) : value;
}

function withoutWords(field: Field): Field {
  return { ...field, about: '', is: kindWithoutWords(field.is) };
}

function kindWithoutWords(is: FieldKind): FieldKind {
  if (is.kind === 'group') return { ...is, fields: is.fields.map(withoutWords) };
  return is.kind === 'list' ? { ...is, of: kindWithoutWords(is.of) } : is;
}

function fieldsLines(
  state: ProjectState,
  fields: readonly Field[],
  values: Readonly<Record<string, unknown>>,
): string[] {
  return fields
    .filter(({ key }) => values[key] !== LEFT_OUT)
    .flatMap((field) => fieldLines(state, field, values[field.key], values));
}

function fieldLines(
  state: ProjectState,
  { label, about, is }: Field,
  value: unknown,
  values: Readonly<Record<string, unknown>>,
): string[] {
  const inside = insideLines(state, is, value);
  if (inside !== null) return [...withComment(`${label}:`, about), ...inside.map(indented)];
  const block = is.kind === 'text' ? blockLines(value) : null;
  if (block !== null) return [...withComment(`${label}: |`, about), ...block.map(indented)];
  const written = is.kind === 'cart file' ? keptCart(values) : onOneLine(state, is, value);
  return withComment(written === '' ? `${label}:` : `${label}: ${written}`, about);
}

/** Lines of a text that has several, to be read and edited as they are; null: it has to be quoted. */
function blockLines(value: unknown): readonly string[] | null {
  if (typeof value !== 'string' || !value.includes('\n')) return null;
  // the first line sets the indent, and ends of lines are not kept
  const isPlain = !/^\s|\s$|[^\S\n ]|(?!\n)\p{Cc}| \n/u.test(value);
  return isPlain ? value.split('\n') : null;
}

function keptCart({ file }: Readonly<Record<string, unknown>>): string {
  return typeof file === 'string' ? writtenText(`kept ${file}`) : '';
}

function indented(line: string): string {
  return `  ${line}`;
}

/** Lines of a value that does not stand on the line of its name; null: it does. */
function insideLines(state: ProjectState, is: FieldKind, value: unknown): string[] | null {
  switch (is.kind) {
    case 'group':
      return value === null ? null : fieldsLines(state, is.fields, recordIn(value));
    case 'by name':
      return nameLines(recordIn(value));
    case 'shown':
      return nameLines(shownByName(value));
    case 'list':
      return listLines(state, is.of, Array.isArray(value) ? value : []);
    case 'trace': {
      const { overruled } = recordIn(value);
      const isOverruled = typeof overruled === 'object' && overruled !== null;
      return isOverruled ? traceLines(value as TraceTaken) : null;
    }
    default:
      return null;
  }
}

function recordIn(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null
    ? (value as Readonly<Record<string, unknown>>)
    : {};
}

function nameLines(values: Readonly<Record<string, unknown>>): string[] | null {
  const lines = Object.entries(values).map(([name, value]) =>
    `${writtenText(name)}: ${value === null ? '' : writtenText(String(value))}`.trimEnd(),
  );
  return lines.length === 0 ? null : lines;
}

function shownByName(value: unknown): Readonly<Record<string, unknown>> {
  const shown = Array.isArray(value) ? value : [];
  return Object.fromEntries(shown.map(({ castor, shown: mass }) => [castor, mass]));
}

function listLines(
  state: ProjectState,
  of: FieldKind,
  values: readonly unknown[],
): string[] | null {
  if (values.length === 0) return null;
  return values.flatMap((value) => {
    const inside = of.kind === 'used' ? usedLines(state, value) : insideLines(state, of, value);
    if (inside === null) return [`- ${onOneLine(state, of, value)}`.trimEnd()];
    return inside.map((line, i) => (i === 0 ? `- ${line}` : indented(line)));
  });
}

/** A reason is asked for only where one is needed or was given. */
function usedLines(state: ProjectState, value: unknown): string[] | null {
  const { instrument, despite } = recordIn(value);
  if (typeof despite !== 'string') return null;
  const name = typeof instrument === 'string' ? recordHandle(state, instrument) : '';
  return [`instrument: ${writtenText(name)}`, `despite: ${optionalText(despite)}`.trimEnd()];
}

function optionalText(text: string): string {
  return text === '' ? '' : writtenText(text);
}

function traceLines({ file, overruled }: TraceTaken): string[] {
  if (overruled === null) return [];
  const { time, force, u, reason } = overruled;
  return [
    `file: ${writtenText(keptName(file))}`,
    'onset:',
    `  time: ${time} s`,
    `  force: ${force} N`,
    `  uncertainty: ${u} N`,
    `  because: ${writtenText(reason)}`,
  ];
}

function onOneLine(state: ProjectState, is: FieldKind, value: unknown): string {
  if (value === null || value === undefined || value === LEFT_OUT) return '';
  switch (is.kind) {
    case 'record':
      return writtenText(recordHandle(state, String(value)));
    case 'used': {
      const { instrument } = recordIn(value);
      return typeof instrument === 'string' ? writtenText(recordHandle(state, instrument)) : '';
    }
    case 'flag':
      return value === true ? 'yes' : 'no';
    case 'file':
      return writtenText(keptName(value as Attachment));
    case 'trace':
      return writtenText(keptName((value as TraceTaken).file));
    case 'slip':
      return slipText(recordIn(value));
    case 'time':
      return String(value);
    case 'text':
    case 'value':
    case 'number':
      return optionalText(String(value));
    default:
      return '';
  }
}

function slipText({ kind, angle, force, mass }: Readonly<Record<string, unknown>>): string {
  const text = (value: unknown) => (value === undefined ? '' : writtenText(String(value)));
  return kind === 'pull'
    ? `{pull: ${text(force)}, mass: ${text(mass)}}`
    : `{slip angle: ${text(angle)}}`;
}
