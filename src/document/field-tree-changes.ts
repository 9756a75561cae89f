/** Changes made to the tree of fields: what the text has to say once they are written into it. */

import { fieldOrder } from './field-guide.js';
import type { FieldInput } from './field-input.js';
import { fieldsOfInput, isListInput, isMapInput } from './field-input.js';
import type { FieldPath } from './field-path.js';
import { pathWords } from './field-path.js';
import type { FieldEntry, FieldMap, FieldNode } from './field-tree.js';
import { childAt, entryIndex, isEmptyField } from './field-tree.js';

/** Why a change cannot be made, in words. */
export interface Refusal {
  readonly reason: string;
}

export function isRefusal(result: FieldNode | Refusal): result is Refusal {
  return 'reason' in result;
}

/** Makes the change to what stands at a path; `change` is given null where nothing stands. */
export function changedAt(
  root: FieldNode,
  path: FieldPath,
  change: (node: FieldNode | null) => FieldNode | Refusal,
): FieldNode | Refusal {
  return changedBelow(root, path, 0, change);
}

function changedBelow(
  node: FieldNode | null,
  path: FieldPath,
  depth: number,
  change: (node: FieldNode | null) => FieldNode | Refusal,
): FieldNode | Refusal {
  const step = path[depth];
  if (step === undefined) return change(node);
  const holder = holderFor(node, path, depth);
  if (isRefusal(holder)) return holder;
  const made = changedBelow(childAt(holder, step), path, depth + 1, change);
  return isRefusal(made) ? made : withChild(holder, step, made, path.slice(0, depth));
}

/** The map or list that the step goes into, new where nothing stands. */
function holderFor(node: FieldNode | null, path: FieldPath, depth: number): FieldNode | Refusal {
  const step = path[depth];
  const isItem = typeof step === 'number';
  const holder: FieldNode =
    node === null || isEmptyField(node)
      ? isItem
        ? { kind: 'list', items: [] }
        : { kind: 'map', entries: [] }
      : node;
  const at = depth === 0 ? 'the file' : pathWords(path.slice(0, depth));
  if (holder.kind !== (isItem ? 'list' : 'map')) {
    const held = { map: 'fields', list: 'a list', scalar: 'one value' }[holder.kind];
    return { reason: `${at} holds ${held}, so ${pathWords(path)} has no place there` };
  }
  const most = holder.kind === 'list' ? holder.items.length : 0;
  if (isItem && !(Number.isInteger(step) && step >= 0 && step <= most)) {
    return { reason: `${at} has ${most} items, so there is no item ${step + 1}` };
  }
  return step === '' ? { reason: 'a field needs a name' } : holder;
}

function withChild(
  holder: FieldNode,
  step: string | number,
  child: FieldNode,
  path: FieldPath,
): FieldNode {
  if (holder.kind === 'list') {
    const items = [...holder.items];
    items[Number(step)] = child;
    return { kind: 'list', items };
  }
  if (holder.kind !== 'map') throw new Error(`withChild: a scalar at ${pathWords(path)}`);
  const key = String(step);
  const index = entryIndex(holder, key);
  const entries = [...holder.entries];
  if (index === -1)
    entries.splice(placeFor(keysOf(holder), key, fieldOrder(path)), 0, { key, node: child });
  else entries[index] = { key: (entries[index] as FieldEntry).key, node: child };
  return { kind: 'map', entries };
}

export function keysOf({ entries }: FieldMap): readonly string[] {
  return entries.map(({ key }) => key);
}

/** Where a new entry goes among the others: after the nearest of those that go before it, else before the
 * first that goes after it, else last. */
export function placeFor(keys: readonly string[], key: string, order: readonly string[]): number {
  const rank = order.indexOf(key);
  if (rank === -1) return keys.length;
  const before = order.slice(0, rank).findLast((each) => keys.includes(each));
  if (before !== undefined) return keys.indexOf(before) + 1;
  const after = keys.findIndex((each) => order.indexOf(each) > rank);
  return after === -1 ? keys.length : after;
}

/** The tree that an input becomes in place of another: the entries of a map stay in the order they have
 * where they are the same ones. */
