/**
 * YAML text to a small tree in which every node knows its offset. Only the part of YAML that a cart
 * file needs: one document, plain data, a few aliases. Tags, directives, merge keys, duplicate keys
 * and anything made to exhaust the reader are refused, each with its place.
 */

import type { Document, ErrorCode, ParsedNode } from 'yaml';
import { Composer, CST, isAlias, isMap, isScalar, isSeq, Lexer, Parser } from 'yaml';
import type { IssueLog, Problem } from './issue-log.js';

export type YamlNode = YamlMap | YamlList | YamlScalar;

export interface YamlEntry {
  readonly key: string;
  readonly keyOffset: number;
  readonly node: YamlNode;
}

export interface YamlMap {
  readonly kind: 'map';
  readonly offset: number;
  /** keys are unique */
  readonly entries: readonly YamlEntry[];
}

export interface YamlList {
  readonly kind: 'list';
  readonly offset: number;
  readonly items: readonly YamlNode[];
}

export interface YamlScalar {
  readonly kind: 'scalar';
  readonly offset: number;
  readonly value: string | number | boolean | null;
  /** as written, quotes taken off */
  readonly source: string;
}

/** What a YAML text may be at most: a cart of 5000 parts has about 1 MB, 300 000 words and marks and
 * 60 000 nodes. */
export const YAML_LIMITS = {
  /** characters of the text */
  characters: 2_000_000,
  /** lexical pieces (words, marks, runs of white space) */
  lexemes: 600_000,
  /** collections inside collections; the cart file needs 6 */
  depth: 16,
  /** uses of an anchor */
  aliases: 50,
  /** nodes with every alias written out */
  nodes: 150_000,
} as const;

/** How the library takes a cart file, wherever one is parsed. */
export const YAML_OPTIONS = {
  version: '1.2',
  schema: 'core',
  merge: false,
  // checked with a set in locatedTree: the library compares every pair of keys
  uniqueKeys: false,
  resolveKnownTags: false,
  prettyErrors: false,
  logLevel: 'silent',
} as const;

/**
 * @param text the whole file; a byte order mark at its start is passed over
 * @param due what an empty file should have held
 * @returns the root node, or null when the text cannot be taken as one YAML document (the log then
 *   holds at least one error); the log may hold errors (a duplicate key) beside a tree
 */
export function readYamlTree(
  text: string,
  log: IssueLog,
  due = 'a cart file, which starts with "standstill: 1"',
): YamlNode | null {
  const before = log.errorCount();
  const document = parsedDocument(text, log);
  if (document === null || log.errorCount() > before) return null;
  if (document.contents === null || isEmptyScalar(document.contents)) {
    reportWhole(log, 'empty-file', due);
    return null;
  }
  return locatedTree(document.contents, log);
}

function isEmptyScalar(node: ParsedNode): boolean {
  return isScalar(node) && node.value === null && node.source === '';
}

function reportWhole(
  log: IssueLog,
  code: 'empty-file' | 'file-too-large',
  allowed: string,
  actual: string | null = null,
): void {
  log.report({ code, offset: null, path: 'the file', actual, allowed });
}

function parsedDocument(text: string, log: IssueLog): Document.Parsed | null {
  if (text.length > YAML_LIMITS.characters) {
    const allowed = `at most ${YAML_LIMITS.characters} characters`;
    reportWhole(log, 'file-too-large', allowed, `${text.length} characters`);
    return null;
  }
  const tokens = syntaxTokens(text, log);
  if (tokens === null) return null;
  const composer = new Composer(YAML_OPTIONS);
  const documents = [...composer.compose(tokens, true, text.length)];
  const [first, second] = documents;
  if (second !== undefined) reportSecond(second, text, log);
  for (const document of documents) reportSyntax(document, text, log);
  return first === undefined ? null : (first as Document.Parsed);
}

function reportSecond(second: Document.Parsed, text: string, log: IssueLog): void {
  const offset = second.range[0];
  log.report({
    code: 'several-documents',
    offset: Math.min(offset, Math.max(0, text.length - 1)),
    path: 'the file',
    actual: '---',
    allowed: 'one cart in a file',
  });
}

/**
 * The concrete syntax, with what a cart file never holds refused on the way. The parser keeps its
 * own stack, so that depth is bounded here before the recursive composer sees it.
 */
function syntaxTokens(text: string, log: IssueLog): CST.Token[] | null {
  const parser = new Parser();
  const tokens: CST.Token[] = [];
  let lexemes = 0;
  let aliases = 0;
  let isScalarNext = false;
  for (const lexeme of new Lexer().lex(text)) {
    const { offset } = parser;
    const type = isScalarNext ? null : CST.tokenType(lexeme);
    isScalarNext = lexeme === CST.SCALAR;
    tokens.push(...parser.next(lexeme));
    lexemes += 1;
    if (type === 'alias') aliases += 1;
    else reportNeverUsed(type, lexeme, offset, log);
    // one entry of the stack is the document, one may be a scalar
    const depth = parser.stack.length - 2;
    const excess = excessOf(lexemes, depth, aliases);
    if (excess !== null) {
      log.report({ ...excess, offset, path: 'the file' });
      return null;
    }
  }
  tokens.push(...parser.end());
  return tokens;
}

