/** Movers, and the positions that speak of them and of loads, in the text of a cart file. */

import type { ParsedNode } from 'yaml';
import { isMap } from 'yaml';
import type { Cart, Load, LoadState, Mover, Position } from './cart.js';
import { writePoint } from './cart-file-parts.js';
import { isAbsent, isWholeState } from './cart-tree.js';
import type { Range } from './movers.js';
import { ROUNDING } from './movers.js';
import { isSame } from './short-number.js';
import type { Writing } from './source-values.js';
import {
  isScalarNode,
  newKey,
  newQuantity,
  newText,
  quantityAt,
  replaceQuantity,
  setQuantity,
} from './source-values.js';
import type { NewEntry } from './yaml-changes.js';
import { addEntries, entryText, removeEntries, removeItems, replaceNode } from './yaml-changes.js';
import type { SourceMap, YamlSource } from './yaml-source.js';
import { entryOf, itemIn, keyOf, listIn, mapIn, mapSeen, rootOf, written } from './yaml-source.js';

export function writeMovers(source: YamlSource, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'movers');
  for (const [index, mover] of after.movers.entries()) {
    const old = before.movers[index];
    if (old === undefined || old === mover) continue;
    const map = mapIn(source, itemIn(source, list, index), mover.kind);
    writeMover({ source, map }, old, mover);
  }
}

function dimensionOf({ kind }: Mover): 'length' | 'angle' {
  return kind === 'slide' ? 'length' : 'angle';
}

function writeMover(writing: Writing, before: Mover, after: Mover): void {
  if (after.kind === 'turn') writePoint(writing, 'about', before.origin, after.origin);
  writeRange(writing, before, after, dimensionOf(after));
  if (after.stops !== null && before.stops !== null) {
    cutStops(writing, after, before.stops, after.stops);
  }
}

function writeRange(
  writing: Writing,
  before: Range,
  after: Range,
  dimension: 'length' | 'angle',
): void {
  for (const key of ['from', 'to'] as const) {
    if (!isSame(before[key], after[key])) setQuantity(writing, key, after[key], dimension);
  }
}

/** Stops are only ever taken out: those that stand in the text and no longer in the cart. */
function cutStops(
  { source, map }: Writing,
  mover: Mover,
  before: readonly number[],
  after: readonly number[],
): void {
  const gone = before.filter((stop) => !after.includes(stop));
  const list = gone.length === 0 ? undefined : listIn(source, map, 'stops');
  if (list === undefined) return;
  const indices = list.items.flatMap((item, index) => {
    const stop = quantityAt(source, item, dimensionOf(mover));
    return gone.some((each) => Math.abs(each - stop) <= ROUNDING) ? [index] : [];
  });
  removeItems(source, list, new Set(indices));
}

export function writePositions(source: YamlSource, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'positions');
  for (const [index, position] of after.positions.entries()) {
    const old = before.positions[index];
    if (old === undefined) continue;
    const writing = { source, map: itemIn(source, list, index) };
    writeMoverStates(writing, old, position, after.movers);
    writeLoadStates(writing, old, position, after.loads);
  }
}

/** A mover that a position leaves out has its whole range there, whatever that has become. */
function writeMoverStates(
  { source, map }: Writing,
  before: Position,
  after: Position,
  movers: readonly Mover[],
): void {
  const seen = mapSeen(source, map, after.kind);
  const changed = movers.flatMap((mover) => {
    const [old, now] = [before.movers[mover.name], after.movers[mover.name]];
    if (seen === null || old === undefined || now === undefined) return [];
    const stated = entryOf(seen, mover.name)?.value ?? null;
    return isSameRange(now, stated === null ? mover : old) ? [] : [{ mover, stated, old, now }];
  });
  if (changed.length === 0) return;
  const states = mapIn(source, map, after.kind);
  const writing = { source, map: states };
  const added: NewEntry[] = [];
  for (const { mover, stated, old, now } of changed) {
    if (stated !== null) writeMoverState(writing, stated, mover, old, now);
    else added.push({ key: newText(mover.name, writing), value: moverText(now, mover, writing) });
  }
  addEntries(source, states, added);
}

function isSameRange(a: Range, b: Range): boolean {
  return isSame(a.from, b.from) && isSame(a.to, b.to);
}

