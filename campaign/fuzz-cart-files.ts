// Mutates the cart files of examples/ and reads each mutant: a cart or precise issues, never a
// crash, a NaN or a hang. Prints counts per outcome; the exit code is 1 when anything is at fault.
//   node --import tsx campaign/fuzz-cart-files.ts [FILES] [SEED]
import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import type { PartsList } from '../src/document/index.js';
import { readPartsList, sentence, writeStarterCart } from '../src/document/index.js';
import type { Original } from '../test/document/mutated-cart-file.js';
import { mutatedCartFile, outcomeOf } from '../test/document/mutated-cart-file.js';
import { SMALL_CART } from '../test/document/small-cart.js';
import { seededRandom } from '../test/reference/random.js';

const DEFAULT_FILES = 100_000;
const DEFAULT_SEED = 1;
/** Faulty files that are printed, and how much of each. */
const MOST_SHOWN = 3;
const MOST_CHARACTERS = 4000;
/** ms of processor time for one file; the usual is a thousandth of it. */
const MOST_MILLISECONDS = 2000;
const PROGRESS_EVERY = 10_000;

const FOLDER = new URL('../examples/', import.meta.url);

function originals(): readonly Original[] {
  const examples = readdirSync(FOLDER)
    .filter((file) => file.endsWith('.cart.yaml'))
    .map((file) => readFileSync(new URL(file, FOLDER), 'utf8'));
  return [SMALL_CART, writeStarterCart(), ...examples].map((text) => ({ text, tree: parse(text) }));
}

/** The parts lists beside the examples, by name. */
async function partsLists(): Promise<ReadonlyMap<string, PartsList>> {
  const lists = new Map<string, PartsList>();
  for (const file of readdirSync(FOLDER).filter((each) => /\.(?:csv|xlsx)$/.test(each))) {
    const result = await readPartsList(readFileSync(new URL(file, FOLDER)), file);
    if (result.kind === 'invalid') throw new Error(result.issues.map(sentence).join('\n'));
    lists.set(file, result.value);
  }
  return lists;
}

interface Tally {
  readonly counts: Map<string, number>;
  faulty: number;
  slowest: number;
  reading: number;
}

/** Processor time, so that other work on the machine does not count. */
function processorTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

function faultsOf(text: string, lists: ReadonlyMap<string, PartsList>) {
  const outcome = outcomeOf(text, processorTime, lists);
  const { milliseconds, faults } = outcome;
  const slow = milliseconds > MOST_MILLISECONDS ? [`took ${milliseconds} ms`] : [];
  return { ...outcome, faults: [...slow, ...faults] };
}

function count(
  tally: Tally,
  text: string,
  index: number,
  lists: ReadonlyMap<string, PartsList>,
): void {
  const { name, milliseconds, faults } = faultsOf(text, lists);
  tally.counts.set(name, (tally.counts.get(name) ?? 0) + 1);
  tally.reading += milliseconds;
  tally.slowest = Math.max(tally.slowest, milliseconds);
  if (faults.length === 0) return;
  tally.faulty += 1;
  if (tally.faulty > MOST_SHOWN) return;
  console.log(
    `file ${index} is at fault:\n  ${faults.join('\n  ')}\n${JSON.stringify(text).slice(0, MOST_CHARACTERS)}`,
  );
}

function print(tally: Tally, files: number, seed: number): void {
  console.log(`${files} mutated cart files, seed ${seed}`);
  const sorted = [...tally.counts].sort(([, a], [, b]) => b - a);
  for (const [name, times] of sorted) console.log(`${String(times).padStart(8)}  ${name}`);
  const perSecond = Math.round((files / tally.reading) * 1000);
  console.log(
    `${perSecond} files a second of processor time while reading; slowest ${tally.slowest.toFixed(0)} ms`,
  );
  console.log(`${tally.faulty} at fault`);
}

async function main(): Promise<number> {
  const [files = DEFAULT_FILES, seed = DEFAULT_SEED] = process.argv.slice(2).map(Number);
  if (!Number.isInteger(files) || files < 1 || !Number.isInteger(seed)) {
    console.error('usage: fuzz-cart-files [FILES] [SEED], both whole numbers');
    return 2;
  }
  const random = seededRandom(seed);
  const from = originals();
  const lists = await partsLists();
  const tally: Tally = { counts: new Map(), faulty: 0, slowest: 0, reading: 0 };
  for (let index = 0; index < files; index += 1) {
    count(tally, mutatedCartFile(from, random), index, lists);
    if ((index + 1) % PROGRESS_EVERY === 0) console.error(`${index + 1} of ${files}`);
  }
  print(tally, files, seed);
  return tally.faulty === 0 ? 0 : 1;
}

process.exitCode = await main();
