import { CART_PROBLEMS } from './cart-problems.js';
import type { Issue } from './issue.js';
import { PARTS_LIST_PROBLEMS } from './parts-list-problems.js';

/** Codes that both readers use say the same of both. */
const PROBLEMS: Readonly<Record<string, string>> = { ...PARTS_LIST_PROBLEMS, ...CART_PROBLEMS };

/** The issue in one line of plain words: `file:line:column path: actual problem; allowed: ...`. */
export function sentence(issue: Issue): string {
  const place = [issue.file, issue.line, issue.column].filter((each) => each !== null).join(':');
  const severity = issue.severity === 'warning' ? ' (warning)' : '';
  const problem = problemOf(issue.code);
  const what = issue.actual === null ? problem : `${issue.actual} ${problem}`;
  return `${place}${severity} ${issue.path}: ${what}; allowed: ${issue.allowed}`;
}

function problemOf(code: string): string {
  return (Object.hasOwn(PROBLEMS, code) ? PROBLEMS[code] : undefined) ?? 'is not allowed';
}
