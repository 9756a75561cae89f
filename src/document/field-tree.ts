/** The tree of fields that a cart file is, as typed. */

import type { FieldPath } from './field-path.js';
import type { Section } from './field-sections.js';
import { sectionsOf, sectionValue } from './field-sections.js';
import { issueLog } from './issue-log.js';
import { trimmedName } from './nearest-name.js';
import { withoutByteOrderMark } from './text-checks.js';
import type { YamlNode } from './yaml-tree.js';
import { readYamlTree } from './yaml-tree.js';

export type FieldNode = FieldMap | FieldList | FieldScalar;

export interface FieldEntry {
  readonly key: string;
  readonly node: FieldNode;
}

export interface FieldMap {
  readonly kind: 'map';
  readonly entries: readonly FieldEntry[];
}

export interface FieldList {
  readonly kind: 'list';
  readonly items: readonly FieldNode[];
}

export interface FieldScalar {
  readonly kind: 'scalar';
  /** as typed, without quotes; '' where nothing stands after the colon */
  readonly text: string;
  readonly value: string | number | boolean | null;
}

/** A text with its tree, ready to be changed. */
export interface FieldText {
  /** without its byte order mark */
  readonly plain: string;
  /** '' or the byte order mark */
  readonly mark: string;
  readonly root: FieldMap;
  /** null: read as a whole */
  readonly sections: readonly Section[] | null;
}

/** The last texts that were read: a change starts from the text that the change before it gave (or, when
 * that is undone, from the one before), and to read is what takes the time. */
const READ: { readonly text: string; readonly read: FieldText | null }[] = [];
const MOST_READ = 3;

/** @returns null when the text is no YAML map at all */
export function readFieldText(text: string): FieldText | null {
  const known = READ.find((each) => each.text === text);
  if (known !== undefined) return known.read;
  const read = newlyRead(text);
  READ.unshift({ text, read });
  READ.length = Math.min(READ.length, MOST_READ);
  return read;
}

function newlyRead(text: string): FieldText | null {
  const plain = withoutByteOrderMark(text);
  const mark = text.slice(0, text.length - plain.length);
  const sections = sectionsOf(plain);
  const pieces = sections && readInPieces(plain, sections);
  if (pieces !== null) return { plain, mark, root: pieces, sections };
  const whole = readYamlTree(plain, issueLog('', [0]));
  if (whole?.kind !== 'map') return null;
  return { plain, mark, root: fieldsOf(whole) as FieldMap, sections: null };
}

function readInPieces(text: string, sections: readonly Section[]): FieldMap | null {
  const entries: FieldEntry[] = [];
  for (const section of sections) {
    const node = sectionValue(text, section);
    if (node === null) return null;
    entries.push({ key: section.key, node: fieldsOf(node) });
  }
  return { kind: 'map', entries };
}

/** @returns null when the text is no YAML map at all (`readCart` says why) */
export function readFields(text: string): FieldNode | null {
  return readFieldText(text)?.root ?? null;
}

/** Of nodes that were met before: a piece that is read again is the same node. */
const FIELDS = new WeakMap<YamlNode, FieldNode>();

function fieldsOf(node: YamlNode): FieldNode {
  const known = FIELDS.get(node);
  if (known !== undefined) return known;
  const made = newFieldsOf(node);
  FIELDS.set(node, made);
  return made;
}

function newFieldsOf(node: YamlNode): FieldNode {
  switch (node.kind) {
    case 'map':
      return {
        kind: 'map',
        entries: node.entries.map((entry) => ({ key: entry.key, node: fieldsOf(entry.node) })),
      };
    case 'list':
      return { kind: 'list', items: node.items.map(fieldsOf) };
    default:
      return { kind: 'scalar', text: node.source, value: node.value };
  }
}

/** The entry of a map under a key, white space around it aside; -1: none. */
export function entryIndex({ entries }: FieldMap, key: string): number {
  const exact = entries.findIndex((entry) => entry.key === key);
  if (exact !== -1) return exact;
  return entries.findIndex((entry) => trimmedName(entry.key) === trimmedName(key));
}

/** What stands directly below a node; null: nothing. */
export function childAt(node: FieldNode, step: string | number): FieldNode | null {
  if (node.kind === 'map' && typeof step === 'string') {
    return node.entries[entryIndex(node, step)]?.node ?? null;
  }
  return node.kind === 'list' && typeof step === 'number' ? (node.items[step] ?? null) : null;
}

/** What stands at a path; null: nothing. */
export function nodeAt(root: FieldNode, path: FieldPath): FieldNode | null {
  return path.reduce<FieldNode | null>((node, step) => node && childAt(node, step), root);
}

/** True of a field with nothing after its colon. */
export function isEmptyField(node: FieldNode): boolean {
  return node.kind === 'scalar' && node.text === '' && node.value === null;
}

/** The same as a reader sees it; the order of entries counts, quotes and style do not. */
export function isSameField(a: FieldNode, b: FieldNode): boolean {
  if (a === b) return true;
  if (a.kind === 'scalar') return b.kind === 'scalar' && isSameScalar(a, b);
  if (a.kind === 'list') {
    if (b.kind !== 'list' || a.items.length !== b.items.length) return false;
    return a.items.every((item, index) => isSameField(item, b.items[index] as FieldNode));
  }
  if (b.kind !== 'map' || a.entries.length !== b.entries.length) return false;
  return a.entries.every(({ key, node }, index) => {
    const other = b.entries[index] as FieldEntry;
    return key === other.key && isSameField(node, other.node);
  });
}

/** Nothing may have to be written as "". */
function isSameScalar(a: FieldScalar, b: FieldScalar): boolean {
  return a.text === b.text && (a.text === '' || Object.is(a.value, b.value));
}
