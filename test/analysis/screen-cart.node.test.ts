/** The quick answer beside the check it stands for, on every example. */

import { describe, expect, test } from 'vitest';
import { checkCart, reserveOf, SCREEN_EFFORT, screenCart } from '../../src/analysis/index.js';
import { builtInSets } from '../../src/requirements/index.js';
import { EXAMPLE_FILES, exampleCart } from './example-carts.js';
import { builtIn } from './simple-cart.js';

/** A search of its own, several times as long, and no proof. */
const LONG = { seed: 9, starts: 400, followed: 16, wanted: 1, firstBoxes: 0, gaps: [] };

/** Ends of two compass searches with a last step of 0.1 % of the range: near a minimum that is far
 * less of the value, in a kink about as much. */
const SEARCHED = 1e-3;

describe.each(EXAMPLE_FILES)('screening %s', (file) => {
  test('finds what a longer search finds, at low friction and as stated, in every set', async () => {
    const cart = await exampleCart(file);
    for (const set of builtInSets) {
      for (const friction of ['low', 'as stated'] as const) {
        const { findings } = screenCart(cart, set, { friction });
        const report = checkCart(cart, set, { friction, effort: LONG });
        expect(findings.map(({ id }) => id)).toEqual(report.findings.map(({ id }) => id));
        for (const [i, finding] of report.findings.entries()) {
          const { capacity, demand, applicability, id, verdict } = finding;
          const quick = findings[i];
          expect(quick?.applies, id).toBe(applicability.applies);
          if (demand === null || capacity === null) {
            expect(quick?.own, id).toBe(verdict === 'fails' ? 0 : null);
            continue;
          }
          // some questions have no limit: a cart that no force tips
          if (quick?.capacity?.value === capacity.value) continue;
          const reserve = reserveOf(demand.value, capacity.value);
          const off = Math.abs((quick?.own ?? 0) / reserve - 1);
          expect(off, `${set.id} ${id}`).toBeLessThan(SEARCHED);
        }
      }
    }
  });

  test('with hints from itself repeats itself without a start', async () => {
    const cart = await exampleCart(file);
    const set = builtIn('iec-60601-1-3.2');
    const first = screenCart(cart, set);
    const again = screenCart(cart, set, {
      hints: first.hints,
      effort: { ...SCREEN_EFFORT, starts: 0, followed: 0 },
    });
    expect(again.findings).toEqual(first.findings);
  });
});
