/** Levers that limit what the cart may be set to: movers and loads, by position. Where every position
 * keeps the limit, a mover's is a stop that can be built in; else it is an instruction. */

import type { Amount } from '../../analysis/index.js';
import type { Cart, CartEdit, Load, Mover, Position } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { grid, leverOf, mass, tidy } from '../lever.js';
import { STEPS } from '../reaches.js';

export function limitLevers(cart: Cart): readonly Lever[] {
  const scopes = scopesOf(cart);
  return [
    ...cart.movers.flatMap((mover) => moverLevers(cart, mover, scopes)),
    ...loadGroups(cart).flatMap((group) => loadLevers(group, scopes)),
  ];
}

/** Positions that a limit is stated for. */
interface Scope {
  /** 'in position "in use"', 'in every use position' */
  readonly words: string;
  readonly positions: readonly Position[];
}

/** Each position, and all of a kind where there are several. */
function scopesOf({ positions }: Cart): readonly Scope[] {
  const kinds = (['transport', 'use'] as const).flatMap((kind): Scope[] => {
    const all = positions.filter((each) => each.kind === kind);
    return all.length < 2 ? [] : [{ words: `in every ${kind} position`, positions: all }];
  });
  const single = positions.map(
    (each): Scope => ({ words: `in position "${each.name}"`, positions: [each] }),
  );
  return [...single, ...kinds];
}

const INSTRUCTION =
  'An instruction shifts the duty to whoever uses the cart. Whether the standard allows it for this clause, and how it must be marked, is in your copy.';

type Side = 'most' | 'least' | 'both';

interface Range {
  readonly from: number;
  readonly to: number;
}

/** The range with its upper end brought down to `limit`; a position above the limit comes down to it. */
function capped({ from, to }: Range, limit: number): Range {
  return { from: Math.min(from, limit), to: Math.min(to, limit) };
}

function raisedTo({ from, to }: Range, limit: number): Range {
  return { from: Math.max(from, limit), to: Math.max(to, limit) };
}

function limited(range: Range, side: Side, limit: number): Range {
  if (side === 'most') return capped(range, limit);
  if (side === 'least') return raisedTo(range, limit);
  return raisedTo(capped(range, limit), -limit);
}

function rangeIn(position: Position, mover: Mover): Range {
  return position.movers[mover.name] ?? { from: mover.from, to: mover.to };
}

function moverLevers(cart: Cart, mover: Mover, scopes: readonly Scope[]): readonly Lever[] {
  const levers = scopes.flatMap((scope) => scopeLevers(cart, mover, scope, () => true));
  // of a mover that several kinds of position let go as far, a stop limits them all
  const everywhere: Scope = { words: 'in every position', positions: cart.positions };
  const stops = scopeLevers(cart, mover, everywhere, (side) =>
    isStop(cart, mover, everywhere, side),
  );
  const known = new Set(levers.map(({ id }) => id));
  return [...levers, ...stops.filter(({ id }) => !known.has(id))];
}

function scopeLevers(
  cart: Cart,
  mover: Mover,
  scope: Scope,
  isTried: (side: Side) => boolean,
): readonly Lever[] {
  const ranges = scope.positions.map((each) => rangeIn(each, mover));
  const from = Math.min(...ranges.map((each) => each.from));
  const to = Math.max(...ranges.map((each) => each.to));
  const even = to > 0 && Math.abs(from + to) < STEPS.length / 2;
  const sides: readonly Side[] = even ? ['most', 'least', 'both'] : ['most', 'least'];
  return sides
    .filter(isTried)
    .flatMap((side) => moverLever(cart, mover, scope, side, { from, to }));
}

