/** Names in a cart file: where each kind of thing is listed, and where it is spoken of by name. */

import type { FieldPath } from './field-path.js';
import type { FieldMap, FieldNode } from './field-tree.js';
import { childAt, nodeAt } from './field-tree.js';
import { trimmedName } from './nearest-name.js';

export type NamedKind =
  | 'part'
  | 'mover'
  | 'load'
  | 'castor type'
  | 'castor'
  | 'tread'
  | 'body'
  | 'surface'
  | 'handle'
  | 'position';

/** A path with `*` for every item of a list. */
type FieldPattern = readonly string[];

export interface NamePlaces {
  /** the list of the things */
  readonly list: readonly string[];
  /** the field that holds the name of each */
  readonly key: string;
  /** fields that hold a name of the kind */
  readonly values: readonly FieldPattern[];
  /** maps whose keys are names of the kind */
  readonly keys: readonly FieldPattern[];
}

function onlyListed(list: string): NamePlaces {
  return { list: [list], key: 'name', values: [], keys: [] };
}

const CARRIED = ['parts', 'movers', 'loads', 'outline', 'surfaces', 'handles'];

export const NAME_PLACES: Readonly<Record<NamedKind, NamePlaces>> = {
  part: onlyListed('parts'),
  mover: {
    ...onlyListed('movers'),
    values: CARRIED.map((list) => [list, '*', 'on']),
    keys: [
      ['positions', '*', 'transport'],
      ['positions', '*', 'use'],
    ],
  },
  load: { ...onlyListed('loads'), keys: [['positions', '*', 'loads']] },
  'castor type': { ...onlyListed('castor types'), values: [['castors', '*', 'type']] },
  castor: onlyListed('castors'),
  tread: {
    list: ['floor', 'friction'],
    key: 'tread',
    values: [['castor types', '*', 'tread']],
    keys: [],
  },
  body: onlyListed('outline'),
  surface: onlyListed('surfaces'),
  handle: onlyListed('handles'),
  position: onlyListed('positions'),
};

/** True when the path is one of those that the pattern stands for. */
export function isAtPattern(path: FieldPath, pattern: FieldPattern): boolean {
  if (path.length !== pattern.length) return false;
  return path.every((step, i) =>
    typeof step === 'number' ? pattern[i] === '*' : pattern[i] === step,
  );
}

/** Every path of the tree that a pattern stands for. */
export function pathsAt(root: FieldNode, pattern: FieldPattern): readonly FieldPath[] {
  return pattern.reduce<readonly FieldPath[]>(
    (paths, step) =>
      paths.flatMap((path) => {
        const node = nodeAt(root, path);
        if (node === null) return [];
        if (step !== '*') return childAt(node, step) === null ? [] : [[...path, step]];
        return node.kind === 'list' ? node.items.map((_, index) => [...path, index]) : [];
      }),
    [[]],
  );
}

/** The name that stands at a path, as the reader takes it; null: no name. */
export function nameAt(root: FieldNode, path: FieldPath): string | null {
  const node = nodeAt(root, path);
  const isName = node?.kind === 'scalar' && typeof node.value === 'string';
  return isName ? trimmedName(node.value) : null;
}

/** The fields that hold the names of a kind. */
export function namePaths(root: FieldNode, what: NamedKind): readonly FieldPath[] {
  const { list, key } = NAME_PLACES[what];
  return pathsAt(root, [...list, '*', key]);
}

/** The first thing of a kind that has the name; null: none. */
export function namedItem(root: FieldNode, what: NamedKind, name: string): FieldMap | null {
  const path = namePaths(root, what).find((each) => nameAt(root, each) === trimmedName(name));
  const item = path && nodeAt(root, path.slice(0, -1));
  return item?.kind === 'map' ? item : null;
}
