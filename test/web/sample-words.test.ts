import { describe, expect, it } from 'vitest';
import {
  differenceWords,
  measuredWords,
  uncertaintyWords,
} from '../../src/web/test-day/sample/measured-words.js';
import {
  sumOf,
  unitOf,
  withoutUnit,
  withUnit,
} from '../../src/web/test-day/sample/typed-number.js';

const UNITS = ['kg', 'lb', 'g'] as const;

describe('measured values in words', () => {
  it('state the weight of JCGM 100, 7.2.4: 100.02147 g, u 0.35 mg with 9 degrees of freedom', () => {
    // there U is 0.79 mg with k = 2.26 for 95 %; for 95.45 % k is 2.32 (table G.2) and U 0.81 mg
    const weight = { value: 0.100_021_47, u: 0.35e-6, dof: 9 };
    expect(measuredWords(weight, 'mass', 'SI')).toBe('0.10002147 ± 0.00000081 kg');
  });

  it('have the value to the last place of two figures of U, zeros too', () => {
    const measured = { value: 42.6, u: 0.075, dof: null };
    expect(measuredWords(measured, 'mass', 'SI')).toBe('42.60 ± 0.15 kg');
    expect(measuredWords(measured, 'mass', 'US')).toBe('93.92 ± 0.33 lb');
    expect(measuredWords(measured, 'mass', 'both')).toBe('42.60 ± 0.15 kg (93.92 ± 0.33 lb)');
    expect(measuredWords({ value: 0.3517, u: 0.0065, dof: null }, 'length', 'SI')).toBe(
      '352 ± 13 mm',
    );
    expect(measuredWords({ value: 0.4662, u: 0.0048, dof: null }, 'ratio', 'both')).toBe(
      '0.4662 ± 0.0096',
    );
  });

  it('claim no figures of an uncertainty that is not stated', () => {
    expect(measuredWords({ value: 42.63219, u: 0, dof: null }, 'mass', 'SI')).toBe('42.63 kg');
    expect(uncertaintyWords(0, 'mass', 'SI')).toBe('0 kg');
  });

  it('have differences with their sign, and no sign of what rounds to nothing', () => {
    expect(differenceWords(0.0124, 0.013, 'length', 'SI')).toBe('+12 mm');
    expect(differenceWords(-0.0124, 0.013, 'length', 'SI')).toBe('-12 mm');
    expect(differenceWords(-0.0002, 0.013, 'length', 'SI')).toBe('0 mm');
  });
});

describe('numbers of a table with one unit', () => {
  it('take the unit of the column, with a point or a comma', () => {
    expect(withUnit(' 12.4 ', 'kg')).toBe('12.4 kg');
    expect(withUnit('12,4', 'kg')).toBe('12,4 kg');
    expect(withUnit('1/2', 'lb')).toBe('1/2 lb');
  });

  it('stay as typed with a unit of their own, or where they are no number', () => {
    expect(withUnit('27.3 lb', 'kg')).toBe('27.3 lb');
    expect(withUnit('heavy', 'kg')).toBe('heavy');
    expect(withUnit('  ', 'kg')).toBe('');
  });

  it('lose the unit of the column only', () => {
    expect(withoutUnit('12.4 kg', 'kg')).toBe('12.4');
    expect(withoutUnit('27.3 lb', 'kg')).toBe('27.3 lb');
    expect(withoutUnit('12.4 kg', 'g')).toBe('12.4 kg');
  });

  it('are in the unit of the first that can be read', () => {
    expect(unitOf(['27.3 lb', '12 kg'], UNITS, 'mass')).toBe('lb');
    expect(unitOf(['', '3 oz'], UNITS, 'mass')).toBe('kg');
    expect(unitOf([], UNITS, 'mass')).toBe('kg');
  });

  it('add up across units, and not where one cannot be read', () => {
    // 1 lb is 0.45359237 kg exactly
    expect(sumOf(['1 lb', '500 g'], 'mass')).toBeCloseTo(0.953_592_37, 12);
    expect(sumOf(['1 lb', ''], 'mass')).toBeNull();
  });
});
