import { describe, expect, test } from 'vitest';
import type { Verdict } from '../../src/analysis/index.js';
import { EXIT, exitCodeOf } from '../../src/cli/exit-codes.js';

describe('exit codes', () => {
  test.each<readonly [Verdict, number]>([
    ['holds', 0],
    ['fails', 1],
    ['depends on friction', 2],
    ['not decided', 3],
    // nothing was shown to hold
    ['not applicable', 3],
  ])('%s ends with %i', (verdict, code) => {
    expect(exitCodeOf(verdict)).toBe(code);
  });

  test('no two outcomes share one', () => {
    const codes = Object.values(EXIT);
    expect(new Set(codes).size).toBe(codes.length);
  });
});
