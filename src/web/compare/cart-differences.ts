/** What differs in the description of two carts, thing by thing, with the values of both. */

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
  Surface,
} from '../../document/index.js';
import type { Dimension, UnitSystem } from '../../units/index.js';
import { formatQuantity } from '../../units/index.js';

export interface Difference {
  readonly section: string;
  /** the name of the thing */
  readonly what: string;
  /** of it, what differs; '' where the thing itself is only in one of them */
  readonly field: string;
  readonly a: string;
  readonly b: string;
}

/** Writes a value of SI with so many figures. */
type Show = (value: number, dimension: Dimension) => string;

interface Field<T> {
  readonly label: string;
  /** what has to be the same */
  readonly raw: (thing: T) => unknown;
  readonly text: (thing: T, show: Show) => string;
}

const USUAL_DIGITS = 4;
const MOST_DIGITS = 12;
const NOT_THERE = 'not there';

/** Differences of A to B, in the order of the description. */
export function cartDifferences(a: Cart, b: Cart, units: UnitSystem): readonly Difference[] {
  const of = <T extends { readonly name: string }>(
    section: string,
    list: (cart: Cart) => readonly T[],
    fields: readonly Field<T>[],
  ): readonly Difference[] => listDifferences(section, list(a), list(b), fields, units);
  return [
    ...fieldDifferences('Cart', '', a, b, CART_FIELDS, units),
    ...of('Parts', ({ parts }) => parts, PART_FIELDS),
    ...of('Movers', ({ movers }) => movers, MOVER_FIELDS),
    ...of('Loads', ({ loads }) => loads, LOAD_FIELDS),
    ...of('Castors', ({ castors }) => castors, CASTOR_FIELDS),
    ...of('Friction', frictionsOf, FRICTION_FIELDS),
    ...of('Outline', ({ outline }) => outline, BODY_FIELDS),
    ...of('Surfaces', ({ surfaces }) => surfaces, SURFACE_FIELDS),
    ...of('Handles', ({ handles }) => handles, HANDLE_FIELDS),
    ...of('Positions', ({ positions }) => positions, POSITION_FIELDS),
    // every position speaks of every mover and load: what is only in one cart is told above
    ...of('Positions', settingsOf, SETTING_FIELDS).filter(({ field }) => field !== ''),
    ...of('Uncertainty', uncertaintiesOf, UNCERTAINTY_FIELDS),
  ];
}

function listDifferences<T extends { readonly name: string }>(
  section: string,
  a: readonly T[],
  b: readonly T[],
  fields: readonly Field<T>[],
  units: UnitSystem,
): readonly Difference[] {
  const others = new Map(b.map((thing) => [thing.name, thing]));
  const known = new Set(a.map(({ name }) => name));
  const only = (thing: T, inA: boolean): Difference => {
    const there = thereText(thing, fields, units);
    const [inOne, inOther] = inA ? [there, NOT_THERE] : [NOT_THERE, there];
    return { section, what: thing.name, field: '', a: inOne, b: inOther };
  };
  return [
    ...a.flatMap((thing) => {
      const other = others.get(thing.name);
      return other === undefined
        ? [only(thing, true)]
        : fieldDifferences(section, thing.name, thing, other, fields, units);
    }),
    ...b.flatMap((thing) => (known.has(thing.name) ? [] : [only(thing, false)])),
  ];
}

/** What is told of a thing that is only in one of them: its first field. */
function thereText<T>(thing: T, fields: readonly Field<T>[], units: UnitSystem): string {
  const [first] = fields;
  if (first === undefined) return 'there';
  const show: Show = (value, dimension) =>
    formatQuantity(value, dimension, units, { digits: USUAL_DIGITS });
  return `there, ${first.label} ${first.text(thing, show)}`;
}

function fieldDifferences<T>(
  section: string,
  what: string,
  a: T,
  b: T,
  fields: readonly Field<T>[],
  units: UnitSystem,
): readonly Difference[] {
  return fields
    .filter(({ raw }) => JSON.stringify(raw(a)) !== JSON.stringify(raw(b)))
    .map(({ label, text }) => ({ section, what, field: label, ...toldApart(text, a, b, units) }));
}

/** Both in words, with as many figures as tell them apart. */
function toldApart<T>(text: Field<T>['text'], a: T, b: T, units: UnitSystem) {
  const at = (digits: number) => {
    const show: Show = (value, dimension) => formatQuantity(value, dimension, units, { digits });
    return { a: text(a, show), b: text(b, show) };
  };
  let digits = USUAL_DIGITS;
  while (digits < MOST_DIGITS && at(digits).a === at(digits).b) digits += 1;
  return at(digits);
}

function field<T>(
  label: string,
  raw: (thing: T) => unknown,
  text: (thing: T, show: Show) => string,
): Field<T> {
  return { label, raw, text };
}

