/** What can be wrong with a parts list, and the list of what was found. */

import type { Issue, ReadResult } from './issue.js';
import { shortened } from './issue-log.js';

/** By code, as it reads after the actual value (or after the place when nothing is there). */
export const PARTS_LIST_PROBLEMS = {
  // the file as a whole
  'file-too-large': 'is too large to read',
  'not-text': 'is not plain text',
  'empty-file': 'holds nothing',
  'too-many-issues': 'issues are not listed',
  'not-csv': 'is not CSV text',
  'not-xlsx': 'is not an XLSX file',
  'damaged-xlsx': 'is damaged',
  'encrypted-xlsx': 'is encrypted',
  'unpacks-too-large': 'unpacks to too much',
  'too-many-rows': 'are too many rows',
  'too-many-cells': 'are too many cells',
  'too-long-field': 'is too long for a field',
  'unclosed-quote': 'opens a quotation that nothing closes',
  'text-after-quote': 'goes on after its closing quotation mark',
  // headings
  'no-mass-heading': 'has no column for the mass',
  'no-name-heading': 'has no column for the name',
  'several-tables': 'hold a parts list each',
  'duplicate-heading': 'give the same thing twice',
  'incomplete-centre': 'is a centre of mass with a coordinate missing',
  'no-unit': 'has no unit',
  'unknown-unit': 'has a unit that is not known',
  'wrong-dimension': 'is the wrong kind of quantity',
  'no-rows': 'has headings and no part under them',
  // rows
  'too-many-fields': 'stands beyond the last heading',
  'missing-name': 'has no name',
  'missing-quantity': 'has no quantity',
  'missing-mass': 'has no mass, and a missing mass is never taken as zero',
  'not-a-number': 'is not a number',
  'ambiguous-number': 'can be read as two different numbers',
  'spreadsheet-error': 'is an error value of the spreadsheet',
  'no-stored-result': 'is a formula whose result is not stored in the file',
  'other-unit': 'has another unit than its heading',
  'bad-quantity': 'is not a number of pieces',
  'zero-mass': 'is zero, which a CAD program writes where no material is set',
  'out-of-limits': 'is outside the limits',
  'tolerance-too-large': 'is too large a tolerance',
  'total-disagrees': 'is not the mass of one piece times the quantity',
  'total-row-disagrees': 'is not the sum of the rows above it',
  'duplicate-name': 'is the name of two',
  // warnings
  'not-utf8': 'is not UTF-8 and was read as Windows-1252',
  'decimal-comma': 'was read with a decimal comma',
  'no-quantity-heading': 'has no column for the quantity, so that each row counts as one piece',
  'blank-rows': 'are blank and were passed over',
  'hidden-rows': 'are hidden in the spreadsheet and were read all the same',
  'total-row': 'is the sum of the rows above it and was passed over',
  'row-without-part': 'names no part and no mass and was passed over',
  'repeated-heading': 'repeats the headings and was passed over',
  'rows-joined': 'has the name and the mass of an earlier row; their quantities were added',
} as const;

export type PartsListProblemCode = keyof typeof PARTS_LIST_PROBLEMS;

export interface Place {
  readonly line: number | null;
  readonly column: number | null;
  readonly path: string;
}

export interface PartsListLog {
  error(code: PartsListProblemCode, at: Place, actual: string | null, allowed: string): void;
  warning(code: PartsListProblemCode, at: Place, actual: string | null, allowed: string): void;
  /** how many errors so far */
  errorCount(): number;
  /** 'invalid' with everything found once there is an error */
  result<T>(value: T | null): ReadResult<T>;
}

export const WHOLE_FILE: Place = { line: null, column: null, path: 'the file' };

/** Listed of each severity; past that only counted, since a hostile file could ask for a million. */
const MOST_LISTED = 200;

export function partsListLog(file: string): PartsListLog {
  const errors = issueList(file, 'error');
  const warnings = issueList(file, 'warning');
  return {
    error: errors.add,
    warning: warnings.add,
    errorCount: errors.count,
    result(value) {
      if (value !== null && errors.count() === 0) {
        return { kind: 'ok', value, warnings: warnings.issues() };
      }
      const issues = [...errors.issues(), ...warnings.issues()];
      return { kind: 'invalid', issues: issues.sort((a, b) => (a.line ?? 0) - (b.line ?? 0)) };
    },
  };
}

const LONGEST_PATH = 200;

/** Names and headings of the file stand in paths: none may send control sequences to a terminal. */
function visible(text: string): string {
  return text.replace(/[\p{C}\p{Zl}\p{Zp}]/gu, '\u{fffd}');
}

function issueList(file: string, severity: Issue['severity']) {
  const kept: Issue[] = [];
  let count = 0;
  const keep = (code: PartsListProblemCode, at: Place, actual: string | null, allowed: string) => {
    const { line, column } = at;
    const shown = actual === null ? null : shortened(actual);
    const path = visible(at.path.slice(0, LONGEST_PATH));
    kept.push({
      code,
      severity,
      file,
      line,
      column,
      path,
      actual: shown,
      allowed: visible(allowed),
    });
  };
  return {
    count: () => count,
    add(code: PartsListProblemCode, at: Place, actual: string | null, allowed: string): void {
      count += 1;
      if (count <= MOST_LISTED) keep(code, at, actual, allowed);
    },
    issues(): readonly Issue[] {
      if (count > MOST_LISTED && kept.length === MOST_LISTED) {
        const left = `${count - MOST_LISTED} more`;
        keep('too-many-issues', WHOLE_FILE, left, `at most ${MOST_LISTED} are listed`);
      }
      return kept;
    },
  };
}
