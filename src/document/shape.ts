/**
 * Shapes: each describes one kind of value in a cart file once, and from it come both the reader
 * (which reports what is wrong where) and the JSON Schema that editors complete from.
 */

import type { Dimension } from '../units/index.js';
import { dimensionNoun, parseQuantity, quantityPattern } from '../units/index.js';
import type { ProblemCode } from './cart-problems.js';
import type { IssueLog } from './issue-log.js';
import { shortened } from './issue-log.js';
import type { NumberLimit, QuantityLimit } from './limits.js';
import { isWithin, LONGEST_NAME, LONGEST_TEXT } from './limits.js';
import { nearestName, trimmedName } from './nearest-name.js';
import type { YamlEntry, YamlMap, YamlNode, YamlScalar } from './yaml-tree.js';

/** A JSON value that is part of a JSON Schema. */
export type JsonSchema = { readonly [key: string]: unknown };

/** Of what a value is made, for those who fill it in. */
export type Form =
  | { readonly kind: 'name' }
  /** `wraps`: may have several lines */
  | { readonly kind: 'text'; readonly wraps: boolean }
  | { readonly kind: 'flag' }
  | { readonly kind: 'number' }
  | { readonly kind: 'choice'; readonly words: readonly string[] }
  | {
      readonly kind: 'quantity';
      readonly dimension: Dimension;
      readonly example: string;
      /** a word that may stand instead */
      readonly word: string | null;
      /** a percentage may stand instead */
      readonly orShare: boolean;
    }
  | {
      readonly kind: 'list';
      readonly item: AnyShape;
      readonly least: number;
      readonly most: number;
    }
  | { readonly kind: 'point'; readonly item: AnyShape; readonly letters: readonly string[] }
  | { readonly kind: 'map'; readonly fields: Fields; readonly oneOf: readonly string[] }
  /** under names that the file made up */
  | { readonly kind: 'entries'; readonly values: readonly AnyShape[] }
  | { readonly kind: 'either'; readonly scalar: AnyShape; readonly other: AnyShape };

// biome-ignore lint/suspicious/noExplicitAny: a shape of any value; `unknown` would not be assignable
export type AnyShape = Shape<any>;

export interface Shape<T> {
  readonly schema: JsonSchema;
  /** what is due, as in "a length with its unit, such as 32 mm" */
  readonly due: string;
  /** left out where nobody fills in a form: the version, and what only a study file has */
  readonly form?: Form;
  /** @returns undefined when the value cannot be used; the log then says why */
  read(node: YamlNode, path: string, log: IssueLog): T | undefined;
}

/** A value and where it stood. */
export interface Located<T> {
  readonly value: T;
  /** as written */
  readonly source: string;
  readonly offset: number;
  readonly path: string;
}

export interface Field<T, Required extends boolean> {
  readonly shape: Shape<T>;
  readonly required: Required;
  /** one line for the schema */
  readonly about: string;
  /** code reported when a required field is not there */
  readonly missing: ProblemCode;
}

// biome-ignore lint/suspicious/noExplicitAny: a field of any value; `unknown` would not be assignable
export type Fields = Readonly<Record<string, Field<any, boolean>>>;

type FieldValue<F> =
  F extends Field<infer T, infer Required>
    ? Required extends true
      ? Located<T> | undefined
      : Located<T> | null | undefined
    : never;

/** A map that has been read: per field its value, null when an optional field is not there, and
 * undefined when it was there and unusable, or is missing (both reported). */
export interface Draft<F extends Fields> {
  readonly offset: number;
  readonly path: string;
  readonly fields: { readonly [K in keyof F]: FieldValue<F[K]> };
}

/** A list that has been read; `complete` is false when an item could not be used at all. */
export interface DraftList<T> {
  readonly items: readonly T[];
  readonly complete: boolean;
}

export function required<T>(
  shape: Shape<T>,
  about: string,
  missing: ProblemCode = 'missing-field',
): Field<T, true> {
  return { shape, required: true, about, missing };
}

export function optional<T>(shape: Shape<T>, about: string): Field<T, false> {
  return { shape, required: false, about, missing: 'missing-field' };
}

/** What stands at a node, for an issue. */
export function shown(node: YamlNode): string | null {
  if (node.kind === 'list') return `a list of ${node.items.length}`;
  if (node.kind === 'map') {
    const keys = node.entries.slice(0, 4).map((entry) => entry.key);
    return `a map with ${keys.length === 0 ? 'no fields' : keys.join(', ')}`;
  }
  return node.value === null && node.source === '' ? null : node.source;
}

