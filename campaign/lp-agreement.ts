/**
 * The engine's holding force against an LP solver over many random carts.
 * node --import tsx campaign/lp-agreement.ts [carts] [seed]
 * Prints one JSON object; exit code 1 when a cart disagrees. Figures kept in docs/agreement.md.
 */

import { spread } from '../bench/spread.js';
import { holdingForce } from '../src/engine/index.js';
import { loadLpSolver, sharpBracket } from '../test/reference/lp-holding.js';
import { seededRandom } from '../test/reference/random.js';
import { randomProblem } from '../test/reference/random-contacts.js';

/** Share of the weight under which forces count as equal; its reason stands in
 * test/engine/holding-lp.node.test.ts. */
const FLOOR = 5e-6;

const carts = Number(process.argv[2] ?? 3000);
const seed = Number(process.argv[3] ?? 20001);
const highs = await loadLpSolver();
const random = seededRandom(seed);

const perKind: Record<string, number> = {};
const perCastors: Record<string, number> = {};
const perLock: Record<string, number> = {};
const count = (table: Record<string, number>, key: string | number): void => {
  table[key] = (table[key] ?? 0) + 1;
};
const relative: number[] = [];
const absolute: number[] = [];
const inscribed: number[] = [];
const circumscribed: number[] = [];
const width: number[] = [];
const selfGap: number[] = [];
const belowTruth: number[] = [];
const lowerAbove: number[] = [];
const disagreements: string[] = [];

for (let k = 0; k < carts; k += 1) {
  const { contacts, path, locks } = randomProblem(random);
  const { coarse, sharp } = sharpBracket(highs, contacts, path);
  const ours = holdingForce(contacts, path);
  const truth = (sharp.low.force + sharp.high.force) / 2;
  const slack = FLOOR * path.weight;
  count(perKind, ours.kind);
  count(perCastors, contacts.length);
  for (const lock of locks) count(perLock, lock);
  relative.push(Math.abs(ours.force - truth) / truth);
  absolute.push(Math.abs(ours.force - truth) / path.weight);
  selfGap.push((ours.force - ours.lower) / path.weight);
  belowTruth.push((sharp.low.force - ours.force) / path.weight);
  lowerAbove.push((ours.lower - sharp.high.force) / path.weight);
  inscribed.push(1 - coarse.low.force / truth);
  circumscribed.push(coarse.high.force / truth - 1);
  width.push((sharp.high.force - sharp.low.force) / path.weight);
  const inside = ours.force > coarse.low.force - slack && ours.force < coarse.high.force + slack;
  const close = Math.abs(ours.force - truth) < 0.005 * truth + slack;
  if (!inside || !close || ours.kind !== sharp.low.kind) {
    disagreements.push(
      `cart ${k} (${locks.join(', ')}): ${ours.kind} at ${ours.force / path.weight} W, ` +
        `LP ${sharp.low.kind} in [${sharp.low.force / path.weight}, ${sharp.high.force / path.weight}] W`,
    );
  }
}

console.log(
  JSON.stringify(
    {
      carts,
      seed,
      perKind,
      perCastors,
      perLock,
      'ours, relative error': spread(relative),
      'ours, error / weight': spread(absolute),
      "ours, own bracket's width / weight": spread(selfGap),
      // Ours claims force >= truth >= lower: what of that fails, in shares of the weight.
      'most that force falls short of the truth': Math.max(...belowTruth),
      'most that lower exceeds the truth': Math.max(...lowerAbove),
      'LP inscribed 32, relative error': spread(inscribed),
      'LP circumscribed 32, relative error': spread(circumscribed),
      'width of the sharp bracket / weight': spread(width),
      disagreements: disagreements.length,
      which: disagreements.slice(0, 20),
    },
    null,
    2,
  ),
);
process.exitCode = disagreements.length > 0 ? 1 : 0;
