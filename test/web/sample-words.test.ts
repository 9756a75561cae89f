import { describe, expect, it } from 'vitest';
import { sumOf, unitOf, withoutUnit, withUnit } from '../../src/web/test-day/form/typed-number.js';

const UNITS = ['kg', 'lb', 'g'] as const;

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
