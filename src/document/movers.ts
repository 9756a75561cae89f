import type { Mover, Vec3 } from './cart.js';
import type { AxisWord, MoverDraft, SlideDraft, TurnDraft } from './cart-shape.js';
import type { IssueLog } from './issue-log.js';
import type { Names } from './names.js';
import { carrier } from './names.js';
import type { DraftList, Located } from './shape.js';

/**
 * Two ways of writing one value (16 in, 406.4 mm) may differ in the last place. Values within this
 * of an end or a stop are taken to be it; no drawing states a length or an angle so finely.
 * m or rad
 */
export const ROUNDING = 1e-9;

export interface Range {
  readonly from: number;
  readonly to: number;
}

const AXIS_WORDS: Readonly<Record<AxisWord, Vec3>> = {
  forward: [1, 0, 0],
  back: [-1, 0, 0],
  left: [0, 1, 0],
  right: [0, -1, 0],
  up: [0, 0, 1],
  down: [0, 0, -1],
};

/** @returns one entry per mover, undefined where it could not be made (the log says why) */
export function readMovers(
  drafts: readonly MoverDraft[],
  names: Names<MoverDraft>,
  log: IssueLog,
): readonly (Mover | undefined)[] {
  reportCycles(drafts, names, log);
  return drafts.map((draft) => readMover(draft, names, log));
}

function readMover(draft: MoverDraft, names: Names<MoverDraft>, log: IssueLog): Mover | undefined {
  const { name, slide, turn } = draft.fields;
  const on = carrier(draft.fields.on, names, log);
  const motion = slide ? readSlide(slide.value, log) : turn ? readTurn(turn.value, log) : undefined;
  if (name === undefined || on === undefined || motion === undefined) return undefined;
  return { name: name.value, on, ...motion };
}

type Motion = Omit<Mover, 'name' | 'on'>;

function readSlide(draft: SlideDraft, log: IssueLog): Motion | undefined {
  const common = readAxisAndRange(draft, log);
  return common && { kind: 'slide', origin: [0, 0, 0], ...common };
}

function readTurn(draft: TurnDraft, log: IssueLog): Motion | undefined {
  const common = readAxisAndRange(draft, log);
  const { about } = draft.fields;
  return common && about && { kind: 'turn', origin: about.value, ...common };
}

function readAxisAndRange(
  draft: SlideDraft | TurnDraft,
  log: IssueLog,
): Pick<Motion, 'axis' | 'from' | 'to' | 'stops'> | undefined {
  const axis = draft.fields.axis && readAxis(draft.fields.axis, log);
  const range = readRange(draft.fields.from, draft.fields.to, log);
  const stops = range && readStops(draft.fields.stops, range, log);
  if (axis === undefined || range === undefined || stops === undefined) return undefined;
  return { axis, ...range, stops };
}

function readAxis(axis: Located<AxisWord | Vec3>, log: IssueLog): Vec3 | undefined {
  if (typeof axis.value === 'string') return AXIS_WORDS[axis.value];
  const [x, y, z] = axis.value;
  const length = Math.hypot(x, y, z);
  // a direction written by people has components of about 1; far below that it is a slip
  if (length > 1e-3) return [x / length, y / length, z / length];
  log.report({
    code: 'zero-axis',
    offset: axis.offset,
    path: axis.path,
    actual: `[${x}, ${y}, ${z}]`,
    allowed: 'a direction whose length is above 0.001, such as [0, 0, 1]',
  });
  return undefined;
}

/** A range whose ends are in order; also used for loads. */
export function readRange(
  from: Located<number> | undefined,
  to: Located<number> | undefined,
  log: IssueLog,
): Range | undefined {
  if (from === undefined || to === undefined) return undefined;
  if (from.value <= to.value) return { from: from.value, to: to.value };
  log.report({
    code: 'range-reversed',
    offset: from.offset,
    path: from.path,
    actual: from.source,
    allowed: `at most ${to.source}, the value of ${lastStep(to.path)}`,
  });
  return undefined;
}

function lastStep(path: string): string {
  return path.split(' > ').at(-1) ?? path;
}

function readStops(
  stops: Located<DraftList<Located<number>>> | null | undefined,
  range: Range,
  log: IssueLog,
): readonly number[] | null | undefined {
  if (stops === null || stops === undefined) return stops;
  const values = new Set<number>();
  let { complete } = stops.value;
  for (const stop of stops.value.items) {
    const value = snappedInto(stop.value, range);
    const code = value === null ? 'stop-outside' : values.has(value) ? 'duplicate-name' : null;
    if (code !== null) {
      const allowed = 'stops between from and to of the mover, each once';
      log.report({ code, offset: stop.offset, path: stop.path, actual: stop.source, allowed });
      complete = false;
    }
    if (value !== null) values.add(value);
  }
  return complete ? [...values].sort((a, b) => a - b) : undefined;
}

/** The value, an end of the range that it equals up to rounding, or null when it is outside. */
export function snappedInto(value: number, range: Range): number | null {
  if (Math.abs(value - range.from) <= ROUNDING) return range.from;
  if (Math.abs(value - range.to) <= ROUNDING) return range.to;
  return value > range.from && value < range.to ? value : null;
}

/** True when the range, widened by rounding, holds one of the values. */
export function holdsOneOf(range: Range, values: readonly number[]): boolean {
  return values.some((value) => value >= range.from - ROUNDING && value <= range.to + ROUNDING);
}

/** Reports each circle of movers once, at the mover of it that comes first in the file. */
function reportCycles(
  drafts: readonly MoverDraft[],
  names: Names<MoverDraft>,
  log: IssueLog,
): void {
  const settled = new Set<string>();
  for (const draft of drafts) {
    const trail: string[] = [];
    let at = draft.fields.name?.value;
    while (at !== undefined && !settled.has(at) && !trail.includes(at)) {
      trail.push(at);
      at = names.known.get(at)?.fields.on?.value;
    }
    if (at !== undefined && trail.includes(at))
      reportCycle(trail.slice(trail.indexOf(at)), names, log);
    for (const each of trail) settled.add(each);
  }
}

function reportCycle(circle: readonly string[], names: Names<MoverDraft>, log: IssueLog): void {
  const [first = ''] = circle;
  const on = names.known.get(first)?.fields.on;
  if (on === null || on === undefined) return;
  log.report({
    code: 'mover-cycle',
    offset: on.offset,
    path: on.path,
    actual: [...circle, first].join(' on '),
    allowed: 'movers that end at the base',
  });
}
