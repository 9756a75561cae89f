/** The section `uncertainty`: tolerances of the castors and of the test. */

import type { Castor, StatedUncertainty, UncertainQuantity, Uncertainty } from './cart.js';
import { UNCERTAIN_QUANTITIES } from './cart.js';
import type { CartDraft, UncertaintyDraft } from './cart-shape.js';
import { distance, widthAboutLongest } from './castors.js';
import type { IssueLog } from './issue-log.js';
import { LEAST_CASTOR_SPREAD, LEAST_SWIVEL_TRAIL } from './limits.js';
import type { Located } from './shape.js';

type Entry = NonNullable<UncertaintyDraft['fields'][UncertainQuantity]>;

/** @param castors undefined where one could not be made: then what depends on it is not judged */
export function readUncertainty(
  section: CartDraft['fields']['uncertainty'],
  castors: readonly (Castor | undefined)[],
  log: IssueLog,
): Uncertainty {
  if (!section) return {};
  const { fields } = section.value;
  const stated: Partial<Record<UncertainQuantity, StatedUncertainty>> = {};
  for (const quantity of UNCERTAIN_QUANTITIES) {
    const entry = fields[quantity];
    const read = entry && readEntry(entry, log);
    if (read) stated[quantity] = read;
  }
  const known = castors.filter((each) => each !== undefined);
  if (known.length === castors.length) checkReach(stated, fields, known, log);
  return stated;
}

/** A standard uncertainty is half of an expanded one with k = 2 (JCGM 100:2008, 6.2). */
function readEntry({ value }: Entry, log: IssueLog): StatedUncertainty | undefined {
  const { tolerance, distribution } = value.fields;
  const standard = value.fields['standard uncertainty'];
  if (tolerance === undefined || distribution === undefined || standard === undefined) {
    return undefined;
  }
  if (tolerance !== null) {
    const { value: number, relative } = tolerance.value;
    return { tolerance: number, relative, distribution: distribution?.value ?? 'rectangular' };
  }
  if (distribution !== null) {
    const { offset, path, source } = distribution;
    const allowed = 'no distribution beside a standard uncertainty, which is that of a normal one';
    log.report({ code: 'unneeded-field', offset, path, actual: source, allowed });
    return undefined;
  }
  if (standard === null) return undefined;
  const { value: number, relative } = standard.value;
  return { tolerance: 2 * number, relative, distribution: 'normal' };
}

/** How far it reaches: of a normal one four standard uncertainties, beyond which less than 1 in 15000
 * lies. */
function reachOf(stated: StatedUncertainty | undefined, value: number): number {
  if (stated === undefined) return 0;
  const { tolerance, relative, distribution } = stated;
  return (distribution === 'normal' ? 2 : 1) * tolerance * (relative ? value : 1);
}

interface Demand {
  readonly quantity: UncertainQuantity;
  /** the values that it is a tolerance of; none: it is of no use */
  readonly values: readonly number[];
  /** what each has to stay above, in the same order */
  readonly above: readonly number[];
  readonly words: string;
}

function demandsOf(stated: Uncertainty, castors: readonly Castor[]): readonly Demand[] {
  const swivelling = castors.filter(({ fixedDirection }) => fixedDirection === null);
  const torques = castors.flatMap(({ brakeTorque }) => (brakeTorque === null ? [] : [brakeTorque]));
  const axles = castors.map(
    ({ rollingLength }) => 2 * (rollingLength + reachOf(stated['rolling length'], rollingLength)),
  );
  const of = (
    quantity: UncertainQuantity,
    values: readonly number[],
    above: readonly number[] | number,
    words: string,
  ): Demand => ({
    quantity,
    values,
    above: typeof above === 'number' ? values.map(() => above) : above,
    words,
  });
  const trails = swivelling.map(({ trail }) => trail);
  const moments = swivelling.map(({ swivelMoment }) => swivelMoment);
  const lengths = castors.map(({ rollingLength }) => rollingLength);
  const diameters = castors.map(({ wheelDiameter }) => wheelDiameter);
  const stiffnesses = castors.map(({ stiffness }) => stiffness);
  return [
    of('trail', trails, LEAST_SWIVEL_TRAIL, `every trail above ${LEAST_SWIVEL_TRAIL * 1000} mm`),
    of('wheel diameter', diameters, axles, 'every wheel above twice its rolling length'),
    // a castor without a swivel moment stays without one where the tolerance is a share
    of('swivel moment', moments, -Number.MIN_VALUE, 'every swivel moment at zero or above'),
    of('rolling length', lengths, 0, 'every rolling length above zero'),
    of('brake torque', torques, 0, 'every brake torque above zero'),
    of('stiffness', stiffnesses, 0, 'every stiffness above zero'),
    of('castor places', [roomOf(castors)], 0, 'the castors apart and not in one line'),
  ];
}

/** m: stems moved by no more than this in each coordinate stay apart and off one line. A stem moves
 * by sqrt(2) of it at most, a width or distance by twice that: 4 is above 2 sqrt(2). */
function roomOf(castors: readonly Castor[]): number {
  const points = castors.map(({ at }) => at);
  const apart = points.flatMap((p, i) => points.slice(i + 1).map((q) => distance(p, q)));
  return (Math.min(...apart, widthAboutLongest(points)) - LEAST_CASTOR_SPREAD) / 4;
}

/** No draw may make a castor that cannot be: what could is refused here. */
function checkReach(
  stated: Uncertainty,
  fields: UncertaintyDraft['fields'],
  castors: readonly Castor[],
  log: IssueLog,
): void {
  for (const { quantity, values, above, words } of demandsOf(stated, castors)) {
    const entry = fields[quantity];
    const own = stated[quantity];
    if (!entry || own === undefined) continue;
    if (values.length === 0) warnUnused(quantity, entry, log);
    else if (values.some((value, i) => value - reachOf(own, value) <= (above[i] ?? 0))) {
      reportTooLarge(entry, words, own, log);
    }
  }
}

function warnUnused(quantity: UncertainQuantity, entry: Entry, log: IssueLog): void {
  const { offset, path } = entry;
  const allowed = `a castor that has a ${quantity} stated`;
  log.report({
    code: 'unused-entry',
    severity: 'warning',
    offset,
    path,
    actual: quantity,
    allowed,
  });
}

function reportTooLarge(
  { value }: Entry,
  words: string,
  { distribution }: StatedUncertainty,
  log: IssueLog,
): void {
  const field: Located<unknown> | null | undefined =
    value.fields.tolerance ?? value.fields['standard uncertainty'];
  if (!field) return;
  const { offset, path, source } = field;
  const reach = distribution === 'normal' ? ', four standard uncertainties away' : '';
  const allowed = `a tolerance that leaves ${words}${reach}`;
  log.report({ code: 'tolerance-too-large', offset, path, actual: source, allowed });
}
