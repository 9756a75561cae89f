/** The values of a data sheet, field by field, into what an entry says. */

import type { ParsedNode, YAMLMap, YAMLSeq } from 'yaml';
import { isMap, isSeq } from 'yaml';
import type { ProjectState, RecordState } from '../test-record/index.js';
import { parseQuantity } from '../units/index.js';
import { loadCartFile } from './cart-file.js';
import type { Field, FieldKind } from './data-sheet-shapes.js';
import type { SheetText } from './data-sheet-text.js';
import { keyText, textOf } from './data-sheet-text.js';
import { instantOf } from './local-time.js';
import type { Outcome } from './outcome.js';
import { partsListsToKeep } from './record-carts.js';
import type { FileToKeep } from './record-files.js';
import { besideFile, fileToKeep, keptAttachment, keptTrace, traceToKeep } from './record-files.js';
import { recordNamed } from './record-names.js';

export type Step = string | number;
type Node = ParsedNode | null | undefined;

/** A sheet while it is read. */
export interface Reading {
  readonly sheet: SheetText;
  readonly state: ProjectState;
  /** the record that is corrected; null: a new one */
  readonly record: RecordState | null;
  readonly problems: string[];
  readonly warnings: string[];
  /** places that a problem names already */
  readonly complained: Set<string>;
  /** what was found in files, for the user */
  readonly remarks: string[];
  readonly files: FileToKeep[];
  /** line and name of what stands in the sheet, by its place in the entry */
  readonly places: Map<string, Place>;
}

export interface Place {
  readonly line: number;
  readonly label: string;
}

/** Where a value stands: in the entry, and in words. */
interface At {
  readonly path: readonly Step[];
  readonly label: string;
}

export function placeKey(path: readonly Step[]): string {
  return JSON.stringify(path);
}

function placed(reading: Reading, node: Node, at: At, fallback: Node): void {
  const line = reading.sheet.lineOf(node ?? fallback);
  reading.places.set(placeKey(at.path), { line, label: at.label });
}

function inField({ path, label }: At, key: Step, name: string): At {
  return { path: [...path, key], label: label === '' ? name : `${label} > ${name}` };
}

function inItem({ path, label }: At, index: number): At {
  return { path: [...path, index], label: `${label}[${index + 1}]` };
}

/** A sentence with file, line and field. */
export function complain(reading: Reading, node: Node, at: At, problem: string): void {
  const { file, lineOf } = reading.sheet;
  reading.complained.add(placeKey(at.path));
  reading.problems.push(`${file}:${lineOf(node)} ${at.label}: ${problem}`);
}

/** All fields of a map, those left out as nothing. */
export async function readFields(
  reading: Reading,
  map: YAMLMap.Parsed,
  fields: readonly Field[],
  at: At,
  others: readonly string[] = [],
): Promise<Record<string, unknown>> {
  const nodes = new Map<string, Node>();
  for (const { key, value } of map.items) {
    const label = keyText(key).toLowerCase();
    nodes.set(label, value);
    if (fields.some((field) => field.label === label) || others.includes(label)) continue;
    const allowed = [...others, ...fields.map((field) => field.label)].join(', ');
    complain(
      reading,
      key,
      inField(at, label, label),
      `is no field of this sheet; allowed: ${allowed}`,
    );
  }
  const result: Record<string, unknown> = {};
  for (const field of fields) {
    const node = nodes.get(field.label);
    const place = inField(at, field.key, field.label);
    placed(reading, node, place, map);
    if (field.is.kind === 'cart file') Object.assign(result, await cartFile(reading, node, place));
    else result[field.key] = await readValue(reading, node, field.is, place);
  }
  return result;
}

