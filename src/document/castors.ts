import type { Castor, Floor, Friction, LockKind, Vec2 } from './cart.js';
import type { CastorDraft, CastorTypeDraft, FloorDraft, FrictionDraft } from './cart-shape.js';
import { OUTLASTS_THE_TREAD } from './cart-shape.js';
import type { IssueLog, Problem } from './issue-log.js';
import {
  LEAST_CASTOR_SPREAD,
  LEAST_SWIVEL_TRAIL,
  NUMBER_LIMITS,
  QUANTITY_LIMITS,
} from './limits.js';
import type { Names } from './names.js';
import { allowedNames, checkName, itemsOf, reportDuplicate } from './names.js';
import { folded } from './nearest-name.js';
import { mostTolerance, readDistribution } from './parts.js';
import type { DraftList, Located } from './shape.js';
import { fieldPath } from './shape.js';

/** Which locks brake the wheel, and which stop swivelling. */
export const BRAKES: ReadonlySet<LockKind> = new Set(['wheel', 'total']);
export const STOPS_SWIVELLING: ReadonlySet<LockKind> = new Set(['directional', 'total']);

/** @returns one entry per castor, undefined where it could not be made (the log says why) */
export function readCastors(
  drafts: DraftList<CastorDraft>,
  types: Names<CastorTypeDraft>,
  list: Located<unknown> | undefined,
  log: IssueLog,
): readonly (Castor | undefined)[] {
  for (const type of types.known.values()) checkRolling(type, log);
  const castors = drafts.items.map((draft) => readCastor(draft, types, log));
  const apart = !reportCoinciding(drafts.items, log);
  if (list !== undefined && drafts.complete && apart) reportInLine(drafts.items, list, log);
  warnUnusedTypes(drafts, types, log);
  return castors;
}

function readCastor(
  draft: CastorDraft,
  types: Names<CastorTypeDraft>,
  log: IssueLog,
): Castor | undefined {
  const { name, at, fixed, lock } = draft.fields;
  const type = typeOf(draft, types, log);
  const brakeTorque = readBrakeTorque(draft, log);
  const lockDirections = readLockDirections(draft, log);
  checkFixedLock(draft, log);
  const swivel = type && readSwivel(draft, type, log);
  const wheel = type && readWheel(type);
  if (name === undefined || at === undefined || lock === undefined || fixed === undefined) {
    return undefined;
  }
  if (brakeTorque === undefined || lockDirections === undefined) return undefined;
  if (swivel === undefined || wheel === undefined) return undefined;
  return {
    name: name.value,
    at: at.value,
    fixedDirection: fixed?.value ?? null,
    lock: lock.value,
    brakeTorque,
    lockDirections,
    ...swivel,
    ...wheel,
  };
}

function typeOf(
  draft: CastorDraft,
  types: Names<CastorTypeDraft>,
  log: IssueLog,
): CastorTypeDraft | undefined {
  const { type } = draft.fields;
  return type && checkName(type, types, log) ? types.known.get(type.value) : undefined;
}

type Wheel = Pick<Castor, 'wheelDiameter' | 'rollingLength' | 'rating' | 'stiffness' | 'tread'>;

function readWheel(type: CastorTypeDraft): Wheel | undefined {
  const diameter = type.fields['wheel diameter'];
  const rollingLength = type.fields['rolling length'];
  const { rating, stiffness, tread } = type.fields;
  if (diameter === undefined || rollingLength === undefined) return undefined;
  if (rating === undefined || stiffness === undefined || tread === undefined) return undefined;
  return {
    wheelDiameter: diameter.value,
    rollingLength: rollingLength.value,
    rating: rating.value,
    stiffness: stiffness.value,
    tread: tread.value,
  };
}

/** The rolling length is how far the floor's reaction stands before the axle: inside the wheel. */
function checkRolling(type: CastorTypeDraft, log: IssueLog): void {
  const diameter = type.fields['wheel diameter'];
  const rolling = type.fields['rolling length'];
  if (diameter === undefined || rolling === undefined) return;
  if (rolling.value < diameter.value / 2) return;
  const { offset, path, source } = rolling;
  const allowed = `less than the radius of the wheel, half of ${diameter.source}`;
  log.report({ code: 'out-of-limits', offset, path, actual: source, allowed });
}

