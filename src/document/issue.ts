import type { FieldPath } from './field-path.js';

/** One thing wrong with an input file, as data; `sentence` turns it into words. */
export interface Issue {
  /** kebab-case, stable, e.g. 'missing-mass' */
  readonly code: string;
  readonly severity: 'error' | 'warning';
  /** file name as the caller gave it */
  readonly file: string;
  /** 1-based; null when the file has no such place (a missing file, a whole-file problem) */
  readonly line: number | null;
  readonly column: number | null;
  /** the field, as a reader would name it, items counted from 1: `castors[2] "front left" > trail` */
  readonly path: string;
  /** what the file says there, shortened to 80 characters; null when nothing is there */
  readonly actual: string | null;
  /** what is allowed, in words with units: "more than 0 kg, at most 5000 kg" */
  readonly allowed: string;
  /** of a cart file that could be read as YAML: the same place as keys and indices, which `path` does not
   * always tell apart (a name may hold ` > ` and quotes) */
  readonly field?: FieldPath;
}

export type ReadResult<T> =
  | { readonly kind: 'ok'; readonly value: T; readonly warnings: readonly Issue[] }
  | { readonly kind: 'invalid'; readonly issues: readonly Issue[] };