function writeMoverState(
  { source, map }: Writing,
  stated: ParsedNode,
  mover: Mover,
  before: Range,
  after: Range,
): void {
  const dimension = dimensionOf(mover);
  const node = isScalarNode(source, stated) ? stated : written(source, stated);
  if (isMap(node)) {
    writeRange({ source, map: node as SourceMap }, before, after, dimension);
  } else if (after.from === after.to) {
    replaceQuantity(source, stated, after.from, dimension, mover.name);
  } else {
    replaceNode(source, stated, moverText(after, mover, { source, map }));
  }
}

/** A value as such, or `{from: ..., to: ...}`. */
function moverText({ from, to }: Range, mover: Mover, writing: Writing): string {
  const quantity = (value: number) => newQuantity(value, dimensionOf(mover), mover.name, writing);
  return from === to
    ? quantity(from)
    : rangeText(['from', quantity(from)], ['to', quantity(to)], writing);
}

function rangeText(
  low: readonly [string, string],
  high: readonly [string, string],
  writing: Writing,
): string {
  const entries = [low, high].map(([key, value]) =>
    entryText({ key: newKey(key, writing), value }),
  );
  return `{${entries.join(', ')}}`;
}

function writeLoadStates(
  { source, map }: Writing,
  before: Position,
  after: Position,
  loads: readonly Load[],
): void {
  const changed = loads.flatMap((load) => {
    const [old, now] = [before.loads[load.name], after.loads[load.name]];
    const isLeft = old === undefined || now === undefined || isSameState(old, now);
    return isLeft || isWholeState(now, load) ? [] : [{ load, old, now }];
  });
  if (changed.length === 0) return;
  const states = entryOf(map, 'loads') === undefined ? null : mapIn(source, map, 'loads');
  const writing = { source, map: states ?? map };
  const added: NewEntry[] = [];
  for (const { load, old, now } of changed) {
    const stated = states && entryOf(states, load.name)?.value;
    if (stated) writeLoadState(writing, stated, load, old, now);
    else added.push({ key: newText(load.name, writing), value: stateText(now, load, writing) });
  }
  if (states !== null) addEntries(source, states, added);
  else {
    const value = `{${added.map(entryText).join(', ')}}`;
    addEntries(source, map, [{ key: newKey('loads', writing), value }], ['transport', 'use']);
  }
}

/** A load that may be in every state that it allows is one that the position leaves out. */
export function leaveOutWholeStates(source: YamlSource, before: Cart, after: Cart): void {
  const list = listIn(source, rootOf(source), 'positions');
  for (const [index, position] of after.positions.entries()) {
    const gone = after.loads.filter((load) => {
      const [old, now] = [before.positions[index]?.loads[load.name], position.loads[load.name]];
      return old && now && !isSameState(old, now) && isWholeState(now, load);
    });
    if (gone.length === 0) continue;
    const map = itemIn(source, list, index);
    const states = mapIn(source, map, 'loads');
    const names = gone.map(({ name }) => name);
    // a block map of nothing would be no map
    const isEmptied = !states.flow && states.items.every((item) => names.includes(keyOf(item)));
    if (isEmptied) removeEntries(source, map, ['loads']);
    else removeEntries(source, states, names);
  }
}

function isSameState(a: LoadState, b: LoadState): boolean {
  return isSame(a.least, b.least) && isSame(a.most, b.most) && a.mayBeAbsent === b.mayBeAbsent;
}

function writeLoadState(
  { source, map }: Writing,
  stated: ParsedNode,
  load: Load,
  before: LoadState,
  after: LoadState,
): void {
  const word = stateWord(after, load);
  const node = isScalarNode(source, stated) ? stated : written(source, stated);
  if (isMap(node) && word === null) {
    const range = { source, map: node as SourceMap };
    for (const key of ['least', 'most'] as const) {
      if (!isSame(before[key], after[key])) setQuantity(range, key, after[key], 'mass');
    }
  } else {
    replaceNode(source, stated, stateText(after, load, { source, map }));
  }
}

function stateWord(state: LoadState, load: Load): string | null {
  if (isAbsent(state)) return 'absent';
  return state.least === load.most && state.most === load.most ? 'full' : null;
}

function stateText(state: LoadState, load: Load, writing: Writing): string {
  const word = stateWord(state, load);
  if (word !== null) return newText(word, writing);
  const quantity = (value: number) => newQuantity(value, 'mass', load.name, writing);
  return rangeText(['least', quantity(state.least)], ['most', quantity(state.most)], writing);
}