function readSwivel(
  draft: CastorDraft,
  type: CastorTypeDraft,
  log: IssueLog,
): Pick<Castor, 'trail' | 'swivelMoment'> | undefined {
  const { fixed } = draft.fields;
  if (fixed === undefined) return undefined;
  return fixed === null ? swivelOf(draft, type, log) : fixedSwivel(draft, type, log);
}

function swivelOf(
  draft: CastorDraft,
  type: CastorTypeDraft,
  log: IssueLog,
): Pick<Castor, 'trail' | 'swivelMoment'> | undefined {
  const { trail } = type.fields;
  const moment = type.fields['swivel moment'];
  if (trail === null) reportMissing(draft, type, 'trail', QUANTITY_LIMITS.trail.example, log);
  if (moment === null) {
    reportMissing(draft, type, 'swivel moment', QUANTITY_LIMITS.swivelMoment.example, log);
  }
  if (!trail || !moment) return undefined;
  if (trail.value >= LEAST_SWIVEL_TRAIL) return { trail: trail.value, swivelMoment: moment.value };
  log.report({
    code: 'out-of-limits',
    offset: trail.offset,
    path: trail.path,
    actual: trail.source,
    allowed: `at least ${LEAST_SWIVEL_TRAIL * 1000} mm for a castor that swivels, as ${draft.path} does`,
  });
  return undefined;
}

function reportMissing(
  draft: CastorDraft,
  type: CastorTypeDraft,
  key: string,
  example: string,
  log: IssueLog,
): void {
  log.report({
    code: 'missing-field',
    offset: type.offset,
    path: fieldPath(type.path, key),
    actual: null,
    allowed: `a value such as ${example}, since ${draft.path} swivels (or fixed: 0 deg on the castor)`,
  });
}

function fixedSwivel(
  draft: CastorDraft,
  type: CastorTypeDraft,
  log: IssueLog,
): Pick<Castor, 'trail' | 'swivelMoment'> | undefined {
  const { trail } = type.fields;
  const moment = type.fields['swivel moment'];
  if (trail === undefined || moment === undefined) return undefined;
  const field = trail && trail.value > 0 ? trail : moment && moment.value > 0 ? moment : null;
  if (field === null) return { trail: 0, swivelMoment: 0 };
  const reference = draft.fields.type ?? field;
  log.report({
    code: 'fixed-castor',
    offset: reference.offset,
    path: reference.path,
    actual: `a type with ${field.path.split(' > ').at(-1)} ${field.source}`,
    allowed: 'a castor type without trail and swivel moment for a fixed castor',
  });
  return undefined;
}

function checkFixedLock(draft: CastorDraft, log: IssueLog): void {
  const { fixed, lock } = draft.fields;
  if (!fixed || !lock || !STOPS_SWIVELLING.has(lock.value)) return;
  const { offset, path, source } = lock;
  const allowed = 'lock: none or wheel, since a fixed castor does not swivel';
  log.report({ code: 'fixed-castor', offset, path, actual: source, allowed });
}

/** null: no brake, or one that outlasts the tread. */
function readBrakeTorque(draft: CastorDraft, log: IssueLog): number | null | undefined {
  const { lock } = draft.fields;
  const torque = draft.fields['brake torque'];
  if (lock === undefined || torque === undefined) return undefined;
  const path = fieldPath(draft.path, 'brake torque');
  if (BRAKES.has(lock.value)) {
    if (torque !== null) return torque.value;
    const due = QUANTITY_LIMITS.brakeTorque;
    const allowed = `a moment such as ${due.example}, or the words: ${OUTLASTS_THE_TREAD}`;
    log.report({ code: 'missing-brake-torque', offset: lock.offset, path, actual: null, allowed });
    return undefined;
  }
  if (torque === null) return null;
  log.report(
    unneeded(torque, `no brake torque with lock: ${lock.value}; wheel and total have one`),
  );
  return undefined;
}

