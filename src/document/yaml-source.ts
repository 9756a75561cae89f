/**
 * A YAML text that is changed in place: nodes are found with the library's parser, and each change is
 * a patch of the characters at a node's range (`yaml-changes.ts` makes them).
 *
 * Why not the library's own writer: writing a document again folds long flow lists, pads brackets
 * (`[ 1, 2 ]`), moves comments to one space after the value, drops a byte order mark and writes one
 * kind of line end. A reader of the difference would then have to look for the one change among
 * many. With patches every character outside them is the user's by construction.
 */

import type { Document, Pair, ParsedNode, YAMLMap, YAMLSeq } from 'yaml';
import { isAlias, isMap, isScalar, isSeq, parseDocument, visit } from 'yaml';
import { trimmedName } from './nearest-name.js';
import { YAML_OPTIONS } from './yaml-tree.js';

export type SourceMap = YAMLMap.Parsed<ParsedNode, ParsedNode | null>;
export type SourceList = YAMLSeq.Parsed<ParsedNode>;
export type SourceEntry = Pair<ParsedNode, ParsedNode | null>;

export interface Patch {
  readonly from: number;
  readonly to: number;
  readonly text: string;
}

export interface YamlSource {
  readonly text: string;
  readonly document: Document.Parsed;
  /** line end of the lines that are added */
  readonly lineEnd: string;
  /** changes asked for so far; they do not overlap */
  readonly patches: Patch[];
  /** offsets of aliases that stand in the way: what they stand for has to be written out first */
  readonly inTheWay: Set<number>;
}

/** @param text a text that `readCart` takes, without byte order mark */
export function yamlSource(text: string): YamlSource {
  const document = parseDocument(text, { ...YAML_OPTIONS, keepSourceTokens: true });
  const lineEnd = /\r?\n/.exec(text)?.[0] ?? '\n';
  return { text, document, lineEnd, patches: [], inTheWay: new Set() };
}

/** The text with the patches made. Deletions may overlap each other. */
export function patched(text: string, patches: readonly Patch[]): string {
  // the sort is stable: what is added at one place stands in the order in which it was asked for
  const inOrder = [...patches].sort((a, b) => a.from - b.from || a.to - b.to);
  let at = 0;
  let result = '';
  for (const patch of inOrder) {
    // the same line end may go with the line before it and with the line after it
    const isDeletion = patch.text === '';
    if (patch.from < at && !isDeletion) throw new Error(`patched: overlap at ${patch.from}`);
    result += text.slice(at, Math.max(at, patch.from)) + patch.text;
    at = Math.max(at, patch.to);
  }
  return result + text.slice(at);
}

/** What a node stands for; an alias is noted, since changing what it stands for changes others. */
export function written(source: YamlSource, node: ParsedNode | null): ParsedNode | null {
  if (!isAlias(node)) return node;
  source.inTheWay.add(node.range[0]);
  return resolved(source, node);
}

/** The same for a look only. */
export function resolved(source: YamlSource, node: ParsedNode | null): ParsedNode | null {
  if (!isAlias(node)) return node;
  return (node.resolve(source.document) as ParsedNode | undefined) ?? null;
}

export function rootOf(source: YamlSource): SourceMap {
  const { contents } = source.document;
  if (!isMap(contents)) throw new Error('rootOf: the text is no map');
  return contents as SourceMap;
}

export function entryOf(map: SourceMap, key: string): SourceEntry | undefined {
  return map.items.find((item) => keyOf(item) === key);
}

/** A key as the reader sees it. */
export function keyOf(entry: SourceEntry): string {
  return isScalar(entry.key) ? trimmedName(entry.key.source ?? '') : '';
}

/** The map under a key. @throws Error when there is none */
export function mapIn(source: YamlSource, map: SourceMap, key: string): SourceMap {
  const node = written(source, entryOf(map, key)?.value ?? null);
  if (!isMap(node)) throw new Error(`mapIn: no map under ${key}`);
  return node as SourceMap;
}

/** The map under a key for a look only; null when there is none. */
export function mapSeen(source: YamlSource, map: SourceMap, key: string): SourceMap | null {
  const node = resolved(source, entryOf(map, key)?.value ?? null);
  return isMap(node) ? (node as SourceMap) : null;
}

/** The list under a key; undefined when the key is not there. */
export function listIn(source: YamlSource, map: SourceMap, key: string): SourceList | undefined {
  const node = written(source, entryOf(map, key)?.value ?? null);
  return isSeq(node) ? (node as SourceList) : undefined;
}

/** The item of a list of maps. @throws Error when there is none */
export function itemIn(source: YamlSource, list: SourceList | undefined, index: number): SourceMap {
  const node = written(source, list?.items[index] ?? null);
  if (!isMap(node)) throw new Error(`itemIn: no map at ${index}`);
  return node as SourceMap;
}

/** Notes the aliases that would change with what the patches change. */
export function noteSharing(source: YamlSource): void {
  const { document, patches, inTheWay } = source;
  visit(document, {
    Alias(_, alias) {
      const target = alias.resolve(document);
      const [start = 0, end = 0] = target?.range ?? [];
      const at = alias.range?.[0] ?? 0;
      const isTouched = patches.some(({ from, to }) => from <= end && to >= start);
      const isReplaced = patches.some(({ from, to }) => from <= at && to > at);
      if (isTouched && !isReplaced) inTheWay.add(at);
    },
  });
}

/** The text with the aliases at the offsets written out. */
export function aliasesWrittenOut(source: YamlSource, offsets: ReadonlySet<number>): string {
  const patches: Patch[] = [];
  visit(source.document, {
    Alias(_, alias) {
      const [from = 0, to = 0] = alias.range ?? [];
      const target = alias.resolve(source.document) as ParsedNode | undefined;
      if (target !== undefined && offsets.has(from)) {
        patches.push({ from, to, text: inlineText(source, target) });
      }
    },
  });
  return patched(source.text, patches);
}

/** A node on one line, in flow style, with quotes around what has to be text. */
function inlineText(source: YamlSource, node: ParsedNode | null): string {
  if (isMap(node)) {
    const entries = (node as SourceMap).items.map(
      ({ key, value }) => `${inlineText(source, key)}: ${inlineText(source, value)}`,
    );
    return `{${entries.join(', ')}}`;
  }
  if (isSeq(node)) {
    return `[${(node as SourceList).items.map((item) => inlineText(source, item)).join(', ')}]`;
  }
  if (isAlias(node)) return `*${node.source} `;
  if (!isScalar(node)) return '';
  if (typeof node.value !== 'string') return node.source ?? '';
  const isSimple = /^[\p{L}\d.-](?:[^,[\]{}#:&*!|>'"%@`\r\n]*[^,[\]{}#:&*!|>'"%@`\s])?$/u;
  return node.type === 'PLAIN' && isSimple.test(node.value)
    ? node.value
    : JSON.stringify(node.value);
}
