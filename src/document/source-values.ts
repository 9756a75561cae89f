/** Values as they are written into a cart file: quantities in the unit that stands there already,
 * numbers as short as they are, names that stay text. */

import type { ParsedNode } from 'yaml';
import { isAlias, isScalar, isSeq, parse, visit } from 'yaml';
import type { Dimension, Unit } from '../units/index.js';
import { parseQuantity } from '../units/index.js';
import { trimmedName } from './nearest-name.js';
import { isSame, sheetUnit, shortNumber } from './short-number.js';
import { addBefore, addEntries, addItem, entryText, removeItems } from './yaml-changes.js';
import type { SourceList, SourceMap, YamlSource } from './yaml-source.js';
import { entryOf, listIn, rootOf } from './yaml-source.js';
import { YAML_OPTIONS } from './yaml-tree.js';

/** m, rad: a coordinate below this is what arithmetic left of a zero (0.3 - 0.1 - 0.2). */
const ZERO_WITHIN = 1e-12;

/** A unit as people of this file write it. */
interface UnitStyle {
  readonly unit: Unit;
  /** as typed */
  readonly symbol: string;
  /** between number and unit */
  readonly gap: string;
}

function quantityText(value: number, style: UnitStyle): string {
  const { dimension } = style.unit;
  const isPlace = dimension === 'length' || dimension === 'angle';
  const number = isPlace && Math.abs(value) < ZERO_WITHIN ? '0' : shortNumber(value, style.unit);
  return `${number}${style.gap}${style.symbol}`;
}

function styleOf(text: string, dimension: Dimension): UnitStyle | null {
  const parsed = parseQuantity(text, dimension);
  if (parsed.kind === 'error') return null;
  const { unit: symbol, factor: unit } = parsed;
  const isTight = text.trim().endsWith(symbol) && !/\s$/.test(text.trim().slice(0, -symbol.length));
  return { unit, symbol, gap: isTight ? '' : ' ' };
}

interface Neighbour {
  readonly key: string;
  readonly offset: number;
  readonly text: string;
}

const NEIGHBOURS = new WeakMap<YamlSource, readonly Neighbour[]>();

/** Every text of the file that stands for a value, with the field it stands in. */
function neighboursOf(source: YamlSource): readonly Neighbour[] {
  const known = NEIGHBOURS.get(source);
  if (known !== undefined) return known;
  const found: Neighbour[] = [];
  visit(source.document, {
    Scalar(at, node, path) {
      if (at === 'key' || typeof node.value !== 'string') return;
      const pair = path.findLast((each) => 'key' in each);
      const key = pair !== undefined && isScalar(pair.key) ? (pair.key.source ?? '') : '';
      found.push({ key, offset: node.range?.[0] ?? 0, text: node.source ?? '' });
    },
  });
  NEIGHBOURS.set(source, found);
  return found;
}

/** The unit of the nearest value of the same field, else of the nearest of the dimension. */
function neighbouringStyle(
  source: YamlSource,
  dimension: Dimension,
  key: string,
  offset: number,
): UnitStyle {
  const all = neighboursOf(source);
  return (
    nearestStyle(
      all.filter((each) => each.key === key),
      dimension,
      offset,
    ) ??
    nearestStyle(all, dimension, offset) ??
    styleOfSheet(dimension)
  );
}

function nearestStyle(
  candidates: readonly Neighbour[],
  dimension: Dimension,
  offset: number,
): UnitStyle | null {
  let best: UnitStyle | null = null;
  let bestDistance = Number.POSITIVE_INFINITY;
  for (const each of candidates) {
    const distance = Math.abs(each.offset - offset);
    if (distance >= bestDistance) continue;
    const style = styleOf(each.text, dimension);
    if (style === null) continue;
    best = style;
    bestDistance = distance;
  }
  return best;
}

function styleOfSheet(dimension: Dimension): UnitStyle {
  const unit = sheetUnit(dimension);
  return { unit, symbol: unit.symbol, gap: ' ' };
}

/** Where a new value goes, which says in what style it is written. */
export interface Writing {
  readonly source: YamlSource;
  /** the map it goes into (or beside) */
  readonly map: SourceMap;
}

