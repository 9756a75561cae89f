/**
 * A cart as the tree that its file would give, so that a cart made in memory is judged by the rules of
 * the reader and by no copy of them.
 */

import type {
  Body,
  Cart,
  Castor,
  Friction,
  Handle,
  Load,
  LoadState,
  Mover,
  Part,
  Position,
  StatedUncertainty,
  Surface,
} from './cart.js';
import { CURRENT_VERSION, NOT_STATED, OUTLASTS_THE_TREAD, VERSION_KEY } from './cart-shape.js';
import type { CastorKind } from './castor-kind.js';
import { castorKind, isSameKind } from './castor-kind.js';
import { BRAKES } from './castors.js';
import { UNCERTAINTY_LIMITS } from './limits.js';
import { sheetQuantity } from './short-number.js';
import type { YamlList, YamlMap, YamlNode, YamlScalar } from './yaml-tree.js';

/** What a map may be made from: fields that are undefined are left out. */
type Plain =
  | string
  | number
  | boolean
  | readonly Plain[]
  | { readonly [key: string]: Plain | undefined };

export interface CartTree {
  readonly root: YamlMap;
  /** for each castor type of the tree (a cart in memory has no types) the first castor of it, from 0 */
  readonly firstOfType: readonly number[];
}

export function cartTree(cart: Cart): CartTree {
  const kinds: { readonly kind: CastorKind; readonly isFixed: boolean; readonly first: number }[] =
    [];
  const typeOf = cart.castors.map((castor, first) => {
    const kind = castorKind(castor);
    const isFixed = castor.fixedDirection !== null;
    const known = kinds.findIndex(
      (each) => each.isFixed === isFixed && isSameKind(each.kind, kind),
    );
    return known === -1 ? kinds.push({ kind, isFixed, first }) - 1 : known;
  });
  const plain: Plain = {
    [VERSION_KEY]: CURRENT_VERSION,
    name: cart.name,
    description: cart.description,
    mobility: cart.mobility,
    requirements: cart.requirements ?? undefined,
    parts: cart.parts.map(partFields),
    movers: cart.movers.map(moverFields),
    loads: cart.loads.map(loadFields),
    'castor types': kinds.map(({ kind, isFixed }, index) =>
      typeFields(typeName(index), kind, isFixed),
    ),
    castors: cart.castors.map((each, index) => castorFields(each, typeName(typeOf[index] ?? 0))),
    floor: { name: cart.floor.name, friction: cart.floor.friction.map(frictionFields) },
    outline: cart.outline.map(bodyFields),
    surfaces: cart.surfaces.map(surfaceFields),
    handles: cart.handles.map(handleFields),
    markings: cart.markings,
    positions: cart.positions.map((each) => positionFields(each, cart)),
    uncertainty: uncertaintyFields(cart),
  };
  return { root: mapNode(plain), firstOfType: kinds.map(({ first }) => first) };
}

function typeName(index: number): string {
  return `type ${index + 1}`;
}

function node(plain: Plain): YamlNode {
  if (Array.isArray(plain)) {
    return { kind: 'list', offset: 0, items: plain.map(node) } satisfies YamlList;
  }
  if (typeof plain === 'object') return mapNode(plain as { readonly [key: string]: Plain });
  return { kind: 'scalar', offset: 0, value: plain, source: String(plain) } as YamlScalar;
}

function mapNode(fields: { readonly [key: string]: Plain | undefined }): YamlMap {
  const entries = Object.entries(fields).flatMap(([key, value]) =>
    value === undefined ? [] : [{ key, keyOffset: 0, node: node(value) }],
  );
  return { kind: 'map', offset: 0, entries };
}

function point(at: readonly number[]): readonly string[] {
  return at.map((each) => sheetQuantity(each, 'length'));
}

/** A tolerance of zero is one that is not stated. */
function tolerance(value: number, dimension: 'length' | 'mass'): string | undefined {
  return value === 0 ? undefined : sheetQuantity(value, dimension);
}

/** What is left out where nothing needs it. */
function unlessUsual(distribution: string): string | undefined {
  return distribution === 'rectangular' ? undefined : distribution;
}

function partFields(part: Part): Plain {
  return {
    name: part.name,
    mass: sheetQuantity(part.mass, 'mass'),
    'mass tolerance': tolerance(part.massTolerance, 'mass'),
    'mass tolerance distribution': unlessUsual(part.massDistribution),
    at: point(part.at),
    'at tolerance': tolerance(part.atTolerance, 'length'),
    'at tolerance distribution': unlessUsual(part.atDistribution),
    on: part.on ?? undefined,
  };
}

function moverValue(value: number, kind: Mover['kind']): string {
  return sheetQuantity(value, kind === 'slide' ? 'length' : 'angle');
}

function moverFields(mover: Mover): Plain {
  const { name, kind, axis } = mover;
  const motion = {
    about: kind === 'turn' ? point(mover.origin) : undefined,
    axis,
    from: moverValue(mover.from, kind),
    to: moverValue(mover.to, kind),
    stops: mover.stops?.map((stop) => moverValue(stop, kind)),
  };
  return { name, on: mover.on ?? undefined, [kind]: motion };
}

