import type { Load, LoadState, Mover, Position } from './cart.js';
import type { PositionDraft } from './cart-shape.js';
import { loadState, slideRange, turnRange } from './cart-shape.js';
import type { IssueLog } from './issue-log.js';
import type { Range } from './movers.js';
import { holdsOneOf, readRange, snappedInto } from './movers.js';
import type { Names } from './names.js';
import { checkName } from './names.js';
import type { DraftList, Located, NamedEntry } from './shape.js';
import { located } from './shape.js';

/** The things that positions speak of, by name; undefined stands for one that is named in the file
 * but could not be read. */
export interface Movable {
  readonly movers: Names<Mover | undefined>;
  readonly loads: Names<Load | undefined>;
}

/** @returns one entry per position, undefined where it could not be made (the log says why) */
export function readPositions(
  drafts: DraftList<PositionDraft>,
  list: Located<unknown> | undefined,
  movable: Movable,
  log: IssueLog,
): readonly (Position | undefined)[] {
  const positions = drafts.items.map((draft) => readPosition(draft, movable, log));
  if (list !== undefined && drafts.complete) reportMissingKinds(drafts.items, list, log);
  return positions;
}

function reportMissingKinds(
  drafts: readonly PositionDraft[],
  list: Located<unknown>,
  log: IssueLog,
): void {
  const isOpen = drafts.some(({ fields }) => !fields.transport && !fields.use);
  if (isOpen) return;
  const { offset, path } = list;
  const actual = `the ${drafts.length} listed`;
  if (drafts.every(({ fields }) => fields.transport === null)) {
    const allowed = 'at least one position with transport: {movers}';
    log.report({ code: 'no-transport-position', offset, path, actual, allowed });
  }
  if (drafts.every(({ fields }) => fields.use === null)) {
    const allowed = 'at least one position with use: {movers}';
    log.report({ code: 'no-use-position', offset, path, actual, allowed });
  }
}

function readPosition(draft: PositionDraft, movable: Movable, log: IssueLog): Position | undefined {
  const { name, transport, use, loads } = draft.fields;
  const stated = transport ?? use;
  const moverRanges = stated && readMoverRanges(stated.value, movable.movers, log);
  const loadStates =
    loads === undefined ? undefined : readLoadStates(loads?.value ?? [], movable.loads, log);
  if (name === undefined || !moverRanges || loadStates === undefined) return undefined;
  const kind = transport ? 'transport' : 'use';
  return { name: name.value, kind, movers: moverRanges, loads: loadStates };
}

function readMoverRanges(
  entries: readonly NamedEntry[],
  movers: Names<Mover | undefined>,
  log: IssueLog,
): Position['movers'] | undefined {
  const stated = readEntries(entries, movers, readMoverRange, log);
  return stated && completed(movers, stated, ({ from, to }) => ({ from, to }));
}

function readLoadStates(
  entries: readonly NamedEntry[],
  loads: Names<Load | undefined>,
  log: IssueLog,
): Position['loads'] | undefined {
  const stated = readEntries(entries, loads, readLoadState, log);
  return stated && completed(loads, stated, wholeState);
}

/** Reads the entries whose names are known; undefined when one of them could not be read. */
function readEntries<D, T>(
  entries: readonly NamedEntry[],
  names: Names<D | undefined>,
  read: (entry: NamedEntry, of: D, log: IssueLog) => T | undefined,
  log: IssueLog,
): ReadonlyMap<string, T> | undefined {
  const values = new Map<string, T>();
  const seen = new Set<string>();
  for (const entry of entries) {
    if (seen.has(entry.name)) reportRepeated(entry, log);
    seen.add(entry.name);
    const reference = { ...entry, value: entry.name, source: entry.name };
    const of = checkName(reference, names, log) ? names.known.get(entry.name) : undefined;
    const value = of === undefined ? undefined : read(entry, of, log);
    if (value !== undefined) values.set(entry.name, value);
  }
  return values.size === entries.length ? values : undefined;
}

/** Keys differ, yet name the same thing once the white space around them is gone. */
function reportRepeated(entry: NamedEntry, log: IssueLog): void {
  const { offset, path, name } = entry;
  log.report({ code: 'duplicate-key', offset, path, actual: name, allowed: 'each name once' });
}