/** A number of one dimension. */
function size<T>(label: string, of: (thing: T) => number, dimension: Dimension): Field<T> {
  return field(label, of, (thing, show) => show(of(thing), dimension));
}

/** The same, where it may not be stated. */
function stated<T>(
  label: string,
  of: (thing: T) => number | null,
  dimension: Dimension,
  none = 'not stated',
): Field<T> {
  return field(label, of, (thing, show) => {
    const value = of(thing);
    return value === null ? none : show(value, dimension);
  });
}

function word<T>(label: string, of: (thing: T) => string): Field<T> {
  return field(label, of, of);
}

/** Numbers without a unit. */
function plain<T>(label: string, of: (thing: T) => number): Field<T> {
  return field(label, of, (thing) => String(Number(of(thing).toPrecision(MOST_DIGITS))));
}

function place<T>(label: string, of: (thing: T) => readonly number[]): Field<T> {
  return field(label, of, (thing, show) => placeText(of(thing), show));
}

function placeText(point: readonly number[], show: Show): string {
  return point.map((each, i) => `${AXES[i]} ${show(each, 'length')}`).join(', ');
}

const AXES = ['x', 'y', 'z'];

function on<T extends { readonly on: string | null }>(): Field<T> {
  return word('stands on', ({ on: carrier }) => carrier ?? 'the base');
}

function listedOr(none: string, texts: readonly string[]): string {
  return texts.length === 0 ? none : texts.join(', ');
}

const CART_FIELDS: readonly Field<Cart>[] = [
  word('name', ({ name }) => name),
  word('mobility', ({ mobility }) => mobility),
  word('requirement set', ({ requirements }) => requirements ?? 'not stated'),
  word('floor', ({ floor }) => floor.name),
  word('signs', ({ markings }) => listedOr('none', markings)),
];

const PART_FIELDS: readonly Field<Part>[] = [
  size('mass', ({ mass }) => mass, 'mass'),
  size('mass tolerance', ({ massTolerance }) => massTolerance, 'mass'),
  word('mass distribution', ({ massDistribution }) => massDistribution),
  place('centre of mass', ({ at }) => at),
  size('tolerance of the place', ({ atTolerance }) => atTolerance, 'length'),
  word('distribution of the place', ({ atDistribution }) => atDistribution),
  on(),
];

/** What a mover moves by is a length or an angle. */
function measure({ kind }: Mover): 'length' | 'angle' {
  return kind === 'turn' ? 'angle' : 'length';
}

const MOVER_FIELDS: readonly Field<Mover>[] = [
  field(
    'range',
    ({ from, to }) => [from, to],
    (mover, show) => `${show(mover.from, measure(mover))} to ${show(mover.to, measure(mover))}`,
  ),
  field(
    'stops',
    ({ stops }) => stops,
    (mover, show) =>
      mover.stops === null
        ? 'any value'
        : mover.stops.map((each) => show(each, measure(mover))).join(', '),
  ),
  field(
    'axis',
    ({ axis }) => axis,
    ({ axis }) => axis.map((each) => Number(each.toFixed(6))).join(', '),
  ),
  place('axis through', ({ origin }) => origin),
  word('kind', ({ kind }) => kind),
  on(),
];

const LOAD_FIELDS: readonly Field<Load>[] = [
  field(
    'mass',
    ({ least, most }) => [least, most],
    ({ least, most }, show) => rangeText(least, most, show),
  ),
  word('kind', ({ kind }) => kind),
  place('centre of mass', ({ at }) => at),
  size('tolerance of the place', ({ atTolerance }) => atTolerance, 'length'),
  word('distribution of the place', ({ atDistribution }) => atDistribution),
  on(),
];

function rangeText(least: number, most: number, show: Show): string {
  return least === most ? show(most, 'mass') : `${show(least, 'mass')} to ${show(most, 'mass')}`;
}

const CASTOR_FIELDS: readonly Field<Castor>[] = [
  place('place', ({ at }) => at),
  size('wheel diameter', ({ wheelDiameter }) => wheelDiameter, 'length'),
  size('trail', ({ trail }) => trail, 'length'),
  stated('fixed direction', ({ fixedDirection }) => fixedDirection, 'angle', 'swivels'),
  word('lock', ({ lock }) => (lock === 'none' ? 'no lock' : lock)),
  stated(
    'brake torque',
    ({ brakeTorque }) => brakeTorque,
    'moment',
    'outlasts the tread, or no brake',
  ),
  field(
    'lock directions',
    ({ lockDirections }) => lockDirections,
    ({ lockDirections }, show) =>
      lockDirections === null
        ? 'any'
        : lockDirections.map((each) => show(each, 'angle')).join(', '),
  ),
  size('swivel moment', ({ swivelMoment }) => swivelMoment, 'moment'),
  size('rolling length', ({ rollingLength }) => rollingLength, 'length'),
  stated('rating', ({ rating }) => rating, 'mass'),
  size('stiffness', ({ stiffness }) => stiffness, 'stiffness'),
  word('tread', ({ tread }) => tread),
];