function wrongKind(node: YamlNode, due: string, path: string, log: IssueLog): undefined {
  const actual = shown(node);
  const code = actual === null ? 'missing-field' : 'wrong-kind';
  log.report({ code, offset: node.offset, path, actual, allowed: due });
  return undefined;
}

/** A value that can only be missing when an error was reported. */
export function sure<T>(value: T | undefined): T {
  if (value === undefined) throw new Error('a value is missing and no error says so');
  return value;
}

/** The same value with its place. */
export function located<T>(shape: Shape<T>): Shape<Located<T>> {
  return {
    ...shape,
    read(node, path, log) {
      const value = shape.read(node, path, log);
      if (value === undefined) return undefined;
      return { value, source: shown(node) ?? '', offset: node.offset, path };
    },
  };
}

/** Free text, such as a description. */
export const freeText: Shape<string> = {
  schema: { type: 'string', maxLength: LONGEST_TEXT },
  due: `text of at most ${LONGEST_TEXT} characters`,
  form: { kind: 'text', wraps: true },
  read(node, path, log) {
    if (node.kind !== 'scalar' || typeof node.value !== 'string') {
      return wrongKind(node, freeText.due, path, log);
    }
    if (node.value.length <= LONGEST_TEXT) return node.value;
    log.report({
      code: 'too-many',
      offset: node.offset,
      path,
      actual: `text of ${node.value.length} characters`,
      allowed: freeText.due,
    });
    return undefined;
  },
};

/** What every JavaScript object answers to: as names they would be mistaken for its own. */
const RESERVED_NAMES: ReadonlySet<string> = new Set([
  ...Object.getOwnPropertyNames(Object.prototype),
  'prototype',
]);

/** A name: one line, trimmed. */
export const nameText: Shape<string> = {
  schema: { type: 'string', minLength: 1, maxLength: LONGEST_NAME },
  due: `a name of 1 to ${LONGEST_NAME} characters on one line (a number as a name in quotes)`,
  form: { kind: 'name' },
  read(node, path, log) {
    if (node.kind !== 'scalar' || typeof node.value !== 'string') {
      return wrongKind(node, nameText.due, path, log);
    }
    const name = trimmedName(node.value);
    const isUsable =
      name !== '' && name.length <= LONGEST_NAME && !/[\p{C}\p{Zl}\p{Zp}]/u.test(name);
    if (isUsable && !RESERVED_NAMES.has(name)) return name;
    const allowed = RESERVED_NAMES.has(name) ? `${nameText.due}, not ${name}` : nameText.due;
    log.report({ code: 'bad-name', offset: node.offset, path, actual: `"${node.value}"`, allowed });
    return undefined;
  },
};

/** The version of a file: judged before its fields are read, so that here it is what it must be. */
export function versionField(version: number): Shape<number> {
  return { schema: { const: version }, due: String(version), read: () => version };
}

/** Text of a given form. */
export function patternText(pattern: RegExp, due: string): Shape<string> {
  return {
    schema: { type: 'string', pattern: pattern.source },
    due,
    form: { kind: 'text', wraps: false },
    read(node, path, log) {
      const isText = node.kind === 'scalar' && typeof node.value === 'string';
      return isText && pattern.test(node.value) ? node.value : wrongKind(node, due, path, log);
    },
  };
}

export const flag: Shape<boolean> = {
  schema: { type: 'boolean' },
  due: 'true or false',
  form: { kind: 'flag' },
  read(node, path, log) {
    const isFlag = node.kind === 'scalar' && typeof node.value === 'boolean';
    return isFlag ? node.value : wrongKind(node, flag.due, path, log);
  },
};

/** One of a few words. */
export function choice<const W extends string>(words: readonly W[]): Shape<W> {
  const due = `one of ${words.join(', ')}`;
  return {
    schema: { enum: words },
    due,
    form: { kind: 'choice', words },
    read(node, path, log) {
      if (node.kind !== 'scalar' || node.value === null) return wrongKind(node, due, path, log);
      const word = words.find((each) => each === node.value);
      if (word !== undefined) return word;
      const { offset, source } = node;
      log.report({ code: 'not-a-choice', offset, path, actual: source, allowed: due });
      return undefined;
    },
  };
}

