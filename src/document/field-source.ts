/** Changes of fields as patches of the text that they stand in. */

import type { ParsedNode } from 'yaml';
import { isMap, isScalar, isSeq, visit } from 'yaml';
import { fieldOrder } from './field-guide.js';
import type { FieldInput, ScalarInput } from './field-input.js';
import { fieldsOfInput, isListInput, isMapInput, isScalarInput } from './field-input.js';
import type { FieldPath } from './field-path.js';
import { pathWords } from './field-path.js';
import {
  entryLines,
  entryValue,
  inlineText,
  isInline,
  isNamed,
  itemLines,
  keyText,
  scalarText,
} from './field-text.js';
import type { FieldNode } from './field-tree.js';
import { isEmptyField, isSameField, nodeAt } from './field-tree.js';
import { isAlike, moved, placeFor } from './field-tree-changes.js';
import { trimmedName } from './nearest-name.js';
import { isQuoting as isQuotingAt, quoted } from './source-values.js';
import {
  afterLineEnd,
  commentsIn,
  contentEnd,
  dashOffset,
  entryEnd,
  fillEmpty,
  isSpaced,
  itemSpan,
  keyColumn,
  lineStart,
  lineStop,
  removeEntries,
  removeItems,
} from './yaml-changes.js';
import type { SourceEntry, SourceList, SourceMap, YamlSource } from './yaml-source.js';
import { resolved, rootOf, written } from './yaml-source.js';

/** Where a value stands: under a key, or in a list. */
type Slot =
  | { readonly kind: 'entry'; readonly map: SourceMap; readonly entry: SourceEntry }
  | { readonly kind: 'item'; readonly list: SourceList; readonly index: number };

function nodeIn(slot: Slot): ParsedNode | null {
  return slot.kind === 'entry' ? slot.entry.value : (slot.list.items[slot.index] ?? null);
}

function keySource(entry: SourceEntry): string {
  return isScalar(entry.key) ? (entry.key.source ?? '') : '';
}

function slotIn(holder: ParsedNode | null, step: string | number): Slot | null {
  if (isMap(holder) && typeof step === 'string') {
    const map = holder as SourceMap;
    const entry =
      map.items.find((each) => keySource(each) === step) ??
      map.items.find((each) => trimmedName(keySource(each)) === trimmedName(step));
    return entry === undefined ? null : { kind: 'entry', map, entry };
  }
  if (!isSeq(holder) || typeof step !== 'number' || holder.items[step] === undefined) return null;
  return { kind: 'item', list: holder as SourceList, index: step };
}

/** The slot at a path, or as far as there is one, with what holds it. */
function slotAt(source: YamlSource, path: FieldPath) {
  let holder: ParsedNode | null = rootOf(source);
  let slot: Slot | null = null;
  for (const [depth, step] of path.entries()) {
    const next = slotIn(holder, step);
    if (next === null || depth === path.length - 1)
      return { holder, slot: next ?? slot, depth, found: next !== null };
    slot = next;
    holder = written(source, nodeIn(next));
  }
  throw new Error('slotAt: the whole file is no field');
}

/** The value within the lists and maps that lead to it. */
function wrapped(steps: FieldPath, value: FieldInput): FieldInput {
  return steps.reduceRight<FieldInput>(
    (inner, step) =>
      typeof step === 'number' ? [inner] : { map: Object.fromEntries([[step, inner]]) },
    value,
  );
}

export function writeSet(
  source: YamlSource,
  root: FieldNode,
  path: FieldPath,
  value: FieldInput,
): void {
  const { holder, slot, depth, found } = slotAt(source, path);
  const step = path[depth];
  if (found && slot !== null) {
    replaceValue(source, slot, nodeAt(root, path), value);
    return;
  }
  const inner = wrapped(path.slice(depth + 1), value);
  if (isMap(holder) && typeof step === 'string') {
    addEntry(source, holder as SourceMap, step, inner, path.slice(0, depth));
  } else if (isSeq(holder) && holder.items.length > 0) {
    addItems(source, holder as SourceList, holder.items.length, [inner]);
  } else if (slot !== null && step !== undefined) {
    // nothing stands there, or an empty list
    replaceWhole(source, slot, wrapped([step], inner));
  } else {
    throw new Error(`writeSet: no place for ${pathWords(path)}`);
  }
}

