/** What a lock takes with it in the file. */

import type { FieldChange, FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';

const BRAKED = ['wheel', 'total'];

/** Holds the wheel, so that it has a brake torque. */
export function isBraked(lock: string): boolean {
  return BRAKED.includes(lock);
}

/** The reader refuses a brake torque, or directions, where the lock has none.
 *
 * @param torque as typed; null: what stands there stays, as far as the lock has one */
export function lockChanges(
  fields: FieldNode,
  item: FieldPath,
  lock: string,
  torque: string | null,
): FieldChange[] {
  const brake = [...item, 'brake torque'];
  const directions = [...item, 'lock directions'];
  const out = (path: FieldPath): FieldChange[] =>
    nodeAt(fields, path) === null ? [] : [{ kind: 'remove', path }];
  return [
    { kind: 'set', path: [...item, 'lock'], value: lock },
    ...(isBraked(lock) ? [] : out(brake)),
    ...(torque === null ? [] : [{ kind: 'set', path: brake, value: { typed: torque } } as const]),
    ...(lock === 'none' || lock === 'wheel' ? out(directions) : []),
  ];
}
