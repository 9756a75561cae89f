import { describe, expect, test } from 'vitest';
import type { CartDescription, MassState } from '../../src/analysis/index.js';
import { makePage } from '../../src/cli/page.js';
import { descriptionSheet } from '../../src/cli/sheets/description.js';
import { textWidth } from '../../src/cli/text-width.js';
import type { UnitSystem } from '../../src/units/index.js';
import { standIn } from './stand-in.js';

function state(mass: number, height: number, words: string): MassState {
  // Weight by standard gravity, 9.80665 m/s2.
  return { mass, weight: mass * 9.80665, centreOfMass: [0.0123, -0.004, height], words };
}

const DESCRIPTION: CartDescription = {
  cart: 'Telehealth cart',
  description: 'A lift column and a swing arm on four castors, for the lakeside clinic.',
  mobility: 'mobile',
  parts: 9,
  movers: 2,
  loads: 2,
  bareMass: 48.2,
  greatestHeight: 1.62,
  positions: [
    {
      name: 'in use',
      kind: 'use',
      lightest: state(48.2, 0.61, 'lift at 0 mm, arm at 0 deg, left bag empty, supplies absent'),
      heaviest: state(57.2, 0.66, 'lift at 0 mm, arm at 0 deg, left bag full, supplies full'),
      lowest: state(54.2, 0.59, 'lift at 0 mm, arm at 0 deg, left bag empty, supplies full'),
      highest: state(51.2, 0.78, 'lift at 400 mm, arm at 90 deg, left bag full, supplies absent'),
      centreOfMassRange: { least: [-0.02, -0.06, 0.59], most: [0.05, 0.06, 0.78] },
      castors: [
        {
          name: 'front left',
          least: 61.25,
          leastWords: 'arm at -90 deg, left bag empty',
          most: 215.4,
          mostWords: 'arm at 90 deg, left bag full',
          rating: 588.4,
        },
        {
          name: '点滴 rear',
          least: 70,
          leastWords: 'arm at 90 deg',
          most: 700,
          mostWords: 'arm at -90 deg, supplies full',
          rating: 588.4,
        },
        { name: 'third', least: 80, leastWords: '', most: 90, mostWords: '', rating: null },
      ],
      proven: true,
    },
  ],
  assumed: [
    {
      what: 'friction of grey rubber on vinyl 3 mm on concrete',
      taken: '0.6, 0.5 to 0.7',
      basis: 'assumed: not measured',
    },
  ],
  cautions: ['Castor loads are for a level floor.'],
};

function sheetText(
  width: number,
  units: UnitSystem = 'SI',
  description: CartDescription = DESCRIPTION,
): string {
  const page = makePage({ color: false, width }, standIn());
  return page.print(descriptionSheet(page, { description, units }));
}

describe('the description sheet', () => {
  test('at 80 columns', async () => {
    await expect(sheetText(80)).toMatchFileSnapshot('./expected/describe-80.txt');
  });

  test('in both unit systems at 120 columns', async () => {
    await expect(sheetText(120, 'both')).toMatchFileSnapshot('./expected/describe-both-120.txt');
  });

  test('says in words which castor is over its rating, and where none is stated', () => {
    const text = sheetText(80);
    expect(text).toMatch(/点滴 rear .* 119 % over$/m);
    expect(text).toMatch(/third .* not stated +-$/m);
  });

  test('names the most and the least loaded castor and when', () => {
    const text = sheetText(80);
    expect(text).toMatch(/most loaded +点滴 rear: arm at -90 deg, supplies full/);
    expect(text).toMatch(/least loaded +front left: arm at -90 deg, left bag empty/);
  });

  test('says so where nothing is assumed and no outline is given', () => {
    const text = sheetText(80, 'SI', { ...DESCRIPTION, assumed: [], greatestHeight: null });
    expect(text).toMatch(/Assumed inputs\n─+\nnone\n/);
    expect(text).toContain('no outline given');
  });

  test.each<UnitSystem>(['SI', 'US', 'both'])('no line leaves the page in %s', (units) => {
    for (let width = 80; width <= 130; width += 1) {
      const widest = Math.max(...sheetText(width, units).split('\n').map(textWidth));
      expect(widest, `at ${width}`).toBeLessThanOrEqual(width);
    }
  });
});
