/** Changes to a cart as data: what a remedy proposes and what a study varies. */

import type { Cart, Castor, LoadState, LockKind, Marking, Position, Vec2, Vec3 } from './cart.js';

/** What a castor brings with it, wherever it stands: a row of a catalogue. SI units as in `Castor`. */
export type CastorKind = Pick<
  Castor,
  'wheelDiameter' | 'trail' | 'swivelMoment' | 'rollingLength' | 'rating' | 'stiffness' | 'tread'
>;

/** One change. Units as in `Cart`. */
export type CartEdit =
  | { readonly kind: 'rename'; readonly name: string }
  | {
      readonly kind: 'castor lock';
      readonly castor: string;
      readonly lock: LockKind;
      /** N m; null: outlasts the tread, or no brake */
      readonly brakeTorque: number | null;
      readonly lockDirections: readonly number[] | null;
    }
  | { readonly kind: 'castor place'; readonly castor: string; readonly at: Vec2 }
  /** replaces what the castor brings; place, lock and fixed direction stay */
  | { readonly kind: 'castor kind'; readonly castor: string; readonly becomes: CastorKind }
  | {
      readonly kind: 'friction';
      readonly tread: string;
      readonly value: number;
      readonly tolerance: number;
      readonly basis: 'assumed' | 'measured';
    }
  | {
      readonly kind: 'add part';
      readonly name: string;
      readonly mass: number;
      readonly at: Vec3;
      readonly on: string | null;
    }
  | { readonly kind: 'part mass'; readonly part: string; readonly mass: number }
  | { readonly kind: 'part place'; readonly part: string; readonly at: Vec3 }
  /** what a mover can do at all; a position that asks for more is cut to it */
  | {
      readonly kind: 'mover range';
      readonly mover: string;
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: 'position mover';
      readonly position: string;
      readonly mover: string;
      readonly from: number;
      readonly to: number;
    }
  | {
      readonly kind: 'position load';
      readonly position: string;
      readonly load: string;
      readonly state: LoadState;
    }
  | { readonly kind: 'add marking'; readonly marking: Marking }
  /** m: everything above the castors is raised by so much (larger wheels under the same base) */
  | { readonly kind: 'raise'; readonly by: number };

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
  switch (edit.kind) {
    case 'rename':
      return { ...cart, name: edit.name };
    case 'castor lock': {
      const { lock, brakeTorque, lockDirections } = edit;
      return withCastor(cart, edit.castor, { lock, brakeTorque, lockDirections });
    }
    case 'castor place':
      return withCastor(cart, edit.castor, { at: edit.at });
    case 'castor kind':
      return withCastor(cart, edit.castor, edit.becomes);
    case 'friction': {
      const { tread, value, tolerance, basis } = edit;
      const changed = { tread, value, tolerance, basis };
      const known = cart.floor.friction.some((each) => each.tread === tread);
      const friction = known
        ? cart.floor.friction.map((each) => (each.tread === tread ? changed : each))
        : [...cart.floor.friction, changed];
      return { ...cart, floor: { ...cart.floor, friction } };
    }
    case 'add part': {
      const { name, mass, at, on } = edit;
      if (cart.parts.some((each) => each.name === name)) {
        throw new RangeError(`editCart: there is a part ${name} already`);
      }
      if (on !== null) named(cart.movers, on, 'mover');
      const part = { name, mass, massTolerance: 0, at, atTolerance: 0, on } as const;
      return { ...cart, parts: [...cart.parts, { ...part, massFrom: 'cart file' }] };
    }
    case 'part mass':
      return { ...cart, parts: replaced(cart.parts, edit.part, 'part', { mass: edit.mass }) };
    case 'part place':
      return { ...cart, parts: replaced(cart.parts, edit.part, 'part', { at: edit.at }) };
    case 'mover range':
      return withRange(cart, edit.mover, edit.from, edit.to);
    case 'position mover': {
      const { mover, from, to } = edit;
      named(cart.movers, mover, 'mover');
      return withPosition(cart, edit.position, ({ movers }) => ({
        movers: { ...movers, [mover]: { from, to } },
      }));
    }
    case 'position load': {
      const { load, state } = edit;
      named(cart.loads, load, 'load');
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

function withRange(cart: Cart, name: string, from: number, to: number): Cart {
  const mover = named(cart.movers, name, 'mover');
  const stops = mover.stops?.filter((stop) => stop >= from && stop <= to) ?? null;
  if (from > to || stops?.length === 0) {
    throw new RangeError(`editCart: mover ${name} can be nowhere from ${from} to ${to}`);
  }
  const movers = replaced(cart.movers, name, 'mover', { from, to, stops });
  const positions = cart.positions.map((position) => {
    const asked = position.movers[name];
    if (asked === undefined) return position;
    const cut = { from: Math.max(asked.from, from), to: Math.min(asked.to, to) };
    if (cut.from > cut.to) {
      throw new RangeError(`editCart: mover ${name} can no longer be in position ${position.name}`);
    }
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
