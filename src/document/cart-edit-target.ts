/** Whether a cart has what an edit speaks of. */

import { formatQuantity } from '../units/index.js';
import type { Cart, Mover } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import type { ProblemCode } from './cart-problems.js';
import { allowedNames } from './names.js';
import { folded } from './nearest-name.js';

/** Why an edit cannot be made, as the readers say it of a file. */
export interface EditProblem {
  readonly code: ProblemCode;
  readonly path: string;
  readonly actual: string | null;
  readonly allowed: string;
}

interface Named {
  readonly name: string;
}

/** An edit that names what is not there, adds a name that is there, or leaves a mover nowhere; null
 * where the edit can be made. */
export function targetProblem(cart: Cart, edit: CartEdit): EditProblem | null {
  switch (edit.kind) {
    case 'castor lock':
    case 'castor place':
    case 'castor kind':
      return unknown(edit.castor, cart.castors, 'castor', 'castors');
    case 'add part':
      return takenPart(cart, edit.name) ?? unknownMover(cart, edit.on);
    case 'part mass':
    case 'part place':
      return unknown(edit.part, cart.parts, 'part', 'parts');
    case 'mover range':
      return unknownMover(cart, edit.mover) ?? nowhere(cart, edit);
    case 'position mover':
      return unknownPosition(cart, edit.position) ?? unknownMover(cart, edit.mover);
    case 'position load':
      return (
        unknownPosition(cart, edit.position) ?? unknown(edit.load, cart.loads, 'load', 'loads')
      );
    case 'rename':
    case 'friction':
    case 'add marking':
    case 'raise':
      return null;
  }
}

function unknown(
  name: string,
  list: readonly Named[],
  kind: string,
  path: string,
): EditProblem | null {
  if (list.some((each) => each.name === name)) return null;
  const known = new Map(list.map((each) => [each.name, each]));
  const allowed = allowedNames(name, { kind, known, complete: true });
  return { code: 'unknown-name', path, actual: `"${name}"`, allowed };
}

function unknownPosition(cart: Cart, name: string): EditProblem | null {
  return unknown(name, cart.positions, 'position', 'positions');
}

function unknownMover(cart: Cart, name: string | null): EditProblem | null {
  return name === null ? null : unknown(name, cart.movers, 'mover', 'movers');
}

function takenPart(cart: Cart, name: string): EditProblem | null {
  const taken = cart.parts.find((each) => folded(each.name) === folded(name));
  if (taken === undefined) return null;
  const allowed = `a name that no other part has, letter case ignored ("${taken.name}" is taken)`;
  return { code: 'duplicate-name', path: 'parts', actual: `"${name}"`, allowed };
}

function nowhere(
  cart: Cart,
  { mover: name, from, to }: Extract<CartEdit, { kind: 'mover range' }>,
): EditProblem | null {
  const mover = cart.movers.find((each) => each.name === name);
  if (mover === undefined) return null;
  const path = `movers "${name}"`;
  const range = rangeWords(mover, from, to);
  if (!(from <= to)) {
    const allowed = 'a range whose least value is not above its greatest';
    return { code: 'range-reversed', path, actual: range, allowed };
  }
  if (mover.stops?.every((stop) => stop < from || stop > to) === true) {
    const stops = mover.stops.slice(0, 8).map((stop) => moverWords(mover, stop));
    const allowed = `a range that holds one of its stops (${stops.join(', ')})`;
    return { code: 'no-stop-in-range', path, actual: range, allowed };
  }
  const left = cart.positions.find(({ movers }) => {
    const asked = movers[name];
    return asked !== undefined && Math.max(asked.from, from) > Math.min(asked.to, to);
  });
  const asked = left?.movers[name];
  if (left === undefined || asked === undefined) return null;
  const wanted = rangeWords(mover, asked.from, asked.to);
  const allowed = `a range that meets that of position "${left.name}", ${wanted}`;
  return { code: 'range-outside', path, actual: range, allowed };
}

/** '0 mm to 400 mm', '90 deg' */
export function rangeWords(mover: Mover, from: number, to: number): string {
  return from === to
    ? moverWords(mover, from)
    : `${moverWords(mover, from)} to ${moverWords(mover, to)}`;
}

function moverWords({ kind }: Mover, value: number): string {
  if (!Number.isFinite(value)) return String(value);
  return formatQuantity(value, kind === 'slide' ? 'length' : 'angle', 'SI', { digits: 6 });
}
