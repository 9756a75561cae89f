/**
 * Mass and centre of mass as functions of every number that was read: one function of one vector, so that
 * each sensitivity is a difference quotient of it (weighing-budget.ts).
 *
 * Assumptions and derivation: tilt-line.ts. Level: moments of the readings about the axes of the cart.
 */

import type { Line, Point, Rows } from './tilt-line.js';
import {
  lineThrough,
  loadMoved,
  offTheirRow,
  ROW_TOLERANCE,
  rowsOf,
  slopeOf,
} from './tilt-line.js';
import { meanOf } from './uncertainty.js';
import type { Tilt, TiltWeighing, WeighingInput } from './weighing-record.js';

/** Where each number stands in the vector. */
export interface Places {
  readonly castors: number;
  readonly tilts: number;
  /** kg, mean over the level weighings */
  readonly level: (castor: number) => number;
  /** m */
  readonly x: (castor: number) => number;
  readonly y: (castor: number) => number;
  /** rad, by how much the level is off towards x (0) and y (1); 0 as far as anybody knows */
  readonly lean: (towards: 0 | 1) => number;
  /** m */
  readonly axisHeight: number;
  /** rad */
  readonly angle: (tilt: number) => number;
  /** kg; 0 for lifted castors */
  readonly tilted: (tilt: number, castor: number) => number;
}

export interface TiltOutputs {
  /** m */
  readonly height: number;
  /** kg */
  readonly slope: number;
  readonly intercept: number;
  readonly line: Line;
  /** tan(theta) and kg, by tilt */
  readonly x: readonly number[];
  readonly y: readonly number[];
  /** m */
  readonly base: number;
}

export interface Outputs {
  /** kg */
  readonly mass: number;
  /** m */
  readonly x: number;
  readonly y: number;
  readonly tilt: TiltOutputs | null;
}

/** What stays as it is when a number is a little different. */
interface Frame {
  readonly rows: Rows;
  /** the line may miss the level weighing */
  readonly free: boolean;
  /** 1 / kg^2 by tilt */
  readonly weights: readonly number[];
  /** m, from the axis up to the centre of mass: what a lean of the level acts on */
  readonly arm: number;
}

export interface WeighingModel {
  readonly places: Places;
  readonly numbers: readonly number[];
  readonly outputs: Outputs;
  readonly evaluate: (numbers: readonly number[]) => Outputs;
  /** every tilt has an uncertainty, so that the weights are 1 / u^2; else they are all 1 */
  readonly weighted: boolean;
  readonly free: boolean;
  /** how many different angles there are */
  readonly angles: number;
  /** rad, cart frame: along the slope, up or down; null: no tilts */
  readonly slopeHeading: number | null;
}

export type ModelOutcome =
  | { readonly kind: 'ok'; readonly model: WeighingModel }
  | { readonly kind: 'refused'; readonly problems: readonly string[] };

/** rad: tilts closer together than 0.5 degrees are one angle; the line between them shows no slope */
export const SAME_ANGLE = Math.PI / 360;
/** m: no cart is so short */
const LEAST_BASE = 0.02;
/** kg: a smaller uncertainty is none, and its weight would run out of range */
const LEAST_UNCERTAINTY = 1e-9;
/** ISO 10392:2011, 6.2.2 asks for three steps or more; two are a line by definition, one is none */
const ANGLES_OF_A_FREE_LINE = 3;

/** @param input without problems (weighing-problems.ts) */
export function weighingModel(input: WeighingInput): ModelOutcome {
  const tilts = input.tilt?.tilts ?? [];
  const places = placesOf(input.contacts.length, tilts.length);
  const numbers = numbersOf(input, places);
  if (input.tilt === null || tilts.length === 0) {
    const evaluate = (v: readonly number[]) => levelOutputs(v, places, 0);
    return ok({
      places,
      numbers,
      evaluate,
      weighted: false,
      free: false,
      angles: 0,
      slopeHeading: null,
    });
  }
  const rows = rowsOfTilt(input.tilt, input, numbers, places);
  return rows.kind === 'refused' ? rows : tiltModel(input.tilt, numbers, places, rows.rows);
}

