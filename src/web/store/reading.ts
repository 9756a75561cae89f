/** From the text of a cart file to what the page shows of it. */

import type { Cart, FieldNode, FieldPath, Issue, PartsList } from '../../document/index.js';
import {
  fieldOfIssue,
  partsListFileOf,
  readCart,
  readFields,
  readPartsList,
  sentence,
} from '../../document/index.js';

/** A parts list as it came from a file. */
export interface PartsListFile {
  readonly name: string;
  readonly base64: string;
  /** null: it cannot be read, `problems` say why */
  readonly list: PartsList | null;
  readonly problems: readonly string[];
}

export interface FieldIssue {
  readonly issue: Issue;
  /** null: of the file as a whole, or of the parts list */
  readonly path: FieldPath | null;
  /** in plain words, without file and line */
  readonly words: string;
}

export interface Reading {
  /** null: the text is refused */
  readonly cart: Cart | null;
  readonly fields: FieldNode | null;
  /** errors and warnings */
  readonly issues: readonly FieldIssue[];
}

export function readSheet(
  text: string,
  file: string,
  partsLists: ReadonlyMap<string, PartsListFile>,
): Reading {
  const read = readCart(text, file, listsOf(partsLists));
  const issues = read.kind === 'ok' ? read.warnings : read.issues;
  const told = issues.map((issue) => ({
    issue,
    path: fieldOfIssue(issue),
    words: wordsOf(issue),
  }));
  return {
    cart: read.kind === 'ok' ? read.value : null,
    fields: readFields(text),
    issues: [...told, ...partsListIssues(text, file, partsLists)],
  };
}

/** Those that can be read. */
export function listsOf(
  partsLists: ReadonlyMap<string, PartsListFile>,
): ReadonlyMap<string, PartsList> {
  return new Map(
    [...partsLists].flatMap(([name, { list }]) => (list === null ? [] : [[name, list] as const])),
  );
}

/** Why a parts list that is there cannot be read. */
function partsListIssues(
  text: string,
  file: string,
  partsLists: ReadonlyMap<string, PartsListFile>,
): readonly FieldIssue[] {
  const named = partsLists.get(partsListFileOf(text) ?? '');
  if (named === undefined || named.list !== null) return [];
  const place = { file, line: null, column: null, path: 'parts list' };
  return named.problems.map((words) => ({
    issue: {
      ...{ code: 'unreadable-parts-list', severity: 'error' },
      ...place,
      ...{ actual: named.name, allowed: 'a parts list that can be read' },
    },
    path: ['parts list'],
    words,
  }));
}

/** The sentence without the place: beside the field it goes without saying. */
function wordsOf(given: Issue): string {
  // a coordinate still to be typed stands as "" beside the others
  const isEmpty = given.actual === '';
  const issue = isEmpty ? { ...given, code: 'missing-field', actual: null } : given;
  const whole = sentence(issue);
  const lead = `${issue.path}: `;
  const at = whole.indexOf(lead);
  return at < 0 ? whole : whole.slice(at + lead.length);
}

export function bytesOf(base64: string): Uint8Array {
  return Uint8Array.from(atob(base64), (char) => char.charCodeAt(0));
}

export function base64Of(bytes: Uint8Array): string {
  let text = '';
  for (let at = 0; at < bytes.length; at += CHUNK) {
    text += String.fromCharCode(...bytes.subarray(at, at + CHUNK));
  }
  return btoa(text);
}

/** Arguments of one call. */
const CHUNK = 8192;

export async function readPartsListFile(name: string, base64: string): Promise<PartsListFile> {
  const read = await readPartsList(bytesOf(base64), name);
  return read.kind === 'ok'
    ? { name, base64, list: read.value, problems: read.warnings.map(sentence) }
    : { name, base64, list: null, problems: read.issues.map(sentence) };
}