async function readValue(reading: Reading, node: Node, is: FieldKind, at: At): Promise<unknown> {
  switch (is.kind) {
    case 'text':
      return scalar(reading, node, at) ?? '';
    case 'value':
      return scalar(reading, node, at);
    case 'number':
      return numberIn(reading, node, is.usual, at);
    case 'flag':
      return flagIn(reading, node, at);
    case 'time':
      return timeIn(reading, node, at);
    case 'record':
      return recordIn(reading, node, is, at);
    case 'used':
      return usedIn(reading, node, at);
    case 'by name':
      return byName(reading, node, at);
    case 'shown':
      return shownIn(reading, node, at);
    case 'slip':
      return slipIn(reading, node, at);
    case 'group':
      return groupIn(reading, node, is, at);
    case 'list':
      return listIn(reading, node, is.of, at);
    case 'file':
      return fileIn(reading, node, at);
    case 'trace':
      return traceIn(reading, node, at);
    case 'cart file':
      throw new Error(`readValue: a cart file at ${at.label} is no single value`);
  }
}

function scalar(reading: Reading, node: Node, at: At): string | null {
  const text = textOf(node);
  if (text !== undefined) return text;
  complain(reading, node, at, 'is a list or has fields of its own; allowed: one value');
  return null;
}

function mapOf(reading: Reading, node: Node, at: At, allowed: string): YAMLMap.Parsed | null {
  if (isMap(node)) return node as YAMLMap.Parsed;
  if (textOf(node) !== null) complain(reading, node, at, `has no fields; allowed: ${allowed}`);
  return null;
}

function numberIn(reading: Reading, node: Node, usual: number, at: At): number {
  const text = scalar(reading, node, at);
  if (text === null) return usual;
  const number = /^[+-]?\d+(?:[.,]\d+)?$/.test(text) ? Number(text.replace(',', '.')) : Number.NaN;
  if (!Number.isFinite(number)) complain(reading, node, at, `${text} is no number; allowed: 2`);
  return number;
}

function timeIn(reading: Reading, node: Node, at: At): string | null {
  const text = scalar(reading, node, at);
  const instant = text === null ? null : instantOf(text);
  if (instant === null) {
    const what = text === null ? 'is missing' : `${text} is no time of the calendar`;
    const allowed = '2026-11-25 14:30 on the clock of this machine, or with its zone +01:00 or Z';
    complain(reading, node, at, `${what}; allowed: ${allowed}`);
  }
  return instant;
}

const FLAGS: ReadonlyMap<string, boolean> = new Map([
  ['yes', true],
  ['true', true],
  ['no', false],
  ['false', false],
]);

function flagIn(reading: Reading, node: Node, at: At): boolean | null {
  const text = scalar(reading, node, at);
  if (text === null) return null;
  const flag = FLAGS.get(text.toLowerCase());
  if (flag === undefined) complain(reading, node, at, `${text} says neither; allowed: yes or no`);
  return flag ?? null;
}

function recordIn(
  reading: Reading,
  node: Node,
  { of, optional }: Extract<FieldKind, { readonly kind: 'record' }>,
  at: At,
): string | null {
  const text = scalar(reading, node, at);
  if (text !== null) return recordCalled(reading, node, text, of, at);
  if (!optional)
    complain(reading, node, at, `is missing; allowed: ${of.join(' or ')} of the project`);
  return null;
}

function recordCalled(
  reading: Reading,
  node: Node,
  text: string,
  of: Extract<FieldKind, { readonly kind: 'record' }>['of'],
  at: At,
): string | null {
  const { file, lineOf } = reading.sheet;
  const found = recordNamed(reading.state, text, of, `${file}:${lineOf(node)} ${at.label}`);
  if (found.kind === 'ok') return found.value.subject;
  reading.complained.add(placeKey(at.path));
  reading.problems.push(...found.problems);
  return null;
}

const INSTRUMENT = { kind: 'record', of: ['instrument'], optional: false } as const;
const USED_FIELDS: readonly Field[] = [
  { key: 'instrument', label: 'instrument', about: '', is: INSTRUMENT },
  { key: 'despite', label: 'despite', about: '', is: { kind: 'value' } },
];

/** A name alone is enough where nothing has expired. */
async function usedIn(reading: Reading, node: Node, at: At): Promise<unknown> {
  const text = textOf(node);
  if (text === undefined) {
    const map = mapOf(reading, node, at, 'the serial or name of an instrument');
    return map && readFields(reading, map, USED_FIELDS, at);
  }
  placed(reading, node, inField(at, 'despite', 'despite'), node);
  return { instrument: recordIn(reading, node, INSTRUMENT, at), despite: null };
}

