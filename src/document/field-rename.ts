/** Another name for a thing of the cart, wherever the file speaks of it. */

import type { FieldInput } from './field-input.js';
import type { NamedKind } from './field-names.js';
import { NAME_PLACES, nameAt, namePaths, pathsAt } from './field-names.js';
import type { FieldPath } from './field-path.js';
import type { FieldNode } from './field-tree.js';
import { entryIndex, nodeAt } from './field-tree.js';
import type { Refusal } from './field-tree-changes.js';
import { issueLog } from './issue-log.js';
import { folded, trimmedName } from './nearest-name.js';
import { nameText } from './shape.js';

/** Another key for an entry of a map. */
export interface KeyChange {
  readonly kind: 'key';
  readonly path: FieldPath;
  readonly to: string;
}

interface NameChange {
  readonly kind: 'set';
  readonly path: FieldPath;
  readonly value: FieldInput;
}

/** The changes that a rename comes down to: references first as values, then as keys. */
export function renamed(
  root: FieldNode,
  what: NamedKind,
  from: string,
  to: string,
): readonly (NameChange | KeyChange)[] | Refusal {
  const [old, name] = [trimmedName(from), trimmedName(to)];
  const problem = nameProblem(name) ?? clash(root, what, old, name);
  if (problem !== null) return { reason: problem };
  if (old === name) return [];
  const places = NAME_PLACES[what];
  const values = [
    ...namePaths(root, what),
    ...places.values.flatMap((each) => pathsAt(root, each)),
  ];
  const isOld = (path: FieldPath) => nameAt(root, path) === old;
  const sets = values.filter(isOld).map((path): NameChange => ({ kind: 'set', path, value: name }));
  const keys = places.keys
    .flatMap((each) => pathsAt(root, each))
    .flatMap((path) => keyNamed(root, path, old))
    .map((path): KeyChange => ({ kind: 'key', path, to: name }));
  const all = [...sets, ...keys];
  return all.length > 0 ? all : { reason: `there is no ${what} "${from}"` };
}

/** What the reader of cart files would say against the name; null: nothing. */
function nameProblem(name: string): string | null {
  const log = issueLog('', [0]);
  const node = { kind: 'scalar', offset: 0, value: name, source: name } as const;
  nameText.read(node, 'name', log);
  const [issue] = log.issues();
  return issue === undefined
    ? null
    : `${issue.actual} is no usable name; allowed: ${issue.allowed}`;
}

/** Names that differ only in letter case or white space are the same name given twice. */
function clash(root: FieldNode, what: NamedKind, from: string, to: string): string | null {
  const names = namePaths(root, what).map((path) => nameAt(root, path));
  const known = names.filter((each) => each === from).length;
  if (known > 1) {
    return `"${from}" is the name of ${known} entries, so what speaks of it may mean either: set one name first`;
  }
  const others = names.filter((each): each is string => each !== null && each !== from);
  const taken = others.find((each) => folded(each) === folded(to));
  return taken === undefined
    ? null
    : `another ${what} is called "${taken}" (letter case is ignored)`;
}

function keyNamed(root: FieldNode, path: FieldPath, name: string): readonly FieldPath[] {
  const map = nodeAt(root, path);
  if (map?.kind !== 'map') return [];
  const index = entryIndex(map, name);
  return index === -1 ? [] : [[...path, map.entries[index]?.key ?? name]];
}
