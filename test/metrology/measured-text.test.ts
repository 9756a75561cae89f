import { describe, expect, test } from 'vitest';
import {
  differenceText,
  differenceTexts,
  measuredText,
  measuredTexts,
  uncertaintyText,
} from '../../src/metrology/index.js';

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
    expect(measuredTexts(known(58, 0.25), 'force', 'both')).toEqual([
      '58.00 ± 0.50 N',
      '13.04 ± 0.11 lbf',
    ]);
    expect(measuredTexts(known(0.6, 0.01), 'ratio', 'both')).toHaveLength(1);
  });

  test('a difference has its sign, and the same places', () => {
    expect(differenceTexts(0.4, 0.086, 'mass', 'SI')).toEqual(['+0.400 kg']);
    expect(differenceTexts(-0.002_44, 0.004, 'length', 'SI')).toEqual(['-2.4 mm']);
  });
});

describe('measured values in words', () => {
  test('state the weight of JCGM 100, 7.2.4: 100.02147 g, u 0.35 mg with 9 degrees of freedom', () => {
    // there U is 0.79 mg with k = 2.26 for 95 %; for 95.45 % k is 2.32 (table G.2) and U 0.81 mg
    const weight = { value: 0.100_021_47, u: 0.35e-6, dof: 9 };
    expect(measuredText(weight, 'mass', 'SI')).toBe('0.10002147 ± 0.00000081 kg');
  });

  test('have the value to the last place of two figures of U, zeros too', () => {
    const measured = { value: 42.6, u: 0.075, dof: null };
    expect(measuredText(measured, 'mass', 'SI')).toBe('42.60 ± 0.15 kg');
    expect(measuredText(measured, 'mass', 'US')).toBe('93.92 ± 0.33 lb');
    expect(measuredText(measured, 'mass', 'both')).toBe('42.60 ± 0.15 kg (93.92 ± 0.33 lb)');
    expect(measuredText({ value: 0.3517, u: 0.0065, dof: null }, 'length', 'SI')).toBe(
      '352 ± 13 mm',
    );
    expect(measuredText({ value: 0.4662, u: 0.0048, dof: null }, 'ratio', 'both')).toBe(
      '0.4662 ± 0.0096',
    );
  });

  test('claim no figures of an uncertainty that is not stated', () => {
    expect(measuredText({ value: 42.63219, u: 0, dof: null }, 'mass', 'SI')).toBe('42.63 kg');
    expect(uncertaintyText(0, 'mass', 'SI')).toBe('0 kg');
  });

  test('have differences with their sign, and no sign of what rounds to nothing', () => {
    expect(differenceText(0.0124, 0.013, 'length', 'SI')).toBe('+12 mm');
    expect(differenceText(-0.0124, 0.013, 'length', 'SI')).toBe('-12 mm');
    expect(differenceText(-0.0002, 0.013, 'length', 'SI')).toBe('0 mm');
  });
});