function replaceValue(
  source: YamlSource,
  slot: Slot,
  before: FieldNode | null,
  value: FieldInput,
): void {
  const node = nodeIn(slot);
  if (before !== null && isSameField(before, fieldsOfInput(value))) return;
  if (before !== null && before.kind !== 'scalar' && isAlike(before, value)) {
    replaceWithin(source, written(source, node), before, value);
  } else if (isScalar(node) && before !== null && !isEmptyField(before) && isScalarInput(value)) {
    replaceText(source, slot, node as ParsedNode, value);
  } else {
    replaceWhole(source, slot, value);
  }
}

/** Value by value. */
function replaceWithin(
  source: YamlSource,
  holder: ParsedNode | null,
  before: FieldNode,
  value: FieldInput,
): void {
  const children: readonly (readonly [string | number, FieldInput])[] = isListInput(value)
    ? value.map((each, index) => [index, each] as const)
    : isMapInput(value)
      ? Object.entries(value.map)
      : [];
  for (const [step, child] of children) {
    const slot = slotIn(holder, step);
    if (slot === null) throw new Error(`replaceWithin: nothing at ${step}`);
    replaceValue(source, slot, nodeAt(before, [step]), child);
  }
}

/** A scalar over another, its quotes kept where it stays text. */
function replaceText(source: YamlSource, slot: Slot, node: ParsedNode, value: ScalarInput): void {
  const isQuoting = isQuotingIn(source, slot);
  const isFlow = slot.kind === 'entry' ? slot.map.flow : slot.list.flow;
  const plain = scalarText(value, isQuoting, isFlow ?? false);
  if (plain === '') {
    replaceWhole(source, slot, value);
    return;
  }
  const fields = fieldsOfInput(value);
  const text = fields.kind === 'scalar' && typeof fields.value === 'string' ? fields.value : null;
  const kept = text !== null && isScalar(node) ? inQuotesOf(node.type, text) : null;
  const [from] = node.range;
  source.patches.push({ from, to: contentEnd(source.text, node), text: kept ?? plain });
}

function inQuotesOf(type: string | undefined, text: string): string | null {
  if (type === 'QUOTE_DOUBLE') return quoted(text);
  const isSingle = type === 'QUOTE_SINGLE' && !/[\p{C}\p{Zl}\p{Zp}\ufffd]/u.test(text);
  return isSingle ? `'${text.replaceAll("'", "''")}'` : null;
}

function isQuotingIn(source: YamlSource, slot: Slot): boolean {
  return isQuotingAt({ source, map: slot.kind === 'entry' ? slot.map : rootOf(source) });
}

/** Another kind of value: comments within what goes stay above it. */
function replaceWhole(source: YamlSource, slot: Slot, value: FieldInput): void {
  const { text, patches, lineEnd } = source;
  const node = nodeIn(slot);
  const isQuoting = isQuotingIn(source, slot);
  const from = valueStart(source, slot);
  const to = node === null || isNothing(node) ? from : contentEnd(text, node);
  keepComments(source, node, from, to);
  const { inline, below } = newValue(source, slot, value, isQuoting);
  const isSpaceDue = slot.kind === 'entry' || !slot.list.flow;
  patches.push({ from, to, text: inline !== '' && isSpaceDue ? ` ${inline}` : inline });
  if (below.length === 0) return;
  const at = lineStop(text, to);
  patches.push({ from: at, to: at, text: `${lineEnd}${below.join(lineEnd)}` });
}

/** In brackets only what is in brackets already. */
function newValue(source: YamlSource, slot: Slot, value: FieldInput, isQuoting: boolean) {
  const isFlow = slot.kind === 'entry' ? slot.map.flow : slot.list.flow;
  if (isFlow) return { inline: inlineText(value, isQuoting) || '""', below: [] };
  if (slot.kind === 'item') {
    const { dash } = itemSpan(source, slot.list, slot.index);
    const [first = '', ...rest] = itemLines(value, isQuoting, isNamed(value) || !isInline(value));
    return { inline: first.slice(2), below: rest.map((line) => `${' '.repeat(dash ?? 0)}${line}`) };
  }
  const { inline, below } = entryValue(value, isQuoting, slot.map === rootOf(source));
  const indent = ' '.repeat(keyColumn(source.text, slot.map));
  return { inline, below: below.map((line) => `${indent}${line}`) };
}

