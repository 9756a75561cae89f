/** The names a cart file gives to its things. They all stand in the file itself, so that no parts list is
 * needed to know them. */

import type { FieldNode } from '../document/index.js';
import { nodeAt, readFields } from '../document/index.js';
import type { CartBody } from './entry-body.js';

export interface CartNames {
  readonly positions: ReadonlySet<string>;
  /** what a value of it is: a mover slides or turns */
  readonly movers: ReadonlyMap<string, 'length' | 'angle'>;
  readonly loads: ReadonlySet<string>;
  readonly castors: ReadonlySet<string>;
  /** those of the castors that swivel */
  readonly swivelling: ReadonlySet<string>;
  readonly treads: ReadonlySet<string>;
  readonly handles: ReadonlySet<string>;
}

const READ = new WeakMap<CartBody, CartNames>();

/** Read once a revision. */
export function cartNames(body: CartBody): CartNames {
  const known = READ.get(body);
  if (known !== undefined) return known;
  const names = namesIn(body.text);
  READ.set(body, names);
  return names;
}

function namesIn(text: string): CartNames {
  const root = readFields(text);
  const castors = itemsAt(root, ['castors']);
  return {
    positions: namesOf(itemsAt(root, ['positions']), 'name'),
    movers: new Map(
      itemsAt(root, ['movers']).flatMap((item) => {
        const name = nameAt(item, 'name');
        return name === null ? [] : [[name, has(item, 'turn') ? 'angle' : 'length'] as const];
      }),
    ),
    loads: namesOf(itemsAt(root, ['loads']), 'name'),
    castors: namesOf(castors, 'name'),
    swivelling: namesOf(
      castors.filter((item) => !has(item, 'fixed')),
      'name',
    ),
    treads: namesOf(itemsAt(root, ['floor', 'friction']), 'tread'),
    handles: namesOf(itemsAt(root, ['handles']), 'name'),
  };
}

function itemsAt(root: FieldNode | null, path: readonly string[]): readonly FieldNode[] {
  const node = root && nodeAt(root, path);
  return node?.kind === 'list' ? node.items : [];
}

function namesOf(items: readonly FieldNode[], key: string): ReadonlySet<string> {
  return new Set(items.flatMap((item) => nameAt(item, key) ?? []));
}

function nameAt(item: FieldNode, key: string): string | null {
  const node = nodeAt(item, [key]);
  return node?.kind === 'scalar' ? node.text.trim() : null;
}

function has(item: FieldNode, key: string): boolean {
  return nodeAt(item, [key]) !== null;
}