/** A coefficient or a component: a bare number. */
export function bareNumber(limits: NumberLimit): Shape<number> {
  const due = `a number without a unit, ${limits.words}`;
  const least = limits.moreThanLeast ? 'exclusiveMinimum' : 'minimum';
  return {
    schema: { type: 'number', [least]: limits.least, maximum: limits.most },
    due,
    form: { kind: 'number' },
    read(node, path, log) {
      if (node.kind !== 'scalar' || typeof node.value !== 'number') {
        return wrongKind(node, due, path, log);
      }
      const code = numberProblem(node.value, limits);
      if (code === null) return node.value;
      log.report({ code, offset: node.offset, path, actual: node.source, allowed: due });
      return undefined;
    },
  };
}

/** A bare number that counts something. */
export function wholeNumber(limits: NumberLimit): Shape<number> {
  const any = bareNumber(limits);
  return {
    ...any,
    schema: { ...any.schema, type: 'integer' },
    read(node, path, log) {
      const value = any.read(node, path, log);
      if (value === undefined || Number.isInteger(value)) return value;
      return wrongKind(node, any.due, path, log);
    },
  };
}

function numberProblem(value: number, limits: NumberLimit): ProblemCode | null {
  if (!Number.isFinite(value)) return 'not-finite';
  return isWithin(value, limits) ? null : 'out-of-limits';
}

/** No quantity that people write is longer; longer text is not even looked at. */
const LONGEST_QUANTITY = 60;

/** A number with its unit, brought to SI. */
export function quantity(limits: QuantityLimit): Shape<number> {
  const { dimension, words, example } = limits;
  const due = `${dimensionNoun(dimension)} with its unit, ${words}, such as ${example}`;
  return {
    schema: { type: 'string', pattern: quantityPattern(dimension), examples: [example] },
    due,
    form: { kind: 'quantity', dimension, example, word: null, orShare: false },
    read(node, path, log) {
      if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean') {
        return wrongKind(node, due, path, log);
      }
      const read = quantityOf(node, limits);
      if (typeof read === 'number') return read;
      const allowed = read.remark === null ? due : `${due} (${read.remark})`;
      log.report({ code: read.code, offset: node.offset, path, actual: node.source, allowed });
      return undefined;
    },
  };
}

interface QuantityProblem {
  readonly code: ProblemCode;
  /** what the units layer has to say beyond the code */
  readonly remark: string | null;
}

function quantityOf(node: YamlScalar, limits: QuantityLimit): number | QuantityProblem {
  if (typeof node.value === 'number') {
    return { code: Number.isFinite(node.value) ? 'no-unit' : 'not-finite', remark: null };
  }
  const text = node.source;
  if (text.length > LONGEST_QUANTITY) return { code: 'not-a-quantity', remark: null };
  const parsed = parseQuantity(text, limits.dimension);
  if (parsed.kind === 'error') {
    const { code, message } = parsed;
    if (code === 'not-a-number') return { code: 'not-a-quantity', remark: null };
    return { code, remark: code === 'no-unit' ? null : message };
  }
  const code = numberProblem(parsed.value, limits);
  return code === null ? parsed.value : { code, remark: null };
}

/** A quantity, or a word that says why there is none (read as null). */
export function quantityOr(word: string, limits: QuantityLimit): Shape<number | null> {
  const number = quantity(limits);
  const due = `${number.due}; or the words: ${word}`;
  return {
    schema: { anyOf: [{ const: word }, number.schema] },
    due,
    form: {
      kind: 'quantity',
      dimension: limits.dimension,
      example: limits.example,
      word,
      orShare: false,
    },
    read(node, path, log) {
      if (node.kind !== 'scalar') return wrongKind(node, due, path, log);
      return node.value === word ? null : number.read(node, path, log);
    },
  };
}

/** A number in SI, or a share of the value that it belongs to. */
export interface ValueOrShare {
  readonly value: number;
  readonly relative: boolean;
}

/** A quantity with its unit, or a percentage. */
export function quantityOrShare(limits: QuantityLimit, share: QuantityLimit): Shape<ValueOrShare> {
  const [plain, relative] = [quantity(limits), quantity(share)];
  const due = `${plain.due}; or ${relative.due}`;
  return {
    schema: { anyOf: [plain.schema, relative.schema] },
    due,
    form: {
      kind: 'quantity',
      dimension: limits.dimension,
      example: limits.example,
      word: null,
      orShare: true,
    },
    read(node, path, log) {
      if (node.kind !== 'scalar') return wrongKind(node, due, path, log);
      const isShare = /(?:%|per ?cent)\s*$/.test(node.source);
      const value = (isShare ? relative : plain).read(node, path, log);
      return value === undefined ? undefined : { value, relative: isShare };
    },
  };
}

