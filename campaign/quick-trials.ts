/**
 * How far the quick judgement of a trial of `standstill tolerances` is off a fresh search for the worst
 * configuration, on every example with everything uncertain, and more so than usual.
 * node --import tsx campaign/quick-trials.ts [trials] [seed]
 * Prints one JSON object; exit code 1 when a reserve is off by more than 2 %. Figures kept in
 * docs/theory/tolerances.md.
 */
import { spread } from '../bench/spread.js';
import { builtInSets, findSet } from '../src/requirements/index.js';
import { EXAMPLE_FILES, exampleCart } from '../test/analysis/example-carts.js';
import { quickTrials, widelyUncertain } from '../test/tolerances/quick-trials.js';

const MOST = 0.02;
/** as many as src/tolerances/assess.ts takes, and none for comparison */
const VARIANTS = [0, 16];

const trials = Number(process.argv[2] ?? 40);
const seed = Number(process.argv[3] ?? 5);
const results: Record<string, unknown> = {};
let worst = 0;

for (const file of EXAMPLE_FILES) {
  const cart = widelyUncertain(await exampleCart(file));
  const set = findSet(builtInSets, cart.requirements ?? '');
  if (set === null) throw new Error(`${file}: no set ${cart.requirements}`);
  for (const variants of VARIANTS) {
    const found = quickTrials(cart, set, variants, trials, seed, () => performance.now());
    if (variants > 0) worst = Math.max(worst, ...found.differences.map(Math.abs));
    results[`${file}, ${variants} variants`] = {
      'ms a trial': { quick: found.quick, fresh: found.fresh },
      'relative difference': spread(found.differences),
      'furthest below the fresh search': Math.min(...found.differences),
    };
  }
}

console.log(JSON.stringify({ trials, seed, worst, results }, null, 2));
process.exitCode = worst > MOST ? 1 : 0;
