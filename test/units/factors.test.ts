// @ts-expect-error the package's types declare no module of its name
import unitmath from 'unitmath';
import { describe, expect, it } from 'vitest';
import type { Dimension } from '../../src/units/index.js';
import { listUnits, parseQuantity, STANDARD_GRAVITY } from '../../src/units/index.js';

function si(text: string, dimension: Dimension): number {
  const read = parseQuantity(text, dimension);
  if (read.kind === 'error') throw new Error(read.message);
  return read.value;
}

describe('exact factors', () => {
  // International yard and pound agreement (1959) and 3rd CGPM (1901), by definition. One rounding of
  // the product and one of the quotient leave at most 2 units in the last place (4.4e-16).
  const exact: readonly [string, Dimension, number][] = [
    ['1 in', 'length', 0.0254],
    ['1 ft', 'length', 0.3048],
    ['1 lb', 'mass', 0.45359237],
    ['1 oz', 'mass', 0.028349523125],
    ['1 kgf', 'force', 9.80665],
    ['1 lbf', 'force', 4.4482216152605],
    ['1 ozf', 'force', 0.2780138509537812],
    ['1 deg', 'angle', Math.PI / 180],
  ];
  it.each(exact)('%s', (text, dimension, value) => {
    expect(Math.abs(si(text, dimension) / value - 1)).toBeLessThanOrEqual(4.4e-16);
  });

  it('standard gravity is the defined value', () => {
    expect(STANDARD_GRAVITY).toBe(9.80665);
  });

  it('reads decimal submultiples as the nearest double, not off by one place', () => {
    expect(si('35 mm', 'length')).toBe(0.035);
    expect(si('0.3 mm', 'length')).toBe(0.0003);
    expect(si('15 %', 'ratio')).toBe(0.15);
    expect(si('1234.5 g', 'mass')).toBe(1.2345);
  });
});

describe('published factors', () => {
  // NIST SP 811 (2008), appendix B.8, from memory. Printed to seven digits: half the last one is the
  // tolerance.
  const published: readonly [string, Dimension, string][] = [
    ['1 ft', 'length', '3.048000e-1'],
    ['1 in', 'length', '2.540000e-2'],
    ['1 lb', 'mass', '4.535924e-1'],
    ['1 oz', 'mass', '2.834952e-2'],
    ['1 deg', 'angle', '1.745329e-2'],
    ['1 lbf', 'force', '4.448222e0'],
    ['1 ozf', 'force', '2.780139e-1'],
    ['1 kgf', 'force', '9.806650e0'],
    ['1 lbf ft', 'moment', '1.355818e0'],
    ['1 lbf in', 'moment', '1.129848e-1'],
    ['1 ozf in', 'moment', '7.061552e-3'],
    ['1 kgf m', 'moment', '9.806650e0'],
    ['1 lbf/in', 'stiffness', '1.751268e2'],
    ['1 lbf/ft', 'stiffness', '1.459390e1'],
    ['1 ft/s', 'speed', '3.048000e-1'],
    ['1 in/s', 'speed', '2.540000e-2'],
    ['1 km/h', 'speed', '2.777778e-1'],
    ['1 ft lbf', 'energy', '1.355818e0'],
  ];
  it.each(published)('%s', (text, dimension, printed) => {
    const power = Number(printed.split('e')[1]);
    expect(Math.abs(si(text, dimension) - Number(printed))).toBeLessThanOrEqual(
      0.5e-6 * 10 ** power,
    );
  });
});

describe('against a units library', () => {
  // unitmath keeps its own factors; it multiplies where we divide, hence a few units in the last place.
  const base: Readonly<Record<Dimension, string>> = {
    length: 'm',
    mass: 'kg',
    angle: 'rad',
    force: 'N',
    moment: 'N m',
    stiffness: 'N / m',
    speed: 'm / s',
    energy: 'J',
    ratio: '',
    time: 's',
  };
  const theirs: Readonly<Record<string, string>> = {
    h: 'hr',
    lb: 'lbm',
    'km/h': 'km / hr',
  };
  const shared = (Object.keys(base) as Dimension[])
    .filter((dimension) => dimension !== 'ratio')
    .flatMap((dimension) => listUnits(dimension).map((symbol) => [dimension, symbol] as const))
    // not among the library's units
    .filter(([, symbol]) => !/ozf|kgf|mrad|^t$/.test(symbol));
  it.each(shared)('%s in %s', (dimension, symbol) => {
    const text = theirs[symbol] ?? symbol.replace('/', ' / ');
    const expected = unitmath(`1 ${text}`).to(base[dimension]).value;
    expect(Math.abs(si(`1 ${symbol}`, dimension) / Number(expected) - 1)).toBeLessThanOrEqual(
      1e-14,
    );
  });

  it('compares a good part of the table', () => {
    expect(shared.length).toBeGreaterThan(30);
  });
});
