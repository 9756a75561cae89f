/**
 * Where an issue stands, as keys and indices. The path of an issue is made for people, and a name in it may
 * hold what separates its steps; so it is matched against the tree in which it was found, step by step.
 */

import type { FieldPath } from './field-path.js';
import type { Issue } from './issue.js';
import { shortened } from './issue-log.js';
import { itemLabel } from './shape.js';
import type { YamlList, YamlMap, YamlNode } from './yaml-tree.js';

/** The field that an issue is about (of a missing one, where it would stand); null: the whole file, or
 * another file than a cart file. */
export function fieldOfIssue(issue: Issue): FieldPath | null {
  return issue.field ?? null;
}

interface Match {
  readonly field: FieldPath;
  /** offsets that an issue about the field may have */
  readonly offsets: readonly number[];
}

const SEPARATOR = ' > ';

/**
 * @param path as the readers of a cart file compose it
 * @param offset of the issue, which tells apart what reads alike
 * @returns null when it is about the whole file
 */
export function fieldAtPath(root: YamlNode, path: string, offset: number | null): FieldPath | null {
  const matches = matchesIn(root, path, [], []);
  const exact = matches.find(({ offsets }) => offset !== null && offsets.includes(offset));
  return (exact ?? matches[0])?.field ?? null;
}

function matchesIn(
  node: YamlNode,
  rest: string,
  field: FieldPath,
  offsets: readonly number[],
): readonly Match[] {
  if (rest === '' && field.length > 0) return [{ field, offsets: [...offsets, node.offset] }];
  if (node.kind === 'map') return matchesInMap(node, rest, field);
  return node.kind === 'list' ? matchesInList(node, rest, field) : [];
}

function matchesInMap(map: YamlMap, path: string, field: FieldPath): readonly Match[] {
  const isTop = field.length === 0;
  if (!isTop && !path.startsWith(SEPARATOR)) return [];
  const rest = isTop ? path : path.slice(SEPARATOR.length);
  const found = map.entries.flatMap(({ key, keyOffset, node }) => {
    const step = shortened(key);
    if (!rest.startsWith(step)) return [];
    return matchesIn(node, rest.slice(step.length), [...field, key], [keyOffset]);
  });
  // a field that is not there is named alone; at the top these words say that there is none
  const isMissing = found.length === 0 && !(isTop && rest === 'the file');
  return isMissing ? [{ field: [...field, rest], offsets: [map.offset] }] : found;
}

/** Items are counted from 1, with their name where they have one; coordinates have letters. */
function matchesInList(list: YamlList, path: string, field: FieldPath): readonly Match[] {
  const [counted, digits] = /^\[(\d+)\]/.exec(path) ?? [];
  if (counted !== undefined) {
    const index = Number(digits) - 1;
    const item = list.items[index];
    const rest = path.slice(counted.length);
    if (item === undefined) return [];
    const label = itemLabel(item);
    const isLabelled = label !== '' && rest.startsWith(label);
    return matchesIn(item, rest.slice(isLabelled ? label.length : 0), [...field, index], []);
  }
  const letter = / > ([xyz])$/.exec(path)?.[1];
  const index = 'xyz'.indexOf(letter ?? '?');
  const item = list.items[index];
  return item === undefined ? [] : [{ field: [...field, index], offsets: [item.offset] }];
}
