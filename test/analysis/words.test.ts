import { describe, expect, test } from 'vitest';
import { castorWords, coefficient, configurationWords, heading } from '../../src/analysis/words.js';
import type { Cart } from '../../src/document/index.js';
import { simpleCart } from './simple-cart.js';

const DEGREE = Math.PI / 180;

const CART: Cart = {
  ...simpleCart([0, 0, 0.5]),
  movers: [
    {
      name: 'lift',
      kind: 'slide',
      on: null,
      origin: [0, 0, 0],
      axis: [0, 0, 1],
      from: 0,
      to: 0.4,
      stops: null,
    },
    {
      name: 'arm',
      kind: 'turn',
      on: 'lift',
      origin: [0, 0, 0.9],
      axis: [0, 0, 1],
      from: -Math.PI / 2,
      to: Math.PI / 2,
      stops: null,
    },
  ],
  loads: [
    {
      name: 'left bag',
      kind: 'fluid',
      on: null,
      at: [0, 0, 1],
      atTolerance: 0,
      atDistribution: 'rectangular',
      least: 0,
      most: 3,
    },
    {
      name: 'box',
      kind: 'removable',
      on: null,
      at: [0, 0, 1],
      atTolerance: 0,
      atDistribution: 'rectangular',
      least: 1,
      most: 6,
    },
  ],
};

const POSITION = {
  name: 'in use',
  kind: 'use',
  movers: { lift: { from: 0, to: 0.4 }, arm: { from: -Math.PI / 2, to: Math.PI / 2 } },
  loads: {
    'left bag': { least: 0, most: 3, mayBeAbsent: false },
    box: { least: 1, most: 6, mayBeAbsent: true },
  },
} as const;

describe('a configuration in words', () => {
  test('names movers, loads, castors and what is done', () => {
    const words = configurationWords(
      CART,
      POSITION,
      [0.4, Math.PI / 2, 3, 0],
      { 'front left': 135 * DEGREE },
      `downhill towards ${heading(-135 * DEGREE)}`,
    );
    expect(words).toBe(
      'in use: lift at 400 mm, arm turned 90 deg, left bag full (3 kg), box absent, ' +
        'front left castor turned to the rear left (135 deg); ' +
        'downhill towards the rear right (-135 deg)',
    );
  });

  test.each([
    [[0, 0, 0, 1], 'left bag empty, box at its least (1 kg)'],
    [[0, 0, 1.25, 2.5], 'left bag 1.25 kg, box 2.5 kg'],
    [[0, 0, 3, 6], 'left bag full (3 kg), box full (6 kg)'],
  ])('loads %j: %s', (x, loads) => {
    expect(configurationWords(CART, POSITION, x, {}, null)).toContain(loads);
  });

  test('a fluid that the position does without is absent, not empty', () => {
    const none = { least: 0, most: 0, mayBeAbsent: false };
    const without = { ...POSITION, loads: { ...POSITION.loads, 'left bag': none } };
    expect(configurationWords(CART, without, [0, 0, 0, 0], {}, null)).toContain('left bag absent');
  });
});

describe('castors in words', () => {
  test('those turned alike are named together', () => {
    const all = Object.fromEntries(CART.castors.map(({ name }) => [name, Math.PI]));
    expect(castorWords(CART, all)).toBe('all castors turned to the rear (180 deg)');
    expect(castorWords(CART, { 'front left': 0, 'rear left': 0.001, 'rear right': 1.5707 })).toBe(
      'front left and rear left castors turned to the front (0 deg), ' +
        'rear right castor turned to the left (90 deg)',
    );
  });

  test('angles either side of half a turn are alike', () => {
    expect(castorWords(CART, { 'front left': Math.PI, 'rear left': -Math.PI + 0.001 })).toBe(
      'front left and rear left castors turned to the rear (180 deg)',
    );
  });
});

test.each([
  [0, 'the front (0 deg)'],
  [45, 'the front left (45 deg)'],
  [90, 'the left (90 deg)'],
  [180, 'the rear (180 deg)'],
  [-180, 'the rear (180 deg)'],
  [-90, 'the right (-90 deg)'],
  [-44.96, 'the front right (-45 deg)'],
  [-157.4, 'the rear right (-157.4 deg)'],
  [-157.6, 'the rear (-157.6 deg)'],
  [359.99, 'the front (0 deg)'],
])('%s deg points to %s', (angle, words) => {
  expect(heading(angle * DEGREE)).toBe(words);
});

test.each([
  [0.47, '0.47'],
  [0.4701, '0.471'],
  [0.4699999999999, '0.47'],
  [0.5, '0.50'],
  [1, '1.00'],
])('a coefficient of %s reads %s: never less than is needed', (value, text) => {
  expect(coefficient(value)).toBe(text);
});
