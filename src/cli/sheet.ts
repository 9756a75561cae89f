/** Building blocks of every sheet: spans, rules, hanging paragraphs and tables. */

import type { Dimension } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Line, Page, Span, Tone } from './page.js';
import { columnLines } from './quantities.js';
import { pad, textWidth, wrapText } from './text-width.js';

export const BLANK: Line = [];

export function span(page: Page, text: string, tone: Tone = 'plain'): Span {
  return { text: page.show(text), tone };
}

export function spanWidth(spans: readonly Span[]): number {
  return spans.reduce((sum, { text }) => sum + textWidth(text), 0);
}

/** A thin line across the page. */
export function rule(page: Page, width = page.width): Line {
  return [span(page, (page.unicode ? '─' : '-').repeat(width), 'quiet')];
}

/** Left and right parts of one line; the left is wrapped where both do not fit. */
export function spread(page: Page, left: string, tone: Tone, right: readonly Span[]): Line[] {
  const room = page.width - (right.length === 0 ? 0 : spanWidth(right) + 2);
  const pieces = wrapText(page.show(left), room);
  return pieces.map((piece, i) =>
    i === 0 ? [{ text: pad(piece, room + 2, 'left'), tone }, ...right] : [{ text: piece, tone }],
  );
}

/** A paragraph indented by `indent` columns. */
export function paragraph(page: Page, text: string, indent = 0, tone: Tone = 'plain'): Line[] {
  const margin = ' '.repeat(indent);
  return wrapText(page.show(text), page.width - indent).map((piece) => [
    { text: margin + piece, tone },
  ]);
}

/** A label in the margin and its text beside it, wrapped under itself. */
export function labelled(
  page: Page,
  label: string,
  text: string,
  columns: { readonly indent: number; readonly label: number },
  tone: Tone = 'plain',
): Line[] {
  const start = columns.indent + columns.label;
  const head = ' '.repeat(columns.indent) + pad(page.show(label), columns.label, 'left');
  return wrapText(page.show(text), page.width - start).map((piece, i) => [
    { text: i === 0 ? head : ' '.repeat(start), tone: 'quiet' },
    { text: piece, tone },
  ]);
}

/** An item of a list, marked by a dash. */
export function item(page: Page, text: string, indent: number, tone: Tone = 'plain'): Line[] {
  return labelled(page, '-', text, { indent, label: 2 }, tone);
}

/** A titled part of the sheet over a thin rule; nothing at all when it would be empty. */
export function section(page: Page, title: string, lines: readonly Line[]): Line[] {
  return lines.length === 0 ? [] : [BLANK, [span(page, title, 'strong')], rule(page), ...lines];
}

/** The standing cautions, last on every sheet. */
export function cautionLines(page: Page, cautions: readonly string[]): Line[] {
  return section(
    page,
    'Cautions',
    cautions.flatMap((text) => item(page, text, 0)),
  );
}

export interface Column {
  readonly heading: string;
  readonly align: 'left' | 'right';
}
/** One cell: its lines, top first. */
export type Cell = readonly Span[];

/** Cells of a column of quantities, by row: null shows as a dash. */
export function quantityCells(
  page: Page,
  values: readonly (number | null)[],
  dimension: Dimension,
  units: UnitSystem,
): Cell[] {
  const known = columnLines(
    values.filter((value) => value !== null),
    dimension,
    units,
  );
  let next = 0;
  return values.map((value) => {
    if (value === null) return [span(page, '-', 'quiet')];
    const lines = known[next] ?? [];
    next += 1;
    return lines.map((text) => span(page, text));
  });
}

const GAP = 2;

function naturalWidths(page: Page, columns: readonly Column[], rows: readonly (readonly Cell[])[]) {
  return columns.map((column, c) =>
    Math.max(
      textWidth(page.show(column.heading)),
      ...rows.map((row) => Math.max(0, ...(row[c] ?? []).map(({ text }) => textWidth(text)))),
    ),
  );
}

function wrapCell(cell: Cell, width: number): Span[] {
  return cell.flatMap(({ text, tone }) =>
    wrapText(text, width).map((piece) => ({ text: piece, tone })),
  );
}

function rowLines(
  cells: readonly Cell[],
  columns: readonly Column[],
  widths: readonly number[],
): Line[] {
  const wrapped = cells.map((cell, c) => wrapCell(cell, widths[c] ?? 0));
  const height = Math.max(1, ...wrapped.map((lines) => lines.length));
  return Array.from({ length: height }, (_, i) =>
    columns.flatMap((column, c): Span[] => {
      const here = wrapped[c]?.[i] ?? { text: '', tone: 'plain' as const };
      const padded = { text: pad(here.text, widths[c] ?? 0, column.align), tone: here.tone };
      return c === 0 ? [padded] : [{ text: ' '.repeat(GAP), tone: 'plain' }, padded];
    }),
  );
}

/** What the flexible column keeps before the others give way too. */
const LEAST_FLEXIBLE = 16;

/** Widths that fit the page together: the flexible column gives way first, then always the widest. */
function fittingWidths(natural: readonly number[], flexible: number, available: number): number[] {
  const widths = [...natural];
  const sum = () => widths.reduce((total, width) => total + width, 0);
  const flexed = Math.max(LEAST_FLEXIBLE, (widths[flexible] ?? 0) - Math.max(0, sum() - available));
  widths[flexible] = Math.min(widths[flexible] ?? 0, flexed);
  for (let excess = sum() - available; excess > 0; excess -= 1) {
    const widest = widths.indexOf(Math.max(...widths));
    widths[widest] = Math.max(1, (widths[widest] ?? 1) - 1);
  }
  return widths;
}

/**
 * A table with a thin rule under its headings. Every column is as wide as its widest cell; what is
 * then too much for the page is taken from the column `flexible` first, and cells wrap.
 */
export function table(
  page: Page,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  flexible: number,
): Line[] {
  const gaps = GAP * (columns.length - 1);
  const widths = fittingWidths(naturalWidths(page, columns, rows), flexible, page.width - gaps);
  const headings = columns.map(({ heading }) => [span(page, heading, 'quiet')]);
  const total = widths.reduce((sum, width) => sum + width, gaps);
  return [
    ...rowLines(headings, columns, widths),
    rule(page, total),
    ...rows.flatMap((row) => rowLines(row, columns, widths)),
  ];
}
