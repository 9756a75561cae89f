/** What instruments have to be able to do. */

import { describe, expect, test } from 'vitest';
import { checkCart, QUICK_PROOF } from '../../src/analysis/index.js';
import type { DecisionRule } from '../../src/metrology/index.js';
import { uncertaintyFor } from '../../src/test-plan/equipment.js';
import { planTests } from '../../src/test-plan/index.js';
import { runsNeeding } from '../../src/test-plan/run-words.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const EFFORT = { ...QUICK_PROOF, starts: 20, followed: 2, firstBoxes: 0, gaps: [] };
const DEGREE = Math.PI / 180;

function equipmentFor(centre: readonly [number, number, number], rule: DecisionRule) {
  const cart = simpleCart(centre);
  const plan = planTests(cart, SET, checkCart(cart, SET, { effort: EFFORT }), { rule });
  return { plan, of: (id: string) => plan.equipment.find((item) => item.id === id) };
}

describe('the uncertainty that leaves a margin decided', () => {
  test('is the margin over the width of a guard band (ILAC-G8:09/2019, 4.2.2)', () => {
    expect(uncertaintyFor(6, { kind: 'guard band', multiple: 1 })).toBe(6);
    expect(uncertaintyFor(-6, { kind: 'guard band', multiple: 2 })).toBe(3);
    expect(uncertaintyFor(6, { kind: 'guard band', multiple: 0 })).toBe(Number.POSITIVE_INFINITY);
    expect(uncertaintyFor(6, { kind: 'simple acceptance' })).toBe(Number.POSITIVE_INFINITY);
  });

  test('leaves a shared risk of 2.5 % at 1.96 standard uncertainties (table of the normal distribution)', () => {
    // half of the last printed digit of 1.960
    const rule = { kind: 'shared risk', greatestRisk: 0.025 } as const;
    expect(2 / uncertaintyFor(1, rule)).toBeCloseTo(1.96, 3);
    const even = { kind: 'shared risk', greatestRisk: 0.5 } as const;
    expect(uncertaintyFor(1, even)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('instruments of the simple cart', () => {
  test('an inclinometer reads a tenth beyond 10 deg with a quarter of head room, to a tenth of 5 deg', () => {
    const { of } = equipmentFor([0, 0, 0.3], { kind: 'simple acceptance' });
    const item = of('inclinometer');
    // 1.25 x 11 deg = 13.75 deg, up to two figures; U 5 deg / 10; a fifth of it
    expect(item?.to?.value).toBeCloseTo(14 * DEGREE, 12);
    expect(item?.uncertainty?.value).toBeCloseTo(0.5 * DEGREE, 12);
    expect(item?.resolution?.value).toBeCloseTo(0.1 * DEGREE, 12);
    expect(item?.instrument).toBe('inclinometer');
  });

  test('a force gauge covers the 200 N of propulsion and decides the least margin', () => {
    const { of, plan } = equipmentFor([0.05, 0.02, 0.6], { kind: 'guard band', multiple: 1 });
    const item = of('force-gauge');
    expect(item?.to?.value).toBe(250);
    const margins = runsNeeding(plan, 'force-gauge').map(({ prediction }) =>
      Math.abs(prediction.margin?.value ?? Number.POSITIVE_INFINITY),
    );
    const asked = 0.15 * 50 * 9.80665;
    const least = Math.min(asked / 10, ...margins);
    expect(item?.uncertainty?.value).toBeLessThanOrEqual(least);
    expect(item?.uncertainty?.value).toBeGreaterThan(0.9 * least);
  });

  test('a margin under a hundredth of the limit is named, not asked of an instrument', () => {
    // tips to the front at W 0.15075 / 1 m, 0.5 % above the 15 % asked
    const { of } = equipmentFor([0.25 - 0.15075, 0, 0.3], { kind: 'guard band', multiple: 1 });
    const item = of('force-gauge');
    expect(item?.why).toMatch(/too close to call by any usual instrument: .*horizontal-force-1/);
    expect(item?.uncertainty?.value).toBeGreaterThan(1);
  });

  test('a stop is an eighth of the wheel high (UL 1678-2019), a restraint bears twice the weight', () => {
    const { of } = equipmentFor([0, 0, 0.3], { kind: 'simple acceptance' });
    expect(of('stop')?.to?.value).toBeCloseTo(0.125 / 8, 12);
    // 2 x 50 kg x g = 980.7 N, up to two figures
    expect(of('restraint')?.from?.value).toBe(990);
    expect(of('covering')?.name).toBe('vinyl 2 mm to 4 mm');
    expect(of('load-cell')).toBeUndefined();
  });
});
