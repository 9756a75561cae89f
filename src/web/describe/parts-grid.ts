/** The parts as a table of cells: which field is which cell, and what typing, clearing, copying and pasting
 * do to the fields. */

import type { FieldChange, FieldInput, FieldNode, FieldPath } from '../../document/index.js';
import { nodeAt } from '../../document/index.js';
import type { Dimension } from '../../units/index.js';
import { countAt, textAt } from './field-address.js';
import { coordinateChanges, freeName } from './field-inputs.js';

export interface GridColumn {
  readonly id: string;
  readonly words: string;
  /** for those who do not see the heading */
  readonly spoken: string;
  /** below the part */
  readonly path: FieldPath;
  readonly dimension: Dimension | null;
  /** px, in the pane and in the wide table */
  readonly width: number;
  readonly wideWidth: number;
}

/** What is given of every part comes first, so that it is in sight where there is little room. */
export const COLUMNS: readonly GridColumn[] = [
  { ...plain('name', 'Part'), path: ['name'], width: 95, wideWidth: 170 },
  { ...measured('mass', 'Mass', 'mass'), path: ['mass'], width: 64 },
  { ...measured('x', 'x', 'length'), path: ['at', 0] },
  { ...measured('y', 'y', 'length'), path: ['at', 1] },
  { ...measured('z', 'z', 'length'), path: ['at', 2] },
  {
    ...measured('tolerance', '\u00b1 Mass', 'mass'),
    spoken: 'Mass tolerance',
    path: ['mass tolerance'],
  },
  { ...plain('on', 'On'), spoken: 'Carried by', path: ['on'], width: 96, wideWidth: 100 },
  {
    ...plain('from list', 'From list'),
    spoken: 'Row of the parts list',
    path: ['from list'],
    width: 130,
    wideWidth: 110,
  },
];

function plain(id: string, words: string) {
  return { id, words, spoken: words, dimension: null };
}

function measured(id: string, words: string, dimension: Dimension) {
  return { id, words, spoken: words, dimension, width: 70, wideWidth: 82 };
}

export interface Cell {
  readonly row: number;
  readonly column: number;
}

export interface Span {
  readonly top: number;
  readonly bottom: number;
  readonly left: number;
  readonly right: number;
}

export function spanOf(a: Cell, b: Cell): Span {
  return {
    top: Math.min(a.row, b.row),
    bottom: Math.max(a.row, b.row),
    left: Math.min(a.column, b.column),
    right: Math.max(a.column, b.column),
  };
}

export function isInSpan({ top, bottom, left, right }: Span, { row, column }: Cell): boolean {
  return row >= top && row <= bottom && column >= left && column <= right;
}

/** Within the table. */
export function kept({ row, column }: Cell, rows: number): Cell {
  return {
    row: Math.max(0, Math.min(rows - 1, row)),
    column: Math.max(0, Math.min(COLUMNS.length - 1, column)),
  };
}

export function cellPath({ row, column }: Cell): FieldPath {
  return ['parts', row, ...(COLUMNS[column]?.path ?? [])];
}

/** The cell that a field is shown in; null: it stands beside the table. */
export function cellOfPath(path: FieldPath): Cell | null {
  const [list, row, key, coordinate] = path;
  if (list !== 'parts' || typeof row !== 'number') return null;
  const column = COLUMNS.findIndex((each) =>
    key === 'at'
      ? each.path[0] === 'at' && each.path[1] === (coordinate ?? 0)
      : each.path[0] === key,
  );
  if (key !== undefined && column === -1) return null;
  return { row, column: Math.max(0, column) };
}

/** The fields of a cell that issues may name: a point stands for its coordinates. */
export function issuePaths(cell: Cell): readonly FieldPath[] {
  const path = cellPath(cell);
  const column = COLUMNS[cell.column];
  if (column?.id === 'name') return [path, path.slice(0, 2)];
  return column?.path[0] === 'at' ? [path, path.slice(0, 3)] : [path];
}

/** What a row of the parts list says beside the mass of a part. */
export interface Held {
  readonly tolerance: string;
  /** '' where the list states none */
  readonly x: string;
  readonly y: string;
  readonly z: string;
}

/**
 * What was typed into a cell: a mass stands in place of a row of the list, and the other way about.
 *
 * @param held of the row that the part takes now: a part that no longer takes it states the rest of it too
 */
