/**
 * A cart file as fields: what stands where, as it was typed, for a page that shows every value beside its
 * name and changes one at a time. Comments, order and the units typed stay as they are.
 *
 * Each change is made twice: to the tree of fields, and to the text as patches. The text is then read
 * again, and only when it says what the tree says does anybody see it.
 */

import { fieldGuide } from './field-guide.js';
import type { FieldInput } from './field-input.js';
import { fieldsOfInput, inputProblem, isScalarInput } from './field-input.js';
import type { NamedKind } from './field-names.js';
import type { FieldPath } from './field-path.js';
import { pathWords } from './field-path.js';
import type { KeyChange } from './field-rename.js';
import { renamed } from './field-rename.js';
import { excerptFor } from './field-sections.js';
import {
  hasAliases,
  writeItems,
  writeKey,
  writeMove,
  writeRemoval,
  writeSet,
} from './field-source.js';
import type { FieldNode, FieldText } from './field-tree.js';
import { isSameField, nodeAt, readFieldText } from './field-tree.js';
import type { Refusal } from './field-tree-changes.js';
import {
  changedAt,
  fieldsInPlaceOf,
  isRefusal,
  withItems,
  withKeyRenamed,
  withMoved,
  withoutAt,
} from './field-tree-changes.js';
import type { YamlSource } from './yaml-source.js';
import { aliasesWrittenOut, noteSharing, patched, yamlSource } from './yaml-source.js';
import { YAML_LIMITS } from './yaml-tree.js';

export type FieldChange =
  /** puts a value where it stands, or where it belongs when nothing stands there; of a list or map with the
   * same keys or length only the values that differ are written */
  | { readonly kind: 'set'; readonly path: FieldPath; readonly value: FieldInput }
  /** takes an entry or an item out; nothing there: no change */
  | { readonly kind: 'remove'; readonly path: FieldPath }
  /** puts an item into a list (made when it is not there) before the index, or at its end */
  | {
      readonly kind: 'insert';
      readonly path: FieldPath;
      readonly index: number | 'end';
      readonly value: FieldInput;
    }
  /** takes an item to another place of its list: `to` is the index that it then has */
  | { readonly kind: 'move'; readonly path: FieldPath; readonly to: number }
  /** another name, and everything in the file that speaks of it by name follows */
  | {
      readonly kind: 'rename';
      readonly what: NamedKind;
      readonly from: string;
      readonly to: string;
    };

export type FieldsResult =
  | { readonly kind: 'ok'; readonly text: string }
  /** the change cannot be made; the text is as it was */
  | { readonly kind: 'refused'; readonly reason: string };

/** What a rename comes down to. */
type PlainChange = Exclude<FieldChange, { readonly kind: 'rename' }> | KeyChange;

/** Makes the changes one after the other; all or none. */
export function changeFields(text: string, changes: readonly FieldChange[]): FieldsResult {
  let current = text;
  for (let done = 0; done < changes.length; ) {
    const read = readFieldText(current);
    if (read === null) return refused('the text is no YAML map, so it has no fields to change');
    const run = nextRun(read.root, changes.slice(done));
    const next = changedText(read, current, run);
    if (typeof next !== 'string') return refused(next.reason);
    current = next;
    done += run.length;
  }
  return { kind: 'ok', text: current };
}

function refused(reason: string): FieldsResult {
  return { kind: 'refused', reason };
}

/** The first changes as far as they can be written together: values over values, or items one after the
 * other at the end of one list. Reading the text again is what takes time. */
function nextRun(root: FieldNode, changes: readonly FieldChange[]): readonly FieldChange[] {
  const [first] = changes;
  const seen = new Set<string>();
  const end = changes.findIndex((change) => {
    const path = change.kind === 'rename' ? '' : JSON.stringify(change.path);
    if (first?.kind === 'insert')
      return !(isAtEnd(change) && isAtEnd(first) && isSamePath(change, first));
    const isFirst = !seen.has(path);
    seen.add(path);
    return !(isFirst && isOverValue(root, change));
  });
  return changes.slice(0, end === -1 ? changes.length : Math.max(1, end));
}

function isAtEnd(change: FieldChange): change is Extract<FieldChange, { kind: 'insert' }> {
  return change.kind === 'insert' && change.index === 'end';
}

function isSamePath(a: { readonly path: FieldPath }, b: { readonly path: FieldPath }): boolean {
  return a.path.length === b.path.length && a.path.every((step, index) => step === b.path[index]);
}

function isOverValue(root: FieldNode, change: FieldChange): boolean {
  if (change.kind !== 'set' || !isScalarInput(change.value)) return false;
  const node = nodeAt(root, change.path);
  return node?.kind === 'scalar' && node.text !== '';
}

function changedText(
  read: FieldText,
  text: string,
  changes: readonly FieldChange[],
): string | Refusal {
  const plain = plainChanges(read.root, changes);
  if ('reason' in plain) return plain;
  const wanted = changedTree(read.root, plain);
  if (isRefusal(wanted)) return wanted;
  if (wanted === read.root || isSameField(wanted, read.root)) return text;
  const edited = read.mark + (editedPart(read, plain) ?? editedWhole(read, plain));
  const after = readFieldText(edited)?.root;
  if (after !== undefined && isSameField(after, wanted)) return edited;
  const [first] = changes;
  const place = first === undefined || first.kind === 'rename' ? 'the file' : pathWords(first.path);
  return {
    reason: `${place} is written in a way that cannot be changed here: change it in the text`,
  };
}

