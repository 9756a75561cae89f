/** The engine's holding force against an LP solver with many-sided friction cones. */
import { beforeAll, expect, test, vi } from 'vitest';
import { holdingForce } from '../../src/engine/holding.js';
import type { Highs } from '../reference/lp-holding.js';
import { loadLpSolver, sharpBracket } from '../reference/lp-holding.js';
import { seededRandom } from '../reference/random.js';
import type { HoldingProblem } from '../reference/random-contacts.js';
import { randomProblem, symmetricProblem } from '../reference/random-contacts.js';

/** ms; the first takes 3 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 60_000 });

let highs: Highs;
beforeAll(async () => {
  highs = await loadLpSolver();
});

/** Share of the weight. The engine's smoothing leaves about 1e-6 of the friction available (at most
 * 1.2 of the weight here); the LP's rows are met to 1e-10. It is also the floor under which holding
 * forces count as none: a thousandth of the least rolling resistance (0.6 % of the load) that a
 * castor here can show. */
const FLOOR = 5e-6;

interface Seen {
  slips: number;
  tips: number;
}

/** Checks one cart and counts how it gives way. */
function expectAgreement({ contacts, path, locks }: HoldingProblem, k: number, seen: Seen): void {
  const { coarse, sharp } = sharpBracket(highs, contacts, path);
  const ours = holdingForce(contacts, path);
  const what = `cart ${k}: ${locks.join(', ')}`;
  const slack = FLOOR * path.weight;
  expect(ours.kind, what).toBe(sharp.low.kind);
  expect(ours.force, what).toBeGreaterThan(coarse.low.force - slack);
  expect(ours.force, what).toBeLessThan(coarse.high.force + slack);
  // The truth is known this well: the width asked of the sharp bracket, twice.
  expect(sharp.high.force - sharp.low.force, what).toBeLessThan(2e-8 * path.weight);
  const truth = (sharp.low.force + sharp.high.force) / 2;
  expect(Math.abs(ours.force - truth), what).toBeLessThan(0.005 * truth + slack);
  if (ours.kind !== 'unsupported') seen[ours.kind] += 1;
}

test('seed 2001: on 200 random carts within the 32-sided bracket and 0.5 % of the truth', () => {
  const random = seededRandom(2001);
  const seen: Seen = { slips: 0, tips: 0 };
  for (let k = 0; k < 200; k += 1) expectAgreement(randomProblem(random), k, seen);
  // Both ways of giving way were met often enough to mean something.
  expect(seen.slips).toBeGreaterThan(100);
  expect(seen.tips).toBeGreaterThan(5);
});

test('seed 2002: the same on 100 symmetric carts full of ties', () => {
  const random = seededRandom(2002);
  const seen: Seen = { slips: 0, tips: 0 };
  for (let k = 0; k < 100; k += 1) expectAgreement(symmetricProblem(random), k, seen);
  expect(seen.slips).toBeGreaterThan(50);
});
