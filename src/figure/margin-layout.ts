/** Where the rows of margin bars lie. */

import { scaleLinear } from 'd3-scale';
import type { UnitSystem } from '../units/index.js';
import { TEXT_SIZE } from './figure-style.js';
import type { MarginRow, MarginValue } from './margin-row.js';
import { marginWords } from './margin-row.js';
import { wrapText } from './text-width.js';

export interface MarginColumns {
  /** px: text beside the bars, rather than above them */
  readonly beside: boolean;
  readonly textWidth: number;
  readonly barFrom: number;
  readonly barTo: number;
  /** reserve to px; beyond the greatest, the end of the bar */
  readonly along: (reserve: number) => number;
  readonly ticks: readonly number[];
}

/** px: from this width on, text stands beside the bars. */
const WIDE = 600;
/** px for the reserve after a bar */
const VALUE_ROOM = 66;
const EDGE = 8;

/** @param most the reserve at the end of the bars */
export function marginColumns(width: number, most: number): MarginColumns {
  const beside = width >= WIDE;
  const textWidth = beside ? Math.min(440, width * 0.46) : width - 2 * EDGE;
  const barFrom = beside ? EDGE + textWidth + 18 : EDGE + 2;
  const barTo = width - VALUE_ROOM;
  const scale = scaleLinear().domain([0, most]).range([barFrom, barTo]).clamp(true);
  return {
    beside,
    textWidth,
    barFrom,
    barTo,
    along: (reserve) => scale(reserve),
    ticks: scale.ticks(Math.min(6, Math.round(most * 2))),
  };
}

export interface LaidRow {
  readonly row: MarginRow;
  readonly top: number;
  readonly height: number;
  readonly title: readonly string[];
  readonly words: readonly string[];
  readonly otherWords: readonly string[];
  /** px: the middle of the (first) bar */
  readonly bar: number;
  readonly otherBar: number;
}

export const TEXT_LINE = 15;
/** px: the mark of the verdict before a title */
export const MARK_ROOM = 22;
/** px from the first bar to that of the second variant */
export const BAR_STEP = 19;
const ROW_GAP = 12;

/** Rows under each other, each as high as its text and bars need. */
export function layRows(
  rows: readonly MarginRow[],
  columns: MarginColumns,
  units: UnitSystem,
  top: number,
  names: readonly [string, string] | undefined,
): readonly LaidRow[] {
  let next = top;
  return rows.map((row) => {
    const laid = layRow(row, columns, units, next, names);
    next += laid.height;
    return laid;
  });
}

function layRow(
  row: MarginRow,
  columns: MarginColumns,
  units: UnitSystem,
  top: number,
  names: readonly [string, string] | undefined,
): LaidRow {
  const room = columns.textWidth - MARK_ROOM;
  const title = wrapText(row.title, room, TEXT_SIZE.label, 2, 600);
  const worded = (value: MarginValue, name = '') =>
    wrapText(name + marginWords(value, units), room, TEXT_SIZE.label, 3);
  const [first, second] = row.other && names ? names.map((name) => `${name}, `) : [];
  const words = worded(row.value, first);
  const otherWords = row.other ? worded(row.other, second) : [];
  const lines = title.length + words.length + otherWords.length;
  const text = lines * TEXT_LINE;
  const bars = row.other ? BAR_STEP + 16 : 16;
  const bar = columns.beside ? top + 10 : top + text + 10;
  const height = (columns.beside ? Math.max(text, bars) : text + bars + 4) + ROW_GAP;
  return { row, top, height, title, words, otherWords, bar, otherBar: bar + BAR_STEP };
}