/** A list; items that cannot be used are left out of the result (and reported). */
export function list<T>(
  item: Shape<T>,
  counts: { readonly least: number; readonly most: number },
): Shape<DraftList<T>> {
  const due = `a list of ${counts.least} to ${counts.most}, each ${item.due}`;
  return {
    schema: { type: 'array', minItems: counts.least, maxItems: counts.most, items: item.schema },
    due,
    form: { kind: 'list', item, least: counts.least, most: counts.most },
    read(node, path, log) {
      if (node.kind !== 'list') return wrongKind(node, due, path, log);
      const count = node.items.length;
      if (count < counts.least || count > counts.most) {
        const code = count < counts.least ? 'too-few' : 'too-many';
        const allowed = `a list of ${counts.least} to ${counts.most}`;
        log.report({ code, offset: node.offset, path, actual: shown(node), allowed });
      }
      const items: T[] = [];
      for (const [index, each] of node.items.slice(0, counts.most).entries()) {
        const value = item.read(each, `${path}[${index + 1}]${itemLabel(each)}`, log);
        if (value !== undefined) items.push(value);
      }
      return { items, complete: items.length === count };
    },
  };
}

/** ` "front left"` for an item that has a name. */
export function itemLabel(node: YamlNode): string {
  if (node.kind !== 'map') return '';
  const name = node.entries.find((entry) => entry.key === 'name')?.node;
  if (name?.kind !== 'scalar' || typeof name.value !== 'string') return '';
  const text = name.value.trim();
  if (text === '' || text.length > LONGEST_NAME || /[\p{C}\p{Zl}\p{Zp}]/u.test(text)) return '';
  return ` "${text}"`;
}

/** A list of exactly as many items as there are letters, such as the coordinates x, y and z. */
function tuple(
  item: Shape<number>,
  letters: readonly string[],
  due: string,
): Shape<readonly number[]> {
  const count = letters.length;
  return {
    schema: { type: 'array', minItems: count, maxItems: count, items: item.schema },
    due,
    form: { kind: 'point', item, letters },
    read(node, path, log) {
      if (node.kind !== 'list') return wrongKind(node, due, path, log);
      if (node.items.length !== count) {
        const code = node.items.length < count ? 'too-few' : 'too-many';
        log.report({ code, offset: node.offset, path, actual: shown(node), allowed: due });
        return undefined;
      }
      const values: number[] = [];
      for (const [index, each] of node.items.entries()) {
        const value = item.read(each, `${path} > ${letters[index]}`, log);
        if (value !== undefined) values.push(value);
      }
      return values.length === count ? values : undefined;
    },
  };
}

/** [x, y, z] */
export function triple(item: Shape<number>, due: string): Shape<readonly [number, number, number]> {
  const shape = tuple(item, ['x', 'y', 'z'], due);
  return {
    ...shape,
    read(node, path, log) {
      const [x, y, z] = shape.read(node, path, log) ?? [];
      return x === undefined || y === undefined || z === undefined ? undefined : [x, y, z];
    },
  };
}

/** [x, y] */
export function pair(item: Shape<number>, due: string): Shape<readonly [number, number]> {
  const shape = tuple(item, ['x', 'y'], due);
  return {
    ...shape,
    read(node, path, log) {
      const [x, y] = shape.read(node, path, log) ?? [];
      return x === undefined || y === undefined ? undefined : [x, y];
    },
  };
}

/** One shape where a single value stands, another where a list or map stands. */
export function scalarOr<A, B>(scalar: Shape<A>, other: Shape<B>): Shape<A | B> {
  return {
    schema: { anyOf: [scalar.schema, other.schema] },
    due: `${scalar.due}; or ${other.due}`,
    form: { kind: 'either', scalar, other },
    read: (node, path, log) =>
      node.kind === 'scalar' ? scalar.read(node, path, log) : other.read(node, path, log),
  };
}

/** Entries under names that the file itself made up. The values are read later, when it is known
 * what the names stand for. */
export interface NamedEntry {
  readonly name: string;
  readonly offset: number;
  readonly node: YamlNode;
  readonly path: string;
}

