/** What is wrong with the readings of a weighing: sentences that name the castor or the tilt, the value and
 * what is allowed. All at once. */

import type { ScaleReading, TiltWeighing, WeighingInput } from './weighing-record.js';

/** deg: less shows nothing, and a cart of any use tips before the most */
const ANGLES = [0.5, 45] as const;
/** beyond any cart: what is typed in a wrong unit, and numbers that would overflow */
const MOST_KG = 100_000;
const MOST_M = 100;
const MOST_RAD = 1;

export function weighingProblems({ contacts, level, tilt }: WeighingInput): readonly string[] {
  const names = contacts.map((contact) => contact.castor);
  return [
    ...contactProblems({ contacts }),
    ...(level.repeats.length === 0 ? ['level weighing: none; allowed: one or more'] : []),
    ...number('level weighing: uncertainty of the level (rad)', level.levelU ?? 0, 0, MOST_RAD),
    ...level.repeats.flatMap((readings, i) =>
      levelProblems(`level weighing ${i + 1}`, readings, names),
    ),
    ...(tilt === null ? [] : tiltProblems(tilt, names)),
  ];
}

function contactProblems({ contacts }: Pick<WeighingInput, 'contacts'>): readonly string[] {
  const names = contacts.map((contact) => contact.castor);
  const few = contacts.length < 3 ? [`castors: ${contacts.length}; allowed: three or more`] : [];
  return [
    ...few,
    ...twice(names).map((name) => `castor '${name}': named twice; allowed: once`),
    ...contacts.flatMap(({ castor, at: [x, y], u }) => [
      ...number(`castor '${castor}': x (m)`, x, -MOST_M, MOST_M),
      ...number(`castor '${castor}': y (m)`, y, -MOST_M, MOST_M),
      ...number(`castor '${castor}': uncertainty of its place (m)`, u, 0, MOST_M),
    ]),
  ];
}

function levelProblems(
  where: string,
  readings: readonly ScaleReading[],
  names: readonly string[],
): readonly string[] {
  const problems = readingProblems(where, readings, names);
  const total = readings.reduce((sum, reading) => sum + reading.shown, 0);
  return problems.length === 0 && total === 0
    ? [`${where}: 0 kg in all; allowed: more than 0`]
    : problems;
}

function tiltProblems(tilt: TiltWeighing, names: readonly string[]): readonly string[] {
  const lower = names.filter((name) => !tilt.lifted.includes(name));
  return [
    ...liftedProblems(tilt.lifted, names, lower),
    ...number('height of the axis (m)', tilt.axisHeight, 0, MOST_M),
    ...number('uncertainty of the height of the axis (m)', tilt.axisHeightU, 0, MOST_M),
    ...tilt.tilts.flatMap(({ angle, u, lower: readings }, i) => [
      ...angleProblems(`tilt ${i + 1}`, angle),
      ...number(`tilt ${i + 1}: uncertainty of the angle (rad)`, u, 0, MOST_RAD),
      ...readingProblems(`tilt ${i + 1}`, readings, lower),
    ]),
  ];
}

function liftedProblems(
  lifted: readonly string[],
  names: readonly string[],
  lower: readonly string[],
): readonly string[] {
  const unknown = lifted.filter((name) => !names.includes(name));
  return [
    ...(lifted.length === 0 ? ['lifted castors: none; allowed: one or more'] : []),
    ...(lower.length === 0 ? ['lifted castors: all of them; allowed: the castors of one end'] : []),
    ...unknown.map((name) => `lifted castor '${name}': no such castor; allowed: ${list(names)}`),
    ...twice(lifted).map((name) => `lifted castor '${name}': named twice; allowed: once`),
  ];
}

function angleProblems(where: string, angle: number): readonly string[] {
  const degrees = (angle * 180) / Math.PI;
  const [least, most] = ANGLES;
  // one that is an end but for the rounding of the conversion is that end
  return degrees >= least - 1e-9 && degrees <= most + 1e-9
    ? []
    : [`${where}: angle ${short(degrees)} deg; allowed: ${least} to ${most} deg`];
}

/** One reading of each castor, no other. */
function readingProblems(
  where: string,
  readings: readonly ScaleReading[],
  names: readonly string[],
): readonly string[] {
  const read = readings.map((reading) => reading.castor);
  return [
    ...names
      .filter((name) => !read.includes(name))
      .map((name) => `${where}, castor '${name}': no reading; allowed: one, 0 where it hangs free`),
    ...twice(read).map((name) => `${where}, castor '${name}': read twice; allowed: once`),
    ...read
      .filter((name) => !names.includes(name))
      .map((name) => `${where}, castor '${name}': not on a scale here; allowed: ${list(names)}`),
    ...readings.flatMap(({ castor, shown, u }) => [
      ...number(`${where}, castor '${castor}': shown (kg)`, shown, 0, MOST_KG),
      ...number(`${where}, castor '${castor}': uncertainty (kg)`, u, 0, MOST_KG),
    ]),
  ];
}

function number(what: string, value: number, least: number, most: number): readonly string[] {
  return value >= least && value <= most ? [] : [`${what}: ${value}; allowed: ${least} to ${most}`];
}

function twice(names: readonly string[]): readonly string[] {
  return [...new Set(names.filter((name, i) => names.indexOf(name) < i))];
}

function list(names: readonly string[]): string {
  return names.map((name) => `'${name}'`).join(', ');
}

function short(value: number): string {
  return `${Number(value.toPrecision(6))}`;
}
