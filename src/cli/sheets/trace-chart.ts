/** A trace as columns of characters: the greatest force in each, the onset marked below. */

import type { GaugeTrace, TraceReading } from '../../metrology/index.js';
import type { UnitSystem } from '../../units/index.js';
import { formatQuantity } from '../../units/index.js';
import type { Line, Page } from '../page.js';
import { span } from '../sheet.js';
import { pad, textWidth } from '../text-width.js';

const ROWS = 10;
const EIGHTHS = [' ', '▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/** columns of the forces beside the chart */
const BESIDE = 10;

export function traceChart(
  page: Page,
  trace: GaugeTrace,
  reading: TraceReading,
  units: UnitSystem,
): Line[] {
  const width = page.width - BESIDE;
  const lasts = trace.time.at(-1) ?? 0;
  const top = reading.peak.force;
  if (!(lasts > 0) || !(top > 0)) return [];
  const columnAt = (t: number) => Math.min(width - 1, Math.max(0, Math.floor((t / lasts) * width)));
  const heights = columnHeights(trace, signOf(trace, reading), width, columnAt, top);
  const system = units === 'US' ? 'US' : 'SI';
  const beside = (row: number) =>
    row % 5 === 0 ? formatQuantity((top * row) / ROWS, 'force', system, { digits: 3 }) : '';
  const rows = Array.from({ length: ROWS }, (_, i): Line => {
    const row = ROWS - i;
    const bars = heights.map((height) => barOf(page, height * ROWS - (row - 1))).join('');
    return [span(page, pad(beside(row), BESIDE - 2, 'right'), 'quiet'), span(page, `  ${bars}`)];
  });
  return [
    ...rows,
    axisLine(page, width),
    timeLine(page, width, lasts),
    ...markLine(page, reading, columnAt),
  ];
}

/** Peaks count as positive in a reading; the file signs them as it likes. */
function signOf({ time, force }: GaugeTrace, { peak }: TraceReading): 1 | -1 {
  return (force[time.indexOf(peak.time)] ?? 0) < 0 ? -1 : 1;
}

/** Shares of the peak, 0 to 1: single outliers beyond it end there. */
function columnHeights(
  { time, force }: GaugeTrace,
  sign: 1 | -1,
  width: number,
  columnAt: (t: number) => number,
  top: number,
): number[] {
  const greatest = new Array<number | null>(width).fill(null);
  time.forEach((t, i) => {
    const value = sign * (force[i] ?? 0);
    const column = columnAt(t);
    greatest[column] = Math.max(greatest[column] ?? value, value);
  });
  let last = 0;
  return greatest.map((each) => {
    // no sample in so short a time: as before
    last = each ?? last;
    return Math.min(1, Math.max(0, last / top));
  });
}

function barOf(page: Page, height: number): string {
  if (!page.unicode) return height >= 0.5 ? '#' : ' ';
  return EIGHTHS[Math.min(8, Math.max(0, Math.round(8 * height)))] ?? ' ';
}

function axisLine(page: Page, width: number): Line {
  const line = (page.unicode ? '─' : '-').repeat(width);
  return [span(page, `${pad('0', BESIDE - 2, 'right')}  ${line}`, 'quiet')];
}

function timeLine(page: Page, width: number, lasts: number): Line {
  const end = formatQuantity(lasts, 'time', 'SI', { digits: 4 });
  const start = '0 s';
  const between = ' '.repeat(Math.max(1, width - start.length - end.length));
  return [span(page, `${' '.repeat(BESIDE)}${start}${between}${end}`, 'quiet')];
}

/** An arrow under the onset, its word on the side where there is room. */
function markLine(page: Page, { onset }: TraceReading, columnAt: (t: number) => number): Line[] {
  const found =
    onset.kind === 'found' ? onset.onset : onset.kind === 'none' ? null : onset.candidate;
  if (found === null) return [];
  const arrow = page.unicode ? '▲' : '^';
  const word = onset.kind === 'found' ? 'onset of slip' : 'rise breaks';
  const column = columnAt(found.time.value);
  const left = column > textWidth(word) + 1;
  const start = left ? column - textWidth(word) - 1 : column;
  const text = left ? `${word} ${arrow}` : `${arrow} ${word}`;
  return [[span(page, `${' '.repeat(BESIDE + start)}${text}`, 'strong')]];
}