export function fieldsInPlaceOf(node: FieldNode | null, input: FieldInput): FieldNode {
  if (!isAlike(node, input)) return fieldsOfInput(input);
  if (node?.kind === 'list' && isListInput(input)) {
    const items = input.map((each, index) => fieldsInPlaceOf(node.items[index] ?? null, each));
    return { kind: 'list', items };
  }
  if (node?.kind !== 'map' || !isMapInput(input)) throw new Error('fieldsInPlaceOf: not alike');
  const entries = node.entries.map(({ key, node: child }) => ({
    key,
    node: fieldsInPlaceOf(child, input.map[key] as FieldInput),
  }));
  return { kind: 'map', entries };
}

/** True of a map with the same keys and of a list of the same length: then the input goes into it value
 * by value, and what stands around the values stays. */
export function isAlike(node: FieldNode | null, input: FieldInput): boolean {
  if (node?.kind === 'list') return isListInput(input) && input.length === node.items.length;
  if (node?.kind !== 'map' || !isMapInput(input)) return false;
  const count = Object.keys(input.map).length;
  return (
    count === node.entries.length && keysOf(node).every((key) => Object.hasOwn(input.map, key))
  );
}

export function withoutAt(root: FieldNode, path: FieldPath): FieldNode | Refusal {
  const step = path.at(-1);
  return changedAt(root, path.slice(0, -1), (node) => {
    if (node?.kind === 'list') {
      return { kind: 'list', items: node.items.filter((_, index) => index !== step) };
    }
    if (node?.kind !== 'map') throw new Error(`withoutAt: nothing at ${pathWords(path)}`);
    const gone = entryIndex(node, String(step));
    return { kind: 'map', entries: node.entries.filter((_, index) => index !== gone) };
  });
}

export function withItems(
  root: FieldNode,
  path: FieldPath,
  index: number | 'end',
  added: readonly FieldNode[],
): FieldNode | Refusal {
  return changedAt(root, path, (node) => {
    const items = node?.kind === 'list' ? [...node.items] : [];
    if (node !== null && node.kind !== 'list' && !isEmptyField(node)) {
      return { reason: `${pathWords(path)} is no list` };
    }
    const at = index === 'end' ? items.length : index;
    if (!(Number.isInteger(at) && at >= 0 && at <= items.length)) {
      return {
        reason: `${pathWords(path)} has ${items.length} items, so none goes before item ${at + 1}`,
      };
    }
    items.splice(at, 0, ...added);
    return { kind: 'list', items };
  });
}

export function withMoved(root: FieldNode, path: FieldPath, to: number): FieldNode | Refusal {
  const from = path.at(-1);
  return changedAt(root, path.slice(0, -1), (node) => {
    if (node?.kind !== 'list' || typeof from !== 'number' || node.items[from] === undefined) {
      return { reason: `${pathWords(path)} is no item of a list` };
    }
    if (!(Number.isInteger(to) && to >= 0 && to < node.items.length)) {
      return { reason: `the list has ${node.items.length} items, so none can be item ${to + 1}` };
    }
    return { kind: 'list', items: moved(node.items, from, to) };
  });
}

/** The items with one taken to another place. */
export function moved<T>(items: readonly T[], from: number, to: number): readonly T[] {
  const rest = items.filter((_, index) => index !== from);
  return [...rest.slice(0, to), items[from] as T, ...rest.slice(to)];
}

export function withKeyRenamed(root: FieldNode, path: FieldPath, to: string): FieldNode | Refusal {
  const step = String(path.at(-1));
  return changedAt(root, path.slice(0, -1), (node) => {
    if (node?.kind !== 'map') throw new Error(`withKeyRenamed: no map at ${pathWords(path)}`);
    const index = entryIndex(node, step);
    const taken = entryIndex(node, to);
    if (taken !== -1 && taken !== index) {
      return { reason: `${pathWords(path.slice(0, -1))} already says something of "${to}"` };
    }
    const entries = node.entries.map((entry, at) => (at === index ? { ...entry, key: to } : entry));
    return { kind: 'map', entries };
  });
}
