/** A check that is watched, stopped, or made with little effort. */

import { describe, expect, test } from 'vitest';
import type { Finding } from '../../src/analysis/index.js';
import { checkCart, QUICK_PROOF, SearchStopped } from '../../src/analysis/index.js';
import { EXAMPLE_FILES, exampleCart } from './example-carts.js';
import { builtIn } from './simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
const LAMP = await exampleCart('lamp-stand-three-castor.cart.yaml');

describe('a check', () => {
  test('tells every finding as it is decided, in the order of the report', () => {
    const told: Finding[] = [];
    const report = checkCart(LAMP, SET, { onFinding: (finding) => told.push(finding) });
    expect(told).toEqual(report.findings);
  });

  test('that is told to stop ends at once, and asks often', () => {
    let asked = 0;
    checkCart(LAMP, SET, {
      isStopped: () => {
        asked += 1;
        return false;
      },
    });
    let until = Math.floor(asked / 2);
    let after = 0;
    const stops = () =>
      checkCart(LAMP, SET, {
        isStopped: () => {
          until -= 1;
          if (until < 0) after += 1;
          return until < 0;
        },
      });
    expect(stops).toThrow(SearchStopped);
    expect(after).toBe(1);
    // often enough to give way at once: a full check of this cart takes about half a second
    expect(asked).toBeGreaterThan(1000);
  });

  test.each(EXAMPLE_FILES)('%s: a quick bound is none beyond what is found', async (file) => {
    const cart = await exampleCart(file);
    const quick = checkCart(cart, SET, { effort: QUICK_PROOF });
    for (const { sense, capacity, demand, proof, verdict } of quick.findings) {
      if (proof.kind !== 'proven' || capacity === null || demand === null) continue;
      // of what limits from above the bound is one of the demand
      const [found, bound] =
        sense === 'at least'
          ? [capacity.value, proof.bound.value]
          : [-demand.value, -proof.bound.value];
      expect(bound).toBeLessThanOrEqual(found + 1e-9 * Math.abs(found));
      if (verdict === 'holds' && sense === 'at least') {
        expect(bound).toBeGreaterThanOrEqual(demand.value * (1 - 1e-12));
      }
    }
  });
});
