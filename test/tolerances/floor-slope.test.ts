import { describe, expect, test } from 'vitest';
import { holdingForce } from '../../src/engine/index.js';
import { seededRandom } from '../reference/random.js';
import { randomProblem } from '../reference/random-contacts.js';

/**
 * The bound on a sloping floor says: of a push F and a downhill pull G the castors hold every pair under
 * the line from (F0, 0) to (0, G0). A push at p, height h, and a pull at the centre of mass c, height z,
 * in the same direction with G = k F are one force F + G at (p + k c) / (1 + k), height
 * (h + k z) / (1 + k): so the pair at which the cart moves can be computed without the bound.
 */
describe('the bound for a push on a sloping floor', () => {
  test('is never above the pair at which 150 random carts move, while no castor lifts (seed 21)', () => {
    const random = seededRandom(21);
    let compared = 0;
    let apart = 0;
    for (let cart = 0; cart < 150; cart++) {
      const { contacts, path } = randomProblem(random);
      const z = 0.3 + 0.6 * random();
      const at = (k: number) =>
        holdingForce(contacts, {
          ...path,
          point: [
            (path.point[0] + k * path.centre[0]) / (1 + k),
            (path.point[1] + k * path.centre[1]) / (1 + k),
          ],
          height: (path.height + k * z) / (1 + k),
        });
      const push = holdingForce(contacts, path);
      const pull = holdingForce(contacts, { ...path, point: path.centre, height: z });
      for (const k of [0.2, 1, 5]) {
        const both = at(k);
        const all = [push, pull, both];
        const lifts = all.some(({ normals }) => Math.min(...normals) < 1e-6 * path.weight);
        if (lifts || all.some(({ kind, force }) => kind !== 'slips' || force === 0)) continue;
        const f = both.force / (1 + k);
        const share = f / push.force + (k * f) / pull.force;
        compared += 1;
        if (share > 1.01) apart += 1;
        // each force is found to 5e-6 of the friction available, and forces here are a hundredth of it
        // at the least
        expect(share).toBeGreaterThan(1 - 1e-3);
      }
    }
    // the comparison means something: many pairs, of which many are off the line
    expect(compared).toBeGreaterThan(100);
    expect(apart).toBeGreaterThan(10);
  });
});
