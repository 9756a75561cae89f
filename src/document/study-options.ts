/** Options of a study while they are read: by the kind of factor, as edits of the cart. */

import { formatQuantity } from '../units/index.js';
import type { Cart, Castor, LockKind, Mover, Position, Vec2 } from './cart.js';
import type { CartEdit } from './cart-edit-kinds.js';
import { OUTLASTS_THE_TREAD } from './cart-shape.js';
import { BRAKES } from './castors.js';
import type { IssueLog } from './issue-log.js';
import { QUANTITY_LIMITS, STUDY_LIMITS } from './limits.js';
import type { Names } from './names.js';
import { checkName } from './names.js';
import { readLoadState } from './positions.js';
import type { DraftList, Located, NamedEntry } from './shape.js';
import { quantity } from './shape.js';
import type {
  BallastDraft,
  Deferred,
  EveryLockDraft,
  FloorFrictionDraft,
  LimitDraft,
  LockLayoutsDraft,
  LockSetting,
  OutwardsDraft,
  PayloadDraft,
  SeriesDraft,
  SignsDraft,
} from './study-shape.js';
import { angleSeries, lengthSeries, lockSetting } from './study-shape.js';

/** An option and where the file has it. */
export interface DraftOption {
  readonly label: string;
  readonly edits: readonly CartEdit[];
  /** null: not stated here */
  readonly cost: number | null;
  readonly offset: number;
  readonly path: string;
}

export type DraftOptions = readonly DraftOption[];

/** What every kind of factor is read with. */
export interface OptionContext {
  readonly cart: Cart;
  readonly log: IssueLog;
}

type Placed = Pick<DraftOption, 'offset' | 'path'>;

export function namesIn<T extends { readonly name: string }>(
  list: readonly T[],
  kind: string,
): Names<T> {
  return { kind, known: new Map(list.map((each) => [each.name, each])), complete: true };
}

/** The castors that a field names: all where it is left out. */
export function castorsNamed(
  field: Located<DraftList<Located<string>>> | null | undefined,
  { cart, log }: OptionContext,
): readonly Castor[] {
  if (field === null) return cart.castors;
  const names = namesIn(cart.castors, 'castor');
  const found = (field?.value.items ?? []).flatMap((name) =>
    checkName(name, names, log) ? [names.known.get(name.value)] : [],
  );
  return cart.castors.filter((castor) => found.includes(castor));
}

/** The values of a series, each with its place. */
function valuesOf(series: SeriesDraft, log: IssueLog): readonly Located<number>[] {
  if ('items' in series) return series.items;
  const { from, to, values } = series.fields;
  if (from === undefined || to === undefined || values === undefined) return [];
  const count = values.value;
  if (count === 1 && from.value !== to.value) {
    const { offset, path, source } = values;
    const allowed = 'at least 2 values where from and to differ';
    log.report({ code: 'too-few', offset, path, actual: source, allowed });
  }
  const step = count < 2 ? 0 : (to.value - from.value) / (count - 1);
  return Array.from({ length: count }, (_, i) => {
    const value = i === count - 1 ? to.value : from.value + i * step;
    // a step of 1/3 mm would print with all its digits; nobody builds to a nanometre or a microgram
    return { ...from, value: Number(value.toFixed(9)) };
  });
}

function lengthText(value: number): string {
  return formatQuantity(value, 'length', 'SI', { digits: 6 });
}

