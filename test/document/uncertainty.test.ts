import { describe, expect, test } from 'vitest';
import type { Cart, Issue } from '../../src/document/index.js';
import { readCart } from '../../src/document/index.js';
import { refuses } from './refusal.js';
import { SMALL_CART, spoiled } from './small-cart.js';

function read(text: string): { cart: Cart; warnings: readonly Issue[] } {
  const result = readCart(text, 'small.cart.yaml');
  if (result.kind === 'invalid') throw new Error(result.issues.map(({ code }) => code).join());
  return { cart: result.value, warnings: result.warnings };
}

const END = 'loads:\n      supplies: {least: 1 kg, most: 2 kg}\n';

/** The small cart with a section `uncertainty` of these lines. */
function withSection(...lines: readonly string[]): string {
  return `${SMALL_CART}uncertainty:\n${lines.map((line) => `  ${line}\n`).join('')}`;
}

describe('tolerances beside a value', () => {
  test('are rectangular unless the file says otherwise', () => {
    const { cart } = read(SMALL_CART);
    expect(cart.parts[1]).toMatchObject({ massTolerance: 0.1, massDistribution: 'rectangular' });
    expect(cart.floor.friction[0]).toMatchObject({ distribution: 'rectangular', readings: null });
    expect(cart.uncertainty).toEqual({});
  });

  test('keep the distribution that is stated, each its own', () => {
    const text = spoiled(
      '    mass tolerance: 0.1 kg\n',
      '    mass tolerance: 0.1 kg\n    mass tolerance distribution: normal\n    at tolerance: 5 mm\n    at tolerance distribution: triangular\n',
    );
    expect(read(text).cart.parts[1]).toMatchObject({
      massDistribution: 'normal',
      atTolerance: 0.005,
      atDistribution: 'triangular',
    });
  });

  test('of a friction may be that of the mean of readings', () => {
    const text = spoiled(
      'tolerance: 0.1, basis: assumed',
      'tolerance: 0.1, tolerance distribution: t, readings: 10, basis: measured',
    );
    expect(read(text).cart.floor.friction[0]).toMatchObject({ distribution: 't', readings: 10 });
  });
});

describe('distributions that cannot be', () => {
  refuses([
    {
      title: 'a distribution without a tolerance',
      from: '    mass: 20 kg\n',
      to: '    mass: 20 kg\n    mass tolerance distribution: normal # here\n',
      code: 'unneeded-field',
      path: 'parts[1] "base" > mass tolerance distribution',
      allowed: 'no tolerance above zero',
    },
    {
      title: 'a distribution of another name',
      from: '    mass tolerance: 0.1 kg\n',
      to: '    mass tolerance: 0.1 kg\n    mass tolerance distribution: gaussian # here\n',
      code: 'not-a-choice',
      path: 'parts[2] "head" > mass tolerance distribution',
      allowed: 'rectangular, triangular, normal',
    },
    {
      title: 'a normal mass with less than four standard uncertainties above zero',
      from: '    mass tolerance: 0.1 kg\n',
      to: '    mass tolerance: 2.5 kg # here\n    mass tolerance distribution: normal\n',
      code: 'tolerance-too-large',
      path: 'parts[2] "head" > mass tolerance',
      allowed: 'less than half the mass',
    },
    {
      title: 't without readings',
      from: 'tolerance: 0.1, basis: assumed}',
      to: 'tolerance: 0.1, tolerance distribution: t, basis: measured} # here',
      code: 'missing-field',
      path: 'floor > friction[1] > readings',
      allowed: 'whole, from 4 to 1000',
    },
    {
      title: 'half a reading',
      from: 'tolerance: 0.1, basis: assumed}',
      to: 'tolerance: 0.1, tolerance distribution: t, readings: 9.5, basis: measured} # here',
      code: 'wrong-kind',
      path: 'floor > friction[1] > readings',
      allowed: 'whole, from 4 to 1000',
    },
    {
      title: 'readings of a friction that is assumed',
      from: 'tolerance: 0.1, basis: assumed}',
      to: 'tolerance: 0.1, tolerance distribution: t, readings: 9, basis: assumed} # here',
      code: 'not-a-choice',
      path: 'floor > friction[1] > basis',
      allowed: 'measured',
    },
    {
      title: 'readings without t',
      from: 'tolerance: 0.1, basis: assumed}',
      to: 'tolerance: 0.1, readings: 9, basis: measured} # here',
      code: 'unneeded-field',
      path: 'floor > friction[1] > readings',
      allowed: 'unless tolerance distribution is t',
    },
  ]);
});

