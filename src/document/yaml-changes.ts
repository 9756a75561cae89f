/**
 * Entries and items added to, taken out of and replaced in a YAML text.
 *
 * Comments are never removed: those within an entry that goes stay as comment lines where it stood.
 */

import type { ParsedNode, Scalar } from 'yaml';
import { isAlias, isMap, isScalar, isSeq, visit } from 'yaml';
import type { Patch, SourceEntry, SourceList, SourceMap, YamlSource } from './yaml-source.js';
import { entryOf, keyOf, patched, rootOf } from './yaml-source.js';

export function lineStart(text: string, offset: number): number {
  return text.lastIndexOf('\n', offset - 1) + 1;
}

/** Where the line that holds the offset ends, its line end not counted. */
export function lineStop(text: string, offset: number): number {
  const feed = text.indexOf('\n', offset);
  if (feed === -1) return text.length;
  return text[feed - 1] === '\r' ? Math.max(offset, feed - 1) : feed;
}

/** Past the line end that stands at the offset, if one does. */
export function afterLineEnd(text: string, offset: number): number {
  if (text.startsWith('\r\n', offset)) return offset + 2;
  return text[offset] === '\n' ? offset + 1 : offset;
}

/** End of the last character of a node that is no comment and no white space. */
export function contentEnd(text: string, node: ParsedNode): number {
  if (isMap(node) && !node.flow) {
    const last = node.items.at(-1);
    if (last !== undefined) return entryEnd(text, last as SourceEntry);
  }
  if (isSeq(node) && !node.flow) {
    const last = node.items.at(-1) as ParsedNode | undefined;
    if (last !== undefined) return contentEnd(text, last);
  }
  // a block text ends with its line end
  let end = node.range[1];
  while (end > node.range[0] && /[\r\n]/.test(text[end - 1] ?? '')) end -= 1;
  return end;
}

export function entryEnd(text: string, entry: SourceEntry): number {
  const { key, value } = entry;
  return value === null ? key.range[1] : Math.max(key.range[1], contentEnd(text, value));
}

/** Column that the keys of a block map stand in. */
export function keyColumn(text: string, map: SourceMap): number {
  const columns = map.items.map(({ key }) => {
    const before = text.slice(lineStart(text, key.range[0]), key.range[0]);
    return { before, isAlone: before.trim() === '' };
  });
  const own = columns.find(({ isAlone }) => isAlone) ?? columns[0];
  // `- &anchor name: ...`: an anchor does not indent
  return /^[\s-]*/.exec(own?.before ?? '')?.[0].length ?? 0;
}

/** `key: value`, both as written. */
export interface NewEntry {
  readonly key: string;
  readonly value: string;
}

export function entryText({ key, value }: NewEntry): string {
  return `${key}: ${value}`;
}

/** Adds entries after the first of those named that is there (else last). */
export function addEntries(
  source: YamlSource,
  map: SourceMap,
  entries: readonly NewEntry[],
  after: readonly string[] = [],
): void {
  const { text, patches, lineEnd } = source;
  const texts = entries.map(entryText);
  const found = after.map((key) => entryOf(map, key)).find((each) => each !== undefined);
  const before = found ?? map.items.at(-1);
  if (texts.length === 0) return;
  if (before === undefined) {
    fillEmpty(source, map, texts.join(', '));
  } else if (map.flow) {
    const at = entryEnd(text, before);
    patches.push({ from: at, to: at, text: texts.map((each) => `, ${each}`).join('') });
  } else {
    const at = lineStop(text, entryEnd(text, before));
    const lead = `${lineEnd}${' '.repeat(keyColumn(text, map))}`;
    patches.push({ from: at, to: at, text: texts.map((each) => `${lead}${each}`).join('') });
  }
}

/** Between the brackets or braces of an empty list or map, a comment there left behind it. */
export function fillEmpty(source: YamlSource, node: SourceMap | SourceList, content: string): void {
  const [from, to] = [node.range[0] + 1, node.range[1] - 1];
  const isBlank = source.text.slice(from, to).trim() === '';
  source.patches.push({ from, to: isBlank ? to : from, text: content });
}