/** Renames as what they come down to, and what would change nothing left out. */
function plainChanges(
  root: FieldNode,
  changes: readonly FieldChange[],
): readonly PlainChange[] | Refusal {
  const all: PlainChange[] = [];
  for (const change of changes) {
    const problem = problemOf(change);
    if (problem !== null) return { reason: problem };
    if (change.kind === 'rename') {
      const parts = renamed(root, change.what, change.from, change.to);
      if ('reason' in parts) return parts;
      all.push(...parts);
    } else if (change.kind !== 'remove' || nodeAt(root, change.path) !== null) {
      all.push(change);
    }
  }
  return all;
}

function problemOf(change: FieldChange): string | null {
  if (change.kind === 'rename') return null;
  if (change.path.length === 0) return 'the whole file is no field';
  if (change.kind !== 'set' && change.kind !== 'insert') return null;
  const mayWrap = fieldGuide(change.path)?.wraps ?? false;
  const problem = inputProblem(change.value, mayWrap);
  return problem === null ? null : `${pathWords(change.path)}: ${problem}`;
}

function changedTree(root: FieldNode, changes: readonly PlainChange[]): FieldNode | Refusal {
  return changes.reduce<FieldNode | Refusal>(
    (tree, change) => (isRefusal(tree) ? tree : treeAfter(tree, change)),
    root,
  );
}

function treeAfter(root: FieldNode, change: PlainChange): FieldNode | Refusal {
  switch (change.kind) {
    case 'set':
      return changedAt(root, change.path, (node) => fieldsInPlaceOf(node, change.value));
    case 'remove':
      return withoutAt(root, change.path);
    case 'insert':
      return withItems(root, change.path, change.index, [fieldsOfInput(change.value)]);
    case 'move':
      return withMoved(root, change.path, change.to);
    case 'key':
      return withKeyRenamed(root, change.path, change.to);
    default:
      return change satisfies never;
  }
}

function write(source: YamlSource, root: FieldNode, changes: readonly PlainChange[]): void {
  const [first] = changes;
  if (first?.kind === 'insert') {
    const values = changes.flatMap((each) => (each.kind === 'insert' ? [each.value] : []));
    writeItems(source, root, first.path, first.index, values);
    return;
  }
  for (const change of changes) writeOne(source, root, change);
}

function writeOne(source: YamlSource, root: FieldNode, change: PlainChange): void {
  switch (change.kind) {
    case 'set':
      writeSet(source, root, change.path, change.value);
      break;
    case 'remove':
      writeRemoval(source, change.path);
      break;
    case 'insert':
      writeItems(source, root, change.path, change.index, [change.value]);
      break;
    case 'move':
      writeMove(source, change.path, change.to);
      break;
    case 'key':
      writeKey(source, change.path, change.to);
      break;
    default:
      change satisfies never;
  }
}

function editedWhole({ plain, root }: FieldText, changes: readonly PlainChange[]): string {
  return rewritten(plain, (source) => write(source, root, changes));
}

/** The same where the changes concern a few items next to each other: those alone are read. */
function editedPart(
  { plain, root, sections }: FieldText,
  changes: readonly PlainChange[],
): string | null {
  const part = sections && excerptFor(plain, sections, changes.flatMap(concerned(root)));
  if (!part) return null;
  const { stretch, head, skipped } = part;
  const tree = readFieldText(part.text)?.root;
  if (tree === undefined) return null;
  const text = rewritten(part.text, (source) =>
    write(
      source,
      tree,
      changes.map((each) => movedUp(each, skipped)),
    ),
  );
  if (!text.startsWith(head)) return null;
  return plain.slice(0, stretch.from) + text.slice(head.length) + plain.slice(stretch.to);
}

/** Paths of the items that a change concerns; of what is no item of a list at the top, its own. */
function concerned(root: FieldNode): (change: PlainChange) => readonly FieldPath[] {
  return (change) => {
    const { path } = change;
    if (change.kind === 'remove' && path.length === 1) return [[]];
    if (change.kind === 'move' && path.length === 2) return [path, [path[0] ?? '', change.to]];
    if (change.kind !== 'insert' || path.length > 1) return [path];
    const list = nodeAt(root, path);
    const count = list?.kind === 'list' ? list.items.length : 0;
    const index = change.index === 'end' ? count : change.index;
    // after the one before, whose place alone is looked at
    return [[...path, Math.max(0, index - 1)]];
  };
}

/** The same change in a list that starts so many items later. */
function movedUp(change: PlainChange, skipped: number): PlainChange {
  const { path } = change;
  if (skipped === 0) return change;
  if (change.kind === 'insert' && path.length === 1) {
    const { index } = change;
    return { ...change, index: index === 'end' ? 'end' : index - skipped };
  }
  const [section = '', index, ...rest] = path;
  const moved: FieldPath = [section, Number(index) - skipped, ...rest];
  if (change.kind !== 'move' || path.length > 2) return { ...change, path: moved };
  return { ...change, path: moved, to: change.to - skipped };
}

/** Each round writes out at least one alias, and none is added. */
function rewritten(text: string, change: (source: YamlSource) => void): string {
  let source = yamlSource(text);
  const mayShare = hasAliases(source);
  for (let round = 0; round <= YAML_LIMITS.aliases; round += 1) {
    change(source);
    if (mayShare) noteSharing(source);
    if (source.inTheWay.size === 0) return patched(source.text, source.patches);
    source = yamlSource(aliasesWrittenOut(source, source.inTheWay));
  }
  throw new Error('rewritten: aliases without end');
}
