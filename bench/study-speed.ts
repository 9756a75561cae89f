/**
 * Studies: variants a second screened and proven by one core in a plain loop (the reference), the same
 * through worker threads and a database, and peak memory as the study grows.
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { loadStudy } from '../src/cli/study-file.js';
import type { Study, StudyFactor, VariantRow } from '../src/studies/index.js';
import {
  chosenToProve,
  evaluateVariant,
  frontOf,
  proveVariant,
  studyHints,
  variantCount,
} from '../src/studies/index.js';
import { builtIn, simpleCart } from '../test/analysis/simple-cart.js';
import { median } from './table.js';

const ROOT = fileURLToPath(new URL('..', import.meta.url));

export interface StudyRates {
  readonly file: string;
  readonly castors: number;
  /** variants screened, and proven, in the loop */
  readonly screened: number;
  readonly proven: number;
  /** a second of processor time, which other work on the machine lengthens little; plain loop */
  readonly screenedPerSecond: number;
  readonly provenPerSecond: number;
}

interface Spent {
  /** ms on the clock */
  readonly time: number;
  /** ms of processor time, all threads of this process */
  readonly processor: number;
}

async function spent(work: () => unknown): Promise<Spent> {
  const [start, before] = [performance.now(), process.cpuUsage()];
  await work();
  const { user, system } = process.cpuUsage(before);
  return { time: performance.now() - start, processor: (user + system) / 1000 };
}

/** Variants looked at of a study: evenly spread over its numbers. */
const SAMPLE = 90;
const PROOFS = 3;

/** One core, no thread, no database. */
export async function studyRates(progress: (text: string) => void): Promise<StudyRates[]> {
  const rates: StudyRates[] = [];
  for (const file of ['telehealth.study.yaml', 'lamp-stand.study.yaml']) {
    progress(`one core: ${file}`);
    const study = await exampleStudy(file);
    const hints = studyHints(study);
    const count = variantCount(study);
    const sample = Array.from({ length: SAMPLE }, (_, i) => Math.floor((i * count) / SAMPLE));
    for (const index of sample.slice(0, 5)) evaluateVariant(study, index, hints);
    const rows: VariantRow[] = [];
    const screening = await spent(() => {
      for (const index of sample) rows.push(evaluateVariant(study, index, hints));
    });
    const best = await frontOf(study, rows);
    const chosen = chosenToProve({ ...study, proofs: PROOFS }, best);
    const proving = await spent(() => {
      for (const index of chosen) proveVariant(study, index);
    });
    rates.push({
      file,
      castors: study.cart.castors.length,
      screened: SAMPLE,
      proven: chosen.length,
      screenedPerSecond: (SAMPLE * 1000) / screening.processor,
      provenPerSecond: (chosen.length * 1000) / proving.processor,
    });
  }
  return rates;
}

async function exampleStudy(file: string): Promise<Study> {
  const loaded = await loadStudy(join(ROOT, 'examples', file), {});
  if (loaded.kind === 'bad input') throw new Error(loaded.problems.join('\n'));
  return loaded.value;
}

export interface StudyScaling {
  readonly variants: number;
  /** the plain loop first (0 threads); medians of the rounds */
  readonly runs: readonly (Spent & { readonly workers: number })[];
}

const ROUNDS = 2;

/** The same variants by the plain loop and through threads and database, round by round, each in a
 * process of its own that starts cold; proofs left out. */
export async function studyScaling(progress: (text: string) => void): Promise<StudyScaling> {
  const study = await longerStudy();
  const count = variantCount(study);
  const most = availableParallelism();
  const workers = [...new Set([0, 1, 2, most])].filter((each) => each <= most);
  const all = new Map<number, Spent[]>(workers.map((each) => [each, []]));
  for (let round = 0; round < ROUNDS; round += 1) {
    progress(`scaling: round ${round + 1} of ${ROUNDS}`);
    for (const each of workers) all.get(each)?.push(childRun(study, each));
  }
  const runs = [...all].map(([each, rounds]) => ({
    workers: each,
    time: median(rounds.map(({ time }) => time)),
    processor: median(rounds.map(({ processor }) => processor)),
  }));
  return { variants: count, runs };
}

