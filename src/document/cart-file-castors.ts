/**
 * Castors, their types and the friction of the floor in the text of a cart file.
 *
 * A cart in memory has no castor types: each castor has its own values. The file shares them. A castor
 * whose values change takes a type that has them already, or a new one that is a copy of its old one
 * with the changes made, so that units, order and comments come with it. A type that loses its last
 * castor gives its place to the first copy of it, or goes.
 */

import type { Dimension } from '../units/index.js';
import type { Cart, Castor, Friction } from './cart.js';
import { writePoint } from './cart-file-parts.js';
import { NOT_STATED, OUTLASTS_THE_TREAD } from './cart-shape.js';
import type { CastorKind } from './castor-kind.js';
import { castorKind, isSameKind } from './castor-kind.js';
import { BRAKES, STOPS_SWIVELLING } from './castors.js';
import { LONGEST_NAME } from './limits.js';
import { folded } from './nearest-name.js';
import { isSame, isSameOrNull, shortNumber } from './short-number.js';
import type { Writing } from './source-values.js';
import {
  newKey,
  newText,
  setList,
  setNumber,
  setQuantity,
  setText,
  textAt,
} from './source-values.js';
import {
  addItem,
  entryText,
  insertAfterItem,
  itemCopy,
  removeEntries,
  removeItems,
} from './yaml-changes.js';
import type { SourceList, YamlSource } from './yaml-source.js';
import { entryOf, itemIn, listIn, mapIn, rootOf } from './yaml-source.js';

export function writeCastors(source: YamlSource, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'castors');
  const changed: number[] = [];
  for (const [index, castor] of after.castors.entries()) {
    const old = before.castors[index];
    if (old === undefined || old === castor) continue;
    const writing = { source, map: itemIn(source, list, index) };
    writePoint(writing, 'at', old.at, castor.at);
    writeLock(writing, old, castor);
    if (!isSameKind(old, castor)) changed.push(index);
  }
  if (changed.length > 0 && list !== undefined) writeKinds(source, list, before, after);
}

function writeLock(writing: Writing, before: Castor, after: Castor): void {
  const { source, map } = writing;
  const { lock, brakeTorque, lockDirections } = after;
  if (before.lock !== lock) setText(writing, 'lock', lock);
  const isBraked = BRAKES.has(lock);
  const isNewTorque = !BRAKES.has(before.lock) || !isSameOrNull(before.brakeTorque, brakeTorque);
  if (isBraked && isNewTorque) writeBrakeTorque(writing, brakeTorque);
  const gone = [
    ...(isBraked ? [] : ['brake torque']),
    ...(STOPS_SWIVELLING.has(lock) && lockDirections !== null ? [] : ['lock directions']),
  ];
  removeEntries(source, map, gone);
  if (lockDirections !== null) {
    const beside = isBraked ? ['brake torque', 'lock'] : ['lock'];
    writeDirections(writing, before.lockDirections, lockDirections, beside);
  }
}

function writeBrakeTorque(writing: Writing, torque: number | null): void {
  if (torque === null) setText(writing, 'brake torque', OUTLASTS_THE_TREAD, ['lock']);
  else setQuantity(writing, 'brake torque', torque, 'moment', ['lock']);
}

function writeDirections(
  writing: Writing,
  before: readonly number[] | null,
  after: readonly number[],
  beside: readonly string[],
): void {
  const isOld =
    before?.length === after.length && after.every((each, i) => isSame(each, before[i] ?? 0));
  if (!isOld) setList(writing, 'lock directions', after, before, 'angle', beside);
}

/** A castor type of the file, or one that is to be added. */
interface Type {
  readonly name: string;
  readonly kind: CastorKind;
  /** index of the type it is a copy of; null: it stands in the file */
  readonly copyOf: number | null;
}

function writeKinds(source: YamlSource, castors: SourceList, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'castor types');
  if (list === undefined) throw new Error('writeKinds: no castor types');
  const names = list.items.map((_, index) => nameOf(source, list, index));
  const oldNames = castors.items.map((_, index) => typeOf(source, castors, index));
  const { chosen, types } = chosenTypes(names, oldNames, before, after);
  for (const [index, name] of chosen.entries()) {
    if (name === oldNames[index]) continue;
    setText({ source, map: itemIn(source, castors, index) }, 'type', name);
  }
  const left = names.flatMap((name, index) =>
    oldNames.includes(name) && !chosen.includes(name) ? [index] : [],
  );
  const kindsBefore = names.map((name) => types.find((each) => each.name === name)?.kind);
  placeTypes(source, list, types, left, kindsBefore);
}

/** For each castor the name of its type, and all types, the new ones last.
 *
 * @param names of the types in the file
 * @param oldNames for each castor the name of the type that it had */
function chosenTypes(
  names: readonly string[],
  oldNames: readonly string[],
  before: Cart,
  after: Cart,
): { readonly chosen: readonly string[]; readonly types: readonly Type[] } {
  const types = knownTypes(oldNames, before);
  const chosen = after.castors.map((castor, index) => {
    const oldName = oldNames[index] ?? '';
    const old = before.castors[index];
    if (old !== undefined && isSameKind(old, castor)) return oldName;
    const known = types.find((each) => isSameKind(each.kind, castor));
    if (known !== undefined) return known.name;
    const name = freshName(oldName, [...names, ...types.map((each) => each.name)]);
    types.push({ name, kind: castorKind(castor), copyOf: names.indexOf(oldName) });
    return name;
  });
  return { chosen, types };
}