/** Locks by castor; those that no entry names have none. */
export function lockLayoutOptions(
  { fields }: LockLayoutsDraft,
  context: OptionContext,
): DraftOptions {
  const { cart, log } = context;
  const usual = fields['brake torque'];
  return (fields.layouts?.value.items ?? []).flatMap(({ fields: layout, offset, path }) => {
    const { name, locks, cost } = layout;
    if (name === undefined || locks === undefined) return [];
    const names = namesIn(cart.castors, 'castor');
    const settings = new Map<string, { readonly entry: NamedEntry; readonly set: LockSetting }>();
    for (const entry of locks.value) {
      const { name: value, offset: at, path: place } = entry;
      const reference = { value, source: value, offset: at, path: place };
      const set = checkName(reference, names, log)
        ? lockSetting.read(entry.node, entry.path, log)
        : undefined;
      if (set !== undefined) settings.set(value, { entry, set });
    }
    const edits = cart.castors.map((castor): CartEdit => {
      const stated = settings.get(castor.name);
      const place = { offset: stated?.entry.offset ?? offset, path: stated?.entry.path ?? path };
      return lockEdit(castor, stated?.set ?? 'none', usual, place, log);
    });
    return [{ label: name.value, edits, cost: cost?.value ?? null, offset: name.offset, path }];
  });
}

function lockEdit(
  castor: Castor,
  set: LockSetting,
  usual: Located<number | null> | null | undefined,
  place: Placed,
  log: IssueLog,
): CartEdit {
  const lock = typeof set === 'string' ? set : (set.fields.lock?.value ?? 'none');
  const own = typeof set === 'string' ? null : (set.fields['brake torque'] ?? null);
  const directions = typeof set === 'string' ? null : set.fields['lock directions'];
  const stated = own ?? usual;
  const base = { kind: 'castor lock', castor: castor.name, lock } as const;
  const lockDirections =
    directions?.value.items ?? (lock === castor.lock ? castor.lockDirections : null);
  if (!BRAKES.has(lock)) return { ...base, brakeTorque: null, lockDirections };
  if (own !== null) return { ...base, brakeTorque: own.value, lockDirections };
  if (BRAKES.has(castor.lock)) return { ...base, brakeTorque: castor.brakeTorque, lockDirections };
  if (stated === null) {
    const due = QUANTITY_LIMITS.brakeTorque;
    log.report({
      code: 'missing-brake-torque',
      ...place,
      actual: lock,
      allowed: `brake torque: a moment such as ${due.example}, or the words: ${OUTLASTS_THE_TREAD}; beside the locks, for all, or with this one`,
    });
  }
  return { ...base, brakeTorque: stated?.value ?? null, lockDirections };
}

/** Every combination of the kinds over the castors, the last castor fastest. */
export function everyLockOptions(
  { fields, offset, path }: EveryLockDraft,
  context: OptionContext,
): DraftOptions {
  const { cart, log } = context;
  const castors = castorsNamed(fields.castors, context);
  const kinds = [...new Set((fields.locks?.value.items ?? []).map(({ value }) => value))];
  const count = kinds.length ** castors.length;
  if (count > STUDY_LIMITS.options) {
    const actual = `${kinds.length} kinds on ${castors.length} castors, ${count} layouts,`;
    const allowed = `at most ${STUDY_LIMITS.options} options; name fewer castors or kinds`;
    log.report({ code: 'too-many', offset, path, actual, allowed });
    return [];
  }
  const usual = fields['brake torque'];
  const each = fields['cost of a lock']?.value ?? null;
  return Array.from({ length: count }, (_, index): DraftOption => {
    const locks = digitsOf(index, kinds.length, castors.length).map((digit) => kinds[digit]);
    const chosen = castors.map((castor, i) => ({ castor, lock: locks[i] ?? 'none' }));
    const edits = chosen.map(({ castor, lock }) =>
      lockEdit(castor, lock, usual, { offset, path }, log),
    );
    const locked = chosen.filter(({ lock }) => lock !== 'none').length;
    const cost = each === null ? null : each * locked;
    return { label: locksLabel(chosen, cart), edits, cost, offset, path };
  });
}

function digitsOf(index: number, base: number, length: number): readonly number[] {
  return Array.from({ length }, (_, i) => Math.floor(index / base ** (length - 1 - i)) % base);
}