function excessOf(
  lexemes: number,
  depth: number,
  aliases: number,
): Pick<Problem, 'code' | 'actual' | 'allowed'> | null {
  if (lexemes > YAML_LIMITS.lexemes) {
    return {
      code: 'file-too-large',
      actual: 'the text',
      allowed: `at most ${YAML_LIMITS.lexemes} words and marks in a file`,
    };
  }
  if (depth > YAML_LIMITS.depth) {
    return {
      code: 'too-deep',
      actual: 'a list or map',
      allowed: `at most ${YAML_LIMITS.depth} lists and maps inside each other`,
    };
  }
  if (aliases > YAML_LIMITS.aliases) {
    return {
      code: 'too-many-aliases',
      actual: 'this',
      allowed: `at most ${YAML_LIMITS.aliases} aliases in a file`,
    };
  }
  return null;
}

function reportNeverUsed(
  type: CST.TokenType | null,
  lexeme: string,
  offset: number,
  log: IssueLog,
): void {
  if (type !== 'tag' && type !== 'directive-line') return;
  const code = type === 'tag' ? 'yaml-tag' : 'yaml-directive';
  const allowed = 'plain text, numbers, lists and maps';
  log.report({ code, offset, path: 'the file', actual: lexeme.trim(), allowed });
}

function reportSyntax(document: Document.Parsed, text: string, log: IssueLog): void {
  for (const error of document.errors) {
    // tags are reported as such, with their own words
    if (error.code === 'TAG_RESOLVE_FAILED') continue;
    const offset = Math.min(error.pos[0], Math.max(0, text.length - 1));
    log.report({
      code: error.code === 'TAB_AS_INDENT' ? 'tab-indent' : 'yaml-syntax',
      offset,
      path: 'the file',
      actual: lineAt(text, offset),
      allowed: SYNTAX_WORDS[error.code],
    });
  }
}

/** The rest of the line from the offset on, or its whole when nothing is left. */
function lineAt(text: string, offset: number): string {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const end = text.indexOf('\n', offset);
  const line = text.slice(Math.max(start, offset - 80), end === -1 ? undefined : end);
  return line.trim() === '' ? 'the end of the text before it' : line.trim();
}

/** What is allowed where the YAML reader stumbled. */
const SYNTAX_WORDS: Readonly<Record<ErrorCode, string>> = {
  ALIAS_PROPS: 'an alias (*name) alone',
  BAD_ALIAS: 'a name after & or *',
  BAD_DIRECTIVE: 'no line that starts with %',
  BAD_DQ_ESCAPE: 'in double quotes only the escapes of YAML, such as \\" and \\\\',
  BAD_INDENT: 'entries of one list or map indented by the same number of spaces',
  BAD_PROP_ORDER: 'an anchor (&name) directly before its value',
  BAD_SCALAR_START: 'text that starts with one of @ ` % & * ! | > in quotes',
  BLOCK_AS_IMPLICIT_KEY: 'one "key: value" on a line; quotes around text that holds ": "',
  BLOCK_IN_FLOW: 'only { } and [ ] inside { } and [ ]',
  DUPLICATE_KEY: 'each field once',
  IMPOSSIBLE: 'well-formed YAML',
  KEY_OVER_1024_CHARS: 'a key of at most 1024 characters',
  MISSING_CHAR:
    'the mark that closes what was opened: a quote, a bracket, a brace, a comma or ": "',
  MULTILINE_IMPLICIT_KEY: 'a key on one line, followed by ": "',
  MULTIPLE_ANCHORS: 'one anchor for a value',
  MULTIPLE_DOCS: 'one cart in a file',
  MULTIPLE_TAGS: 'no tags',
  NON_STRING_KEY: 'a name as the key',
  RESOURCE_EXHAUSTION: 'less nesting',
  TAB_AS_INDENT: 'spaces for indentation',
  TAG_RESOLVE_FAILED: 'no tags',
  UNEXPECTED_TOKEN: 'well-formed YAML: "key: value" lines and "- item" lines',
  BAD_COLLECTION_TYPE: 'no tags',
};

interface Walk {
  readonly log: IssueLog;
  /** finished anchored nodes */
  readonly anchors: Map<string, YamlNode>;
  /** nodes below and including each, aliases written out */
  readonly sizes: Map<YamlNode, number>;
  /** the walk stopped: an alias expands too far */
  stopped: boolean;
  /** an alias stands for nothing, so that a value is missing */
  gap: boolean;
}

