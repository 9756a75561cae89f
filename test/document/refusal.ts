import { expect, test } from 'vitest';
import type { Issue } from '../../src/document/index.js';
import { readCart } from '../../src/document/index.js';
import { lineOf, spoiled } from './small-cart.js';

export interface Refusal {
  /** what is wrong, for the test's name */
  readonly title: string;
  /** the snippet of the small cart that is replaced, and by what */
  readonly from: string;
  readonly to: string;
  /** the line that must be named holds this (and no other line does); else the comment "# here" */
  readonly at?: string;
  readonly code: string;
  readonly path: string;
  /** part of what is said to be allowed */
  readonly allowed: string;
}

export function issuesOf(text: string): readonly Issue[] {
  const result = readCart(text, 'small.cart.yaml');
  return result.kind === 'invalid' ? result.issues : [];
}

/** Code and line of every issue. */
export function codesAndLines(text: string): readonly (readonly [string, number | null])[] {
  return issuesOf(text).map(({ code, line }) => [code, line]);
}

/** Each spoils the small cart in one way, and must give exactly one issue. */
export function refuses(cases: readonly Refusal[]): void {
  test.each(cases)('$title', ({ from, to, at, code, path, allowed }) => {
    const text = spoiled(from, to);
    const issues = issuesOf(text);
    expect(issues.map((issue) => issue.code)).toEqual([code]);
    const [issue] = issues;
    expect(issue?.severity).toBe('error');
    expect(issue?.file).toBe('small.cart.yaml');
    expect(issue?.line).toBe(lineOf(at ?? '# here', text));
    expect(issue?.column).toBeGreaterThanOrEqual(1);
    expect(issue?.path).toBe(path);
    expect(issue?.allowed).toContain(allowed);
  });
}
