import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Dimension } from '../../src/units/index.js';
import {
  dimensionAllowed,
  listUnits,
  parseNumber,
  parseQuantity,
  parseUnit,
  parseUnitInAnyCase,
  quantityPattern,
} from '../../src/units/index.js';

const DIMENSIONS: readonly Dimension[] = [
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

const INCH = 0.0254;
const POUND = 0.45359237;
const POUND_FORCE = 4.4482216152605;

describe('quantities as people write them', () => {
  const accepted: readonly [string, Dimension, number][] = [
    ['10 deg', 'angle', Math.PI / 18],
    ['10°', 'angle', Math.PI / 18],
    ['10 º', 'angle', Math.PI / 18],
    ['90 deg', 'angle', Math.PI / 2],
    ['1.57 rad', 'angle', 1.57],
    ['-90 deg', 'angle', -Math.PI / 2],
    ['\u221290 deg', 'angle', -Math.PI / 2],
    ['18.5 lbf', 'force', 18.5 * POUND_FORCE],
    ['200 N', 'force', 200],
    ['32 in', 'length', 32 * INCH],
    ['32"', 'length', 32 * INCH],
    ['32\u2033', 'length', 32 * INCH],
    ['32 in.', 'length', 32 * INCH],
    ['1 1/2 in', 'length', 1.5 * INCH],
    ['1-1/2 in', 'length', 1.5 * INCH],
    ['1\u00bd in', 'length', 1.5 * INCH],
    ['\u00be in', 'length', 0.75 * INCH],
    ['3/8"', 'length', 0.375 * INCH],
    ['-1 1/2 in', 'length', -1.5 * INCH],
    ['2 ft', 'length', 24 * INCH],
    ["2'", 'length', 24 * INCH],
    ['1.2 m', 'length', 1.2],
    ['320\u2009mm', 'length', 0.32],
    ['320\u00a0mm', 'length', 0.32],
    ['320\u202fmm', 'length', 0.32],
    ['320mm', 'length', 0.32],
    ['.5 in', 'length', 0.5 * INCH],
    ['54 kg', 'mass', 54],
    ['0,5 kg', 'mass', 0.5],
    ['0,500 kg', 'mass', 0.5],
    ['12,25 kg', 'mass', 12.25],
    ['1234,567 kg', 'mass', 1234.567],
    ['1.5e2 kg', 'mass', 150],
    ['10 lb', 'mass', 10 * POUND],
    ['10 lbs', 'mass', 10 * POUND],
    ['3 oz', 'mass', (3 / 16) * POUND],
    ['12 N m', 'moment', 12],
    ['12 N\u00b7m', 'moment', 12],
    ['12 N\u22c5m', 'moment', 12],
    ['12 N*m', 'moment', 12],
    ['12 Nm', 'moment', 12],
    ['10 lbf-ft', 'moment', 120 * INCH * POUND_FORCE],
    ['10 ft lbf', 'moment', 120 * INCH * POUND_FORCE],
    ['400 N/mm', 'stiffness', 400_000],
    ['400 N / mm', 'stiffness', 400_000],
    ['0.8 m/s', 'speed', 0.8],
    ['3.6 km/h', 'speed', 1],
    ['5 J', 'energy', 5],
    ['15 %', 'ratio', 0.15],
    ['15%', 'ratio', 0.15],
    ['2 min', 'time', 120],
  ];
  it.each(accepted)('%j is %s', (text, dimension, value) => {
    const read = parseQuantity(text, dimension);
    expect(read.kind).toBe('ok');
    // one rounding each in the test's product and in ours
    if (read.kind === 'ok')
      expect(Math.abs(read.value - value)).toBeLessThanOrEqual(1e-15 * Math.abs(value));
  });

  it('returns the unit as typed', () => {
    expect(parseQuantity(' 12  N\u00b7m ', 'moment')).toMatchObject({
      kind: 'ok',
      unit: 'N\u00b7m',
    });
  });

  it('reads minus zero as zero', () => {
    const read = parseQuantity('-0 mm', 'length');
    expect(read.kind === 'ok' && Object.is(read.value, 0)).toBe(true);
  });
});

describe('refusals', () => {
  const refused: readonly [string, Dimension, string, RegExp][] = [
    ['12', 'mass', 'no-unit', /"12" has no unit/],
    ['1 1/2', 'length', 'no-unit', /has no unit/],
    ['', 'mass', 'not-a-number', /does not begin with a number/],
    ['kg', 'mass', 'not-a-number', /does not begin/],
    ['NaN kg', 'mass', 'not-a-number', /does not begin/],
    ['Infinity kg', 'mass', 'not-a-number', /does not begin/],
    ['1e999 kg', 'mass', 'not-a-number', /beyond every range/],
    ['1e308 t', 'mass', 'not-a-number', /beyond every range/],
    ['1e-999 kg', 'mass', 'not-a-number', /beyond every range/],
    ['1e-323 mm', 'length', 'not-a-number', /beyond every range/],
    ['1.2.3 kg', 'mass', 'not-a-number', /is not a number/],
    ['5. kg', 'mass', 'not-a-number', /does not begin with a number/],
    ['1/0 in', 'length', 'not-a-number', /is not a number/],
    ['5\' 6"', 'length', 'not-a-number', /is not a number/],
    ['--5 kg', 'mass', 'not-a-number', /is not a number/],
    ['1,234 kg', 'mass', 'ambiguous-number', /1234 or as 1\.234; write one of these/],
    ['1,234,567 kg', 'mass', 'ambiguous-number', /between its thousands/],
    ['1,234.5 kg', 'mass', 'ambiguous-number', /between its thousands/],
    ['1.234,5 kg', 'mass', 'ambiguous-number', /between its thousands/],
    ['1 234 kg', 'mass', 'ambiguous-number', /between its thousands/],
    ["1'234 kg", 'mass', 'ambiguous-number', /between its thousands/],
    ['5 furlong', 'length', 'unknown-unit', /furlong is not known here; a length is in mm, cm/],
    ['2 lb 3 oz', 'mass', 'unknown-unit', /lb 3 oz is not known/],
    ['12 nm', 'moment', 'unknown-unit', /nm is not known/],
    ['5 KG', 'mass', 'unknown-unit', /write kg/],
    ['10 lb', 'force', 'wrong-dimension', /lb is the unit of a mass; write lbf for a force/],
    ['10 oz', 'force', 'wrong-dimension', /write ozf for a force/],
    ['10 kg', 'force', 'wrong-dimension', /kg is the unit of a mass; write N or kgf for a force/],
    ['10 lbf', 'mass', 'wrong-dimension', /write lb for a mass/],
    ['10 N', 'mass', 'wrong-dimension', /N is the unit of a force; a mass is due/],
    ['10 lb ft', 'moment', 'unknown-unit', /write lbf ft for a moment/],
    ['10 in-lb', 'moment', 'unknown-unit', /write in lbf for a moment/],
    ['10 lb/in', 'stiffness', 'unknown-unit', /write lbf\/in for a stiffness/],
    ['10 mm', 'angle', 'wrong-dimension', /mm is the unit of a length; an angle is due/],
  ];
  it.each(refused)('%j as %s: %s', (text, dimension, code, message) => {
    expect(parseQuantity(text, dimension)).toMatchObject({
      kind: 'error',
      code,
      message: expect.stringMatching(message),
      allowed: dimensionAllowed(dimension),
    });
  });

  it('refuses overlong texts, however they end', () => {
    expect(parseQuantity(`5 kg${' '.repeat(500)}`, 'mass').kind).toBe('ok');
    expect(parseQuantity(`5 kg${' '.repeat(500)}x`, 'mass').kind).toBe('error');
    expect(parseQuantity('9'.repeat(1_000_000), 'mass').kind).toBe('error');
  });
});

describe('numbers alone', () => {
  it.each([
    ['12,5', 12.5],
    ['-3', -3],
    ['1e3', 1000],
    ['2 1/4', 2.25],
  ])('%s', (text, value) => {
    expect(parseNumber(text)).toEqual({ kind: 'ok', value });
  });

  it('takes 1,234 for a decimal once the comma is known to be one, and then not 1.234', () => {
    expect(parseNumber('1,234', 'comma')).toEqual({ kind: 'ok', value: 1.234 });
    expect(parseNumber('1.234', 'comma')).toMatchObject({ code: 'ambiguous-number' });
    expect(parseNumber('1.234')).toEqual({ kind: 'ok', value: 1.234 });
    expect(parseNumber('1,234')).toMatchObject({ code: 'ambiguous-number' });
  });

  it('refuses a number with a unit', () => {
    expect(parseNumber('5 kg')).toMatchObject({ code: 'not-a-number' });
  });
});

describe('units alone', () => {
  it('any case for headings, except where case is another unit', () => {
    expect(parseUnitInAnyCase('KG', 'mass')).toMatchObject({ kind: 'ok' });
    expect(parseUnit('KG', 'mass').kind).toBe('error');
    expect(parseUnitInAnyCase('nm', 'moment').kind).toBe('error');
  });
});

describe('properties', () => {
  const anything = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 40 }),
    fc
      .array(fc.constantFrom(...'0123456789.,-+/ eE\'"°%·kglbinNmfts\u00a0\u2212½'), {
        maxLength: 14,
      })
      .map((characters) => characters.join('')),
  );

  it('never throws, never gives a number that is not finite (fast-check, seed 20)', () => {
    fc.assert(
      fc.property(anything, fc.constantFrom(...DIMENSIONS), (text, dimension) => {
        const read = parseQuantity(text, dimension);
        if (read.kind === 'ok') expect(Number.isFinite(read.value)).toBe(true);
        else expect(read.message.length).toBeGreaterThan(0);
      }),
      { seed: 20, numRuns: 20_000 },
    );
  });

  it('a decimal with any listed unit is read, and matched by the pattern (fast-check, seed 21)', () => {
    const decimal = fc.double({ min: -1e6, max: 1e6, noNaN: true }).map((x) => x.toFixed(4));
    const unit = fc
      .constantFrom(...DIMENSIONS)
      .chain((d) => fc.constantFrom(...listUnits(d)).map((symbol) => [d, symbol] as const));
    fc.assert(
      fc.property(decimal, unit, (number, [dimension, symbol]) => {
        const text = `${number} ${symbol}`;
        expect(parseQuantity(text, dimension).kind).toBe('ok');
        expect(new RegExp(quantityPattern(dimension), 'u').test(text)).toBe(true);
      }),
      { seed: 21, numRuns: 2000 },
    );
  });

  it('what the pattern matches is read (fast-check, seed 22)', () => {
    const patterns = new Map(DIMENSIONS.map((d) => [d, new RegExp(quantityPattern(d), 'u')]));
    const digits = fc
      .array(fc.constantFrom(...'0123456789'), { maxLength: 4 })
      .map((all) => all.join(''));
    const candidate = fc
      .constantFrom(...DIMENSIONS)
      .chain((d) =>
        fc
          .tuple(
            fc.constantFrom('', '-', '+', '\u2212', ' '),
            digits,
            fc.constantFrom('', '.', ',', ' ', '-', '\u00bd', '/'),
            digits,
            fc.constantFrom('', '', '', '/8', '/0', ',250', 'e3', 'e-2'),
            fc.constantFrom('', ' ', '\u00a0'),
            fc.constantFrom(...listUnits(d)),
          )
          .map((pieces) => [d, pieces.join('')] as const),
      );
    let matched = 0;
    fc.assert(
      fc.property(candidate, ([dimension, text]) => {
        if (patterns.get(dimension)?.test(text) !== true) return;
        matched += 1;
        expect(parseQuantity(text, dimension)).toMatchObject({ kind: 'ok' });
      }),
      { seed: 22, numRuns: 20_000 },
    );
    // the property would hold of nothing, too
    expect(matched).toBeGreaterThan(2000);
  });
});

describe('the pattern for editors', () => {
  it.each(['12', '12 lb', '1,234 N', 'N', '12 Nm', '12 NN'])('refuses %j as a force', (text) => {
    expect(new RegExp(quantityPattern('force'), 'u').test(text)).toBe(false);
  });

  it.each([
    ['32"', 'length'],
    ['1 1/2 in', 'length'],
    ['1\u00bd in', 'length'],
    ['0,5 kg', 'mass'],
    ['10°', 'angle'],
    ['12 N·m', 'moment'],
    ['12 Nm', 'moment'],
    ['400 N/mm', 'stiffness'],
    ['15 %', 'ratio'],
  ] as const)('takes %j as a %s', (text, dimension) => {
    expect(new RegExp(quantityPattern(dimension), 'u').test(text)).toBe(true);
  });
});