export function cellChanges(
  root: FieldNode,
  cell: Cell,
  typed: string,
  held: Held | null = null,
): readonly FieldChange[] {
  const text = typed.trim();
  const path = cellPath(cell);
  const part = path.slice(0, 2);
  switch (COLUMNS[cell.column]?.id) {
    case 'name':
      return nameChanges(root, path, text);
    case 'on':
      return [text === '' ? { kind: 'remove', path } : { kind: 'set', path, value: text }];
    case 'mass':
      return [
        ...oneOfTwo(root, path, [...part, 'from list'], { typed: text }),
        ...(text === '' ? [] : heldChanges(root, part, held)),
      ];
    case 'from list':
      return oneOfTwo(root, path, [...part, 'mass'], text);
    case 'tolerance':
      return [
        text === '' ? { kind: 'remove', path } : { kind: 'set', path, value: { typed: text } },
      ];
    default:
      return coordinateChanges(root, [...part, 'at'], Number(path[3]), text, 3, placeOf(held));
  }
}

function placeOf(held: Held | null): readonly string[] {
  return held === null || held.x === '' ? [] : [held.x, held.y, held.z];
}

function heldChanges(root: FieldNode, part: FieldPath, held: Held | null): readonly FieldChange[] {
  const isStated = (key: string): boolean => nodeAt(root, [...part, key]) !== null;
  if (held === null || !isStated('from list')) return [];
  const changes: FieldChange[] = [];
  if (held.tolerance !== '' && !isStated('mass tolerance')) {
    const value = { typed: held.tolerance };
    changes.push({ kind: 'set', path: [...part, 'mass tolerance'], value });
  }
  const place = placeOf(held);
  if (place.length > 0 && !isStated('at')) {
    changes.push({ kind: 'set', path: [...part, 'at'], value: place.map((typed) => ({ typed })) });
  }
  return changes;
}

function nameChanges(root: FieldNode, path: FieldPath, text: string): readonly FieldChange[] {
  // nothing else in the file speaks of a part by its name
  return textAt(root, path) === text ? [] : [{ kind: 'set', path, value: text }];
}

function oneOfTwo(
  root: FieldNode,
  path: FieldPath,
  other: FieldPath,
  value: string | { readonly typed: string },
): readonly FieldChange[] {
  const text = typeof value === 'string' ? value : value.typed;
  if (text === '') return [{ kind: 'remove', path }];
  const isOther = nodeAt(root, other) !== null;
  return [
    ...(isOther ? [{ kind: 'remove', path: other } as const] : []),
    { kind: 'set', path, value },
  ];
}

/** Empties the cells of a span. */
export function clearChanges(root: FieldNode, span: Span): readonly FieldChange[] {
  return cellsOf(span).flatMap((cell) => {
    if (textAt(root, cellPath(cell)) === '') return [];
    return cellChanges(root, cell, '');
  });
}

function cellsOf({ top, bottom, left, right }: Span): readonly Cell[] {
  const cells: Cell[] = [];
  for (let row = top; row <= bottom; row += 1) {
    for (let column = left; column <= right; column += 1) cells.push({ row, column });
  }
  return cells;
}

/** A span as spreadsheets copy it: cells parted by tabs, as typed. */
export function copyText(root: FieldNode, span: Span): string {
  const lines: string[] = [];
  for (let row = span.top; row <= span.bottom; row += 1) {
    const cells: string[] = [];
    for (let column = span.left; column <= span.right; column += 1) {
      cells.push(quoted(textAt(root, cellPath({ row, column }))));
    }
    lines.push(cells.join('\t'));
  }
  return lines.join('\n');
}

