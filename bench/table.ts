/** Plain tables of at most 80 columns for the terminal. */

export type Cell = string | number | null;

/** Three significant digits; whole numbers from a thousand on. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return String(value);
  if (value === 0) return '0';
  const size = Math.abs(value);
  if (size >= 1000) return String(Math.round(value));
  if (size < 1e-3) return value.toExponential(1);
  return String(Number(value.toPrecision(3)));
}

const shown = (cell: Cell): string => {
  if (cell === null) return '-';
  return typeof cell === 'number' ? figure(cell) : cell;
};

/** The first column to the left, the others to the right; never wider than 80. */
export function table(title: string, heads: readonly string[], rows: readonly Cell[][]): string {
  const text = [heads, ...rows.map((row) => row.map(shown))];
  const widths = heads.map((_, k) => Math.max(...text.map((row) => (row[k] ?? '').length)));
  const rest = widths.slice(1).reduce((sum, w) => sum + w + 2, 0);
  const first = Math.min(widths[0] ?? 0, 80 - rest);
  const line = (row: readonly string[]): string =>
    row
      .map((cell, k) =>
        k === 0 ? cell.slice(0, first).padEnd(first) : cell.padStart(widths[k] ?? 0),
      )
      .join('  ');
  const rule = '-'.repeat(first + rest);
  const [head = [], ...body] = text;
  return ['', title, rule, line(head), rule, ...body.map(line), rule].join('\n');
}

export function median(values: readonly number[]): number {
  if (values.length === 0) throw new Error('median: no values');
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? 0) + upper) / 2;
}