function tiltModel(
  tilt: TiltWeighing,
  numbers: readonly number[],
  places: Places,
  rows: Rows,
): ModelOutcome {
  const angles = differentAngles(tilt.tilts);
  const free = angles >= ANGLES_OF_A_FREE_LINE;
  const even: Frame = { rows, free, weights: tilt.tilts.map(() => 1), arm: 0 };
  const first = tiltOutputs(numbers, places, even);
  const variances = tilt.tilts.map((one) => varianceOf(one, first.slope));
  const weighted = variances.every((variance) => variance > LEAST_UNCERTAINTY ** 2);
  const weights = weighted ? variances.map((variance) => 1 / variance) : even.weights;
  const { height } = tiltOutputs(numbers, places, { ...even, weights });
  const frame: Frame = { rows, free, weights, arm: height - tilt.axisHeight };
  const evaluate = (v: readonly number[]): Outputs => ({
    ...levelOutputs(v, places, frame.arm),
    tilt: tiltOutputs(v, places, frame),
  });
  const [from, to] = rows.axis.map((i) => contactsOf(numbers, places)[i] as Point) as [
    Point,
    Point,
  ];
  const slopeHeading = Math.atan2(to[0] - from[0], from[1] - to[1]);
  return height > 0
    ? ok({ places, numbers, evaluate, weighted, free, angles, slopeHeading })
    : refused(
        `the tilts put the centre of mass ${Math.round(-1000 * height)} mm below the floor; allowed: above it: are the readings those of the castors that were not lifted?`,
      );
}

function ok(model: Omit<WeighingModel, 'outputs'>): ModelOutcome {
  return { kind: 'ok', model: { ...model, outputs: model.evaluate(model.numbers) } };
}

function refused(...problems: string[]): {
  readonly kind: 'refused';
  readonly problems: readonly string[];
} {
  return { kind: 'refused', problems };
}

function placesOf(castors: number, tilts: number): Places {
  const axisHeight = 3 * castors + 2;
  return {
    castors,
    tilts,
    level: (castor) => castor,
    x: (castor) => castors + 2 * castor,
    y: (castor) => castors + 2 * castor + 1,
    lean: (towards) => 3 * castors + towards,
    axisHeight,
    angle: (tilt) => axisHeight + 1 + tilt,
    tilted: (tilt, castor) => axisHeight + 1 + tilts + tilt * castors + castor,
  };
}

function numbersOf({ contacts, level, tilt }: WeighingInput, places: Places): readonly number[] {
  const numbers = new Array<number>(places.tilted(places.tilts, 0)).fill(0);
  contacts.forEach(({ castor, at: [x, y] }, i) => {
    const shown = level.repeats.map((readings) => shownBy(readings, castor));
    numbers[places.level(i)] = meanOf(shown).value;
    numbers[places.x(i)] = x;
    numbers[places.y(i)] = y;
    tilt?.tilts.forEach(({ lower }, j) => {
      numbers[places.tilted(j, i)] = shownBy(lower, castor);
    });
  });
  numbers[places.axisHeight] = tilt?.axisHeight ?? 0;
  tilt?.tilts.forEach(({ angle }, j) => {
    numbers[places.angle(j)] = angle;
  });
  return numbers;
}

/** A lifted castor is on no scale: its 0 is never looked at. */
function shownBy(
  readings: readonly { readonly castor: string; readonly shown: number }[],
  castor: string,
): number {
  return readings.find((reading) => reading.castor === castor)?.shown ?? 0;
}

function levelOutputs(v: readonly number[], places: Places, arm: number): Outputs {
  const loads = levelLoads(v, places);
  const mass = loads.reduce((sum, load) => sum + load, 0);
  const centre = (place: (castor: number) => number, towards: 0 | 1) =>
    loads.reduce((sum, load, i) => sum + load * at(v, place(i)), 0) / mass +
    // a cart that leans by e is read e times the height too far downhill
    arm * at(v, places.lean(towards));
  return { mass, x: centre(places.x, 0), y: centre(places.y, 1), tilt: null };
}

function tiltOutputs(v: readonly number[], places: Places, frame: Frame): TiltOutputs {
  const { mass, x: centreX, y: centreY } = levelOutputs(v, places, frame.arm);
  const slope = slopeOf(contactsOf(v, places), frame.rows, levelLoads(v, places), [
    centreX,
    centreY,
  ]);
  const tilts = Array.from({ length: places.tilts }, (_, j) => j);
  const x = tilts.map((j) => Math.tan(at(v, places.angle(j))));
  const y = tilts.map((j) => loadMoved(slope, frame.rows, mass, tiltedLoads(v, places, j)));
  const line = lineThrough(x, y, frame.weights, frame.free);
  return {
    height: at(v, places.axisHeight) + (line.slope * slope.base) / mass,
    slope: line.slope,
    intercept: line.intercept,
    line,
    x,
    y,
    base: slope.base,
  };
}

