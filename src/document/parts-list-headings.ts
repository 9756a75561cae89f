/** Which column of a parts list says what: by its heading, in any order and case. */

import type { Unit } from '../units/index.js';
import { parseUnitInAnyCase } from '../units/index.js';
import type { PartsListLog, Place } from './parts-list-problems.js';
import type { Cell, Table, TableRow } from './parts-list-table.js';

export type NumberRole = 'mass' | 'total' | 'tolerance' | 'quantity' | 'x' | 'y' | 'z';
export type Role = 'name' | NumberRole;

/** Headings are looked for in so many rows from the top: titles and dates often stand above them. */
export const HEADING_ROWS = 50;

export const MASS_HEADINGS = "a heading such as 'Mass [kg]', 'Unit mass (lb)' or 'Total mass [kg]'";
export const NAME_HEADINGS = "a heading such as 'Name', 'Part name' or 'Part number'";

interface HeadingMatch {
  readonly role: Role;
  /** the lower the better, where several columns could play one role */
  readonly rank: number;
  readonly unit: string | null;
}

export interface Headings {
  /** the row the headings stand in; null: none of them was found */
  readonly row: TableRow | null;
  readonly matches: ReadonlyMap<number, HeadingMatch>;
  /** how many different roles were found */
  readonly score: number;
}

export interface Column {
  readonly role: Role;
  readonly index: number;
  /** the heading as written */
  readonly heading: string;
  readonly place: Place;
  /** null: the heading names none */
  readonly unit: Unit | null;
  /** false: its unit was refused, and its cells are not looked at */
  readonly readable: boolean;
}

export type Columns = ReadonlyMap<Role, Column>;

// Best first: where a list has a name and a number for each part, the name is meant.
const NAME_LABELS = [
  'part name',
  'component name',
  'item name',
  'name',
  'part',
  'component',
  'part description',
  'description',
  'part number',
  'part no',
  'part #',
  'item number',
];

const LABELS: ReadonlyMap<string, NumberRole> = new Map<string, NumberRole>([
  ...['mass', 'weight'].flatMap((m): [string, NumberRole][] => [
    [m, 'mass'],
    [`unit ${m}`, 'mass'],
    [`part ${m}`, 'mass'],
    [`piece ${m}`, 'mass'],
    [`${m} each`, 'mass'],
    [`${m} per piece`, 'mass'],
    [`${m} per part`, 'mass'],
    [`${m} per unit`, 'mass'],
    [`total ${m}`, 'total'],
    [`${m} total`, 'total'],
    [`extended ${m}`, 'total'],
    [`${m} tolerance`, 'tolerance'],
  ]),
  ['tolerance', 'tolerance'],
  ['tolerance of mass', 'tolerance'],
  ...['qty', 'quantity', 'count', 'pieces', 'pcs', 'number of pieces'].map(
    (label): [string, NumberRole] => [label, 'quantity'],
  ),
]);

const CENTRE = '(?:com|cog|cg|cofg|c of g|cent(?:re|er) of (?:mass|gravity)|centroid)';
const CENTRE_LABEL = new RegExp(`^(?:${CENTRE} ?([xyz])|([xyz]) ?${CENTRE})$`);
const BARE_AXIS = /^(?:([xyz])(?: coordinate| position)?|(?:coordinate|position) ([xyz]))$/;

/** The row among the first that makes the most headings; it must hold one for a mass to count. */
export function findHeadings(table: Table): Headings {
  let best: Headings = { row: null, matches: new Map(), score: 0 };
  for (const row of table.rows.slice(0, HEADING_ROWS)) {
    const found = headingsOf(row);
    if (found.score > best.score) best = found;
  }
  return best;
}

function headingsOf(row: TableRow): Headings {
  const matches = new Map<number, HeadingMatch>();
  for (const [index, cell] of row.cells) {
    const match = matchHeading(cell.text);
    if (match !== null) matches.set(index, match);
  }
  const roles = new Set([...matches.values()].map((m) => m.role));
  // a part may be called 'weight' or 'z': without a mass and something else it is no heading row
  const counts = (roles.has('mass') || roles.has('total')) && row.cells.size > 1;
  return { row, matches, score: counts ? 10 + roles.size : Math.min(roles.size, 1) };
}

/** Longer cells are text of some kind, not headings. */
const LONGEST_HEADING = 60;

function matchHeading(text: string): HeadingMatch | null {
  if (text.length > LONGEST_HEADING) return null;
  const heading = text
    .normalize('NFKC')
    .replace(/[\s_]+/g, ' ')
    .trim();
  const whole = matchLabel(heading, null);
  if (whole !== null) return whole;
  const bracketed = /^(.*)[[({]([^[\](){}]*)[\])}]$/.exec(heading);
  if (bracketed !== null) return matchLabel(bracketed[1] ?? '', unitText(bracketed[2] ?? ''));
  const trailing = /^(.*?)(?:[ ,/:]| in )+([^ ,/:]+)$/.exec(heading);
  if (trailing === null) return null;
  const match = matchLabel(trailing[1] ?? '', trailing[2] ?? '');
  return match !== null && match.role !== 'name' ? match : null;
}