function nameOf(source: YamlSource, list: SourceList, index: number): string {
  return textAt(source, entryOf(itemIn(source, list, index), 'name')?.value);
}

function typeOf(source: YamlSource, castors: SourceList, index: number): string {
  return textAt(source, entryOf(itemIn(source, castors, index), 'type')?.value);
}

/** The types that castors have, with their values; a type that none has says nothing here. */
function knownTypes(oldNames: readonly string[], before: Cart): Type[] {
  const types: Type[] = [];
  for (const [index, name] of oldNames.entries()) {
    const castor = before.castors[index];
    if (castor === undefined || types.some((each) => each.name === name)) continue;
    types.push({ name, kind: castorKind(castor), copyOf: null });
  }
  return types;
}

/** 'swivel 100 (changed)', then 'swivel 100 (changed 2)': a name that no type has. */
function freshName(old: string, taken: readonly string[]): string {
  const base = old.replace(/ \(changed(?: \d+)?\)$/, '');
  const known = new Set(taken.map(folded));
  for (let count = 1; ; count += 1) {
    const suffix = count === 1 ? ' (changed)' : ` (changed ${count})`;
    const name = `${shortenedTo(base, LONGEST_NAME - suffix.length)}${suffix}`;
    if (!known.has(folded(name))) return name;
  }
}

/** By whole characters. */
function shortenedTo(text: string, length: number): string {
  let head = '';
  for (const character of text) {
    if (head.length + character.length > length) break;
    head += character;
  }
  return head.trimEnd();
}

/** @param left indices of the types that no castor has any more */
function placeTypes(
  source: YamlSource,
  list: SourceList,
  types: readonly Type[],
  left: readonly number[],
  kindsBefore: readonly (CastorKind | undefined)[],
): void {
  const replaced = new Set<number>();
  for (const type of types) {
    const { copyOf } = type;
    const old = copyOf === null ? undefined : kindsBefore[copyOf];
    if (copyOf === null || old === undefined) continue;
    // patches of its own: whether they are made in place or on a copy is decided here
    const scratch = { ...source, patches: [] };
    writeType({ source: scratch, map: itemIn(source, list, copyOf) }, type, old);
    if (left.includes(copyOf) && !replaced.has(copyOf)) {
      replaced.add(copyOf);
      source.patches.push(...scratch.patches);
    } else {
      const copy = itemCopy(source, list, copyOf, scratch.patches);
      insertAfterItem(source, list, copyOf, copy);
    }
  }
  const gone = left.filter((index) => !replaced.has(index));
  if (gone.length > 0) removeItems(source, list, new Set(gone));
}

const QUANTITIES: readonly (readonly [
  key: string,
  field: 'wheelDiameter' | 'trail' | 'swivelMoment' | 'rollingLength' | 'stiffness',
  dimension: Dimension,
])[] = [
  ['wheel diameter', 'wheelDiameter', 'length'],
  ['trail', 'trail', 'length'],
  ['swivel moment', 'swivelMoment', 'moment'],
  ['rolling length', 'rollingLength', 'length'],
  ['stiffness', 'stiffness', 'stiffness'],
];

function writeType(writing: Writing, { name, kind }: Type, before: CastorKind): void {
  setText(writing, 'name', name);
  for (const [key, field, dimension] of QUANTITIES) {
    if (isSame(before[field], kind[field])) continue;
    setQuantity(writing, key, kind[field], dimension);
  }
  if (!isSameOrNull(before.rating, kind.rating)) {
    if (kind.rating === null) setText(writing, 'rating', NOT_STATED);
    else setQuantity(writing, 'rating', kind.rating, 'mass');
  }
  if (before.tread !== kind.tread) setText(writing, 'tread', kind.tread);
}

export function writeFriction(source: YamlSource, before: Cart, after: Cart): void {
  if (before.floor === after.floor) return;
  const floor = mapIn(source, rootOf(source), 'floor');
  const list = listIn(source, floor, 'friction');
  for (const [index, friction] of after.floor.friction.entries()) {
    const old = before.floor.friction[index];
    if (old === friction || list === undefined) continue;
    if (old !== undefined) {
      writeFrictionEntry({ source, map: itemIn(source, list, index) }, old, friction);
    } else {
      const last = itemIn(source, list, before.floor.friction.length - 1);
      addItem(source, list, newFriction(friction, { source, map: last }));
    }
  }
}

function writeFrictionEntry(writing: Writing, before: Friction, after: Friction): void {
  if (!isSame(before.value, after.value)) setNumber(writing, 'value', after.value);
  if (!isSame(before.tolerance, after.tolerance)) setNumber(writing, 'tolerance', after.tolerance);
  if (before.basis !== after.basis) setText(writing, 'basis', after.basis);
  removeEntries(writing.source, writing.map, [
    ...(before.distribution === after.distribution ? [] : ['tolerance distribution']),
    ...(before.readings === after.readings ? [] : ['readings']),
  ]);
}

function newFriction(friction: Friction, writing: Writing) {
  const fields = [
    ['tread', newText(friction.tread, writing)],
    ['value', shortNumber(friction.value, null)],
    ['tolerance', shortNumber(friction.tolerance, null)],
    ['basis', newText(friction.basis, writing)],
  ];
  const entries = fields.map(([key = '', value = '']) =>
    entryText({ key: newKey(key, writing), value }),
  );
  return { inline: `{${entries.join(', ')}}`, entries };
}
