import { describe, expect, test } from 'vitest';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import { exampleCart } from '../analysis/example-carts.js';
import { quickTrials, widelyUncertain } from './quick-trials.js';

// The long run is campaign/quick-trials.ts.
describe('the quick judgement of a trial', () => {
  test.each([
    'lamp-stand-three-castor.cart.yaml',
    'telehealth-two-locks-opposite-corners.cart.yaml',
  ])('of %s is within five thousandths of a fresh search (10 trials, seed 5)', async (file) => {
    const cart = widelyUncertain(await exampleCart(file));
    const set = findSet(builtInSets, cart.requirements ?? '');
    if (set === null) throw new Error(`no set ${cart.requirements}`);
    const { differences } = quickTrials(cart, set, 16, 10, 5, () => 0);
    expect(differences.length).toBeGreaterThan(50);
    // 0.5 % is above all but some of ten thousand reserves of the campaign (docs/theory/tolerances.md)
    expect(Math.max(...differences.map(Math.abs))).toBeLessThan(0.005);
  });
});
