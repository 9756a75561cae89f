/**
 * The same shape as the issues of the document layer, which this layer may not import: whoever
 * prints one prints the other.
 */
export interface Issue {
  /** kebab-case, stable, e.g. 'missing-value' */
  readonly code: string;
  readonly severity: 'error' | 'warning';
  /** file name as the caller gave it */
  readonly file: string;
  /** 1-based; null when the file has no such place */
  readonly line: number | null;
  readonly column: number | null;
  /** the field: `sets[1] "house" > clauses[2] "overbalance-use" > values > incline` */
  readonly path: string;
  /** what the file says there, shortened to 80 characters; null when nothing is there */
  readonly actual: string | null;
  /** what is allowed, in words with units */
  readonly allowed: string;
}

export type ReadResult<T> =
  | { readonly kind: 'ok'; readonly value: T; readonly warnings: readonly Issue[] }
  | { readonly kind: 'invalid'; readonly issues: readonly Issue[] };
