/**
 * Question: what friction coefficient do slip tests of a tread on a floor show?
 *
 * Slip angle: mu = tan(theta) where a block, or the cart with all castors locked against rolling and
 * swivelling, begins to slide. Pull: mu = F / (m g) on a level floor.
 *
 * Assumptions: it slides as a whole, neither rolls nor tips nor turns; one coefficient whatever the load
 * (Coulomb); the pull is level, the floor of a pull too. g is standard gravity, since a mass that a scale
 * shows is the force on it over standard gravity.
 * Source: statics; uncertainty by JCGM 100:2008. docs/theory/measurement.md.
 *
 * Symbols: mu coefficient, theta angle (rad), F force (N), m mass (kg), g standard gravity (m/s2).
 */

import { STANDARD_GRAVITY } from '../units/index.js';
import type { Budget, BudgetLine } from './measured.js';
import { combined, expanded, meanOf } from './uncertainty.js';

export type SlipReading =
  | {
      readonly kind: 'slip angle';
      /** rad, more than 0, less than 60 degrees */
      readonly angle: number;
      readonly u: number;
    }
  | {
      readonly kind: 'pull';
      /** N, level, at the onset of slip; more than 0 */
      readonly force: number;
      readonly u: number;
      /** kg on the sliding treads, more than 0 */
      readonly mass: number;
      readonly massU: number;
    };

export interface FrictionResult {
  /** the mean coefficient */
  readonly coefficient: Budget;
  /** of each reading */
  readonly each: readonly number[];
  /** standard deviation of single coefficients; null: one reading */
  readonly spread: number | null;
  readonly remarks: readonly string[];
}

export type FrictionOutcome =
  | { readonly kind: 'ok'; readonly result: FrictionResult }
  | { readonly kind: 'refused'; readonly problems: readonly string[] };

/** An input of one reading, in whose error all readings of its kind share. */
interface Share {
  readonly source: string;
  readonly u: number;
  /** change of that reading's coefficient with it */
  readonly sensitivity: number;
}

/** Fewer are few: with five readings k is 2.9, with three 4.5 (common practice, no source) */
const FEW = 5;
/** Standard deviation over mean: treads on a clean floor repeat better (common practice, no source) */
const WIDE = 0.1;
const STEEPEST_DEGREES = 60;
/** a number above it is of another unit or a slip of the pen */
const MOST = 1e6;

/** Never throws. */
export function frictionShown(readings: readonly SlipReading[]): FrictionOutcome {
  const problems = [
    ...(readings.length === 0 ? ['slip readings: none; allowed: one or more'] : []),
    ...readings.flatMap(problemsOf),
  ];
  if (problems.length > 0) {
    return { kind: 'refused', problems };
  }
  const each = readings.map(coefficientOf);
  const { value, u, dof, s } = meanOf(each);
  const scatter: readonly Line[] =
    s === null ? [] : [{ source: 'scatter of the readings', type: 'A', u, sensitivity: 1, dof }];
  const coefficient = combined(value, [...scatter, ...instrumentLines(readings)]);
  const remarks = remarksOn(readings, each, s);
  return { kind: 'ok', result: { coefficient, each, spread: s, remarks } };
}

type Line = Omit<BudgetLine, 'contribution'>;

function coefficientOf(reading: SlipReading): number {
  return reading.kind === 'slip angle'
    ? Math.tan(reading.angle)
    : reading.force / (reading.mass * STANDARD_GRAVITY);
}

/** d tan = (1 + tan^2) d theta; d mu / mu = d F / F - d m / m. */
function sharesOf(reading: SlipReading): readonly Share[] {
  const mu = coefficientOf(reading);
  return reading.kind === 'slip angle'
    ? [{ source: 'angle of slip', u: reading.u, sensitivity: 1 + mu ** 2 }]
    : [
        { source: 'force of the pull', u: reading.u, sensitivity: mu / reading.force },
        { source: 'mass on the treads', u: reading.massU, sensitivity: -mu / reading.mass },
      ];
}

/** One instrument has one error in all its readings, which no mean makes smaller: the contributions of the
 * readings add up. What is new in each reading shows in the scatter, which is counted beside them. */
function instrumentLines(readings: readonly SlipReading[]): readonly Line[] {
  const shares = readings.flatMap(sharesOf);
  const sources = [...new Set(shares.map((share) => share.source))];
  return sources.map((source): Line => {
    const own = shares.filter((share) => share.source === source);
    const u = Math.max(...own.map((share) => share.u));
    const weight = (share: Share) => (u === 0 ? 1 : share.u / u);
    const sensitivity =
      own.reduce((sum, share) => sum + share.sensitivity * weight(share), 0) / readings.length;
    return { source, type: 'B', u, sensitivity, dof: null };
  });
}

