/** Edits of several sources made one list: what a variant of a study does to its cart. */

import type { Cart, Castor, Vec2 } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { BRAKES, STOPS_SWIVELLING } from './castors.js';

type LockEdit = Extract<CartEdit, { kind: 'castor lock' }>;
type PlaceEdit = Extract<CartEdit, { kind: 'castor place' }>;

/**
 * The edits in an order and form in which none undoes another:
 *
 * - Places of one castor are moves from where the cart has it, and add up (one option moves it
 *   outwards across, another along).
 * - Of one castor's lock, each edit counts in what it changes from the cart (a layout sets the kind, a
 *   catalogue what the brake holds). A lock without a brake has no brake torque, one that leaves
 *   swivelling free no directions.
 * - What raises everything comes last, so that it raises what others placed, too.
 */
export function combineEdits(cart: Cart, edits: readonly CartEdit[]): readonly CartEdit[] {
  const castors = new Map(cart.castors.map((castor) => [castor.name, castor]));
  const places = new Map<string, Vec2>();
  const locks = new Map<string, LockEdit>();
  const combined = edits.map((edit): CartEdit => {
    if (edit.kind !== 'castor place' && edit.kind !== 'castor lock') return edit;
    const castor = castors.get(edit.castor);
    if (castor === undefined) return edit;
    if (edit.kind === 'castor place') return moved(castor, edit, places);
    return locked(castor, edit, locks);
  });
  const isRaise = (edit: CartEdit) => edit.kind === 'raise';
  return [...combined.filter((edit) => !isRaise(edit)), ...combined.filter(isRaise)];
}

function moved({ at, name }: Castor, edit: PlaceEdit, places: Map<string, Vec2>): PlaceEdit {
  const before = places.get(name);
  // a single move is taken as it is: the sum would only round it
  const sum: Vec2 =
    before === undefined
      ? edit.at
      : [before[0] + edit.at[0] - at[0], before[1] + edit.at[1] - at[1]];
  places.set(name, sum);
  return { ...edit, at: sum };
}

function locked(castor: Castor, edit: LockEdit, locks: Map<string, LockEdit>): LockEdit {
  const before = locks.get(castor.name) ?? { ...edit, ...pick(castor) };
  const merged: LockEdit = {
    ...before,
    ...(edit.lock === castor.lock ? {} : { lock: edit.lock }),
    ...(edit.brakeTorque === castor.brakeTorque ? {} : { brakeTorque: edit.brakeTorque }),
    ...(sameDirections(edit.lockDirections, castor.lockDirections)
      ? {}
      : { lockDirections: edit.lockDirections }),
  };
  locks.set(castor.name, merged);
  return {
    ...merged,
    brakeTorque: BRAKES.has(merged.lock) ? merged.brakeTorque : null,
    lockDirections: STOPS_SWIVELLING.has(merged.lock) ? merged.lockDirections : null,
  };
}

function pick({ lock, brakeTorque, lockDirections }: Castor) {
  return { lock, brakeTorque, lockDirections };
}

function sameDirections(a: readonly number[] | null, b: readonly number[] | null): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}