function isNothing(node: ParsedNode): boolean {
  return isScalar(node) && node.source === '' && node.value === null;
}

/** Directly after the colon or the dash; in brackets at the item's own start. */
function valueStart(source: YamlSource, slot: Slot): number {
  const { text } = source;
  if (slot.kind === 'entry') {
    const end = slot.entry.key.range[1];
    // in the form `? key` the colon stands on the next line, or nowhere: then what is written is not what
    // was asked for, and is refused when it is read again
    const gap = /^\s*:/.exec(text.slice(end, end + 80))?.[0] ?? '';
    return end + gap.length;
  }
  const node = slot.list.items[slot.index] as ParsedNode;
  return slot.list.flow ? nodeStart(source, node) : dashOffset(slot.list, slot.index, node) + 1;
}

/** Where a node starts, its anchor counted. */
function nodeStart({ text }: YamlSource, node: ParsedNode): number {
  const anchor = 'anchor' in node ? node.anchor : undefined;
  return anchor === undefined ? node.range[0] : text.lastIndexOf(`&${anchor}`, node.range[0]);
}

function keepComments(source: YamlSource, node: ParsedNode | null, from: number, to: number): void {
  if (!isMap(node) && !isSeq(node)) return;
  const start = lineStart(source.text, from);
  const indent = /^ */.exec(source.text.slice(start, from))?.[0] ?? '';
  const kept = commentsIn(source, from, to).map((each) => `${indent}${each}${source.lineEnd}`);
  if (kept.length > 0) source.patches.push({ from: start, to: start, text: kept.join('') });
}

function addEntry(
  source: YamlSource,
  map: SourceMap,
  key: string,
  value: FieldInput,
  path: FieldPath,
): void {
  const isQuoting = isQuotingAt({ source, map });
  const index = placeFor(map.items.map(keySource), key, fieldOrder(path));
  const before = map.items[index - 1];
  const [first] = map.items;
  const inline = `${keyText(key, isQuoting)}: ${inlineText(value, isQuoting)}`.trimEnd();
  if (first === undefined) fillEmpty(source, map, inline);
  else if (map.flow) addInBraces(source, before, first, inline);
  else addLines(source, map, index, entryLines(key, value, isQuoting, map === rootOf(source)));
}

function addInBraces(
  source: YamlSource,
  before: SourceEntry | undefined,
  first: SourceEntry,
  inline: string,
): void {
  const at = before === undefined ? first.key.range[0] : entryEnd(source.text, before);
  const text = before === undefined ? `${inline}, ` : `, ${inline}`;
  source.patches.push({ from: at, to: at, text });
}

function addLines(
  source: YamlSource,
  map: SourceMap,
  index: number,
  lines: readonly string[],
): void {
  const { text, patches, lineEnd } = source;
  const column = keyColumn(text, map);
  const indent = ' '.repeat(column);
  const body = lines.join(`${lineEnd}${indent}`);
  const before = map.items[index - 1];
  if (before === undefined) {
    const at = map.items[0]?.key.range[0] ?? 0;
    patches.push({ from: at, to: at, text: `${body}${lineEnd}${indent}` });
    return;
  }
  const at = pastDeeperComments(source, lineStop(text, entryEnd(text, before)), column);
  const isLong = lines.length > 1 || /\n/.test(text.slice(before.key.range[0], at));
  const isApart = isLong && map === rootOf(source) && isSectioned(source, map);
  patches.push({ from: at, to: at, text: `${lineEnd.repeat(isApart ? 2 : 1)}${indent}${body}` });
}

/** The end of the comment lines below an offset that stand deeper than a column. */
function pastDeeperComments({ text }: YamlSource, offset: number, column: number): number {
  let at = offset;
  for (;;) {
    const start = afterLineEnd(text, at);
    const comment = /^( *)#/.exec(text.slice(start, lineStop(text, start)));
    if (start === at || comment === null || (comment[1] ?? '').length <= column) return at;
    at = lineStop(text, start);
  }
}

