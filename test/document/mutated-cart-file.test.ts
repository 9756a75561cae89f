import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { writeStarterCart } from '../../src/document/index.js';
import { seededRandom } from '../reference/random.js';
import { mutatedCartFile, outcomeOf } from './mutated-cart-file.js';
import { SMALL_CART } from './small-cart.js';

const SEED = 20_260_101;
const FILES = 1200;
/** ms: about 5 s on one free core, and tests share theirs */
const TIMEOUT = 120_000;

const ORIGINALS = [SMALL_CART, writeStarterCart()].map((text) => ({ text, tree: parse(text) }));

test(`${FILES} mutated cart files (seed ${SEED}) give a cart or precise issues`, {
  timeout: TIMEOUT,
}, () => {
  const random = seededRandom(SEED);
  const outcomes = new Set<string>();
  let slowest = 0;
  for (let i = 0; i < FILES; i += 1) {
    const text = mutatedCartFile(ORIGINALS, random);
    const { name, faults, milliseconds } = outcomeOf(text, () => performance.now());
    slowest = Math.max(slowest, milliseconds);
    expect(faults, `file ${i}:\n${text}`).toEqual([]);
    outcomes.add(name);
  }
  expect(outcomes).toContain('ok');
  // a few milliseconds is usual; the clock also counts what else the machine does
  expect(slowest).toBeLessThan(10_000);
  // the mutations reach many kinds of refusal, not the syntax alone
  expect(outcomes.size).toBeGreaterThan(20);
});

test('the originals are sound', () => {
  for (const { text } of ORIGINALS) {
    expect(outcomeOf(text, () => performance.now())).toMatchObject({ name: 'ok', faults: [] });
  }
});