describe('the section uncertainty', () => {
  test('is read in SI, a standard uncertainty as half of a normal tolerance', () => {
    const { cart } = read(
      withSection(
        'trail: {tolerance: 1 mm}',
        'swivel moment: {tolerance: 20 %, distribution: triangular}',
        'ramp angle: {standard uncertainty: 0.05 deg}',
      ),
    );
    expect(cart.uncertainty).toEqual({
      trail: { tolerance: 0.001, relative: false, distribution: 'rectangular' },
      'swivel moment': { tolerance: 0.2, relative: true, distribution: 'triangular' },
      'ramp angle': {
        tolerance: 2 * 0.05 * (Math.PI / 180),
        relative: false,
        distribution: 'normal',
      },
    });
  });

  test('takes a cart with every quantity stated', () => {
    const { cart, warnings } = read(
      withSection(
        'trail: {tolerance: 1 mm}',
        'castor places: {tolerance: 2 mm}',
        'wheel diameter: {tolerance: 1 mm}',
        'swivel moment: {tolerance: 10 %}',
        'rolling length: {tolerance: 0.5 mm}',
        'brake torque: {tolerance: 1 Nm}',
        'stiffness: {tolerance: 50 N/mm}',
        'ramp angle: {tolerance: 0.1 deg}',
        'floor slope: {tolerance: 0.2 deg}',
        'push force: {tolerance: 1 N}',
        'push height: {tolerance: 5 mm}',
      ),
    );
    expect(Object.keys(cart.uncertainty)).toHaveLength(11);
    expect(warnings).toEqual([]);
  });

  test('names an entry that nothing uses', () => {
    const text = withSection('brake torque: {tolerance: 1 Nm}').replace(
      'brake torque: 12 Nm',
      'brake torque: outlasts the tread',
    );
    expect(read(text).warnings.map(({ code, path }) => [code, path])).toEqual([
      ['unused-entry', 'uncertainty > brake torque'],
    ]);
  });

  const refused = (title: string, line: string, code: string, field: string, allowed: string) => ({
    ...{ title, from: END, to: `${END}uncertainty:\n  ${line} # here\n`, code, allowed },
    path: `uncertainty > ${field}`,
  });
  refuses([
    refused(
      'a trail that could vanish',
      'trail: {tolerance: 31.5 mm}',
      'tolerance-too-large',
      'trail > tolerance',
      'every trail above 1 mm',
    ),
    refused(
      'a normal trail whose four standard uncertainties reach too far',
      'trail: {standard uncertainty: 8 mm}',
      'tolerance-too-large',
      'trail > standard uncertainty',
      'four standard uncertainties',
    ),
    refused(
      'a wheel that could be smaller than its rolling length asks',
      'wheel diameter: {tolerance: 96 mm}',
      'tolerance-too-large',
      'wheel diameter > tolerance',
      'twice its rolling length',
    ),
    refused(
      'a swivel moment that could be negative',
      'swivel moment: {tolerance: 0.4 Nm}',
      'tolerance-too-large',
      'swivel moment > tolerance',
      'zero or above',
    ),
    refused(
      'castors that could meet',
      'castor places: {tolerance: 100 mm, distribution: normal}',
      'tolerance-too-large',
      'castor places > tolerance',
      'apart and not in one line',
    ),
    refused(
      'a tolerance and a standard uncertainty',
      'trail: {tolerance: 1 mm, standard uncertainty: 1 mm}',
      'one-of-these',
      'trail',
      'either tolerance or standard uncertainty',
    ),
    refused(
      'a distribution beside a standard uncertainty',
      'trail: {standard uncertainty: 1 mm, distribution: rectangular}',
      'unneeded-field',
      'trail > distribution',
      'that of a normal one',
    ),
    refused(
      'a ramp angle in per cent',
      'ramp angle: {tolerance: 1 %}',
      'wrong-dimension',
      'ramp angle > tolerance',
      'an angle with its unit',
    ),
    refused(
      'a tolerance of nothing',
      'push height: {tolerance: 0 mm}',
      'out-of-limits',
      'push height > tolerance',
      'more than 0 mm',
    ),
    refused(
      'a quantity that has its place elsewhere',
      'mass: {tolerance: 1 kg}',
      'unknown-field',
      'mass',
      'trail, castor places',
    ),
  ]);
});