function matchLabel(text: string, unit: string | null): HeadingMatch | null {
  const label = text
    .toLowerCase()
    .replace(/\./g, '')
    .replace(/[()[\]{}:;,/\\ -]+/g, ' ')
    .trim();
  const rank = NAME_LABELS.indexOf(label);
  if (rank !== -1) return { role: 'name', rank, unit: null };
  const role = LABELS.get(label);
  if (role !== undefined) return { role, rank: 0, unit };
  const centre = CENTRE_LABEL.exec(label);
  if (centre !== null) return { role: (centre[1] ?? centre[2]) as Role, rank: 0, unit };
  const axis = BARE_AXIS.exec(label);
  return axis === null ? null : { role: (axis[1] ?? axis[2]) as Role, rank: 1, unit };
}

/** 'kg' of 'kg each' and 'kg/pc' */
function unitText(text: string): string {
  return text.replace(/(?:\s*\/\s*| |^)(?:pcs?|piece|each|per piece|part)$/i, '').trim();
}

/**
 * Settles which column plays which role, reporting what cannot be settled.
 *
 * @returns null where the list cannot be read at all: no name or no mass
 */
export function chooseColumns(headings: Headings, table: Table, log: PartsListLog): Columns | null {
  const { row, matches } = headings;
  const columns = new Map<Role, Column>();
  if (row !== null) {
    const ranks = new Map<Role, number>();
    const axes = [...matches.values()].filter((m) => isAxis(m.role));
    const axisRank = Math.min(...axes.map((m) => m.rank));
    for (const [index, match] of matches) {
      const cell = row.cells.get(index);
      if (cell === undefined || (isAxis(match.role) && match.rank > axisRank)) continue;
      const best = ranks.get(match.role) ?? Number.POSITIVE_INFINITY;
      const rival = columns.get(match.role);
      if (match.rank === best && rival !== undefined) reportTwice(rival, cell, table, log);
      if (match.rank >= best) continue;
      ranks.set(match.role, match.rank);
      columns.set(match.role, columnOf(match, index, cell, table, log));
    }
    reportIncompleteCentre(columns, row, table, log);
  }
  return hasNameAndMass(columns, headings, table, log) ? columns : null;
}

function isAxis(role: Role): boolean {
  return role === 'x' || role === 'y' || role === 'z';
}

function columnOf(
  match: HeadingMatch,
  index: number,
  cell: Cell,
  table: Table,
  log: PartsListLog,
): Column {
  const { role } = match;
  const place = headingPlace(cell, table);
  const bare = { role, index, heading: oneLine(cell.text), place };
  if (role === 'name' || role === 'quantity' || match.unit === null || match.unit === '') {
    return { ...bare, unit: null, readable: true };
  }
  const dimension = isAxis(role) ? 'length' : 'mass';
  const found = parseUnitInAnyCase(match.unit, dimension);
  if (found.kind === 'ok') return { ...bare, unit: found.unit, readable: true };
  const code = found.code === 'wrong-dimension' ? found.code : 'unknown-unit';
  log.error(code, place, cell.text, `a heading with the unit of ${found.allowed}`);
  return { ...bare, unit: null, readable: false };
}

function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ').trim();
}

function headingPlace(cell: Cell, table: Table): Place {
  const sheet = table.sheet === null ? '' : `sheet "${table.sheet}" `;
  return { line: cell.line, column: cell.column, path: `${sheet}heading ${oneLine(cell.text)}` };
}

function reportTwice(first: Column, second: Cell, table: Table, log: PartsListLog): void {
  const actual = `${first.heading} and ${oneLine(second.text)}`;
  log.error('duplicate-heading', headingPlace(second, table), actual, 'one column for each');
}

function reportIncompleteCentre(
  columns: Columns,
  row: TableRow,
  table: Table,
  log: PartsListLog,
): void {
  const axes = (['x', 'y', 'z'] as const).map((axis) => columns.get(axis));
  const present = axes.filter((column) => column !== undefined);
  if (present.length === 0 || present.length === 3) return;
  const actual = present.map((column) => column.heading).join(' and ');
  const allowed = 'headings for X, Y and Z, all three or none';
  const sheet = table.sheet === null ? '' : `sheet "${table.sheet}" `;
  const place = { line: row.line, column: null, path: `${sheet}headings` };
  log.error('incomplete-centre', place, actual, allowed);
}

function hasNameAndMass(
  columns: Columns,
  headings: Headings,
  table: Table,
  log: PartsListLog,
): boolean {
  const row = headings.row;
  const sheet = table.sheet === null ? '' : `sheet "${table.sheet}" `;
  const place = { line: row?.line ?? null, column: null, path: `${sheet}headings` };
  const first = row ?? table.rows[0];
  const actual =
    first === undefined ? null : [...first.cells.values()].map((c) => c.text).join(' | ');
  const hasMass = columns.has('mass') || columns.has('total');
  if (!hasMass) log.error('no-mass-heading', place, actual, MASS_HEADINGS);
  if (!columns.has('name')) log.error('no-name-heading', place, actual, NAME_HEADINGS);
  return hasMass && columns.has('name');
}