/** Adds an entry to the block map at the top before another, comments above that one left with it. */
export function addBefore(source: YamlSource, key: string, entry: string): void {
  const { text, patches, lineEnd } = source;
  const next = entryOf(rootOf(source), key);
  if (next === undefined) throw new Error(`addBefore: no ${key}`);
  let at = lineStart(text, next.key.range[0]);
  while (at > 0) {
    const above = lineStart(text, at - 1);
    if (!/^[ \t]*#/.test(text.slice(above, at))) break;
    at = above;
  }
  const isApart = /(?:^|\n)[ \t]*\r?\n$/.test(text.slice(0, at));
  patches.push({ from: at, to: at, text: `${entry}${lineEnd}${isApart ? lineEnd : ''}` });
}

/** Replaces a value by a text; comments within a list or map that goes stay above it. */
export function replaceNode(source: YamlSource, node: ParsedNode, text: string): void {
  const [from] = node.range;
  const to = contentEnd(source.text, node);
  const start = lineStart(source.text, from);
  const indent = /^ */.exec(source.text.slice(start))?.[0] ?? '';
  const comments = isAlias(node) || isScalar(node) ? [] : commentsIn(source, from, to);
  const kept = comments.map((comment) => `${indent}${comment}${source.lineEnd}`).join('');
  if (kept !== '') source.patches.push({ from: start, to: start, text: kept });
  source.patches.push({ from, to, text });
}

/** Takes the entries out that are there. */
export function removeEntries(source: YamlSource, map: SourceMap, keys: readonly string[]): void {
  const spans = map.items.map((item) => ({
    from: item.key.range[0],
    to: entryEnd(source.text, item),
    isGone: keys.includes(keyOf(item)),
  }));
  if (map.flow) {
    removeFromFlow(source, spans);
    return;
  }
  const column = keyColumn(source.text, map);
  for (const [index, { from, to, isGone }] of spans.entries()) {
    if (!isGone) continue;
    const isAlone = source.text.slice(lineStart(source.text, from), from).trim() === '';
    const next = spans[index + 1];
    if (isAlone) removeLines(source, from, to, column);
    else if (next !== undefined) removeFirst(source, from, to, next.from);
  }
}

/** The entry on the line of the dash: the next one takes its place. */
function removeFirst(source: YamlSource, from: number, to: number, next: number): void {
  const { text, patches, lineEnd } = source;
  const start = lineStart(text, from);
  const indent = ' '.repeat(/^ */.exec(text.slice(start))?.[0].length ?? 0);
  const comments = commentsIn(source, from, Math.max(lineStop(text, to), next));
  const kept = comments.map((comment) => `${indent}${comment}${lineEnd}`).join('');
  if (kept !== '') patches.push({ from: start, to: start, text: kept });
  patches.push({ from, to: next, text: '' });
}

/** Whole lines; the comments in them stay. */
function removeLines(source: YamlSource, from: number, to: number, column: number): void {
  const { text, patches, lineEnd } = source;
  const start = lineStart(text, from);
  const stop = lineStop(text, to);
  const indent = ' '.repeat(column);
  const kept = commentsIn(source, start, stop).map((comment) => `${indent}${comment}`);
  const isLast = afterLineEnd(text, stop) === stop;
  if (kept.length > 0) patches.push({ from: start, to: stop, text: kept.join(lineEnd) });
  else if (!isLast) patches.push({ from: start, to: afterLineEnd(text, stop), text: '' });
  else patches.push({ from: lineStop(text, Math.max(0, start - 2)), to: stop, text: '' });
}

interface FlowSpan {
  readonly from: number;
  readonly to: number;
  readonly isGone: boolean;
}

/** Within brackets or braces: what goes, each with one comma. */
function removeFromFlow(source: YamlSource, spans: readonly FlowSpan[]): void {
  const { text, patches } = source;
  const last = spans.findLastIndex(({ isGone }) => !isGone);
  const lastKept = spans[last];
  const end = spans.at(-1);
  const tail = lastKept && end && text.slice(lastKept.to, end.to);
  const isPlainTail = tail !== undefined && !tail.includes('#');
  for (const [index, { from, to, isGone }] of spans.entries()) {
    if (!isGone || (index > last && isPlainTail)) continue;
    patches.push({ ...withComma(text, from, to), text: '' });
  }
  if (isPlainTail && last < spans.length - 1) {
    patches.push({ from: lastKept?.to ?? 0, to: end?.to ?? 0, text: '' });
  }
}

/** A stretch with the comma after it (one left before a closing bracket is allowed), and its whole line
 * where nothing else stands there. */
function withComma(text: string, from: number, to: number) {
  const next = pastBlanks(text, to);
  const end = text[next] === ',' ? next + 1 : to;
  const start = lineStart(text, from);
  const stop = lineStop(text, end);
  const isAlone = text.slice(start, from).trim() === '' && text.slice(end, stop).trim() === '';
  if (isAlone) return { from: start, to: afterLineEnd(text, stop) };
  const spaces = /^[ \t]*/.exec(text.slice(end))?.[0].length ?? 0;
  return { from, to: end === to ? end : end + spaces };
}

/** The offset of what comes after white space and comments. */
function pastBlanks(text: string, offset: number): number {
  const blanks = /(?:[ \t\r\n]|(?<=[ \t\r\n])#[^\n]*)*/y;
  blanks.lastIndex = offset;
  return offset + (blanks.exec(text)?.[0].length ?? 0);
}

/** The comments of a stretch of the text, with their `#`. */
export function commentsIn(source: YamlSource, from: number, to: number): readonly string[] {
  let stretch = source.text.slice(from, to);
  visit(source.document, {
    Scalar(_, node: Scalar) {
      const [start = 0, end = 0] = node.range ?? [];
      if (end <= from || start >= to) return;
      const [low, high] = [Math.max(0, start - from), Math.min(end - from, stretch.length)];
      stretch = stretch.slice(0, low) + 'x'.repeat(high - low) + stretch.slice(high);
    },
  });
  return [...stretch.matchAll(/(?<=^|\s)#[^\r\n]*/g)].map(({ index, 0: found }) =>
    source.text.slice(from + index, from + index + found.length).trimEnd(),
  );
}

/** An item of a list with all that belongs to it: in block style its lines (from the start of the
 * line of its dash, to the end of the last line, comments below it that stand deeper than the dash
 * taken with it), else its text. */
export interface ItemSpan {
  readonly from: number;
  readonly to: number;
  /** column of the dash; null: in brackets */
  readonly dash: number | null;
}

export function itemSpan(source: YamlSource, list: SourceList, index: number): ItemSpan {
  const { text } = source;
  const node = list.items[index];
  if (node === undefined) throw new Error(`itemSpan: no item ${index}`);
  if (list.flow) return { from: node.range[0], to: node.range[1], dash: null };
  const dash = dashOffset(list, index, node);
  const from = lineStart(text, dash);
  let to = lineStop(text, contentEnd(text, node));
  for (;;) {
    const start = afterLineEnd(text, to);
    const comment = /^( *)#/.exec(text.slice(start, lineStop(text, start)));
    if (start === to || comment === null || (comment[1] ?? '').length <= dash - from) break;
    to = lineStop(text, start);
  }
  return { from, to, dash: dash - from };
}

export function dashOffset(list: SourceList, index: number, node: ParsedNode): number {
  const { srcToken } = list;
  const start = srcToken?.type === 'block-seq' ? (srcToken.items[index]?.start ?? []) : [];
  return start.find((token) => token.type === 'seq-item-ind')?.offset ?? node.range[0];
}

/** Takes items out of a list. */
export function removeItems(
  source: YamlSource,
  list: SourceList,
  indices: ReadonlySet<number>,
): void {
  const spans = list.items.map((_, index) => itemSpan(source, list, index));
  const [first] = spans;
  if (first?.dash === null) {
    removeFromFlow(
      source,
      spans.map((span, index) => ({ ...span, isGone: indices.has(index) })),
    );
    return;
  }
  for (const [index, { from, to, dash }] of spans.entries()) {
    if (indices.has(index)) removeLines(source, from + (dash ?? 0), to, dash ?? 0);
  }
}

/** A new item: in brackets or on one line after a dash its text, in block style its entries. */
export interface NewItem {
  readonly inline: string;
  readonly entries: readonly string[];
}

/** Adds an item at the end of a list, in the style of the last one. */
export function addItem(source: YamlSource, list: SourceList, item: NewItem): void {
  const { text, patches, lineEnd } = source;
  const last = list.items.length - 1;
  const node = list.items[last];
  if (node === undefined) {
    fillEmpty(source, list, item.inline);
    return;
  }
  const { to, dash } = itemSpan(source, list, last);
  if (dash === null) {
    patches.push({ from: to, to, text: `, ${item.inline}` });
    return;
  }
  const isBlock = isMap(node) && !node.flow && item.entries.length > 0;
  const inner = isBlock ? keyColumn(text, node as SourceMap) : dash + 2;
  const lead = `${' '.repeat(dash)}-${' '.repeat(inner - dash - 1)}`;
  const body = isBlock ? item.entries.join(`${lineEnd}${' '.repeat(inner)}`) : item.inline;
  const gap = lineEnd.repeat(isSpaced(source, list) ? 2 : 1);
  patches.push({ from: to, to, text: `${gap}${lead}${body}` });
}

/** Puts a whole item, as `itemCopy` gives it, after another. */
export function insertAfterItem(
  source: YamlSource,
  list: SourceList,
  index: number,
  text: string,
): void {
  const { to, dash } = itemSpan(source, list, index);
  const gap = source.lineEnd.repeat(isSpaced(source, list) ? 2 : 1);
  source.patches.push({ from: to, to, text: dash === null ? `, ${text}` : `${gap}${text}` });
}

/** True when the last two items of a block list have a blank line between them. */
export function isSpaced(source: YamlSource, list: SourceList): boolean {
  const last = list.items.length - 1;
  if (last < 1) return false;
  const between = source.text.slice(
    itemSpan(source, list, last - 1).to,
    itemSpan(source, list, last).from,
  );
  return /\n[ \t]*\r?\n/.test(between);
}

/** The text of an item again, patches made, anchors left out (an anchor given twice would change
 * what the aliases after it stand for). */
export function itemCopy(
  source: YamlSource,
  list: SourceList,
  index: number,
  patches: readonly Patch[],
): string {
  const { from, to } = itemSpan(source, list, index);
  const within = [...patches, ...anchorsIn(source, from, to)];
  const moved = within.map((each) => ({ ...each, from: each.from - from, to: each.to - from }));
  return patched(source.text.slice(from, to), moved);
}

function anchorsIn(source: YamlSource, from: number, to: number): readonly Patch[] {
  const found: Patch[] = [];
  visit(source.document, {
    Node(_, node) {
      const start = node.range?.[0] ?? 0;
      if (!('anchor' in node) || node.anchor === undefined || start < from || start > to) return;
      const at = source.text.lastIndexOf(`&${node.anchor}`, start);
      if (at >= from) found.push({ from: at, to: start, text: '' });
    },
  });
  return found;
}
