/** Problems with an offset into a text become issues with a line and a column. */

import type { Issue } from './issue.js';

export interface PlacedProblem {
  readonly code: string;
  /** null: the file as a whole */
  readonly offset: number | null;
  readonly path: string;
  readonly actual: string | null;
  readonly allowed: string;
}

/** Past this many a reader has stopped reading; the rest is summed up in one more issue. */
const MOST_ISSUES = 200;

/** In the order of the file. */
export function issuesOf(
  problems: readonly PlacedProblem[],
  text: string,
  file: string,
): readonly Issue[] {
  const starts = lineStarts(text);
  const inOrder = [...problems].sort((a, b) => (a.offset ?? -1) - (b.offset ?? -1));
  const issues = inOrder.slice(0, MOST_ISSUES).map((each) => issueOf(each, starts, file));
  const left = problems.length - issues.length;
  if (left === 0) return issues;
  const excess: PlacedProblem = {
    code: 'too-many-issues',
    offset: null,
    path: 'the file',
    actual: `${left} more`,
    allowed: `at most ${MOST_ISSUES} are listed: mend those first`,
  };
  return [...issues, issueOf(excess, starts, file)];
}

function issueOf(problem: PlacedProblem, starts: readonly number[], file: string): Issue {
  const place = problem.offset === null ? null : placeOf(problem.offset, starts);
  return {
    code: problem.code,
    severity: 'error',
    file,
    line: place?.line ?? null,
    column: place?.column ?? null,
    path: problem.path,
    actual: problem.actual === null ? null : shortened(problem.actual),
    allowed: problem.allowed,
  };
}

function lineStarts(text: string): readonly number[] {
  const starts = [0];
  for (let end = text.indexOf('\n'); end !== -1; end = text.indexOf('\n', end + 1)) {
    starts.push(end + 1);
  }
  return starts;
}

/** Line and column, both from 1: the last line that starts at or before the offset. */
function placeOf(offset: number, starts: readonly number[]): { line: number; column: number } {
  let low = 0;
  let high = starts.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((starts[middle] ?? 0) <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - (starts[low] ?? 0) + 1 };
}

const MOST_ACTUAL = 80;

function shortened(text: string): string {
  const seen = visible(text.slice(0, 4 * MOST_ACTUAL));
  return seen.length <= MOST_ACTUAL ? seen : `${seen.slice(0, MOST_ACTUAL - 3)}...`;
}

/** On one line, with what cannot be seen written out: a file must not send control sequences to the
 * terminal of whoever reads its errors. */
export function visible(text: string): string {
  return text.replace(/[\p{C}\p{Zl}\p{Zp}]/gu, (character) => {
    if (character === '\n') return '\\n';
    return `\\u{${(character.codePointAt(0) ?? 0).toString(16)}}`;
  });
}
