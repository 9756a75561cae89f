import { describe, expect, test } from 'vitest';
import { differenceLines, measuredLines, measuredText } from '../../src/cli/measured-text.js';

/** Many degrees of freedom: k = 2.000 for 95.45 % of a normal distribution (JCGM 100:2008, table G.2). */
const known = (value: number, u: number) => ({ value, u, dof: null });

describe('a measured value', () => {
  test.each([
    [known(0.018_150_1, 0.000_87), 'angle', 'SI', '1.040 ± 0.100 deg'],
    [known(58, 0.25), 'force', 'SI', '58.00 ± 0.50 N'],
    [known(10.04512, 0.016), 'mass', 'SI', '10.045 ± 0.032 kg'],
    [known(0.3305, 0.0019), 'length', 'SI', '330.5 ± 3.8 mm'],
    [known(0.598, 0.0105), 'ratio', 'SI', '0.598 ± 0.021'],
    // 1 lbf = 4.448 221 615 N
    [known(444.822_161_5, 4.448_221_615), 'force', 'US', '100.0 ± 2.0 lbf'],
    [known(80, 20), 'force', 'SI', '80 ± 40 N'],
    [known(0, 0.001), 'length', 'SI', '0.0 ± 2.0 mm'],
    [known(80, 0), 'force', 'SI', '80 N'],
  ] as const)(
    'has the places of its expanded uncertainty, which has two figures: %o %s in %s',
    (measured, dimension, units, text) => {
      expect(measuredText(measured, dimension, units)).toBe(text);
    },
  );

  test('stands in both systems, one under the other', () => {
    expect(measuredLines(known(58, 0.25), 'force', 'both')).toEqual([
      '58.00 ± 0.50 N',
      '13.04 ± 0.11 lbf',
    ]);
    expect(measuredLines(known(0.6, 0.01), 'ratio', 'both')).toHaveLength(1);
  });

  test('a difference has its sign, and the same places', () => {
    expect(differenceLines(known(0.4, 0.043), 'mass', 'SI')).toEqual(['+0.400 kg']);
    expect(differenceLines(known(-0.002_44, 0.002), 'length', 'SI')).toEqual(['-2.4 mm']);
  });
});