/** 'front left wheel, rear right total'; 'no locks' */
function locksLabel(
  chosen: readonly { readonly castor: Castor; readonly lock: LockKind }[],
  cart: Cart,
): string {
  const locked = chosen.filter(({ lock }) => lock !== 'none');
  if (locked.length === 0) return 'no locks';
  const [first] = locked;
  const isAll = locked.length === cart.castors.length;
  if (isAll && locked.every(({ lock }) => lock === first?.lock)) return `${first?.lock} on all`;
  return locked.map(({ castor, lock }) => `${castor.name} ${lock}`).join(', ');
}

/** @param axis 0: along (x), 1: across (y) */
export function outwardOptions(
  { fields }: OutwardsDraft,
  axis: 0 | 1,
  context: OptionContext,
): DraftOptions {
  const castors = castorsNamed(fields.castors, context);
  const values = fields.by === undefined ? [] : valuesOf(fields.by.value, context.log);
  return values.map((by) => ({
    label: lengthText(by.value),
    edits: castors.flatMap((castor) => movedOutwards(castor, axis, by, context.log)),
    cost: null,
    offset: by.offset,
    path: by.path,
  }));
}

/** A castor on the middle line stays there. m: nearer to it than any drawing tells */
const MIDDLE = 1e-6;

function movedOutwards(
  { name, at }: Castor,
  axis: 0 | 1,
  by: Located<number>,
  log: IssueLog,
): readonly CartEdit[] {
  const side = Math.sign(at[axis]);
  if (Math.abs(at[axis]) < MIDDLE || by.value === 0) return [];
  const to = at[axis] + side * by.value;
  if (side * to < 0) {
    const { offset, path, source } = by;
    const allowed = `no further inwards than castor "${name}" stands from the middle, ${lengthText(Math.abs(at[axis]))}`;
    log.report({ code: 'range-outside', offset, path, actual: source, allowed });
  }
  const moved: Vec2 = axis === 0 ? [to, at[1]] : [at[0], to];
  return [{ kind: 'castor place', castor: name, at: moved }];
}

export function ballastOptions({ fields }: BallastDraft, { log }: OptionContext): DraftOptions {
  const { mass, at, on } = fields;
  const name = fields.name?.value ?? 'ballast';
  const perKg = fields['cost per kg']?.value ?? null;
  if (mass === undefined || at === undefined || on === undefined) return [];
  return valuesOf(mass.value, log).map(({ value, offset, path }): DraftOption => {
    const part = { name, mass: value, at: at.value, on: on?.value ?? null };
    return {
      label: formatQuantity(value, 'mass', 'SI', { digits: 6 }),
      edits: value === 0 ? [] : [{ kind: 'add part', ...part }],
      cost: perKg === null ? null : perKg * value,
      offset,
      path,
    };
  });
}

export function payloadOptions(
  drafts: DraftList<PayloadDraft>,
  { cart, log }: OptionContext,
): DraftOptions {
  const parts = namesIn(cart.parts, 'part');
  const loads = namesIn(cart.loads, 'load');
  return drafts.items.flatMap(({ fields, path }) => {
    const { name, cost } = fields;
    if (name === undefined) return [];
    const masses = (fields.parts?.value ?? []).flatMap((entry): CartEdit[] => {
      if (!isKnown(entry, parts, log)) return [];
      const mass = quantity(QUANTITY_LIMITS.partMass).read(entry.node, entry.path, log);
      return mass === undefined ? [] : [{ kind: 'part mass', part: entry.name, mass }];
    });
    const states = (fields.loads?.value ?? []).flatMap((entry): CartEdit[] => {
      const load = isKnown(entry, loads, log) ? loads.known.get(entry.name) : undefined;
      const state = load && readLoadState(entry, load, log);
      if (state === undefined) return [];
      return cart.positions.map(({ name: position }) => ({
        kind: 'position load',
        position,
        load: entry.name,
        state,
      }));
    });
    const edits = [...masses, ...states];
    return [{ label: name.value, edits, cost: cost?.value ?? null, offset: name.offset, path }];
  });
}

