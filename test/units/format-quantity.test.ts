import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Dimension } from '../../src/units/index.js';
import { formatQuantity, parseQuantity, STANDARD_GRAVITY } from '../../src/units/index.js';

const DEGREE = Math.PI / 180;

describe('the unit an engineer reads', () => {
  it.each([
    [0.32, 'length', '320 mm (12.6 in)'],
    [0.0254, 'length', '25.4 mm (1 in)'],
    [12, 'length', '12 m (39.37 ft)'],
    [54, 'mass', '54 kg (119 lb)'],
    [10 * DEGREE, 'angle', '10 deg'],
    [14.0362 * DEGREE, 'angle', '14.04 deg'],
    [150, 'force', '150 N (33.72 lbf)'],
    [0.3, 'moment', '0.3 N m (2.655 lbf in)'],
    [120, 'moment', '120 N m (88.51 lbf ft)'],
    [400_000, 'stiffness', '400 N/mm (2284 lbf/in)'],
    [0.8, 'speed', '0.8 m/s (2.625 ft/s)'],
    [5, 'energy', '5 J (3.688 ft lbf)'],
    [0.15, 'ratio', '15 %'],
    [60, 'time', '60 s'],
  ] as const)('%f of %s', (value, dimension, text) => {
    expect(formatQuantity(value, dimension, 'both')).toBe(text);
  });

  it('one system at a time', () => {
    expect(formatQuantity(0.32, 'length', 'SI')).toBe('320 mm');
    expect(formatQuantity(0.32, 'length', 'US')).toBe('12.6 in');
  });

  it('15 % of the weight of 114 lb is 17.1 lbf', () => {
    const mass = parseQuantity('114 lb', 'mass');
    const share = parseQuantity('15 %', 'ratio');
    if (mass.kind === 'error' || share.kind === 'error') throw new Error('both are quantities');
    const force = share.value * mass.value * STANDARD_GRAVITY;
    expect(formatQuantity(force, 'force', 'US', { digits: 12 })).toBe('17.1 lbf');
  });
});

describe('rounding', () => {
  it('keeps the digits asked for and drops zeros at the end', () => {
    expect(formatQuantity(0.123456789, 'length', 'SI')).toBe('123.5 mm');
    expect(formatQuantity(0.123456789, 'length', 'SI', { digits: 2 })).toBe('120 mm');
    expect(formatQuantity(0.123456789, 'length', 'SI', { digits: 9 })).toBe('123.456789 mm');
  });

  it('shows what rounding left of a zero as 0, without a sign', () => {
    expect(formatQuantity(-0, 'length', 'both')).toBe('0 mm (0 in)');
    expect(formatQuantity(-2e-16, 'length', 'SI')).toBe('0 mm');
    expect(formatQuantity(6e-17, 'angle', 'SI')).toBe('0 deg');
  });

  it('keeps the sign of a number that is not zero', () => {
    expect(formatQuantity(-0.02, 'length', 'SI')).toBe('-20 mm');
  });

  it.each([
    [Number.NaN, {}],
    [Number.POSITIVE_INFINITY, {}],
    [1, { digits: 0 }],
    [1, { digits: 16 }],
    [1, { digits: 2.5 }],
  ])('throws for %f with %j', (value, options) => {
    expect(() => formatQuantity(value, 'mass', 'SI', options)).toThrow(RangeError);
  });
});

describe('what is written can be read', () => {
  const dimensions: readonly Dimension[] = [
    'length',
    'mass',
    'angle',
    'force',
    'moment',
    'stiffness',
    'speed',
    'energy',
    'ratio',
    'time',
  ];
  const written = fc.record({
    size: fc.double({ min: 1e-3, max: 1e5, noNaN: true }),
    sign: fc.constantFrom(1, -1),
    dimension: fc.constantFrom(...dimensions),
    system: fc.constantFrom('SI' as const, 'US' as const),
    digits: fc.integer({ min: 3, max: 15 }),
  });

  it('within half the last digit (fast-check, seed 30)', () => {
    fc.assert(
      fc.property(written, ({ size, sign, dimension, system, digits }) => {
        const value = sign * size;
        const read = parseQuantity(formatQuantity(value, dimension, system, { digits }), dimension);
        if (read.kind === 'error') throw new Error(read.message);
        // half a unit of the last of `digits` digits is at most 0.5 * 10^(1 - digits) of the value;
        // 1e-15 for the four roundings of the two conversions
        const tolerance = (0.5 * 10 ** (1 - digits) + 1e-15) * size;
        expect(Math.abs(read.value - value)).toBeLessThanOrEqual(tolerance);
      }),
      { seed: 30, numRuns: 5000 },
    );
  });

  it('the same text again, once it was rounded (fast-check, seed 31)', () => {
    fc.assert(
      fc.property(written, ({ size, sign, dimension, system }) => {
        const text = formatQuantity(sign * size, dimension, system);
        const read = parseQuantity(text, dimension);
        if (read.kind === 'error') throw new Error(read.message);
        expect(formatQuantity(read.value, dimension, system)).toBe(text);
      }),
      { seed: 31, numRuns: 5000 },
    );
  });
});