function moverLever(
  cart: Cart,
  mover: Mover,
  scope: Scope,
  side: Side,
  { from, to }: Range,
): readonly Lever[] {
  const start = side === 'least' ? from : to;
  const end = side === 'most' ? mover.from : side === 'least' ? mover.to : 0;
  const dimension = mover.kind === 'turn' ? 'angle' : 'length';
  // the last step is the end itself, not a rounding beyond it
  const limitAt = (x: number): number =>
    side === 'least' ? Math.min(end, tidy(start + x)) : Math.max(end, tidy(start - x));
  const stop = isStop(cart, mover, scope, side);
  const where = stop ? '' : ` ${scope.words}`;
  const stated = side === 'both' ? 'at most' : `at ${side}`;
  const shown = (value: number): Amount => ({ value, dimension });
  return leverOf({
    id: `mover limit: ${mover.name} ${stated}${side === 'both' ? ' either way' : ''}${where}`,
    kind: 'mover limit',
    relies: stop ? 'design' : 'user',
    dimension,
    amounts: amountsOf(mover, Math.abs(end - start), start, side),
    edits: (x) =>
      stop
        ? [{ kind: 'mover range', mover: mover.name, ...limited(mover, side, limitAt(x)) }]
        : positionEdits(mover, scope, side, limitAt(x)),
    words: (x) => [
      `${stop ? `stop of the ${mover.name}` : mover.name}: ${stated} `,
      shown(limitAt(x)),
      `${side === 'both' ? ' either way' : ''}${where} instead of `,
      shown(start),
    ],
    notes: [stop ? STOP : INSTRUCTION],
  });
}

const STOP =
  'No other position goes further, so a stop can be built in. As a mere instruction it would shift the duty to whoever uses the cart.';

/** Steps of the grid, or the stops that the mover catches at. */
function amountsOf(mover: Mover, reach: number, start: number, side: Side): readonly number[] {
  if (mover.stops === null) {
    return grid(reach, mover.kind === 'turn' ? STEPS.angle : STEPS.length);
  }
  const sign = side === 'least' ? 1 : -1;
  return mover.stops
    .map((stop) => tidy(sign * (stop - start)))
    .filter((x) => x > 0 && x <= reach + STEPS.length / 2)
    .sort((p, q) => p - q);
}

/** A stop at any limit of the lever would hinder no position outside the scope, and leave every
 * position inside it some of its range. */
function isStop(cart: Cart, mover: Mover, scope: Scope, side: Side): boolean {
  const ranges = (all: readonly Position[]) => all.map((each) => rangeIn(each, mover));
  const inside = ranges(scope.positions);
  const outside = ranges(cart.positions.filter((each) => !scope.positions.includes(each)));
  const end = side === 'most' ? mover.from : side === 'least' ? mover.to : 0;
  return (
    mover.stops === null &&
    inside.every(({ from, to }) => from <= end && end <= to) &&
    outside.every(({ from, to }) =>
      side === 'most' ? to <= end : side === 'least' ? from >= end : from === end && to === end,
    )
  );
}

function positionEdits(mover: Mover, scope: Scope, side: Side, limit: number): readonly CartEdit[] {
  return scope.positions.map((position) => ({
    kind: 'position mover',
    position: position.name,
    mover: mover.name,
    ...limited(rangeIn(position, mover), side, limit),
  }));
}

/** Loads that are limited together: each by itself, and those alike (bags on one pole). */
function loadGroups({ loads }: Cart): readonly (readonly Load[])[] {
  const alike = new Map<string, Load[]>();
  for (const load of loads) {
    const key = [load.kind, load.on, load.least, load.most].join('\n');
    const group = alike.get(key);
    if (group === undefined) alike.set(key, [load]);
    else group.push(load);
  }
  return [
    ...loads.map((load) => [load]),
    ...[...alike.values()].filter((group) => group.length > 1),
  ];
}

function loadLevers(group: readonly Load[], scopes: readonly Scope[]): readonly Lever[] {
  return scopes.flatMap((scope) => {
    const carried = group.filter(({ name }) =>
      scope.positions.some(({ loads }) => (loads[name]?.most ?? 0) > 0),
    );
    if (carried.length < group.length) return [];
    const [first] = group;
    if (first === undefined) return [];
    return first.kind === 'fluid'
      ? [...capLever(group, first, scope), ...floorLever(group, first, scope)]
      : [...absentLever(group, first, scope), ...floorLever(group, first, scope)];
  });
}

