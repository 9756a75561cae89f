/**
 * YAML text to plain data in which every place can be found again. Only the part of YAML that a
 * requirement file needs: one document of plain maps, lists, texts and numbers, no aliases.
 */

import type { Document } from 'yaml';
import {
  CST,
  isCollection,
  isMap,
  isNode,
  isPair,
  isScalar,
  isSeq,
  Lexer,
  Parser,
  parseDocument,
} from 'yaml';
import type { Problem } from './draft.js';

type Path = Problem['path'];

/** What a requirement file may be at most: all built-in sets written out take 40 000 characters. */
export const YAML_LIMITS = {
  characters: 500_000,
  /** lists and maps inside each other; the file needs 6 */
  depth: 12,
} as const;

export interface YamlProblem {
  readonly code: string;
  /** offset into the text; null: the file as a whole */
  readonly offset: number | null;
  readonly actual: string | null;
  readonly allowed: string;
}

export type YamlResult =
  | {
      readonly kind: 'ok';
      readonly data: unknown;
      /** where a path of keys and indices stands in the text; a path with nothing there: the
       * innermost that is there */
      readonly offsetOf: (path: Path, at: 'key' | 'value') => number;
      /** the scalar at a path as it is written, quotes taken off; null: none is there */
      readonly sourceAt: (path: Path) => string | null;
    }
  | { readonly kind: 'invalid'; readonly problems: readonly YamlProblem[] };

const PARSE_OPTIONS = {
  version: '1.2',
  schema: 'core',
  merge: false,
  // checked below with a set: the library compares every pair of keys
  uniqueKeys: false,
  prettyErrors: false,
  // 'silent' would pass over a second document
  logLevel: 'error',
} as const;

/** Never throws; its time grows no faster than the text. */
export function readYaml(text: string): YamlResult {
  const refused = refusal(text);
  if (refused !== null) return { kind: 'invalid', problems: [refused] };
  const document = parseDocument(text, PARSE_OPTIONS);
  const problems = document.errors.map((error) => ({
    code: 'yaml-syntax',
    offset: Math.min(error.pos[0], Math.max(0, text.length - 1)),
    actual: lineAt(text, error.pos[0]),
    allowed: `well-formed YAML: ${error.message}`,
  }));
  if (problems.length > 0) return { kind: 'invalid', problems };
  const keyProblems = badKeys(document);
  if (keyProblems.length > 0) return { kind: 'invalid', problems: keyProblems };
  return {
    kind: 'ok',
    data: document.toJS(),
    offsetOf: (path, at) => offsetIn(document, path, at),
    sourceAt: (path) => {
      const node = document.getIn(path, true);
      return isScalar(node) ? (node.source ?? null) : null;
    },
  };
}

/** Characters of no text file: control characters other than tab and line ends. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for
const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\ufffd]/;

/** What must be refused before the recursive reader sees it. */
function refusal(text: string): YamlProblem | null {
  if (text.length > YAML_LIMITS.characters) {
    const allowed = `at most ${YAML_LIMITS.characters} characters`;
    return { code: 'file-too-large', offset: null, actual: `${text.length} characters`, allowed };
  }
  const control = CONTROL.exec(text);
  if (control !== null) {
    const allowed = 'plain text saved as UTF-8';
    return { code: 'control-character', offset: control.index, actual: control[0], allowed };
  }
  return syntaxRefusal(text);
}

/** The parser of the concrete syntax keeps its own stack, so that depth can be bounded here. */
function syntaxRefusal(text: string): YamlProblem | null {
  const parser = new Parser();
  let isScalarNext = false;
  for (const lexeme of new Lexer().lex(text)) {
    const { offset } = parser;
    const type = isScalarNext ? null : CST.tokenType(lexeme);
    isScalarNext = lexeme === CST.SCALAR;
    // run for its effect on the stack
    for (const _ of parser.next(lexeme));
    if (type !== null && NEVER_USED.has(type)) {
      const allowed =
        'plain texts, numbers, lists and maps: no tags, directives, anchors or aliases';
      return { code: 'yaml-feature', offset, actual: lexeme.trim(), allowed };
    }
    // one entry of the stack is the document, one may be a scalar
    if (parser.stack.length - 2 > YAML_LIMITS.depth) {
      const allowed = `at most ${YAML_LIMITS.depth} lists and maps inside each other`;
      return { code: 'too-deep', offset, actual: lexeme.trim(), allowed };
    }
  }
  return null;
}

const NEVER_USED: ReadonlySet<CST.TokenType> = new Set([
  'tag',
  'directive-line',
  'anchor',
  'alias',
]);

function lineAt(text: string, offset: number): string {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  const end = text.indexOf('\n', offset);
  const line = text.slice(Math.max(start, offset - 80), end === -1 ? undefined : end).trim();
  return line === '' ? 'the end of the text before it' : line;
}

/** Keys that are no names, and keys given twice. */
function badKeys(document: Document.Parsed): readonly YamlProblem[] {
  const problems: YamlProblem[] = [];
  // bounded in depth by syntaxRefusal
  const visit = (node: unknown): void => {
    if (isPair(node)) visit(node.value);
    if (!isCollection(node)) return;
    const seen = new Set<string>();
    for (const item of node.items) {
      if (isMap(node) && isPair(item)) reportKey(item.key, seen, node.range?.[0] ?? 0, problems);
      visit(item);
    }
  };
  visit(document.contents);
  return problems;
}

function reportKey(key: unknown, seen: Set<string>, offset: number, problems: YamlProblem[]): void {
  const at = isNode(key) ? (key.range?.[0] ?? offset) : offset;
  if (!isScalar(key) || typeof key.value !== 'string' || key.value === '') {
    const actual = isScalar(key) && key.source ? key.source : 'nothing that names it';
    const allowed = 'a name before the ":"';
    problems.push({ code: 'key-not-a-name', offset: at, actual, allowed });
    return;
  }
  if (seen.has(key.value)) {
    const allowed = 'each field once';
    problems.push({ code: 'duplicate-key', offset: at, actual: key.value, allowed });
  }
  seen.add(key.value);
}

function offsetIn(document: Document.Parsed, path: Path, at: 'key' | 'value'): number {
  let node: unknown = document.contents;
  let offset = startOf(node, 0);
  for (const [depth, step] of path.entries()) {
    const isLast = depth === path.length - 1;
    const pair = isMap(node)
      ? node.items.find((each) => isScalar(each.key) && each.key.value === step)
      : undefined;
    if (pair !== undefined) {
      const keyOffset = startOf(pair.key, offset);
      node = pair.value;
      // an empty value stands nowhere: its key does
      const isEmpty = isScalar(node) && node.value === null && node.source === '';
      offset = (isLast && at === 'key') || isEmpty ? keyOffset : startOf(node, keyOffset);
    } else if (isSeq(node) && typeof step === 'number' && step < node.items.length) {
      node = node.items[step];
      offset = startOf(node, offset);
    } else {
      return offset;
    }
  }
  return offset;
}

function startOf(node: unknown, otherwise: number): number {
  return isNode(node) ? (node.range?.[0] ?? otherwise) : otherwise;
}