/** What is left blank was not read off: no value stands for it. */
function filledIn(map: YAMLMap.Parsed | null) {
  return (map?.items ?? []).filter(({ value }) => textOf(value) !== null);
}

function byName(reading: Reading, node: Node, at: At): Record<string, string> {
  const map = mapOf(reading, node, at, 'names, each with a value');
  const pairs = filledIn(map).map(({ key, value }) => {
    const place = inField(at, keyText(key), keyText(key));
    placed(reading, value, place, key);
    return [keyText(key), scalar(reading, value, place) ?? ''] as const;
  });
  return Object.fromEntries(pairs);
}

function shownIn(reading: Reading, node: Node, at: At): unknown {
  const map = mapOf(reading, node, at, 'castors, each with the mass shown');
  return filledIn(map).map(({ key, value }, i) => {
    const castor = keyText(key);
    const place = { path: [...at.path, i], label: `${at.label} > ${castor}` };
    for (const step of ['castor', 'shown']) {
      placed(reading, value, { path: [...place.path, step], label: place.label }, key);
    }
    return { castor, shown: scalar(reading, value, place) ?? '' };
  });
}

const SLIP_ANGLE: readonly Field[] = [
  { key: 'angle', label: 'slip angle', about: '', is: { kind: 'text' } },
];
const PULL: readonly Field[] = [
  { key: 'force', label: 'pull', about: '', is: { kind: 'text' } },
  { key: 'mass', label: 'mass', about: '', is: { kind: 'text' } },
];

async function slipIn(reading: Reading, node: Node, at: At): Promise<unknown> {
  const map = mapOf(reading, node, at, '{slip angle: 31 deg} or {pull: 120 N, mass: 20 kg}');
  if (map === null) return null;
  const isPull = map.items.some(({ key }) => ['pull', 'mass'].includes(keyText(key).toLowerCase()));
  const values = await readFields(reading, map, isPull ? PULL : SLIP_ANGLE, at);
  return { kind: isPull ? 'pull' : 'slip angle', ...values };
}

async function groupIn(
  reading: Reading,
  node: Node,
  { fields, optional }: Extract<FieldKind, { readonly kind: 'group' }>,
  at: At,
): Promise<unknown> {
  const map = mapOf(reading, node, at, fields.map(({ label }) => label).join(', '));
  if (map === null) {
    if (!optional) complain(reading, node, at, 'is empty; allowed: its fields');
    return null;
  }
  // a group whose fields were all left blank was not used
  if (optional && map.items.every(({ value }) => isBlank(value))) return null;
  return readFields(reading, map, fields, at);
}

/** A form that nobody filled in: blank values, and lists and groups of them. */
export function isBlank(node: Node): boolean {
  if (isMap(node)) return (node as YAMLMap.Parsed).items.every(({ value }) => isBlank(value));
  if (isSeq(node)) return (node as YAMLSeq.Parsed).items.every(isBlank);
  return textOf(node) === null;
}

async function listIn(reading: Reading, node: Node, of: FieldKind, at: At): Promise<unknown[]> {
  if (!isSeq(node)) {
    if (textOf(node) !== null)
      complain(reading, node, at, 'is no list; allowed: lines with a dash');
    return [];
  }
  const values: unknown[] = [];
  for (const item of (node as YAMLSeq.Parsed).items) {
    // places for more than were needed
    if (isBlank(item)) continue;
    const place = inItem(at, values.length);
    placed(reading, item, place, node);
    values.push(await readValue(reading, item, of, place));
  }
  return values;
}

/** What was told of a file stands under the field that names it. */
function taken<T>(reading: Reading, node: Node, at: At, outcome: Outcome<T>): T | null {
  if (outcome.kind === 'ok') {
    reading.warnings.push(...outcome.warnings);
    return outcome.value;
  }
  for (const problem of outcome.problems) complain(reading, node, at, problem);
  return null;
}