/** True when the fields at the top are set apart by blank lines. */
function isSectioned({ text }: YamlSource, map: SourceMap): boolean {
  return map.items.some(({ key }) => isBlankAbove(text, lineStart(text, key.range[0])));
}

function isBlankAbove(text: string, start: number): boolean {
  return start > 0 && text.slice(lineStart(text, start - 1), start).trim() === '';
}

/** Puts items into a list, or makes the list. */
export function writeItems(
  source: YamlSource,
  root: FieldNode,
  path: FieldPath,
  index: number | 'end',
  values: readonly FieldInput[],
): void {
  const { slot, found } = slotAt(source, path);
  const node = found && slot !== null ? written(source, nodeIn(slot)) : null;
  if (isSeq(node) && node.items.length > 0) {
    const list = node as SourceList;
    addItems(source, list, index === 'end' ? list.items.length : index, values);
  } else if (found && slot !== null) {
    replaceWhole(source, slot, values);
  } else {
    writeSet(source, root, path, values);
  }
}

function addItems(
  source: YamlSource,
  list: SourceList,
  index: number,
  values: readonly FieldInput[],
): void {
  const isQuoting = isQuotingAt({ source, map: rootOf(source) });
  if (list.flow) addInBrackets(source, list, index, values, isQuoting);
  else {
    const beside = list.items[index - 1] ?? list.items[0];
    const items = values.map((value) => itemLines(value, isQuoting, isBlockBeside(value, beside)));
    addDashes(source, list, index, items);
  }
}

/** As the item beside it stands. */
function isBlockBeside(value: FieldInput, beside: ParsedNode | undefined): boolean {
  if (isMap(beside) && beside.items.length > 0) return beside.flow !== true || !isInline(value);
  return isNamed(value) || !isInline(value);
}

function addInBrackets(
  source: YamlSource,
  list: SourceList,
  index: number,
  values: readonly FieldInput[],
  isQuoting: boolean,
): void {
  const texts = values.map((value) => inlineText(value, isQuoting) || '""').join(', ');
  const before = list.items[index - 1];
  const first = list.items[0] as ParsedNode;
  const at = before === undefined ? nodeStart(source, first) : before.range[1];
  const text = before === undefined ? `${texts}, ` : `, ${texts}`;
  source.patches.push({ from: at, to: at, text });
}

function addDashes(
  source: YamlSource,
  list: SourceList,
  index: number,
  items: readonly (readonly string[])[],
): void {
  const { patches, lineEnd } = source;
  const isFirst = index === 0;
  const { to, dash } = itemSpan(source, list, isFirst ? 0 : index - 1);
  const indent = ' '.repeat(dash ?? 0);
  const gap = lineEnd.repeat(isSpaced(source, list) ? 2 : 1);
  const bodies = items.map((lines) => lines.join(`${lineEnd}${indent}`));
  const at = isFirst ? dashOffset(list, 0, list.items[0] as ParsedNode) : to;
  const text = bodies.map((body) =>
    isFirst ? `${body}${gap}${indent}` : `${gap}${indent}${body}`,
  );
  patches.push({ from: at, to: at, text: text.join('') });
}

/** Takes out what stands at a path; a list or map that is left with nothing stays, as [] or {}. */
export function writeRemoval(source: YamlSource, path: FieldPath): void {
  const { slot, found } = slotAt(source, path);
  if (!found || slot === null) throw new Error(`writeRemoval: nothing at ${pathWords(path)}`);
  const holder = slot.kind === 'entry' ? slot.map : slot.list;
  if (holder.items.length === 1 && !holder.flow) {
    const { slot: parent } = slotAt(source, path.slice(0, -1));
    if (parent === null) throw new Error(`writeRemoval: nothing holds ${pathWords(path)}`);
    replaceWhole(source, parent, slot.kind === 'entry' ? { map: {} } : []);
  } else if (slot.kind === 'entry') {
    removeEntryLines(source, slot.map, slot.entry);
  } else {
    removeItems(source, slot.list, new Set([slot.index]));
    if (!slot.list.flow) {
      const { from, to } = itemSpan(source, slot.list, slot.index);
      removeBlankLine(source, from, to, placeAmong(slot));
    }
  }
}