function locatedTree(root: ParsedNode, log: IssueLog): YamlNode | null {
  const walk: Walk = { log, anchors: new Map(), sizes: new Map(), stopped: false, gap: false };
  const node = located(root, root.range[0], walk);
  return walk.stopped || walk.gap ? null : node;
}

/** Recursive: the depth was bounded by `syntaxTokens`. */
function located(node: ParsedNode | null, fallback: number, walk: Walk): YamlNode {
  const offset = node === null ? fallback : node.range[0];
  if (isAlias(node)) return aliased(node.source, offset, walk);
  const made = isMap(node)
    ? locatedMap(node, offset, walk)
    : isSeq(node)
      ? locatedList(node, offset, walk)
      : locatedScalar(node, offset);
  noteSize(made, walk);
  if (node?.anchor !== undefined && !walk.stopped) walk.anchors.set(node.anchor, made);
  return made;
}

function aliased(name: string, offset: number, walk: Walk): YamlNode {
  const target = walk.anchors.get(name);
  if (target !== undefined) return target;
  walk.gap = true;
  walk.log.report({
    code: 'unknown-alias',
    offset,
    path: 'the file',
    actual: `*${name}`,
    allowed: 'the name of an anchor (&name) whose value ends before the alias',
  });
  return { kind: 'scalar', offset, value: null, source: '' };
}

/** A node's size with its aliases written out; an alias that would double it again and again is
 * found here without being written out. */
function noteSize(node: YamlNode, walk: Walk): void {
  let size = 1;
  for (const child of childrenOf(node)) size += walk.sizes.get(child) ?? 1;
  walk.sizes.set(node, size);
  if (size <= YAML_LIMITS.nodes || walk.stopped) return;
  walk.stopped = true;
  walk.log.report({
    code: 'alias-expands-too-far',
    offset: node.offset,
    path: 'the file',
    actual: 'this list or map',
    allowed: `at most ${YAML_LIMITS.nodes} values with every alias written out`,
  });
}

function childrenOf(node: YamlNode): readonly YamlNode[] {
  if (node.kind === 'map') return node.entries.map((entry) => entry.node);
  return node.kind === 'list' ? node.items : [];
}

function locatedScalar(node: ParsedNode | null, offset: number): YamlScalar {
  if (!isScalar(node)) return { kind: 'scalar', offset, value: null, source: '' };
  const { value } = node;
  const source = node.source ?? '';
  const plain =
    typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean';
  return { kind: 'scalar', offset, value: plain ? value : null, source };
}

function locatedList(
  list: { readonly items: readonly (ParsedNode | unknown)[] },
  offset: number,
  walk: Walk,
): YamlList {
  const items: YamlNode[] = [];
  for (const item of list.items) {
    if (walk.stopped) break;
    items.push(located(item as ParsedNode | null, offset, walk));
  }
  return { kind: 'list', offset, items };
}

function locatedMap(
  map: { readonly items: readonly { readonly key: unknown; readonly value: unknown }[] },
  offset: number,
  walk: Walk,
): YamlMap {
  const entries: YamlEntry[] = [];
  const seen = new Set<string>();
  for (const pair of map.items) {
    if (walk.stopped) break;
    const keyNode = pair.key as ParsedNode | null;
    const keyOffset = keyNode?.range?.[0] ?? offset;
    const key = keyText(keyNode, keyOffset, walk);
    const node = located(pair.value as ParsedNode | null, keyOffset, walk);
    if (key === null || isRefusedKey(key, keyOffset, seen, walk)) continue;
    seen.add(key);
    const isEmpty = node.kind === 'scalar' && node.value === null && node.source === '';
    entries.push({ key, keyOffset, node: isEmpty ? { ...node, offset: keyOffset } : node });
  }
  return { kind: 'map', offset, entries };
}

function keyText(key: ParsedNode | null, offset: number, walk: Walk): string | null {
  if (isScalar(key) && key.source !== undefined && key.source !== '') return key.source;
  const actual =
    isMap(key) || isSeq(key) ? 'a list or a map' : isAlias(key) ? 'an alias' : 'nothing';
  walk.log.report({
    code: 'key-not-a-name',
    offset,
    path: 'the file',
    actual,
    allowed: 'a name before the ":"',
  });
  return null;
}

function isRefusedKey(key: string, offset: number, seen: Set<string>, walk: Walk): boolean {
  if (key !== '<<' && !seen.has(key)) return false;
  walk.log.report({
    code: key === '<<' ? 'merge-key' : 'duplicate-key',
    offset,
    path: 'the file',
    actual: key,
    allowed: key === '<<' ? 'every field written where it belongs' : 'each field once',
  });
  return true;
}