export function namedEntries(
  value: JsonSchema,
  due: string,
  values: readonly AnyShape[] = [],
): Shape<readonly NamedEntry[]> {
  return {
    schema: { type: 'object', additionalProperties: value },
    due,
    form: { kind: 'entries', values },
    read(node, path, log) {
      if (node.kind !== 'map') return wrongKind(node, due, path, log);
      return node.entries.map((entry) => ({
        name: trimmedName(entry.key),
        offset: entry.keyOffset,
        node: entry.node,
        path: fieldPath(path, entry.key),
      }));
    },
  };
}

export interface ObjectRules<F extends Fields> {
  /** exactly one of these fields must be there; `missing` when none is */
  readonly oneOf?: {
    readonly fields: readonly (keyof F & string)[];
    readonly missing: ProblemCode;
    readonly allowed: string;
  };
}

/** A map of known fields. */
export function object<const F extends Fields>(
  due: string,
  fields: F,
  rules: ObjectRules<F> = {},
): Shape<Draft<F>> {
  return {
    schema: objectSchema(fields, rules),
    due,
    form: { kind: 'map', fields, oneOf: rules.oneOf?.fields ?? [] },
    read(node, path, log) {
      if (node.kind !== 'map') return wrongKind(node, due, path, log);
      reportUnknown(node, fields, path, log);
      const entries = new Map(node.entries.map((entry) => [entry.key, entry]));
      const values = Object.entries(fields).map(([key, field]) => [
        key,
        readField(key, field, entries.get(key), node, path, log),
      ]);
      reportOneOf(node, entries, rules, path, log);
      return {
        offset: node.offset,
        path,
        // the entries were made field by field from F
        fields: Object.fromEntries(values) as Draft<F>['fields'],
      };
    },
  };
}

/** The path of a field: `castors[2] "front left" > trail`. */
export function fieldPath(path: string, key: string): string {
  const step = shortened(key);
  return path === '' ? step : `${path} > ${step}`;
}

function readField(
  key: string,
  field: Field<unknown, boolean>,
  entry: YamlEntry | undefined,
  map: YamlMap,
  path: string,
  log: IssueLog,
): Located<unknown> | null | undefined {
  const at = fieldPath(path, key);
  if (entry === undefined) {
    if (!field.required) return null;
    const allowed = field.shape.due;
    log.report({ code: field.missing, offset: map.offset, path: at, actual: null, allowed });
    return undefined;
  }
  return located(field.shape).read(entry.node, at, log);
}

function reportUnknown(map: YamlMap, fields: Fields, path: string, log: IssueLog): void {
  const known = Object.keys(fields);
  for (const { key, keyOffset } of map.entries) {
    if (Object.hasOwn(fields, key)) continue;
    const nearest = nearestName(key, known);
    const hint = nearest === null ? '' : `; nearest: ${nearest}`;
    log.report({
      code: 'unknown-field',
      offset: keyOffset,
      path: fieldPath(path, key),
      actual: key,
      allowed: `${known.join(', ')}${hint}`,
    });
  }
}

function reportOneOf<F extends Fields>(
  map: YamlMap,
  entries: ReadonlyMap<string, YamlEntry>,
  rules: ObjectRules<F>,
  path: string,
  log: IssueLog,
): void {
  const { oneOf } = rules;
  if (oneOf === undefined) return;
  const given = oneOf.fields.filter((key) => entries.has(key));
  if (given.length === 1) return;
  const [, second] = given;
  const offset = second === undefined ? map.offset : (entries.get(second)?.keyOffset ?? map.offset);
  const code = second === undefined ? oneOf.missing : 'one-of-these';
  const actual = second === undefined ? null : given.join(' and ');
  const at = second === undefined ? fieldPath(path, oneOf.fields[0] ?? '') : path;
  log.report({ code, offset, path: at, actual, allowed: oneOf.allowed });
}

function objectSchema<F extends Fields>(fields: F, rules: ObjectRules<F>): JsonSchema {
  const properties = Object.entries(fields).map(([key, field]) => [
    key,
    { description: field.about, ...field.shape.schema },
  ]);
  const needed = Object.keys(fields).filter((key) => fields[key]?.required);
  const { oneOf } = rules;
  return {
    type: 'object',
    additionalProperties: false,
    properties: Object.fromEntries(properties),
    ...(needed.length === 0 ? {} : { required: needed }),
    ...(oneOf === undefined ? {} : { oneOf: oneOf.fields.map((key) => ({ required: [key] })) }),
  };
}