function nameOf(group: readonly Load[]): string {
  const names = group.map(({ name }) => name);
  if (names.length < 2) return names.join('');
  return `each of ${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

/** States of the group in the positions of the scope in which it may be carried. */
function stateEdits(
  group: readonly Load[],
  scope: Scope,
  stateOf: (least: number, most: number) => { least: number; most: number; mayBeAbsent: boolean },
): readonly CartEdit[] {
  return scope.positions.flatMap((position) =>
    group.flatMap(({ name }): CartEdit[] => {
      const state = position.loads[name];
      if (state === undefined || state.most === 0) return [];
      return [
        {
          kind: 'position load',
          position: position.name,
          load: name,
          state: stateOf(state.least, state.most),
        },
      ];
    }),
  );
}

function greatestIn(group: readonly Load[], scope: Scope): number {
  return Math.max(
    ...scope.positions.flatMap(({ loads }) => group.map(({ name }) => loads[name]?.most ?? 0)),
  );
}

function capLever(group: readonly Load[], first: Load, scope: Scope): readonly Lever[] {
  const most = greatestIn(group, scope);
  return leverOf({
    id: `load limit: ${nameOf(group)} at most ${scope.words}`,
    kind: 'load limit',
    relies: 'user',
    dimension: 'mass',
    amounts: grid(most - first.least, STEPS.mass),
    edits: (x) =>
      stateEdits(group, scope, (low, high) => ({
        least: Math.min(low, tidy(most - x)),
        most: Math.min(high, tidy(most - x)),
        mayBeAbsent: false,
      })),
    words: (x) => [
      `${nameOf(group)}: at most `,
      mass(tidy(most - x)),
      ` ${scope.words} instead of `,
      mass(most),
    ],
    notes: [INSTRUCTION],
  });
}

/** At least so much: what is there holds the cart down. */
function floorLever(group: readonly Load[], first: Load, scope: Scope): readonly Lever[] {
  const removable = first.kind === 'removable';
  const now = removable
    ? 0
    : Math.min(...scope.positions.map(({ loads }) => loads[first.name]?.least ?? 0));
  const most = Math.min(
    ...scope.positions
      .flatMap(({ loads }) => group.map(({ name }) => loads[name]?.most ?? 0))
      .filter((each) => each > 0),
  );
  const allowed = grid(most - now, STEPS.mass).filter((x) => now + x >= first.least);
  const already = scope.positions.every(({ loads }) => {
    const state = loads[first.name];
    return state !== undefined && !state.mayBeAbsent && state.least >= most;
  });
  if (already) return [];
  return leverOf({
    id: `load limit: ${nameOf(group)} at least ${scope.words}`,
    kind: 'load limit',
    relies: 'user',
    dimension: 'mass',
    amounts: allowed,
    edits: (x) =>
      stateEdits(group, scope, (low, high) => ({
        least: Math.max(low, tidy(now + x)),
        most: high,
        mayBeAbsent: false,
      })),
    words: (x) => [`${nameOf(group)}: always at least `, mass(tidy(now + x)), ` ${scope.words}`],
    notes: [INSTRUCTION],
  });
}

function absentLever(group: readonly Load[], first: Load, scope: Scope): readonly Lever[] {
  return leverOf({
    id: `load limit: ${nameOf(group)} absent ${scope.words}`,
    kind: 'load limit',
    relies: 'user',
    dimension: 'mass',
    amounts: [Math.max(first.most, greatestIn(group, scope))].filter((x) => x > 0),
    edits: () => stateEdits(group, scope, () => ({ least: 0, most: 0, mayBeAbsent: false })),
    words: () => [`${nameOf(group)}: taken off ${scope.words}`],
    notes: [INSTRUCTION],
  });
}
