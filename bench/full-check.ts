/** Time and memory of whole checks: every example cart warm, cold from the shell, and growing carts. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { CheckReport } from '../src/analysis/index.js';
import * as analysis from '../src/analysis/index.js';
import type { Cart } from '../src/document/index.js';
import type { RequirementSet } from '../src/requirements/index.js';
import type { CartSize } from './growing-cart.js';
import { growingCart } from './growing-cart.js';
import { loadCart, requirementSetOf } from './load-cart.js';
import { median } from './table.js';

type CheckCart = (cart: Cart, set: RequirementSet, options: object) => CheckReport;

const ROOT = fileURLToPath(new URL('..', import.meta.url));
const EXAMPLES = join(ROOT, 'examples');
const CLI = join(ROOT, 'dist', 'cli', 'main.js');
const ROUNDS = 3;
const COLD_ROUNDS = 2;
/** A growing cart that takes longer than this is timed once. */
const LONG = 2000; // ms

export interface ExampleCheck {
  readonly file: string;
  /** ms, median of the rounds; null: the check is not there yet */
  readonly warm: number | null;
  /** ms from the shell, process start to end; null: not built */
  readonly cold: number | null;
  /** MB, peak of that process */
  readonly memory: number | null;
  /** findings that apply, and of those the ones with a proven bound or a closed form */
  readonly findings: number | null;
  readonly proven: number | null;
}

export interface GrowthRow extends CartSize {
  /** ms */
  readonly check: number | null;
  readonly proven: number | null;
  readonly findings: number | null;
}

const checkCart = (analysis as { readonly checkCart?: CheckCart }).checkCart ?? null;

function countProven(report: CheckReport): { readonly findings: number; readonly proven: number } {
  const due = report.findings.filter((f) => f.applicability.applies);
  return { findings: due.length, proven: due.filter((f) => f.proof.kind === 'proven').length };
}

interface Cold {
  readonly time: number | null;
  readonly memory: number | null;
}

/** The command as a user types it; every exit code up to 3 is a verdict. */
function coldRun(file: string): Cold {
  if (!existsSync(CLI)) return { time: null, memory: null };
  const folder = mkdtempSync(join(tmpdir(), 'standstill-bench-'));
  try {
    const run = (extra: readonly string[], environment: NodeJS.ProcessEnv) => {
      const start = performance.now();
      const child = spawnSync(process.execPath, [...extra, CLI, 'check', file], {
        encoding: 'utf8',
        env: environment,
      });
      const time = performance.now() - start;
      if (child.status === null || child.status > 3) {
        throw new Error(`check ${file} ended with ${child.status}: ${child.stderr}`);
      }
      return time;
    };
    const times = Array.from({ length: COLD_ROUNDS }, () => run([], process.env));
    const note = join(folder, 'peak');
    const preload = new URL('./peak-memory.mjs', import.meta.url).href;
    run(['--import', preload], { ...process.env, PEAK_MEMORY_FILE: note });
    return { time: median(times), memory: Number(readFileSync(note, 'utf8')) / 1024 };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

interface Example {
  readonly file: string;
  readonly cart: Cart;
  readonly set: RequirementSet;
}

function warmTimes(check: CheckCart, examples: readonly Example[]): Map<string, number[]> {
  const times = new Map<string, number[]>(examples.map((e) => [e.file, []]));
  for (let round = -1; round < ROUNDS; round += 1) {
    for (const { file, cart, set } of examples) {
      globalThis.gc?.();
      const start = performance.now();
      check(cart, set, {});
      // The round before the first warms up.
      if (round >= 0) times.get(file)?.push(performance.now() - start);
    }
  }
  return times;
}

export async function checkExamples(progress: (text: string) => void): Promise<ExampleCheck[]> {
  const files = readdirSync(EXAMPLES).filter((name) => name.endsWith('.cart.yaml'));
  const examples: Example[] = [];
  for (const file of files) {
    const cart = await loadCart(join(EXAMPLES, file));
    examples.push({ file, cart, set: requirementSetOf(cart) });
  }
  progress('examples, warm');
  const times = checkCart ? warmTimes(checkCart, examples) : null;
  return examples.map(({ file, cart, set }) => {
    progress(`examples, from the shell: ${file}`);
    const cold = checkCart ? coldRun(join(EXAMPLES, file)) : { time: null, memory: null };
    const counts = checkCart ? countProven(checkCart(cart, set, {})) : null;
    return {
      file,
      warm: times ? median(times.get(file) ?? []) : null,
      cold: cold.time,
      memory: cold.memory,
      findings: counts?.findings ?? null,
      proven: counts?.proven ?? null,
    };
  });
}

const SIZES: readonly CartSize[] = [
  ...[3, 4, 5, 6, 7, 8, 12, 16].map((castors) => ({ castors, movers: 2, loads: 2 })),
  ...[0, 1, 2, 3, 4, 5, 6].map((movers) => ({ castors: 4, movers, loads: 2 })),
  ...[0, 2, 4, 6, 8, 10, 12].map((loads) => ({ castors: 4, movers: 2, loads })),
];

function growthRow(check: CheckCart, size: CartSize): GrowthRow {
  const cart = growingCart(size);
  const set = requirementSetOf(cart);
  const times: number[] = [];
  let report: CheckReport | null = null;
  do {
    const start = performance.now();
    report = check(cart, set, {});
    times.push(performance.now() - start);
  } while (times.length < 3 && (times[0] ?? 0) < LONG);
  return { ...size, check: median(times), ...countProven(report) };
}

export function checkGrowth(progress: (text: string) => void): GrowthRow[] {
  return SIZES.map((size) => {
    progress(`growth: ${size.castors} castors, ${size.movers} movers, ${size.loads} loads`);
    if (!checkCart) return { ...size, check: null, proven: null, findings: null };
    return growthRow(checkCart, size);
  });
}
