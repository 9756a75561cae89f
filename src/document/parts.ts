import type { Load, Part } from './cart.js';
import type { CartDraft, LoadDraft, MoverDraft, PartDraft } from './cart-shape.js';
import type { IssueLog } from './issue-log.js';
import type { Range } from './movers.js';
import { readRange } from './movers.js';
import type { Names } from './names.js';
import { allowedNames, carrier } from './names.js';
import type { PartsList, PartsListRow } from './parts-list.js';
import { partsListName } from './parts-list.js';
import type { Located } from './shape.js';

/** The rows that parts may take their mass from. */
export interface RowSource {
  readonly file: Located<string> | null | undefined;
  /** null: none named, or named and not supplied (reported) */
  readonly rows: Names<PartsListRow> | null;
  /** rows taken so far, with the part that took each */
  readonly taken: Map<string, string>;
}

/** Finds the parts list that the cart file names among those supplied. */
export function rowSource(
  file: CartDraft['fields']['parts list'],
  supplied: ReadonlyMap<string, PartsList>,
  log: IssueLog,
): RowSource {
  const taken = new Map<string, string>();
  const partsList = file ? supplied.get(file.value) : undefined;
  if (partsList !== undefined) {
    const known = new Map(partsList.rows.map((row) => [row.name, row]));
    return { file, rows: { kind: 'row of the parts list', known, complete: true }, taken };
  }
  if (file) {
    log.report({
      code: 'parts-list-not-supplied',
      offset: file.offset,
      path: file.path,
      actual: file.source,
      allowed: 'a parts list that is there and reads without errors',
    });
  }
  return { file, rows: null, taken };
}

/** @returns one entry per part, undefined where it could not be made (the log says why) */
export function readParts(
  drafts: readonly PartDraft[],
  movers: Names<MoverDraft>,
  source: RowSource,
  log: IssueLog,
): readonly (Part | undefined)[] {
  const parts = drafts.map((draft) => readPart(draft, movers, source, log));
  warnUnusedRows(source, log);
  return parts;
}

function readPart(
  draft: PartDraft,
  movers: Names<MoverDraft>,
  source: RowSource,
  log: IssueLog,
): Part | undefined {
  const { name } = draft.fields;
  const fromList = draft.fields['from list'];
  const on = carrier(draft.fields.on, movers, log);
  const row = fromList ? takenRow(fromList, draft.path, source, log) : null;
  const mass = row ? row.mass * row.quantity : draft.fields.mass?.value;
  const tolerance = readTolerance(draft, row, mass, log);
  const at = readPlace(draft, row, log);
  const atTolerance = valueOr(draft.fields['at tolerance'], 0);
  const massDistribution = readDistribution(
    draft.fields['mass tolerance distribution'],
    tolerance,
    log,
  );
  const atDistribution = readDistribution(
    draft.fields['at tolerance distribution'],
    atTolerance,
    log,
  );
  if (name === undefined || on === undefined || mass === undefined) return undefined;
  if (tolerance === undefined || at === undefined || atTolerance === undefined) return undefined;
  if (massDistribution === undefined || atDistribution === undefined) return undefined;
  const massFrom = row ? 'parts list' : 'cart file';
  const placed = { at, atTolerance, atDistribution, on };
  return {
    name: name.value,
    mass,
    massTolerance: tolerance,
    massDistribution,
    ...placed,
    massFrom,
  };
}

/** How a tolerance is meant: rectangular where nothing is said. Without a tolerance there is nothing
 * to say. */
export function readDistribution<D extends string>(
  field: Located<D> | null | undefined,
  tolerance: number | undefined,
  log: IssueLog,
): D | 'rectangular' | undefined {
  if (field === undefined) return undefined;
  if (field === null) return 'rectangular';
  if (tolerance !== 0) return field.value;
  const { offset, path, source } = field;
  const allowed = 'no distribution, since no tolerance above zero is stated';
  log.report({ code: 'unneeded-field', offset, path, actual: source, allowed });
  return undefined;
}

/** A tolerance that ends is less than the value; one that does not (normal, t) less than half of it,
 * so that at least four standard uncertainties lie above zero. */
export function mostTolerance(value: number, distribution: string | undefined): number {
  return distribution === 'normal' || distribution === 't' ? value / 2 : value;
}

/** The value of an optional field, or what its absence means. */
export function valueOr<T>(field: Located<T> | null | undefined, absent: T): T | undefined {
  return field === null ? absent : field?.value;
}

function takenRow(
  fromList: Located<string>,
  part: string,
  source: RowSource,
  log: IssueLog,
): PartsListRow | undefined {
  const { rows, file, taken } = source;
  const { offset, path } = fromList;
  const value = partsListName(fromList.value);
  const actual = `"${value}"`;
  if (rows === null) {
    // a list that is named and not there is reported once, at its name
    const allowed = 'parts list: the name of a .csv or .xlsx file at the top of the cart file';
    if (file === null) log.report({ code: 'no-parts-list', offset, path, actual, allowed });
    return undefined;
  }
  const row = rows.known.get(value);
  if (row === undefined) {
    const allowed = allowedNames(value, rows);
    log.report({ code: 'not-in-parts-list', offset, path, actual, allowed });
    return undefined;
  }
  const other = taken.get(value);
  if (other !== undefined) {
    const allowed = `each row in one part, all its pieces with it (${other} takes it)`;
    log.report({ code: 'twice-from-parts-list', offset, path, actual, allowed });
    return undefined;
  }
  taken.set(value, part);
  return row;
}

