/** A cart in the terms of the engine, built once for all questions. */

import type { Cart, Position, Vec3 } from '../document/index.js';
import type {
  CastorInput,
  ConfigurationDomain,
  LoadedCastor,
  MassModel,
  OverturningInput,
  RollingCastor,
  SupportCastor,
  SupportPolygon,
  Tipping,
} from '../engine/index.js';
import {
  buildMassModel,
  momentsAt,
  positionDomain,
  supportPolygon,
  worstIncline,
} from '../engine/index.js';

/** A position with what its variables may be. */
export interface PlacedPosition {
  readonly position: Position;
  readonly domain: ConfigurationDomain;
}

export interface CartModel {
  readonly cart: Cart;
  /** masses and places at their nominal values */
  readonly mass: MassModel;
  readonly positions: readonly PlacedPosition[];
  /** the castors as each kind of question sees them, in the order of the cart */
  readonly stands: readonly (SupportCastor & LoadedCastor)[];
  readonly rolling: readonly RollingCastor[];
  /** locks on, friction of the treads nominal */
  readonly castors: readonly CastorInput[];
  /** always there, whichever way the castors turn */
  readonly support: SupportPolygon;
  /** worst tip on an incline of a position, searched once */
  readonly inclineTip: (placed: PlacedPosition) => Tipping;
}

export function modelOf(cart: Cart): CartModel {
  const mass = buildMassModel(cart);
  const positions = cart.positions.map(
    (position): PlacedPosition => ({
      position,
      domain: positionDomain(cart.movers, cart.loads, position),
    }),
  );
  const stands = cart.castors.map(({ at, trail, fixedDirection, stiffness }) => ({
    stem: at,
    trail: fixedDirection === null ? trail : 0,
    stiffness,
  }));
  const rolling = cart.castors.map(
    (castor, i): RollingCastor => ({
      stem: castor.at,
      trail: stands[i]?.trail ?? 0,
      radius: castor.wheelDiameter / 2,
      rollingLength: castor.rollingLength,
      swivelMoment: castor.swivelMoment,
    }),
  );
  const support = supportPolygon(stands);
  const tips = new Map<PlacedPosition, Tipping>();
  const inclineTip = (placed: PlacedPosition): Tipping => {
    const known = tips.get(placed) ?? worstIncline({ model: mass, domain: placed.domain, support });
    tips.set(placed, known);
    return known;
  };
  const castors = castorInputs(cart, 'nominal');
  return { cart, mass, positions, stands, rolling, castors, support, inclineTip };
}

/** The castors with the friction of their treads: as stated, or at the low end of the tolerance. */
export function castorInputs(cart: Cart, friction: 'nominal' | 'low'): readonly CastorInput[] {
  return cart.castors.map((castor) => {
    const { value, tolerance } = frictionOf(cart, castor.tread);
    return { ...castor, friction: friction === 'low' ? value - tolerance : value };
  });
}

/** @throws Error when the floor has no friction for the tread: the document layer refuses that */
export function frictionOf(cart: Cart, tread: string): Cart['floor']['friction'][number] {
  const found = cart.floor.friction.find((each) => each.tread === tread);
  if (found === undefined) throw new Error(`cart model: no friction of tread ${tread}`);
  return found;
}

export function overturningInput(model: CartModel, placed: PlacedPosition): OverturningInput {
  return { model: model.mass, domain: placed.domain, support: model.support };
}

/** Index of a mover by name; -1: the base. */
export function moverIndex(cart: Cart, name: string | null): number {
  return name === null ? -1 : cart.movers.findIndex((mover) => mover.name === name);
}

const moments = new Float64Array(4);

/** Mass (kg) and centre of mass (m) in a configuration. */
export function massStateOf(
  { mass }: Pick<CartModel, 'mass'>,
  x: Float64Array,
): { readonly mass: number; readonly centreOfMass: Vec3 } {
  momentsAt(mass, x, moments);
  const [m, mx, my, mz] = [...moments] as [number, number, number, number];
  return { mass: m, centreOfMass: [mx / m, my / m, mz / m] };
}

export function positionsOf(
  model: CartModel,
  kind: 'transport' | 'use' | 'all',
): readonly PlacedPosition[] {
  return model.positions.filter(({ position }) => kind === 'all' || position.kind === kind);
}

/** The worst of a search over several positions: least found, least bound, boxes in all. */
export interface Worst<T> {
  readonly found: T;
  readonly placed: PlacedPosition;
  /** of all positions */
  readonly bound: number;
  readonly boxes: number;
  readonly closed: boolean;
}

interface Searched {
  readonly capacity: number;
  readonly bound: number;
  readonly boxes: number;
  readonly status: 'closed' | 'budget';
}

/** @throws Error when there is no position: a cart file has one of each kind at least */
export function worstOver<T extends Searched>(
  positions: readonly PlacedPosition[],
  search: (placed: PlacedPosition) => T,
): Worst<T> {
  const all = positions.map((placed) => ({ placed, found: search(placed) }));
  const worst = all.reduce((p, q) => (q.found.capacity < p.found.capacity ? q : p));
  return {
    ...worst,
    bound: Math.min(...all.map(({ found }) => found.bound)),
    boxes: all.reduce((sum, { found }) => sum + found.boxes, 0),
    closed: all.every(({ found }) => found.status === 'closed'),
  };
}