/** In a file of quoted keys (JSON is YAML too) what is new is quoted as well. */
export function isQuoting({ map, source }: Writing): boolean {
  const key = (map.items[0] ?? rootOf(source).items[0])?.key;
  return isScalar(key) && key.type === 'QUOTE_DOUBLE';
}

/** A quantity for a field that is not there yet. */
export function newQuantity(
  value: number,
  dimension: Dimension,
  key: string,
  writing: Writing,
): string {
  const offset = writing.map.range[1];
  const style = neighbouringStyle(writing.source, dimension, key, offset);
  return newText(quantityText(value, style), writing);
}

export function newList(
  values: readonly number[],
  dimension: Dimension,
  key: string,
  writing: Writing,
): string {
  return `[${values.map((each) => newQuantity(each, dimension, key, writing)).join(', ')}]`;
}

/** A text for a place where nothing stands yet. */
export function newText(text: string, writing: Writing): string {
  return isQuoting(writing) ? JSON.stringify(text) : plainOrQuoted(text);
}

/** The name of a field. */
export function newKey(key: string, writing: Writing): string {
  return isQuoting(writing) ? JSON.stringify(key) : key;
}

/** Words that other readers of YAML take for a truth value, a number or a date. */
const MISTAKABLE = /^(?:y|n|yes|no|on|off|true|false|null|~|[-+.]?\d[\d_.,:eE+-]*)$/i;
const PLAIN = /^[\p{L}\p{N}_.+-][\p{L}\p{M}\p{N} _.+()/'"°·-]*$/u;

export function plainOrQuoted(text: string): string {
  const isPlain = PLAIN.test(text) && !MISTAKABLE.test(text) && staysText(text);
  return isPlain ? text : quoted(text);
}

/** In double quotes, with what a text file does not hold (and the line ends of other systems) written
 * out. */
export function quoted(text: string): string {
  return JSON.stringify(text).replace(
    /[\u007f-\u009f\u2028\u2029\ufeff\ufffd-\uffff]/g,
    (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );
}

/** Read back, in brackets too, it is the same text. */
function staysText(text: string): boolean {
  try {
    const read: unknown = parse(`- ${text}\n- [${text}, ${text}]\n- {${text}: 0}\n`, YAML_OPTIONS);
    return JSON.stringify(read) === JSON.stringify([text, [text, text], { [text]: 0 }]);
  } catch {
    return false;
  }
}

/** Replaces a scalar (or an alias of one), its quotes kept. */
export function replaceScalar(source: YamlSource, node: ParsedNode, text: string): void {
  const [from, to] = node.range;
  source.patches.push({ from, to, text: restyled(source, node, text) });
}

function restyled(source: YamlSource, node: ParsedNode, text: string): string {
  if (!isScalar(node)) return plainOrQuoted(text);
  switch (node.type) {
    case 'QUOTE_DOUBLE':
      return JSON.stringify(text);
    case 'QUOTE_SINGLE':
      return `'${text.replaceAll("'", "''")}'`;
    case 'BLOCK_FOLDED':
    case 'BLOCK_LITERAL':
      // the line end of a block text belongs to it
      return plainOrQuoted(text) + source.lineEnd;
    default:
      return typeof node.value === 'string' ? plainOrQuoted(text) : text;
  }
}

/** True of a scalar, and of an alias of one. */
export function isScalarNode(source: YamlSource, node: ParsedNode): boolean {
  return isScalar(isAlias(node) ? node.resolve(source.document) : node);
}

/** What a scalar says, through an alias too. */
function scalarText(source: YamlSource, node: ParsedNode): string {
  const target = isAlias(node) ? node.resolve(source.document) : node;
  return isScalar(target) ? (target.source ?? '') : '';
}

/** A name as the reader takes it; '' where nothing stands. */
export function textAt(source: YamlSource, node: ParsedNode | null | undefined): string {
  const target = isAlias(node) ? node.resolve(source.document) : node;
  return isScalar(target) && typeof target.value === 'string' ? trimmedName(target.value) : '';
}

/** What a quantity of the text stands for, in SI. */
export function quantityAt(source: YamlSource, node: ParsedNode, dimension: Dimension): number {
  const parsed = parseQuantity(scalarText(source, node), dimension);
  return parsed.kind === 'ok' ? parsed.value : Number.NaN;
}

/** Replaces a quantity by another in its own unit. */
export function replaceQuantity(
  source: YamlSource,
  node: ParsedNode,
  value: number,
  dimension: Dimension,
  key: string,
): void {
  const style =
    styleOf(scalarText(source, node), dimension) ??
    neighbouringStyle(source, dimension, key, node.range[0]);
  replaceScalar(source, node, quantityText(value, style));
}

/** Writes a text under a key: in place, or new. */
export function setText(
  writing: Writing,
  key: string,
  text: string,
  after: readonly string[] = [],
): void {
  const { source, map } = writing;
  const value = entryOf(map, key)?.value ?? null;
  if (value !== null) replaceScalar(source, value, text);
  else {
    const entry = { key: newKey(key, writing), value: newText(text, writing) };
    addEntries(source, map, [entry], after);
  }
}

/** Writes a quantity under a key: in place, or new. */
export function setQuantity(
  writing: Writing,
  key: string,
  value: number,
  dimension: Dimension,
  after: readonly string[] = [],
): void {
  const { source, map } = writing;
  const node = entryOf(map, key)?.value ?? null;
  if (node !== null) replaceQuantity(source, node, value, dimension, key);
  else {
    const text = newQuantity(value, dimension, key, writing);
    addEntries(source, map, [{ key: newKey(key, writing), value: text }], after);
  }
}

/** Writes a bare number over another. */
export function setNumber(writing: Writing, key: string, value: number): void {
  const node = entryOf(writing.map, key)?.value ?? null;
  if (node === null) throw new Error(`setNumber: no ${key}`);
  const [from, to] = node.range;
  writing.source.patches.push({ from, to, text: shortNumber(value, null) });
}

/** Writes a list of quantities under a key: only the items that differ, or new. */
export function setList(
  writing: Writing,
  key: string,
  values: readonly number[],
  before: readonly number[] | null,
  dimension: Dimension,
  after: readonly string[] = [],
): void {
  const { source, map } = writing;
  const node = entryOf(map, key)?.value ?? null;
  if (node === null) {
    const text = newList(values, dimension, key, writing);
    addEntries(source, map, [{ key: newKey(key, writing), value: text }], after);
  } else if (isAlias(node)) {
    const [from, to] = node.range;
    source.patches.push({ from, to, text: newList(values, dimension, key, writing) });
  } else if (isSeq(node)) {
    setItems(writing, node as SourceList, key, values, before ?? [], dimension);
  }
}

function setItems(
  writing: Writing,
  list: SourceList,
  key: string,
  values: readonly number[],
  before: readonly number[],
  dimension: Dimension,
): void {
  const { source } = writing;
  const surplus = list.items.map((_, index) => index).filter((index) => index >= values.length);
  if (surplus.length > 0) removeItems(source, list, new Set(surplus));
  for (const [index, item] of list.items.entries()) {
    const value = values[index];
    if (value !== undefined && !isSame(value, before[index] ?? Number.NaN)) {
      replaceQuantity(source, item, value, dimension, key);
    }
  }
  for (const value of values.slice(list.items.length)) {
    addItem(source, list, { inline: newQuantity(value, dimension, key, writing), entries: [] });
  }
}

/** Writes the field that a part's row was named in as another field. */
export function renameEntry(writing: Writing, from: string, to: string): void {
  const { source, map } = writing;
  const entry = entryOf(map, from);
  if (entry === undefined) throw new Error(`renameEntry: no ${from}`);
  replaceScalar(source, entry.key, to);
}

/** Adds to a list of words at the top of the file, which may not be there yet.
 *
 * @param next the field that a new list goes before */
export function addWords(
  source: YamlSource,
  key: string,
  next: string,
  words: readonly string[],
): void {
  if (words.length === 0) return;
  const root = rootOf(source);
  const writing = { source, map: root };
  const texts = words.map((word) => newText(word, writing));
  const entry = { key: newKey(key, writing), value: `[${texts.join(', ')}]` };
  const list = listIn(source, root, key);
  if (list === undefined) {
    if (root.flow) addEntries(source, root, [entry]);
    else addBefore(source, next, entryText(entry));
  } else if (list.items.length === 0) {
    addItem(source, list, { inline: texts.join(', '), entries: [] });
  } else {
    for (const inline of texts) addItem(source, list, { inline, entries: [] });
  }
}
