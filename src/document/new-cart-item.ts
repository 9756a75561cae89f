/** New items for the lists of a cart file, with a free name and nothing made up: what only the user knows
 * (a mass above all) is left out, and so is an error beside its field until it is filled in. */

import type { FieldInput } from './field-input.js';
import type { NamedKind } from './field-names.js';
import { NAME_PLACES, nameAt, namePaths, pathsAt } from './field-names.js';
import type { FieldPath } from './field-path.js';
import type { FieldNode } from './field-tree.js';
import { folded } from './nearest-name.js';

/** What kind each is of, and the map that says what it is where there are several such. */
const NEW_ITEMS = {
  part: ['part'],
  slide: ['mover', 'slide'],
  turn: ['mover', 'turn'],
  fluid: ['load', 'fluid'],
  removable: ['load', 'removable'],
  'castor type': ['castor type'],
  castor: ['castor'],
  friction: ['tread'],
  box: ['body', 'box'],
  cylinder: ['body', 'cylinder'],
  foothold: ['surface', 'foothold'],
  seat: ['surface', 'seat'],
  'work surface': ['surface', 'work surface'],
  pushing: ['handle', 'pushing'],
  lifting: ['handle', 'lifting'],
  transport: ['position', 'transport'],
  use: ['position', 'use'],
} as const satisfies Record<string, readonly [NamedKind, string?]>;

export type NewItemKind = keyof typeof NEW_ITEMS;

/** The list that a new item of the kind is inserted into. */
export function listOfNewItem(kind: NewItemKind): FieldPath {
  return NAME_PLACES[NEW_ITEMS[kind][0]].list;
}

/**
 * An item to insert into `listOfNewItem(kind)`.
 *
 * Only a position is complete. Of a castor the type is given where the cart has just one, of a friction
 * value the tread where one has none yet.
 *
 * @param fields the cart, whose names are taken
 */
export function newCartItem(kind: NewItemKind, fields: FieldNode): FieldInput {
  const [named, part] = NEW_ITEMS[kind];
  const name = freeName(fields, named);
  if (kind === 'friction') return { map: { tread: treadWithoutFriction(fields) ?? name } };
  const stated = part === undefined ? {} : { [part]: { map: {} } };
  const type = kind === 'castor' ? onlyCastorType(fields) : null;
  return { map: { name, ...(type === null ? {} : { type }), ...stated } };
}

/** "part 12": the number of those there are and one more, or the next that is free. */
function freeName(fields: FieldNode, kind: NamedKind): string {
  const paths = namePaths(fields, kind);
  const taken = new Set(paths.map((path) => folded(nameAt(fields, path) ?? '')));
  let number = paths.length + 1;
  while (taken.has(`${kind} ${number}`)) number += 1;
  return `${kind} ${number}`;
}

function onlyCastorType(fields: FieldNode): string | null {
  const [only, second] = namePaths(fields, 'castor type');
  return only === undefined || second !== undefined ? null : nameAt(fields, only);
}

function treadWithoutFriction(fields: FieldNode): string | null {
  const stated = namePaths(fields, 'tread').map((path) => nameAt(fields, path));
  const treads = NAME_PLACES.tread.values.flatMap((each) => pathsAt(fields, each));
  const names = treads.map((path) => nameAt(fields, path));
  return names.find((each) => each !== null && !stated.includes(each)) ?? null;
}
