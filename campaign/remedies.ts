/**
 * Remedies of every example, with every lever, proven, and judged again by a search of its own.
 * node --import tsx campaign/remedies.ts [example ...]
 * Prints one line of JSON an example; exit code 1 when a remedy that is called proven does not pass the
 * greater search.
 */
import { screenCart } from '../src/analysis/index.js';
import type { Cart, CartEdit } from '../src/document/index.js';
import { editCart } from '../src/document/index.js';
import { findRemedies } from '../src/remedies/index.js';
import { builtInSets, findSet } from '../src/requirements/index.js';
import { EXAMPLE_FILES, exampleCart } from '../test/analysis/example-carts.js';

const GREATER = { seed: 4242, starts: 600, followed: 16 };
const SET = findSet(builtInSets, 'iec-60601-1-3.2');
if (SET === null) throw new Error('no set');
const set = SET;

function leastReserve(cart: Cart, edits: readonly CartEdit[]): number {
  const { findings } = screenCart(editCart(cart, edits), set, { effort: GREATER });
  return Math.min(...findings.flatMap(({ applies, reserve }) => (applies ? [reserve ?? 0] : [])));
}

const asked = process.argv.slice(2);
const files = EXAMPLE_FILES.filter(
  (file) => asked.length === 0 || asked.some((each) => file.startsWith(each)),
);
let faults = 0;
for (const file of files) {
  const cart = await exampleCart(file);
  const start = performance.now();
  const report = findRemedies(cart, set);
  const seconds = (performance.now() - start) / 1000;
  const reserves = report.remedies.map(({ edits }) => leastReserve(cart, edits));
  const proven = report.remedies.map(({ proof }) => proof.kind === 'proven');
  const wrong = reserves.filter((reserve, i) => proven[i] === true && reserve < 1 + report.margin);
  faults += wrong.length;
  const least = reserves.length === 0 ? null : Number(Math.min(...reserves).toFixed(4));
  console.log(
    JSON.stringify({
      file,
      outcome: report.outcome,
      remedies: report.remedies.length,
      proven: proven.filter(Boolean).length,
      least,
      wrong: wrong.length,
      seconds: Number(seconds.toFixed(1)),
    }),
  );
}
process.exitCode = faults === 0 ? 0 : 1;