function unneeded(field: Located<unknown>, allowed: string): Problem {
  const { offset, path, source } = field;
  return { code: 'unneeded-field', offset, path, actual: source, allowed };
}

function readLockDirections(
  draft: CastorDraft,
  log: IssueLog,
): readonly number[] | null | undefined {
  const { lock } = draft.fields;
  const directions = draft.fields['lock directions'];
  if (lock === undefined || directions === undefined) return undefined;
  if (directions === null) return null;
  if (STOPS_SWIVELLING.has(lock.value)) {
    return directions.value.complete ? directions.value.items : undefined;
  }
  const allowed = `no lock directions with lock: ${lock.value}; directional and total have them`;
  log.report(unneeded(directions, allowed));
  return undefined;
}

/** @returns true when two stand at one place */
function reportCoinciding(drafts: readonly CastorDraft[], log: IssueLog): boolean {
  let found = false;
  const before: Located<Vec2>[] = [];
  for (const { fields } of drafts) {
    const { at } = fields;
    if (at === undefined) continue;
    const same = before.find((each) => distance(each.value, at.value) < LEAST_CASTOR_SPREAD);
    if (same === undefined) before.push(at);
    else {
      found = true;
      const allowed = `a place at least ${LEAST_CASTOR_SPREAD * 1000} mm from ${same.path}`;
      const { offset, path } = at;
      log.report({ code: 'castors-coincide', offset, path, actual: pointText(at.value), allowed });
    }
  }
  return found;
}

export function distance(a: Vec2, b: Vec2): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}

function pointText([x, y]: Vec2): string {
  return `[${round(x * 1000)} mm, ${round(y * 1000)} mm]`;
}

/** For words only: what rounding left behind is not shown. */
function round(value: number): number {
  return Number(value.toPrecision(6));
}

/** Stems in one line (or at one point) give the cart nothing to stand on. */
function reportInLine(drafts: readonly CastorDraft[], list: Located<unknown>, log: IssueLog): void {
  const points = drafts.map(({ fields }) => fields.at?.value);
  const known = points.filter((point) => point !== undefined);
  const isCertain = known.length === points.length && known.length >= 3;
  if (!isCertain || widthAboutLongest(known) >= LEAST_CASTOR_SPREAD) return;
  log.report({
    code: 'castors-in-line',
    offset: list.offset,
    path: list.path,
    actual: known.slice(0, 4).map(pointText).join(', '),
    allowed: `at least one castor ${LEAST_CASTOR_SPREAD * 1000} mm or more beside the line of the others`,
  });
}

/** Greatest distance of a point from the line through the first point and the one farthest from it. */
export function widthAboutLongest(points: readonly Vec2[]): number {
  const [first] = points;
  if (first === undefined) return 0;
  const far = points.reduce((a, b) => (distance(first, b) > distance(first, a) ? b : a), first);
  const length = distance(first, far);
  if (length === 0) return 0;
  const [ux, uy] = [(far[0] - first[0]) / length, (far[1] - first[1]) / length];
  return Math.max(...points.map(([x, y]) => Math.abs((x - first[0]) * uy - (y - first[1]) * ux)));
}

function warnUnusedTypes(
  drafts: DraftList<CastorDraft>,
  types: Names<CastorTypeDraft>,
  log: IssueLog,
): void {
  const used = new Set(drafts.items.map((draft) => draft.fields.type?.value));
  if (!drafts.complete || used.has(undefined)) return;
  for (const type of types.known.values()) {
    const { name } = type.fields;
    if (name && !used.has(name.value)) warnUnused(name, 'a castor of this type', log);
  }
}

function warnUnused(name: Located<string>, allowed: string, log: IssueLog): void {
  const { offset, path, value } = name;
  const actual = `"${value}"`;
  log.report({ code: 'unused-entry', severity: 'warning', offset, path, actual, allowed });
}