function readTolerance(
  draft: PartDraft,
  row: PartsListRow | null | undefined,
  mass: number | undefined,
  log: IssueLog,
): number | undefined {
  const field = draft.fields['mass tolerance'];
  if (row === undefined || field === undefined) return undefined;
  const tolerance = field?.value ?? (row?.massTolerance ?? 0) * (row?.quantity ?? 1);
  const shape = draft.fields['mass tolerance distribution']?.value;
  if (mass === undefined || tolerance < mostTolerance(mass, shape)) return tolerance;
  const stated = field ?? draft.fields['from list'];
  log.report({
    code: 'tolerance-too-large',
    offset: stated?.offset ?? draft.offset,
    path: stated?.path ?? draft.path,
    actual: stated?.source ?? null,
    allowed: `less than ${shape === 'normal' ? 'half ' : ''}the mass, which is ${mass} kg`,
  });
  return undefined;
}

/** What the cart file says about the place goes before what the parts list says. */
function readPlace(
  draft: PartDraft,
  row: PartsListRow | null | undefined,
  log: IssueLog,
): Part['at'] | undefined {
  const { at } = draft.fields;
  if (at === undefined) return undefined;
  if (at !== null) return aboveFloor(at, log) ? at.value : undefined;
  if (row === undefined) return undefined;
  if (row?.at && row.at[2] >= 0) return row.at;
  const path = `${draft.path} > at`;
  const fromList = draft.fields['from list'];
  const code = !row ? 'missing-field' : row.at ? 'below-floor' : 'no-place-in-parts-list';
  log.report({
    code,
    offset: fromList?.offset ?? draft.offset,
    path,
    actual: row ? (fromList?.source ?? null) : null,
    allowed: row?.at
      ? 'a centre of mass above the floor'
      : 'at: [x, y, z], each a length with its unit, such as [0 mm, 0 mm, 120 mm]',
  });
  return undefined;
}

/** Reports a point below the floor. */
export function aboveFloor(at: Located<readonly [number, number, number]>, log: IssueLog): boolean {
  if (at.value[2] >= 0) return true;
  log.report({
    code: 'below-floor',
    offset: at.offset,
    path: `${at.path} > z`,
    actual: `${at.value[2] * 1000} mm`,
    allowed: 'at least 0 mm, the floor',
  });
  return false;
}

/** A row that no part takes is mass that the cart has and the check does not see. */
function warnUnusedRows(source: RowSource, log: IssueLog): void {
  const { rows, file, taken } = source;
  if (rows === null || !file) return;
  const unused = [...rows.known.keys()].filter((name) => !taken.has(name));
  if (unused.length === 0) return;
  const named = unused.slice(0, 3).map((name) => `"${name}"`);
  const more = unused.length > named.length ? ` and ${unused.length - named.length} more` : '';
  log.report({
    code: 'unused-row',
    severity: 'warning',
    offset: file.offset,
    path: file.path,
    actual: `${named.join(', ')}${more}`,
    allowed: 'a part "from list" for each row, or the row left out of the list',
  });
}

/** @returns one entry per load, undefined where it could not be made (the log says why) */
export function readLoads(
  drafts: readonly LoadDraft[],
  movers: Names<MoverDraft>,
  log: IssueLog,
): readonly (Load | undefined)[] {
  return drafts.map((draft) => readLoad(draft, movers, log));
}

function readLoad(draft: LoadDraft, movers: Names<MoverDraft>, log: IssueLog): Load | undefined {
  const { name, fluid, removable, at } = draft.fields;
  const on = carrier(draft.fields.on, movers, log);
  const stated = fluid ?? removable;
  const range = stated && readMasses(stated.value.fields.least, stated.value.fields.most, log);
  const isAbove = at !== undefined && aboveFloor(at, log);
  const atTolerance = valueOr(draft.fields['at tolerance'], 0);
  const atDistribution = readDistribution(
    draft.fields['at tolerance distribution'],
    atTolerance,
    log,
  );
  if (name === undefined || on === undefined || !range || !isAbove) return undefined;
  if (atTolerance === undefined || atDistribution === undefined) return undefined;
  const kind = fluid ? 'fluid' : 'removable';
  const { from: least, to: most } = range;
  const placed = { at: at.value, atTolerance, atDistribution };
  return { name: name.value, kind, on, ...placed, least, most };
}

function readMasses(
  least: Located<number> | undefined,
  most: Located<number> | undefined,
  log: IssueLog,
): Range | undefined {
  const range = readRange(least, most, log);
  if (range === undefined || most === undefined || range.to > 0) return range;
  const { offset, path, source } = most;
  const allowed = 'more than 0 kg: a load that is never there is left out';
  log.report({ code: 'out-of-limits', offset, path, actual: source, allowed });
  return undefined;
}
