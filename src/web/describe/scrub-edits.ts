/** What a drag of a value does to the cart, so that the margins follow before anything is written. */

import type { Cart, CartEdit, FieldNode, FieldPath, Vec2, Vec3 } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';

/**
 * @param cart read from `fields`: items stand in it in the order of the file
 * @param value SI, or a bare number
 * @returns null where a drag of this field cannot be shown
 */
export function scrubEdits(
  cart: Cart,
  fields: FieldNode,
  path: FieldPath,
  value: number,
): readonly CartEdit[] | null {
  const edit = scrubEdit(cart, path, value);
  if (edit?.kind !== 'mover range') return edit && [edit];
  return [edit, ...followingPositions(cart, fields, edit)];
}

/** A position that says nothing of a mover has its whole range, also when that grows. */
function followingPositions(
  cart: Cart,
  fields: FieldNode,
  { mover, from, to }: Extract<CartEdit, { kind: 'mover range' }>,
): CartEdit[] {
  return cart.positions.flatMap(({ name, kind }, index): CartEdit[] => {
    if (nodeAt(fields, ['positions', index, kind, mover]) !== null) return [];
    return [{ kind: 'position mover', position: name, mover, from, to }];
  });
}

function scrubEdit(cart: Cart, path: FieldPath, value: number): CartEdit | null {
  const [list, index, ...rest] = path;
  if (list === 'floor') return frictionEdit(cart, path, value);
  if (typeof index !== 'number') return null;
  switch (list) {
    case 'parts':
      return partEdit(cart, index, rest, value);
    case 'castors':
      return castorEdit(cart, index, rest, value);
    case 'movers':
      return moverEdit(cart, index, rest, value);
    case 'positions':
      return positionEdit(cart, index, rest, value);
    default:
      return null;
  }
}

function partEdit(cart: Cart, index: number, rest: FieldPath, value: number): CartEdit | null {
  const part = cart.parts[index];
  if (part === undefined) return null;
  if (rest.length === 1 && rest[0] === 'mass') {
    return { kind: 'part mass', part: part.name, mass: value };
  }
  if (rest[0] !== 'at' || typeof rest[1] !== 'number') return null;
  return { kind: 'part place', part: part.name, at: withCoordinate(part.at, rest[1], value) };
}

function castorEdit(cart: Cart, index: number, rest: FieldPath, value: number): CartEdit | null {
  const castor = cart.castors[index];
  if (castor === undefined) return null;
  const { name, lock, lockDirections } = castor;
  if (rest[0] === 'brake torque') {
    return { kind: 'castor lock', castor: name, lock, lockDirections, brakeTorque: value };
  }
  if (rest[0] !== 'at' || typeof rest[1] !== 'number') return null;
  return { kind: 'castor place', castor: name, at: withCoordinate(castor.at, rest[1], value) };
}

function withCoordinate<P extends Vec2 | Vec3>(point: P, index: number, value: number): P {
  return point.map((each, i) => (i === index ? value : each)) as unknown as P;
}

function moverEdit(cart: Cart, index: number, rest: FieldPath, value: number): CartEdit | null {
  const mover = cart.movers[index];
  const end = endOf(rest[1]);
  if (mover === undefined || end === null || rest.length !== 2) return null;
  const { from, to } = mover;
  return { kind: 'mover range', mover: mover.name, from, to, [end]: value };
}

function endOf(step: string | number | undefined): 'from' | 'to' | null {
  return step === 'from' || step === 'to' ? step : null;
}

function positionEdit(cart: Cart, index: number, rest: FieldPath, value: number): CartEdit | null {
  const position = cart.positions[index];
  const [key, name, end] = rest;
  if (position === undefined || typeof name !== 'string') return null;
  if (key === 'loads') {
    const state = position.loads[name];
    if (state === undefined || (end !== 'least' && end !== 'most')) return null;
    return {
      kind: 'position load',
      position: position.name,
      load: name,
      state: { ...state, [end]: value },
    };
  }
  const range = position.movers[name];
  if (range === undefined) return null;
  const which = endOf(end);
  const asked = which === null ? { from: value, to: value } : { ...range, [which]: value };
  return { kind: 'position mover', position: position.name, mover: name, ...asked };
}

function frictionEdit(cart: Cart, path: FieldPath, value: number): CartEdit | null {
  const [, , index, key] = path;
  const friction = typeof index === 'number' ? cart.floor.friction[index] : undefined;
  if (friction === undefined || (key !== 'value' && key !== 'tolerance')) return null;
  const { tread, tolerance, basis } = friction;
  return { kind: 'friction', tread, value: friction.value, tolerance, basis, [key]: value };
}

/** True where the change reaches beyond the field itself, so that the edits have to be written and not the
 * typed text alone: a position that asks for more than the mover now has is cut to it. */
export function reachesFurther([first]: readonly CartEdit[]): boolean {
  return first?.kind === 'mover range';
}