function problemsOf(reading: SlipReading, index: number): readonly string[] {
  const where = `slip reading ${index + 1}`;
  if (reading.kind === 'slip angle') {
    const degrees = (reading.angle * 180) / Math.PI;
    return [
      ...(degrees > 0 && degrees < STEEPEST_DEGREES
        ? []
        : [
            `${where}: angle ${Number(degrees.toPrecision(6))} deg; allowed: more than 0, less than ${STEEPEST_DEGREES} deg`,
          ]),
      ...uncertaintyProblem(`${where}: uncertainty of the angle (rad)`, reading.u),
    ];
  }
  return [
    ...positiveProblem(`${where}: force (N)`, reading.force),
    ...uncertaintyProblem(`${where}: uncertainty of the force (N)`, reading.u),
    ...positiveProblem(`${where}: mass (kg)`, reading.mass),
    ...uncertaintyProblem(`${where}: uncertainty of the mass (kg)`, reading.massU),
  ];
}

function positiveProblem(what: string, value: number): readonly string[] {
  // from a millionth on, so that no quotient overflows
  return value >= 1 / MOST && value <= MOST
    ? []
    : [`${what}: ${value}; allowed: more than 0, at most ${MOST}`];
}

function uncertaintyProblem(what: string, value: number): readonly string[] {
  return value >= 0 && value <= MOST ? [] : [`${what}: ${value}; allowed: 0 to ${MOST}`];
}

function remarksOn(
  readings: readonly SlipReading[],
  each: readonly number[],
  spread: number | null,
): readonly string[] {
  return [
    ...fewRemark(readings.length),
    ...spreadRemark(each, spread),
    ...kindRemark(readings, each),
    ...unstatedRemark(readings),
  ];
}

function fewRemark(count: number): readonly string[] {
  if (count === 1) {
    return ['One reading only: how well it repeats is not known.'];
  }
  const { k } = expanded({ value: 0, u: 1, dof: count - 1 });
  return count < FEW
    ? [
        `${count} readings only: their scatter counts ${k.toFixed(1)} times for 95 %, where many would count 2 times. Take ${FEW} or more.`,
      ]
    : [];
}

function spreadRemark(each: readonly number[], spread: number | null): readonly string[] {
  const { value } = meanOf(each);
  return spread !== null && spread > WIDE * value
    ? [
        `The readings differ much: from ${short(Math.min(...each))} to ${short(Math.max(...each))}, standard deviation ${Math.round((100 * spread) / value)} % of the mean. Is the floor clean and the tread the same, and did it slide rather than roll or turn?`,
      ]
    : [];
}

/** Both ways measure one coefficient: where they differ by more than chance, one of them is wrong. */
function kindRemark(readings: readonly SlipReading[], each: readonly number[]): readonly string[] {
  const of = (kind: SlipReading['kind']) => readings.filter((reading) => reading.kind === kind);
  const [angles, pulls] = [of('slip angle'), of('pull')];
  // one reading alone says nothing of its scatter
  if (angles.length < 2 || pulls.length < 2) {
    return [];
  }
  const mean = (kind: SlipReading['kind']) => {
    const own = meanOf(each.filter((_, i) => readings[i]?.kind === kind));
    const scatter: Line = { source: '', type: 'A', u: own.u, sensitivity: 1, dof: own.dof };
    return { value: own.value, lines: [scatter, ...instrumentLines(of(kind))] };
  };
  const [angle, pull] = [mean('slip angle'), mean('pull')];
  const { value, U } = differenceOf(angle, pull);
  return Math.abs(value) > U
    ? [
        `Slip angles show ${short(angle.value)} and pulls ${short(pull.value)}: more apart than their uncertainty of ${short(U)} explains. Was the pull level and the floor of the pull level too?`,
      ]
    : [];
}

function differenceOf(
  a: { readonly value: number; readonly lines: readonly Line[] },
  b: { readonly value: number; readonly lines: readonly Line[] },
): { readonly value: number; readonly U: number } {
  const difference = combined(a.value - b.value, [...a.lines, ...b.lines]);
  return { value: difference.value, U: expanded(difference).U };
}

function unstatedRemark(readings: readonly SlipReading[]): readonly string[] {
  const unstated = new Set(
    readings.flatMap(sharesOf).flatMap((share) => (share.u === 0 ? [share.source] : [])),
  );
  return unstated.size === 0
    ? []
    : [
        `No uncertainty is stated for ${[...unstated].map((source) => `the ${source}`).join(', ')}: the result looks better than it is known.`,
      ];
}

function short(value: number): string {
  return `${Number(value.toPrecision(3))}`;
}
