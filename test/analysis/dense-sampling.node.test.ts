/** Random configurations of every example against what its report says is proven. */

import { describe, expect, test, vi } from 'vitest';
import { checkCart } from '../../src/analysis/index.js';
import { USUAL_EFFORT } from '../../src/engine/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import { seededRandom } from '../reference/random.js';
import { sampleReport } from './dense-sampling.js';
import { EXAMPLE_FILES, exampleCart } from './example-carts.js';

/** ms; the longest takes 15 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 180_000 });

const SAMPLES = 2000;
/** Bounds further from the found value than usual, and much sooner: any that is proven will do. */
const EFFORT = {
  ...USUAL_EFFORT,
  gaps: [
    { gap: 0.5, boxes: 20_000 },
    { gap: 0.2, boxes: 2000 },
  ],
};
const SET = 'iec-60601-1-3.2';
/** The proof of five or six castors takes as long as all the others; the campaign samples those carts too. */
const SLOW = ['fluid-stand-five-star.cart.yaml', 'kit-trolley-six-castor.cart.yaml'];

describe('no random configuration is worse than what is proven', () => {
  const examples = EXAMPLE_FILES.map((file, i) => [file, 56001 + i] as const);

  test.each(examples.filter(([file]) => !SLOW.includes(file)))(
    '%s: 2,000 configurations, seed %i',
    async (file, seed) => {
      const cart = await exampleCart(file);
      const set = findSet(builtInSets, SET);
      if (set === null) throw new Error(SET);
      const report = checkCart(cart, set, { effort: EFFORT });
      const findings = sampleReport(cart, set, report, SAMPLES, seededRandom(seed));
      // Transport and use incline, push and holding at the least.
      expect(findings.length).toBeGreaterThanOrEqual(5);
      for (const { id, beaten, sampled, samples, proven, found, sense } of findings) {
        expect(samples, id).toBeGreaterThanOrEqual(SAMPLES / findings.length);
        expect(Number.isFinite(sampled) || sampled === proven, id).toBe(true);
        expect(beaten, `${id}: sampled ${sampled}, proven ${proven}`).toBe(false);
        if (sense === 'at least') expect(proven, id).toBeLessThanOrEqual(found);
        else expect(proven, id).toBeGreaterThanOrEqual(found);
      }
    },
  );
});
