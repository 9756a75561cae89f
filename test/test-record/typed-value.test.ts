import { describe, expect, test } from 'vitest';
import { celsiusIn, celsiusOf, dimensionOf, kelvinsIn, siOf } from '../../src/test-record/index.js';

// a few units in the last place of a temperature in kelvins
const ROUNDING = 1e-12;

describe('a temperature as typed', () => {
  // SI Brochure, 9th edition, 2.3.1 (t/degC = T/K - 273.15); NIST SP 811 (2008), B.8: t/degC =
  // (t/degF - 32)/1.8; the scales meet at -40
  test.each([
    ['0 degC', 0],
    ['273.15 K', 0],
    ['32 degF', 0],
    ['212 °F', 100],
    ['373.15K', 100],
    ['-40 degF', -40],
    ['-40 °C', -40],
    ['21,5 deg C', 21.5],
    ['21.5 C', 21.5],
    ['70 ℉', 190 / 9],
    ['20\u2103', 20],
  ])('%s is %d degC', (typed, celsius) => {
    expect(Math.abs(celsiusOf(typed) - celsius)).toBeLessThan(ROUNDING * 400);
  });

  test.each([
    '',
    '21',
    'degC',
    '21 deg',
    '21 kg',
    '21 degc',
    '1.2.3 K',
    '21 K K',
    `${'9'.repeat(80)} K`,
  ])('"%s" is none', (typed) => {
    expect(celsiusIn(typed)).toBeNull();
    expect(() => celsiusOf(typed)).toThrow(RangeError);
  });

  test('as a difference has no zero to be moved', () => {
    expect(kelvinsIn('0.5 degC')).toBe(0.5);
    expect(kelvinsIn('0.5 K')).toBe(0.5);
    expect(kelvinsIn('1.8 degF')).toBeCloseTo(1, 12);
    expect(kelvinsIn('0.5 mm')).toBeNull();
  });
});

describe('a quantity as typed', () => {
  // 1 lbf = 0.45359237 kg * 9.80665 m/s^2, exact (International yard and pound agreement, 3rd CGPM)
  test('is read in SI', () => {
    expect(siOf('34.2 lbf', 'force')).toBeCloseTo(34.2 * 0.45359237 * 9.80665, 10);
    expect(siOf('180 deg', 'angle')).toBe(Math.PI);
    expect(siOf('1/2 in', 'length')).toBe(0.0127);
  });

  test('throws for what is none, with the text', () => {
    expect(() => siOf('12 kg', 'force')).toThrow('"12 kg", force');
    expect(() => siOf(`${' '.repeat(80)}12 kg`, 'mass')).toThrow(RangeError);
  });

  test('tells its dimension', () => {
    expect(dimensionOf('10 deg', ['force', 'angle'])).toBe('angle');
    expect(dimensionOf('10 N', ['force', 'angle'])).toBe('force');
    expect(dimensionOf('10 kg', ['force', 'angle'])).toBeNull();
  });
});