function removeEntryLines(source: YamlSource, map: SourceMap, entry: SourceEntry): void {
  const { text } = source;
  removeEntries(source, map, [trimmedName(keySource(entry))]);
  const from = lineStart(text, entry.key.range[0]);
  if (!map.flow && text.slice(from, entry.key.range[0]).trim() === '') {
    removeBlankLine(source, from, entryEnd(text, entry), 'between');
  }
}

type PlaceAmong = 'first' | 'between' | 'last';

function placeAmong({ list, index }: Extract<Slot, { kind: 'item' }>): PlaceAmong {
  if (index === 0) return 'first';
  return index === list.items.length - 1 ? 'last' : 'between';
}

/** Of the blank lines above and below what goes, one goes too: the one above, or the one below a first
 * item that has none above. Comments that stay keep both. */
function removeBlankLine(source: YamlSource, from: number, to: number, place: PlaceAmong): void {
  const { text, patches } = source;
  const stop = lineStop(text, to);
  const below = afterLineEnd(text, stop);
  const end = lineStop(text, below);
  const isBlankBelow = text.slice(below, end).trim() === '';
  if (commentsIn(source, from, stop).length > 0) return;
  if (isBlankAbove(text, from)) {
    const above = lineStart(text, from - 1);
    if (isBlankBelow || place === 'last') patches.push({ from: above, to: from, text: '' });
  } else if (place === 'first' && isBlankBelow && below < text.length) {
    patches.push({ from: below, to: afterLineEnd(text, end), text: '' });
  }
}

/** Takes an item to another place: what stands between the items (commas, blank lines) stays where it
 * is. */
export function writeMove(source: YamlSource, path: FieldPath, to: number): void {
  const { slot, found } = slotAt(source, path);
  if (!found || slot?.kind !== 'item') throw new Error(`writeMove: no item at ${pathWords(path)}`);
  const { list, index } = slot;
  const [low, high] = [Math.min(index, to), Math.max(index, to)];
  const indices = Array.from({ length: high - low + 1 }, (_, each) => low + each);
  const places = indices.map((each) => placeOfItem(source, list, each));
  const order = moved(indices, index - low, to - low);
  for (const [each, place] of places.entries()) {
    const from = places[(order[each] ?? 0) - low];
    if (from === undefined || from === place) continue;
    source.patches.push({ ...place, text: source.text.slice(from.from, from.to) });
  }
  noteAliasesWithin(source, places[0]?.from ?? 0, places.at(-1)?.to ?? 0);
}

/** From its dash (or, but for the first, from the comment lines right above that) to its end. */
function placeOfItem(source: YamlSource, list: SourceList, index: number) {
  const { text } = source;
  const { from, to, dash } = itemSpan(source, list, index);
  if (dash === null) return { from: nodeStart(source, list.items[index] as ParsedNode), to };
  const indent = ' '.repeat(dash);
  let start = from;
  while (index > 0 && text.slice(from, from + dash) === indent) {
    const above = lineStart(text, start - 1);
    if (!text.startsWith(`${indent}#`, above)) break;
    start = above;
  }
  return { from: start + dash, to };
}

/** Of two that change places the one must not stand for the other. */
function noteAliasesWithin(source: YamlSource, from: number, to: number): void {
  const isWithin = (offset: number) => offset >= from && offset < to;
  if (!source.text.slice(from, to).includes('*')) return;
  visit(source.document, {
    Alias(_, alias) {
      const at = alias.range?.[0] ?? -1;
      const target = resolved(source, alias as ParsedNode);
      if (isWithin(at) && target !== null && isWithin(target.range[0])) source.inTheWay.add(at);
    },
  });
}

export function writeKey(source: YamlSource, path: FieldPath, to: string): void {
  const { slot, found } = slotAt(source, path);
  if (!found || slot?.kind !== 'entry') throw new Error(`writeKey: no field ${pathWords(path)}`);
  const { key } = slot.entry;
  const kept = isScalar(key) ? inQuotesOf(key.type, to) : null;
  const [from, end] = key.range;
  source.patches.push({ from, to: end, text: kept ?? keyText(to, false) });
}

/** True when the document has an alias at all. */
export function hasAliases(source: YamlSource): boolean {
  if (!source.text.includes('*')) return false;
  let found = false;
  visit(source.document, {
    Alias() {
      found = true;
      return visit.BREAK;
    },
  });
  return found;
}