function quoted(text: string): string {
  return /["\t\n\r]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export interface GridPaste {
  readonly changes: readonly FieldChange[];
  readonly addedRows: number;
  readonly pasted: Span;
  /** what there is no cell for, each with its place in what was pasted */
  readonly beyond: readonly string[];
}

/**
 * Cells of a spreadsheet put into the table from a cell on: to the right and down, with new parts below the
 * last. A blank cell empties the one it is pasted on.
 */
export function pasteChanges(
  root: FieldNode,
  at: Cell,
  rows: readonly (readonly string[])[],
  heldOf: (row: number) => Held | null = () => null,
): GridPaste {
  const there = countAt(root, ['parts']);
  const changes: FieldChange[] = [];
  const beyond: string[] = [];
  const names = namesOf(root);
  for (const [index, cells] of rows.entries()) {
    const fitting = cells.slice(0, COLUMNS.length - at.column);
    for (const [k, text] of cells.slice(fitting.length).entries()) {
      if (text !== '') beyond.push(`row ${index + 1}, column ${fitting.length + k + 1}: ${text}`);
    }
    const row = at.row + index;
    if (row < there) {
      changes.push(...overRow(root, row, at.column, fitting, heldOf(row)));
    } else {
      const part = newPart(at.column, fitting, names);
      changes.push({ kind: 'insert', path: ['parts'], index: 'end', value: part });
    }
  }
  const width = Math.max(1, ...rows.map((each) => each.length));
  const right = Math.min(COLUMNS.length - 1, at.column + width - 1);
  const pasted = { top: at.row, bottom: at.row + rows.length - 1, left: at.column, right };
  return { changes, addedRows: Math.max(0, at.row + rows.length - there), pasted, beyond };
}

/**
 * What rows that another part was pasted over still have beside the pasted cells: 'monitor, Carried by: arm'.
 * Rows whose name was not pasted are the same parts as before.
 */
export function keptBeside(root: FieldNode, { top, bottom, left, right }: Span): readonly string[] {
  if (left > 0) return [];
  const rows = Array.from({ length: bottom - top + 1 }, (_, index) => top + index);
  return rows.flatMap((row) => {
    const kept = COLUMNS.flatMap(({ spoken }, column) => {
      const text = column > right ? textAt(root, cellPath({ row, column })) : '';
      return text === '' ? [] : [`${spoken.toLowerCase()} ${text}`];
    });
    const name = textAt(root, cellPath({ row, column: 0 }));
    return kept.length === 0 ? [] : [`${name}: ${kept.join(', ')}`];
  });
}

function namesOf(root: FieldNode): string[] {
  const count = countAt(root, ['parts']);
  return Array.from({ length: count }, (_, row) => textAt(root, ['parts', row, 'name']));
}

/** Coordinates go in as one point, since each alone would make it anew. */
function overRow(
  root: FieldNode,
  row: number,
  left: number,
  cells: readonly string[],
  held: Held | null,
): readonly FieldChange[] {
  const changes: FieldChange[] = [];
  const at = new Map<number, string>();
  for (const [index, text] of cells.entries()) {
    const cell = { row, column: left + index };
    const { path, id } = COLUMNS[cell.column] ?? { path: [], id: '' };
    if (path[0] === 'at') at.set(Number(path[1]), text);
    // a blank cell beside one that is filled in does not take it out again
    else if (text !== '' || !isOtherGiven(cells, left, id)) {
      if (text !== '' || textAt(root, cellPath(cell)) !== '') {
        changes.push(...cellChanges(root, cell, text, held));
      }
    }
  }
  if (at.size > 0) changes.push(...pointChanges(root, row, at, placeOf(held)));
  return changes;
}

function isOtherGiven(cells: readonly string[], left: number, id: string): boolean {
  const other = id === 'mass' ? 'from list' : id === 'from list' ? 'mass' : null;
  if (other === null) return false;
  const index = COLUMNS.findIndex((each) => each.id === other) - left;
  return (cells[index] ?? '') !== '';
}

function pointChanges(
  root: FieldNode,
  row: number,
  given: ReadonlyMap<number, string>,
  others: readonly string[],
): readonly FieldChange[] {
  const path: FieldPath = ['parts', row, 'at'];
  const isThere = nodeAt(root, path) !== null;
  const texts = [0, 1, 2].map(
    (i) => given.get(i) ?? (isThere ? textAt(root, [...path, i]) : (others[i] ?? '')),
  );
  if (texts.every((each) => each === '')) {
    return isThere ? [{ kind: 'remove', path }] : [];
  }
  const node = nodeAt(root, path);
  if (node?.kind === 'list' && node.items.length === 3) {
    return [...given].map(([i, text]): FieldChange => {
      return { kind: 'set', path: [...path, i], value: { typed: text } };
    });
  }
  return [{ kind: 'set', path, value: texts.map((typed) => ({ typed })) }];
}

/** A part of the cells of a row that is not there yet: what is blank is left out, and it gets a name. */
function newPart(left: number, cells: readonly string[], names: string[]): FieldInput {
  const text = (id: string): string => cells[COLUMNS.findIndex((c) => c.id === id) - left] ?? '';
  const name = text('name') === '' ? freeName('part', names) : text('name');
  names.push(name);
  const place = ['x', 'y', 'z'].map(text);
  const map: Record<string, FieldInput> = { name };
  if (text('mass') !== '') map.mass = { typed: text('mass') };
  if (text('from list') !== '') map['from list'] = text('from list');
  if (text('tolerance') !== '') map['mass tolerance'] = { typed: text('tolerance') };
  if (place.some((each) => each !== '')) map.at = place.map((typed) => ({ typed }));
  if (text('on') !== '') map.on = text('on');
  return { map };
}