type NamedFriction = Friction & { readonly name: string };

function frictionsOf({ floor }: Cart): readonly NamedFriction[] {
  return floor.friction.map((each) => ({ ...each, name: each.tread }));
}

const FRICTION_FIELDS: readonly Field<NamedFriction>[] = [
  plain('coefficient', ({ value }) => value),
  plain('tolerance', ({ tolerance }) => tolerance),
  word('basis', ({ basis }) => basis),
  word('distribution', ({ distribution }) => distribution),
];

const BODY_FIELDS: readonly Field<Body>[] = [
  field(
    'shape',
    ({ shape }) => shape,
    ({ shape }, show) =>
      shape.kind === 'box'
        ? `box from ${placeText(shape.from, show)} to ${placeText(shape.to, show)}`
        : `cylinder at ${placeText(shape.base, show)}, radius ${show(shape.radius, 'length')}, height ${show(shape.height, 'length')}`,
  ),
  word('can be pushed', ({ pushable }) => (pushable ? 'yes' : 'no')),
  on(),
];

const SURFACE_FIELDS: readonly Field<Surface>[] = [
  word('kind', ({ kind }) => kind),
  place('from', ({ from }) => from),
  place('to', ({ to }) => to),
  size('height', ({ height }) => height, 'length'),
  on(),
];

const HANDLE_FIELDS: readonly Field<Handle>[] = [
  word('kind', ({ kind }) => kind),
  place('place', ({ at }) => at),
  stated('rating', ({ rating }) => rating, 'force'),
  on(),
];

const POSITION_FIELDS: readonly Field<Position>[] = [word('kind', ({ kind }) => kind)];

/** A mover or a load in a position, as a thing of its own. */
interface Setting {
  readonly name: string;
  readonly value:
    | {
        readonly kind: 'mover';
        readonly from: number;
        readonly to: number;
        readonly in: 'length' | 'angle';
      }
    | { readonly kind: 'load'; readonly state: LoadState };
}

function settingsOf(cart: Cart): readonly Setting[] {
  const movers = new Map(cart.movers.map((mover) => [mover.name, mover]));
  return cart.positions.flatMap((position) => [
    ...Object.entries(position.movers).map(([name, { from, to }]): Setting => {
      const mover = movers.get(name);
      const dimension = mover === undefined ? 'length' : measure(mover);
      return {
        name: `${position.name}: ${name}`,
        value: { kind: 'mover', from, to, in: dimension },
      };
    }),
    ...Object.entries(position.loads).map(
      ([name, state]): Setting => ({
        name: `${position.name}: ${name}`,
        value: { kind: 'load', state },
      }),
    ),
  ]);
}

const SETTING_FIELDS: readonly Field<Setting>[] = [
  field(
    'allowed',
    ({ value }) => value,
    ({ value }, show) => {
      if (value.kind === 'load') return stateText(value.state, show);
      const { from, to } = value;
      const one = show(to, value.in);
      return from === to ? one : `${show(from, value.in)} to ${one}`;
    },
  ),
];

function stateText({ least, most, mayBeAbsent }: LoadState, show: Show): string {
  if (most === 0) return 'absent';
  const range = rangeText(least, most, show);
  return mayBeAbsent ? `absent or ${range}` : range;
}

interface NamedUncertainty {
  readonly name: string;
  readonly tolerance: number;
  readonly relative: boolean;
  readonly distribution: string;
}

function uncertaintiesOf({ uncertainty }: Cart): readonly NamedUncertainty[] {
  return Object.entries(uncertainty).map(([name, each]) => ({ name, ...each }));
}

const UNCERTAINTY_DIMENSIONS: Readonly<Record<string, Dimension>> = {
  trail: 'length',
  'castor places': 'length',
  'wheel diameter': 'length',
  'swivel moment': 'moment',
  'rolling length': 'length',
  'brake torque': 'moment',
  stiffness: 'stiffness',
  'ramp angle': 'angle',
  'floor slope': 'angle',
  'push force': 'force',
  'push height': 'length',
};

const UNCERTAINTY_FIELDS: readonly Field<NamedUncertainty>[] = [
  field(
    'tolerance',
    ({ tolerance, relative }) => [tolerance, relative],
    ({ name, tolerance, relative }, show) =>
      relative
        ? `${Number((100 * tolerance).toPrecision(6))} %`
        : show(tolerance, UNCERTAINTY_DIMENSIONS[name] ?? 'length'),
  ),
  word('distribution', ({ distribution }) => distribution),
];