function loadFields(load: Load): Plain {
  return {
    name: load.name,
    [load.kind]: massRange(load),
    at: point(load.at),
    'at tolerance': tolerance(load.atTolerance, 'length'),
    'at tolerance distribution': unlessUsual(load.atDistribution),
    on: load.on ?? undefined,
  };
}

function massRange({ least, most }: { readonly least: number; readonly most: number }) {
  return { least: sheetQuantity(least, 'mass'), most: sheetQuantity(most, 'mass') };
}

/** A fixed castor has a type without trail and swivel moment; one that states them is refused. */
function typeFields(name: string, kind: CastorKind, isFixed: boolean): Plain {
  const swivel = (value: number) => (isFixed && value === 0 ? undefined : value);
  const trail = swivel(kind.trail);
  const moment = swivel(kind.swivelMoment);
  return {
    name,
    'wheel diameter': sheetQuantity(kind.wheelDiameter, 'length'),
    trail: trail === undefined ? undefined : sheetQuantity(trail, 'length'),
    'swivel moment': moment === undefined ? undefined : sheetQuantity(moment, 'moment'),
    'rolling length': sheetQuantity(kind.rollingLength, 'length'),
    stiffness: sheetQuantity(kind.stiffness, 'stiffness'),
    rating: kind.rating === null ? NOT_STATED : sheetQuantity(kind.rating, 'mass'),
    tread: kind.tread,
  };
}

function castorFields(castor: Castor, type: string): Plain {
  const { fixedDirection, brakeTorque, lock } = castor;
  const isBraked = BRAKES.has(lock);
  return {
    name: castor.name,
    type,
    at: point(castor.at),
    fixed: fixedDirection === null ? undefined : sheetQuantity(fixedDirection, 'angle'),
    lock,
    'brake torque':
      brakeTorque !== null
        ? sheetQuantity(brakeTorque, 'moment')
        : isBraked
          ? OUTLASTS_THE_TREAD
          : undefined,
    'lock directions': castor.lockDirections?.map((each) => sheetQuantity(each, 'angle')),
  };
}

function frictionFields(friction: Friction): Plain {
  const { tread, value, basis } = friction;
  return {
    tread,
    value,
    tolerance: friction.tolerance,
    'tolerance distribution': unlessUsual(friction.distribution),
    readings: friction.readings ?? undefined,
    basis,
  };
}

function bodyFields({ name, on, shape, pushable }: Body): Plain {
  const drawn =
    shape.kind === 'box'
      ? { from: point(shape.from), to: point(shape.to) }
      : {
          base: point(shape.base),
          radius: sheetQuantity(shape.radius, 'length'),
          height: sheetQuantity(shape.height, 'length'),
        };
  return { name, [shape.kind]: drawn, on: on ?? undefined, pushable };
}

function surfaceFields({ name, kind, on, from, to, height }: Surface): Plain {
  const rectangle = { from: point(from), to: point(to), height: sheetQuantity(height, 'length') };
  return { name, [kind]: rectangle, on: on ?? undefined };
}

function handleFields({ name, kind, on, at, rating }: Handle): Plain {
  const stated = rating === null ? NOT_STATED : sheetQuantity(rating, 'force');
  const grip = kind === 'pushing' ? { at: point(at) } : { at: point(at), rating: stated };
  return { name, [kind]: grip, on: on ?? undefined };
}

function positionFields({ name, kind, movers, loads }: Position, cart: Cart): Plain {
  const ranges = cart.movers.flatMap((mover) => {
    const range = movers[mover.name];
    if (range === undefined) return [];
    const written = {
      from: moverValue(range.from, mover.kind),
      to: moverValue(range.to, mover.kind),
    };
    return [[mover.name, written] as const];
  });
  const states = cart.loads.flatMap((load) => {
    const state = loads[load.name];
    return state === undefined || isWholeState(state, load)
      ? []
      : [[load.name, massState(state)] as const];
  });
  return { name, [kind]: Object.fromEntries(ranges), loads: Object.fromEntries(states) };
}

/** All that a load allows, which a file says by leaving the load out. */
export function isWholeState(state: LoadState, load: Load): boolean {
  const { least, most, mayBeAbsent } = state;
  return least === load.least && most === load.most && mayBeAbsent === (load.kind === 'removable');
}

/** A word for what has one, since a removable load that is absent is below its least. */
export function isAbsent({ least, most }: LoadState): boolean {
  return least === 0 && most === 0;
}

function massState(state: LoadState): Plain {
  return isAbsent(state) ? 'absent' : massRange(state);
}

function uncertaintyFields({ uncertainty }: Cart): Plain {
  const entries = Object.entries(uncertainty) as [
    keyof typeof UNCERTAINTY_LIMITS,
    StatedUncertainty,
  ][];
  return Object.fromEntries(
    entries.map(([key, stated]) => {
      const dimension = stated.relative ? 'ratio' : UNCERTAINTY_LIMITS[key].dimension;
      const text = sheetQuantity(stated.tolerance, dimension);
      return [key, { tolerance: text, distribution: stated.distribution }];
    }),
  );
}