function isKnown(entry: NamedEntry, names: Names<unknown>, log: IssueLog): boolean {
  const { name, offset, path } = entry;
  return checkName({ value: name, source: name, offset, path }, names, log);
}

export function limitOptions({ fields }: LimitDraft, { cart, log }: OptionContext): DraftOptions {
  const { mover: moverName, position: positionName } = fields;
  const movers = namesIn(cart.movers, 'mover');
  const positions = namesIn(cart.positions, 'position');
  if (moverName === undefined || !checkName(moverName, movers, log)) return [];
  if (positionName === undefined) return [];
  if (positionName !== null && !checkName(positionName, positions, log)) return [];
  const mover = movers.known.get(moverName.value);
  const position = positionName === null ? null : positions.known.get(positionName.value);
  const side = fields['at most'] === null ? 'at least' : 'at most';
  const series = fields[side];
  if (mover === undefined || position === undefined || !series) return [];
  return limitValues(series.value, mover, log).map((value): DraftOption => {
    const text = formatQuantity(value.value, dimensionOf(mover), 'SI', { digits: 6 });
    const edits = [limitEdit(mover, position, side, value.value)];
    return { label: `${side} ${text}`, edits, cost: null, offset: value.offset, path: value.path };
  });
}

function dimensionOf({ kind }: Mover): 'length' | 'angle' {
  return kind === 'slide' ? 'length' : 'angle';
}

function limitValues(
  { node, path }: Deferred,
  mover: Mover,
  log: IssueLog,
): readonly Located<number>[] {
  const shape = mover.kind === 'slide' ? lengthSeries : angleSeries;
  const series = shape.read(node, path, log);
  return series === undefined ? [] : valuesOf(series, log);
}

function limitEdit(
  mover: Mover,
  position: Position | null,
  side: 'at most' | 'at least',
  value: number,
): CartEdit {
  const whole = position?.movers[mover.name] ?? mover;
  const range =
    side === 'at most' ? { from: whole.from, to: value } : { from: value, to: whole.to };
  return position === null
    ? { kind: 'mover range', mover: mover.name, ...range }
    : { kind: 'position mover', position: position.name, mover: mover.name, ...range };
}

export function markingOptions(drafts: DraftList<SignsDraft>): DraftOptions {
  return drafts.items.flatMap(({ fields, path }) => {
    const { name, cost, signs } = fields;
    if (name === undefined) return [];
    const edits = (signs?.value.items ?? []).map(
      (marking): CartEdit => ({ kind: 'add marking', marking }),
    );
    return [{ label: name.value, edits, cost: cost?.value ?? null, offset: name.offset, path }];
  });
}

export function frictionOptions(
  drafts: DraftList<FloorFrictionDraft>,
  log: IssueLog,
): DraftOptions {
  return drafts.items.flatMap(({ fields, path }) => {
    const { name, cost, friction } = fields;
    if (name === undefined) return [];
    const edits = frictionEdits(friction?.value ?? { items: [], complete: true }, log);
    return [{ label: name.value, edits, cost: cost?.value ?? null, offset: name.offset, path }];
  });
}

/** Frictions of treads, those that are complete. */
export function frictionEdits(
  drafts: NonNullable<FloorFrictionDraft['fields']['friction']>['value'],
  log: IssueLog,
): readonly Extract<CartEdit, { kind: 'friction' }>[] {
  return drafts.items.flatMap(({ fields }) => {
    const { tread, value, tolerance, basis } = fields;
    if (tread === undefined || value === undefined) return [];
    if (tolerance === undefined || basis === undefined) return [];
    if (tolerance.value >= value.value) {
      const { offset, path, source } = tolerance;
      const allowed = `less than the value, which is ${value.source}`;
      log.report({ code: 'tolerance-too-large', offset, path, actual: source, allowed });
    }
    return [
      {
        kind: 'friction' as const,
        tread: tread.value,
        value: value.value,
        tolerance: tolerance.value,
        basis: basis.value,
      },
    ];
  });
}