/** The two rows, or why the castors do not make two. */
function rowsOfTilt(
  tilt: TiltWeighing,
  { contacts }: WeighingInput,
  numbers: readonly number[],
  places: Places,
): { readonly kind: 'ok'; readonly rows: Rows } | ReturnType<typeof refused> {
  const indices = contacts.map((_, i) => i);
  const lifted = indices.filter((i) => tilt.lifted.includes(contacts[i]?.castor ?? ''));
  // what shows 0 in every tilt hangs free: it bears nothing, wherever it is
  const bearing = indices.filter((i) =>
    tilt.tilts.some((_, j) => at(numbers, places.tilted(j, i)) > 0),
  );
  const loads = levelLoads(numbers, places);
  const mass = loads.reduce((sum, load) => sum + load, 0);
  const overloaded = tilt.tilts.flatMap((_, j) =>
    overloadProblem(j, tiltedLoads(numbers, places, j), mass),
  );
  const rows = rowsOf(contactsOf(numbers, places), bearing, lifted);
  if (rows.kind === 'refused') {
    return refused(...overloaded, rows.problem);
  }
  const slope = slopeOf(contactsOf(numbers, places), rows.rows, loads, [0, 0]);
  if (slope.base < LEAST_BASE) {
    return refused(
      ...overloaded,
      `the lifted castors stand ${Math.round(1000 * slope.base)} mm from the row of the lower ones; allowed: ${1000 * LEAST_BASE} mm or more`,
    );
  }
  const off = offTheirRow(slope, rows.rows).map(([i, distance]) =>
    offRowProblem(contacts[i]?.castor ?? '', distance, slope.base, rows.rows.lifted.includes(i)),
  );
  const problems = [...overloaded, ...off];
  return problems.length > 0 ? refused(...problems) : rows;
}

function overloadProblem(tilt: number, shown: readonly number[], mass: number): readonly string[] {
  const lower = shown.reduce((sum, load) => sum + load, 0);
  return lower > 0 && lower < mass
    ? []
    : [
        `tilt ${tilt + 1}: ${Number(lower.toPrecision(6))} kg on the lower castors; allowed: more than 0, less than the ${Number(mass.toPrecision(6))} kg of the cart`,
      ];
}

function offRowProblem(castor: string, distance: number, base: number, lifted: boolean): string {
  const off = `castor '${castor}': ${Math.round(1000 * Math.abs(distance))} mm off the row of the ${lifted ? 'lifted' : 'lower'} castors`;
  const allowed = `allowed: ${Math.round(1000 * ROW_TOLERANCE * base)} mm, ${100 * ROW_TOLERANCE} % of the base of ${Math.round(1000 * base)} mm`;
  return `${off}; ${allowed}: turn castors of a row the same way, and count one that hangs free among the lower ones with 0 kg`;
}

/** kg^2, of the load moved: what scales and angle, each by itself, make of one tilt */
function varianceOf({ lower, angle, u }: Tilt, slope: number): number {
  const scales = lower.reduce((sum, reading) => sum + reading.u ** 2, 0);
  return scales + (slope * (1 + Math.tan(angle) ** 2) * u) ** 2;
}

/** Counted from the smallest up: a new one where it is further on than `SAME_ANGLE`. */
function differentAngles(tilts: readonly Tilt[]): number {
  let count = 0;
  let last = Number.NEGATIVE_INFINITY;
  for (const angle of tilts.map((tilt) => tilt.angle).sort((a, b) => a - b)) {
    if (angle - last > SAME_ANGLE) {
      count += 1;
      last = angle;
    }
  }
  return count;
}

function levelLoads(v: readonly number[], places: Places): readonly number[] {
  return Array.from({ length: places.castors }, (_, i) => at(v, places.level(i)));
}

function tiltedLoads(v: readonly number[], places: Places, tilt: number): readonly number[] {
  return Array.from({ length: places.castors }, (_, i) => at(v, places.tilted(tilt, i)));
}

function contactsOf(v: readonly number[], places: Places): readonly Point[] {
  return Array.from(
    { length: places.castors },
    (_, i): Point => [at(v, places.x(i)), at(v, places.y(i))],
  );
}

function at(v: readonly number[], index: number): number {
  return v[index] as number;
}