async function fileIn(reading: Reading, node: Node, at: At): Promise<unknown> {
  const text = scalar(reading, node, at) ?? '';
  const kept = keptAttachment(text, reading.record);
  if (kept !== null) return taken(reading, node, at, kept);
  const file = await fileToKeep(besideFile(reading.sheet.file, text));
  const value = taken(reading, node, at, file);
  if (value === null) return null;
  reading.files.push(value);
  return value.attachment;
}

const TEXT_FIELD = { about: '', is: { kind: 'text' } } as const;
const ONSET: readonly Field[] = [
  { key: 'time', label: 'time', ...TEXT_FIELD },
  { key: 'force', label: 'force', ...TEXT_FIELD },
  { key: 'u', label: 'uncertainty', ...TEXT_FIELD },
  { key: 'reason', label: 'because', ...TEXT_FIELD },
];
const TRACE: readonly Field[] = [
  { key: 'file', label: 'file', ...TEXT_FIELD },
  {
    key: 'overruled',
    label: 'onset',
    about: '',
    is: { kind: 'group', fields: ONSET, optional: true },
  },
];

async function traceIn(reading: Reading, node: Node, at: At): Promise<unknown> {
  const text = textOf(node);
  if (text === null) return null;
  if (text !== undefined) return traceOf(reading, node, text, at);
  const map = mapOf(reading, node, at, 'the file of a force gauge');
  if (map === null) return null;
  const { file, overruled } = await readFields(reading, map, TRACE, at);
  const trace = await traceOf(reading, node, String(file), at);
  return trace && { ...trace, overruled: onsetOf(reading, node, overruled, at) };
}

async function traceOf(reading: Reading, node: Node, text: string, at: At) {
  const kept = keptAttachment(text, reading.record);
  if (kept !== null) {
    const file = taken(reading, node, at, kept);
    const trace = file && keptTrace(file, reading.record);
    if (file !== null && trace === null) complain(reading, node, at, `${text} is no trace`);
    return trace && { ...trace, overruled: null };
  }
  const read = await traceToKeep(besideFile(reading.sheet.file, text));
  const value = taken(reading, node, at, read);
  if (value === null) return null;
  reading.files.push(value.file);
  reading.remarks.push(...value.remarks);
  return value.taken;
}

/** Typed with units in a sheet, in SI in the entry: it stands beside what was computed. */
function onsetOf(reading: Reading, node: Node, onset: unknown, at: At): unknown {
  if (onset === null || onset === undefined) return null;
  const { time, force, u, reason } = onset as Readonly<Record<string, string>>;
  const si = (text: string | undefined, dimension: 'time' | 'force', label: string) => {
    const read = parseQuantity(text ?? '', dimension);
    if (read.kind === 'ok') return read.value;
    const place = inField(at, 'overruled', `onset > ${label}`);
    complain(reading, node, place, `${read.message}; allowed: ${read.allowed}`);
    return null;
  };
  return {
    time: si(time, 'time', 'time'),
    force: si(force, 'force', 'force'),
    u: si(u, 'force', 'uncertainty'),
    reason,
  };
}

/** The three fields of a revision that come from its file. */
async function cartFile(
  reading: Reading,
  node: Node,
  at: At,
): Promise<Readonly<Record<string, unknown>>> {
  const text = scalar(reading, node, at);
  const was = reading.record?.content.kind === 'cart' ? reading.record.content : null;
  if (was !== null && (text === null || text === `kept ${was.file}`)) {
    return { file: was.file, text: was.text, partsLists: was.partsLists };
  }
  if (text === null) {
    complain(reading, node, at, 'is missing; allowed: the path of a cart file');
    return {};
  }
  const path = besideFile(reading.sheet.file, text);
  const cart = taken(reading, node, at, await loadCartFile(path));
  const lists = cart && taken(reading, node, at, await partsListsToKeep(path, cart.text));
  if (cart === null || lists === null) return {};
  reading.files.push(...lists);
  return {
    file: path.split(/[\\/]/).at(-1) ?? path,
    text: cart.text,
    partsLists: lists.map(({ attachment }) => attachment),
  };
}
