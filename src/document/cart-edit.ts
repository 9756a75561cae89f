/** Changes to a cart, made in memory. */

import type { Cart, Castor, Position, Vec3 } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { targetProblem } from './cart-edit-target.js';
import { castorKind } from './castor-kind.js';
import { trimmedName } from './nearest-name.js';

export type { CartEdit } from './cart-edit-kinds.js';
export type { CastorKind } from './castor-kind.js';

/**
 * The cart with the changes made, one after the other. The given cart is not touched.
 *
 * @throws RangeError when an edit names what the cart does not have, adds a name it has, or leaves a
 *   mover nowhere to be: callers choose names from the cart
 */
export function editCart(cart: Cart, edits: readonly CartEdit[]): Cart {
  return edits.reduce(edited, cart);
}

function edited(cart: Cart, edit: CartEdit): Cart {
  const problem = targetProblem(cart, edit);
  if (problem !== null) {
    const { path, actual, allowed } = problem;
    throw new RangeError(`editCart: ${edit.kind}: ${path} ${actual}; allowed: ${allowed}`);
  }
  switch (edit.kind) {
    case 'rename':
      return { ...cart, name: trimmedName(edit.name) };
    case 'castor lock': {
      const { lock, brakeTorque, lockDirections } = edit;
      return withCastor(cart, edit.castor, { lock, brakeTorque, lockDirections });
    }
    case 'castor place':
      return withCastor(cart, edit.castor, { at: edit.at });
    case 'castor kind':
      return withCastor(cart, edit.castor, castorKind(edit.becomes));
    case 'friction': {
      const { value, tolerance, basis } = edit;
      const tread = trimmedName(edit.tread);
      // readings of the old value say nothing about the new one
      const exact = { distribution: 'rectangular', readings: null } as const;
      const changed = { tread, value, tolerance, ...exact, basis };
      const known = cart.floor.friction.find((each) => each.tread === tread);
      const isSame = known?.value === value && known.tolerance === tolerance;
      if (isSame && known.basis === basis) return cart;
      const friction = known
        ? cart.floor.friction.map((each) => (each.tread === tread ? changed : each))
        : [...cart.floor.friction, changed];
      return { ...cart, floor: { ...cart.floor, friction } };
    }
    case 'add part': {
      const { mass, at, on } = edit;
      const name = trimmedName(edit.name);
      const exact = { massTolerance: 0, massDistribution: 'rectangular' } as const;
      const placed = { at, atTolerance: 0, atDistribution: 'rectangular' } as const;
      const part = { name, mass, ...exact, ...placed, on, massFrom: 'cart file' } as const;
      return { ...cart, parts: [...cart.parts, part] };
    }
    case 'part mass':
      return withMass(cart, edit.part, edit.mass);
    case 'part place':
      return { ...cart, parts: replaced(cart.parts, edit.part, 'part', { at: edit.at }) };
    case 'mover range':
      return withRange(cart, edit.mover, edit.from, edit.to);
    case 'position mover': {
      const { mover, from, to } = edit;
      return withPosition(cart, edit.position, ({ movers }) => ({
        movers: { ...movers, [mover]: { from, to } },
      }));
    }
    case 'position load': {
      const { load, state } = edit;
      return withPosition(cart, edit.position, ({ loads }) => ({
        loads: { ...loads, [load]: state },
      }));
    }
    case 'add marking':
      return cart.markings.includes(edit.marking)
        ? cart
        : { ...cart, markings: [...cart.markings, edit.marking] };
    case 'raise':
      return raised(cart, edit.by);
  }
}

function named<T extends { readonly name: string }>(
  list: readonly T[],
  name: string,
  kind: string,
): T {
  const found = list.find((each) => each.name === name);
  if (found === undefined) throw new RangeError(`editCart: no ${kind} ${name}`);
  return found;
}

function replaced<T extends { readonly name: string }>(
  list: readonly T[],
  name: string,
  kind: string,
  change: Partial<T>,
): readonly T[] {
  const found = named(list, name, kind);
  return list.map((each) => (each === found ? { ...each, ...change } : each));
}

function withCastor(cart: Cart, name: string, change: Partial<Castor>): Cart {
  return { ...cart, castors: replaced(cart.castors, name, 'castor', change) };
}

function withPosition(
  cart: Cart,
  name: string,
  change: (position: Position) => Partial<Position>,
): Cart {
  const position = named(cart.positions, name, 'position');
  return { ...cart, positions: replaced(cart.positions, name, 'position', change(position)) };
}

/** A mass that is stated anew no longer comes from a parts list. */
function withMass(cart: Cart, name: string, mass: number): Cart {
  const part = named(cart.parts, name, 'part');
  if (part.mass === mass) return cart;
  return {
    ...cart,
    parts: replaced(cart.parts, name, 'part', { mass, massFrom: 'cart file' }),
  };
}

function withRange(cart: Cart, name: string, from: number, to: number): Cart {
  const mover = named(cart.movers, name, 'mover');
  const stops = mover.stops?.filter((stop) => stop >= from && stop <= to) ?? null;
  const movers = replaced(cart.movers, name, 'mover', { from, to, stops });
  const positions = cart.positions.map((position) => {
    const asked = position.movers[name];
    if (asked === undefined) return position;
    const cut = { from: Math.max(asked.from, from), to: Math.min(asked.to, to) };
    return { ...position, movers: { ...position.movers, [name]: cut } };
  });
  return { ...cart, movers, positions };
}

function raised(cart: Cart, by: number): Cart {
  const up = ([x, y, z]: Vec3): Vec3 => [x, y, z + by];
  return {
    ...cart,
    parts: cart.parts.map((each) => ({ ...each, at: up(each.at) })),
    loads: cart.loads.map((each) => ({ ...each, at: up(each.at) })),
    // the axis of a slide has a direction and no place
    movers: cart.movers.map((each) =>
      each.kind === 'turn' ? { ...each, origin: up(each.origin) } : each,
    ),
    handles: cart.handles.map((each) => ({ ...each, at: up(each.at) })),
    surfaces: cart.surfaces.map((each) => ({ ...each, height: each.height + by })),
    outline: cart.outline.map((each) => ({
      ...each,
      shape:
        each.shape.kind === 'box'
          ? { ...each.shape, from: up(each.shape.from), to: up(each.shape.to) }
          : { ...each.shape, base: up(each.shape.base) },
    })),
  };
}
