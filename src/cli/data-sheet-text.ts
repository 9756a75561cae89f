/** A data sheet as text: YAML in which every value is text, so that a serial 0012 stays one, with its lines. */

import type { ParsedNode, YAMLMap } from 'yaml';
import { isMap, isScalar, LineCounter, parseDocument, visit } from 'yaml';
import type { Outcome } from './outcome.js';
import { bad, fine } from './outcome.js';

export interface SheetText {
  readonly file: string;
  readonly root: YAMLMap.Parsed;
  readonly lineOf: (node: ParsedNode | null | undefined) => number;
}

/** Levels that a sheet can need, twice over. */
const MOST_DEPTH = 16;

export function readSheetText(text: string, file: string): Outcome<SheetText> {
  const lines = new LineCounter();
  const document = parseDocument(text, {
    version: '1.2',
    // every scalar is text
    schema: 'failsafe',
    lineCounter: lines,
    prettyErrors: false,
    logLevel: 'error',
  });
  const lineAt = (offset: number): number => lines.linePos(offset).line;
  if (document.errors.length > 0) {
    return bad(
      ...document.errors.map(
        ({ message, pos }) => `${file}:${lineAt(pos[0])}: is not YAML: ${message}`,
      ),
    );
  }
  const { contents } = document;
  if (!isMap(contents)) return bad(`${file}:1: is no data sheet; allowed: fields and their values`);
  const odd = oddNode(document);
  if (odd !== null) {
    return bad(`${file}:${lineAt(odd.offset)}: ${odd.what} cannot stand in a data sheet`);
  }
  return fine({
    file,
    root: contents as YAMLMap.Parsed,
    lineOf: (node) => lineAt(node?.range[0] ?? 0),
  });
}

/** What YAML has and no sheet needs. */
function oddNode(document: ReturnType<typeof parseDocument>): {
  readonly offset: number;
  readonly what: string;
} | null {
  let odd: { offset: number; what: string } | null = null;
  visit(document, {
    Alias: (_, node) => {
      odd ??= { offset: node.range?.[0] ?? 0, what: `the reference *${node.source}` };
      return visit.BREAK;
    },
    Node: (_, node, path) => {
      if (path.length < 2 * MOST_DEPTH) return undefined;
      odd ??= { offset: node.range?.[0] ?? 0, what: 'so deep a list' };
      return visit.BREAK;
    },
    Pair: (_, { key }) => {
      if (isScalar(key)) return undefined;
      odd ??= { offset: 0, what: 'a name that is no text' };
      return visit.BREAK;
    },
  });
  return odd;
}

/** The text of a scalar; null: nothing is written there; undefined: it is no scalar. */
export function textOf(node: ParsedNode | null | undefined): string | null | undefined {
  if (node === null || node === undefined) return null;
  if (!isScalar(node)) return undefined;
  const text = String(node.value);
  const isPlain = node.type === 'PLAIN' || node.type === undefined;
  if (!isPlain) return text.trimEnd();
  return ['', 'null', '~'].includes(text.trim()) ? null : text.trim();
}

/** A key as fields are compared by: 'Contact  uncertainty' is 'contact uncertainty'. */
export function keyText(key: unknown): string {
  return isScalar(key) ? String(key.value).trim().replace(/\s+/g, ' ') : '';
}

/** A text so that it is read back as it is. */
export function writtenText(text: string): string {
  const isPlain =
    /^[\p{L}\p{N}](?:[^:#\p{Cc}\p{Zl}\p{Zp}[\]{},&*!|>'"%@`]*[^:#\p{C}\p{Z}[\]{},&*!|>'"%@`])?$/u;
  return isPlain.test(text) && text !== 'null' ? text : JSON.stringify(text);
}