/** The lamp stand with a ballast in more sizes: long enough that the start of a thread does not decide. */
async function longerStudy(): Promise<Study> {
  const study = await exampleStudy('lamp-stand.study.yaml');
  const factors = study.factors.filter(({ name }) => name !== 'ballast');
  return { ...study, proofs: 0, factors: [...factors, ballastFactor('ballast', 12)] };
}

export interface StudyMemory {
  readonly variants: number;
  /** MB, of the whole process with its threads */
  readonly memory: number;
  /** variants a second, all threads, database and front included */
  readonly rate: number;
  /** MB, file of the results */
  readonly file: number;
}

/** @param most 10^5, or 10^6 (some minutes a core) */
export function studyMemory(most: number, progress: (text: string) => void): StudyMemory[] {
  const sizes = [1e3, 1e4, 1e5, 1e6].filter((size) => size <= most);
  return sizes.map((size) => {
    progress(`memory: ${size} variants`);
    return memoryOf(size);
  });
}

/** Threads, the same on every machine, so that memory can be compared. */
const MEMORY_WORKERS = 2;

function memoryOf(variants: number): StudyMemory {
  const { time, memory, file } = childRun(growingStudy(variants), MEMORY_WORKERS);
  return { variants, memory, rate: (variants * 1000) / time, file };
}

interface ChildRun extends Spent {
  /** MB, peak of the process */
  readonly memory: number;
  /** MB, file of the results */
  readonly file: number;
}

/** @param workers 0: the plain loop */
function childRun(study: Study, workers: number): ChildRun {
  const folder = mkdtempSync(join(tmpdir(), 'standstill-bench-'));
  try {
    const definition = join(folder, 'study.json');
    const results = join(folder, 's.sqlite');
    const note = join(folder, 'peak');
    writeFileSync(definition, JSON.stringify(study));
    const preload = new URL('./peak-memory.mjs', import.meta.url).href;
    const script = join(ROOT, 'bench', 'study-run.mjs');
    const args = ['--import', preload, script, definition, results, String(workers)];
    const env = { ...process.env, PEAK_MEMORY_FILE: note };
    const child = spawnSync(process.execPath, args, { encoding: 'utf8', env });
    if (child.status !== 0) throw new Error(`study ${study.name}: ${child.stderr}`);
    const { rows, time, processor } = JSON.parse(child.stdout) as Spent & { rows: number };
    if (rows !== variantCount(study)) throw new Error(`study ${study.name}: ${rows} rows`);
    const memory = Number(readFileSync(note, 'utf8')) / 1024;
    const file = workers === 0 ? 0 : statSync(results).size / 1e6;
    return { time, processor, memory, file };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Three ballasts in ten to a hundred sizes each, and one cheap finding: what grows is the study. */
function growingStudy(variants: number): Study {
  const [first, second] = [Math.min(100, variants / 10), Math.min(100, variants / 100)];
  const factors = [first, second, variants / (first * second)].map((size, i) =>
    ballastFactor(`ballast ${i + 1}`, size),
  );
  return {
    name: `Ballasts of the kit trolley, ${variants} variants`,
    cart: simpleCart([0.02, 0, 0.6]),
    requirementSet: builtIn('iec-60601-1-3.2'),
    only: ['overbalance-transport'],
    margin: 0.1,
    factors,
    aims: [
      { of: 'mass', wanted: 'least' },
      { of: 'margin', wanted: 'greatest' },
    ],
    currency: '',
    proofs: 5,
  };
}

function ballastFactor(name: string, size: number): StudyFactor {
  const option = (i: number): StudyFactor['options'][number] => ({
    label: `${i}`,
    edits: [{ kind: 'add part', name, mass: 0.01 * (i + 1), at: [0.001 * i, 0, 0.2], on: null }],
    cost: null,
  });
  return {
    name,
    options: [option(0), ...Array.from({ length: size - 1 }, (_, i) => option(i + 1))],
  };
}