/** Every known thing with what is stated for it, or else all that it allows. */
function completed<D, T>(
  names: Names<D | undefined>,
  stated: ReadonlyMap<string, T>,
  whole: (of: D) => T,
): Readonly<Record<string, T>> | undefined {
  const all: [string, T][] = [];
  for (const [name, of] of names.known) {
    const value = stated.get(name) ?? (of && whole(of));
    if (value === undefined) return undefined;
    all.push([name, value]);
  }
  return Object.fromEntries(all);
}

function readMoverRange(entry: NamedEntry, mover: Mover, log: IssueLog): Range | undefined {
  const shape = mover.kind === 'slide' ? slideRange : turnRange;
  const stated = located(shape).read(entry.node, entry.path, log);
  if (stated === undefined) return undefined;
  const { value } = stated;
  const [from, to] =
    typeof value === 'number'
      ? [
          { ...stated, value },
          { ...stated, value },
        ]
      : [value.fields.from, value.fields.to];
  const range = readRange(from, to, log);
  const within = range && from && to && rangeWithin(range, mover, from, to, log);
  if (!within || mover.stops === null || holdsOneOf(within, mover.stops)) return within;
  reportNoStop(stated, mover, log);
  return undefined;
}

function rangeWithin(
  range: Range,
  mover: Mover,
  from: Located<number>,
  to: Located<number>,
  log: IssueLog,
): Range | undefined {
  const least = snappedInto(range.from, mover);
  const most = snappedInto(range.to, mover);
  if (least !== null && most !== null) return { from: least, to: most };
  const { offset, path, source } = least === null ? from : to;
  const allowed = `within the range of the mover, ${moverValue(mover.from, mover)} to ${moverValue(mover.to, mover)}`;
  log.report({ code: 'range-outside', offset, path, actual: source, allowed });
  return undefined;
}

function reportNoStop(stated: Located<unknown>, mover: Mover, log: IssueLog): void {
  const { offset, path, source } = stated;
  const stops = (mover.stops ?? []).slice(0, 8).map((stop) => moverValue(stop, mover));
  const allowed = `one of its stops (${stops.join(', ')}), or a range that holds one`;
  log.report({ code: 'no-stop-in-range', offset, path, actual: source, allowed });
}

/** In the units of the drawing sheet: mm, deg. */
function moverValue(value: number, mover: Mover): string {
  const [shownValue, unit] =
    mover.kind === 'slide' ? [value * 1000, 'mm'] : [(value * 180) / Math.PI, 'deg'];
  return `${Number(shownValue.toPrecision(6))} ${unit}`;
}

function wholeState(load: Load): LoadState {
  return { least: load.least, most: load.most, mayBeAbsent: load.kind === 'removable' };
}

export function readLoadState(entry: NamedEntry, load: Load, log: IssueLog): LoadState | undefined {
  const stated = located(loadState).read(entry.node, entry.path, log);
  if (stated === undefined) return undefined;
  const { value } = stated;
  if (value === 'full') return { least: load.most, most: load.most, mayBeAbsent: false };
  if (value === 'absent') return absentState(stated, load, log);
  const { least, most } = value.fields;
  const range = readRange(least, most, log);
  if (range === undefined || least === undefined || most === undefined) return undefined;
  const [low, high] = [loadMass(range.from, load), loadMass(range.to, load)];
  if (low !== null && high !== null) return { least: low, most: high, mayBeAbsent: false };
  const { offset, path, source } = low === null ? least : most;
  const allowed = `within the range of the load, ${load.least} kg to ${load.most} kg`;
  log.report({ code: 'range-outside', offset, path, actual: source, allowed });
  return undefined;
}

function loadMass(mass: number, load: Load): number | null {
  return snappedInto(mass, { from: load.least, to: load.most });
}

function absentState(stated: Located<unknown>, load: Load, log: IssueLog): LoadState | undefined {
  if (load.kind === 'removable' || load.least === 0)
    return { least: 0, most: 0, mayBeAbsent: false };
  const { offset, path, source } = stated;
  const allowed = `full or {least, most}: a fluid of at least ${load.least} kg is never absent`;
  log.report({ code: 'load-state', offset, path, actual: source, allowed });
  return undefined;
}
