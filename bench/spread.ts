/** Order statistics of a list, as campaigns print them. */
export interface Spread {
  readonly median: number;
  readonly p95: number;
  readonly p99: number;
  readonly max: number;
}

export function spread(values: readonly number[]): Spread {
  if (values.length === 0) throw new Error('spread: no values');
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number =>
    Number(
      (sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? 0).toPrecision(3),
    );
  return { median: at(0.5), p95: at(0.95), p99: at(0.99), max: at(1) };
}
