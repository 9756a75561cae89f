import type { ProblemCode } from './cart-problems.js';
import type { FieldPath } from './field-path.js';
import type { Issue } from './issue.js';

/** One problem as the readers report it: the place as an offset into the text. */
export interface Problem {
  readonly code: ProblemCode;
  /** offset into the text; null: the file as a whole */
  readonly offset: number | null;
  readonly path: string;
  readonly actual: string | null;
  readonly allowed: string;
  readonly severity?: 'error' | 'warning';
}

/** Collects the problems of one file. */
export interface IssueLog {
  report(problem: Problem): void;
  /** how many errors (not warnings) so far */
  errorCount(): number;
  /** in the order of the file; once there is an error the warnings are left out, since an unreadable
   * entry makes others look unused
   *
   * @param fieldOf the place of a problem as keys and indices, where the file has such places */
  issues(fieldOf?: (problem: Problem) => FieldPath | null): readonly Issue[];
}

/** Issues kept per file: past this a reader has stopped reading, and a hostile file could ask for
 * hundreds of thousands. The first one left out is replaced by a 'too-many-issues'. */
const MOST_ISSUES = 200;

const MOST_ACTUAL = 80;

interface PlacedIssue {
  readonly offset: number;
  readonly issue: Issue;
  readonly problem: Problem;
}

/** @param lineStarts offsets at which the lines of the text start, ascending, the first 0 */
export function issueLog(file: string, lineStarts: readonly number[]): IssueLog {
  const kept: PlacedIssue[] = [];
  const seen = new Set<string>();
  let errors = 0;
  let left = 0;
  return {
    report(problem) {
      const severity = problem.severity ?? 'error';
      if (severity === 'error') errors += 1;
      // what several castors find wrong with their type is said once
      const key = `${problem.code} ${problem.offset} ${problem.path}`;
      if (seen.has(key)) return;
      if (kept.length === MOST_ISSUES) {
        left += 1;
        return;
      }
      seen.add(key);
      kept.push(placed(problem, severity, file, lineStarts));
    },
    errorCount: () => errors,
    issues(fieldOf = () => null) {
      const wanted = kept.filter(({ issue }) => errors === 0 || issue.severity === 'error');
      const inOrder = wanted
        .sort((a, b) => a.offset - b.offset)
        .map(({ issue, problem }) => withField(issue, fieldOf(problem)));
      return left === 0 ? inOrder : [...inOrder, tooMany(file, left)];
    },
  };
}

function placed(
  problem: Problem,
  severity: 'error' | 'warning',
  file: string,
  lineStarts: readonly number[],
): PlacedIssue {
  const { offset } = problem;
  const place = offset === null ? null : placeOf(offset, lineStarts);
  const issue: Issue = {
    code: problem.code,
    severity,
    file,
    line: place === null ? null : place.line,
    column: place === null ? null : place.column,
    path: visible(problem.path),
    actual: problem.actual === null ? null : shortened(problem.actual),
    allowed: visible(problem.allowed),
  };
  return { offset: offset ?? -1, issue, problem };
}

function withField(issue: Issue, field: FieldPath | null): Issue {
  return field === null ? issue : { ...issue, field };
}

function tooMany(file: string, left: number): Issue {
  return {
    code: 'too-many-issues' satisfies ProblemCode,
    severity: 'error',
    file,
    line: null,
    column: null,
    path: 'the file',
    actual: `${left} more`,
    allowed: `at most ${MOST_ISSUES} are listed: mend those first`,
  };
}

/** Line and column, both from 1, of an offset: the last line that starts at or before it. */
function placeOf(offset: number, lineStarts: readonly number[]): { line: number; column: number } {
  let low = 0;
  let high = lineStarts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((lineStarts[middle] ?? 0) <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - (lineStarts[low] ?? 0) + 1 };
}

/** At most 80 characters, on one line, with what cannot be seen written out (a file must not send
 * control sequences to the terminal of whoever reads its errors). */
export function shortened(text: string): string {
  const written = visible(text.slice(0, 4 * MOST_ACTUAL));
  if (written.length <= MOST_ACTUAL) return written;
  let head = '';
  // by whole characters: half of one would be no text
  for (const character of written) {
    if (head.length + character.length > MOST_ACTUAL - 3) break;
    head += character;
  }
  return `${head}...`;
}

/** With what cannot be seen written out. */
function visible(text: string): string {
  return text.replace(/[\p{C}\p{Zl}\p{Zp}]/gu, writtenOut);
}

function writtenOut(character: string): string {
  if (character === '\n') return '\\n';
  if (character === '\t') return '\\t';
  return `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;
}
