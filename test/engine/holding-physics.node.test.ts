/** The engine's slip and tip loads against a physics engine with ramp and push raised slowly. */
import { beforeAll, expect, test } from 'vitest';
import { holdingForce } from '../../src/engine/holding.js';
import type { Physics } from '../reference/physics-ramp.js';
import { loadPhysics, physicsLimit } from '../reference/physics-ramp.js';
import { seededRandom } from '../reference/random.js';
import { footedProblem, randomFootedCart } from '../reference/random-contacts.js';

let physics: Physics;
beforeAll(async () => {
  physics = await loadPhysics();
});

/** ms; takes 3 s alone on one core, more beside other tests */
const LONG = 60_000;

/** 2 % covers the sag of soft feet and the law of onset: of some hundred carts 95 % are within 1 %
 * (docs/agreement.md). What is beyond must come within it on a sixteenth of the sag and a quarter of
 * the rate. 0.001 in load ratio: below a ratio of 0.05 creep and drag of the soft contacts show. */
const allowed = (ratio: number): number => Math.max(0.02 * ratio, 0.001);

test(
  'seed 3001: ramp and push on 12 random carts agree within 2 %',
  () => {
    const random = seededRandom(3001);
    for (let k = 0; k < 12; k += 1) {
      const cart = randomFootedCart(random);
      for (const loading of ['ramp', 'push'] as const) {
        const { contacts, path } = footedProblem(cart, loading);
        const ratio = holdingForce(contacts, path).force / path.weight;
        let found = physicsLimit(physics, cart, loading);
        if (Math.abs(found.ratio - ratio) > allowed(ratio)) {
          found = physicsLimit(physics, cart, loading, { hardness: 4, patience: 4 });
        }
        const what = `cart ${k}, ${loading}: ${found.kind} at ${found.ratio}, ours ${ratio}`;
        expect(Math.abs(found.ratio - ratio), what).toBeLessThan(allowed(ratio));
      }
    }
  },
  LONG,
);