/** @returns the floor, or undefined where it could not be made (the log says why) */
export function readFloor(
  draft: FloorDraft | undefined,
  types: Names<CastorTypeDraft>,
  log: IssueLog,
): Floor | undefined {
  if (draft === undefined) return undefined;
  const { name } = draft.fields;
  const drafts = itemsOf(draft.fields.friction);
  const friction = drafts.items.map((each) => readFriction(each, log));
  const treads = treadsOf(drafts, log);
  for (const type of types.known.values()) checkTread(type, treads, log);
  warnUnusedFriction(treads, types, log);
  const values = friction.filter((each) => each !== undefined);
  if (name === undefined || !drafts.complete || values.length < friction.length) return undefined;
  return { name: name.value, friction: values };
}

function readFriction(draft: FrictionDraft, log: IssueLog): Friction | undefined {
  const { tread, value, tolerance, basis } = draft.fields;
  const shape = draft.fields['tolerance distribution'];
  const most = mostTolerance(value?.value ?? 0, shape?.value);
  if (value !== undefined && tolerance !== undefined && tolerance.value >= most) {
    log.report({
      code: 'tolerance-too-large',
      offset: tolerance.offset,
      path: tolerance.path,
      actual: tolerance.source,
      allowed: `less than ${most < value.value ? 'half ' : ''}the value, which is ${value.source}`,
    });
    return undefined;
  }
  const distribution = readDistribution(shape, tolerance?.value, log);
  const readings = readReadings(draft, log);
  if (tread === undefined || value === undefined || distribution === undefined) return undefined;
  if (tolerance === undefined || basis === undefined || readings === undefined) return undefined;
  return {
    tread: tread.value,
    value: value.value,
    tolerance: tolerance.value,
    distribution,
    readings,
    basis: basis.value,
  };
}

/** null: not by readings. A t distribution is that of the mean of readings, which are measurements. */
function readReadings(draft: FrictionDraft, log: IssueLog): number | null | undefined {
  const { readings, basis } = draft.fields;
  const shape = draft.fields['tolerance distribution'];
  if (readings === undefined || shape === undefined) return undefined;
  if (shape?.value !== 't') {
    if (readings === null) return null;
    log.report(unneeded(readings, 'no readings unless tolerance distribution is t'));
    return undefined;
  }
  if (readings === null) {
    const { offset } = shape;
    const allowed = `${NUMBER_LIMITS.readings.words}: how many readings the value is the mean of`;
    const path = fieldPath(draft.path, 'readings');
    log.report({ code: 'missing-field', offset, path, actual: null, allowed });
    return undefined;
  }
  if (basis?.value === 'assumed') {
    const { offset, path, source } = basis;
    const allowed = 'measured, since tolerance distribution t speaks of readings';
    log.report({ code: 'not-a-choice', offset, path, actual: source, allowed });
    return undefined;
  }
  return readings.value;
}

function treadsOf(drafts: DraftList<FrictionDraft>, log: IssueLog): Names<Located<string>> {
  const known = new Map<string, Located<string>>();
  const seen = new Map<string, string>();
  let { complete } = drafts;
  for (const { fields } of drafts.items) {
    const { tread } = fields;
    const first = tread && seen.get(folded(tread.value));
    if (tread === undefined) complete = false;
    else if (first === undefined) {
      seen.set(folded(tread.value), tread.value);
      known.set(tread.value, tread);
    } else reportDuplicate(tread, first, 'tread', log);
  }
  return { kind: 'tread', known, complete };
}

function checkTread(type: CastorTypeDraft, treads: Names<Located<string>>, log: IssueLog): void {
  const { tread } = type.fields;
  if (tread === undefined || treads.known.has(tread.value) || !treads.complete) return;
  log.report({
    code: 'no-friction-for-tread',
    offset: tread.offset,
    path: tread.path,
    actual: `"${tread.value}"`,
    allowed: `${allowedNames(tread.value, treads)} (those that floor > friction lists)`,
  });
}

function warnUnusedFriction(
  treads: Names<Located<string>>,
  types: Names<CastorTypeDraft>,
  log: IssueLog,
): void {
  const used = new Set([...types.known.values()].map((type) => type.fields.tread?.value));
  if (!types.complete || used.has(undefined)) return;
  for (const tread of treads.known.values()) {
    if (!used.has(tread.value)) warnUnused(tread, 'a castor type with this tread', log);
  }
}
