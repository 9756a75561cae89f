/**
 * Time and accuracy of one holding-force evaluation: ours, an LP solver asked afresh (three ways),
 * the same kept alive and warm-started, and a physics engine with the push raised slowly. All take
 * the same carts in turn within each round; figures are medians of the rounds.
 *
 * In favour of the references: the LP's normal forces are worked out beforehand and not timed (ours
 * are), its warm solves come from one cart turned by 15 degrees at a time, and the physics engine
 * is not asked to reach its last half per cent.
 */
import { holdingForce } from '../src/engine/index.js';
import type { FreshWay, Highs, NormalPieces, WarmSolver } from '../test/reference/lp-holding.js';
import {
  freshSolver,
  loadLpSolver,
  normalPieces,
  sharpBracket,
  warmSolver,
} from '../test/reference/lp-holding.js';
import type { Physics } from '../test/reference/physics-ramp.js';
import { loadPhysics, physicsLimit } from '../test/reference/physics-ramp.js';
import { seededRandom } from '../test/reference/random.js';
import type {
  FootedCart,
  ReferenceContact,
  ReferencePath,
} from '../test/reference/random-contacts.js';
import {
  footedProblem,
  randomFootedCart,
  randomProblem,
} from '../test/reference/random-contacts.js';
import { median } from './table.js';

const SEED = 7001;
const CARTS = 24;
const HEADINGS = 24; // every 15 degrees
const PHYSICS_CARTS = 2; // a round; each takes as long as some thousand of the others
const ROUNDS = 7;

/** Holding force of the k-th heading, N. */
type Evaluate = (one: Case, k: number) => number;

interface Case {
  readonly contacts: readonly ReferenceContact[];
  readonly headings: readonly { readonly path: ReferencePath; readonly normals: NormalPieces }[];
  readonly warm: WarmSolver;
}

export type SolverName = 'ours' | 'LP fresh, text' | 'LP fresh' | 'LP fresh, tuned' | 'LP warm';

export interface Accuracy {
  /** relative error against the middle of the sharp bracket */
  readonly median: number;
  readonly worst: number;
}

export interface HoldingSpeed {
  readonly carts: number;
  readonly evaluations: number;
  readonly rounds: number;
  /** microseconds an evaluation */
  readonly times: Readonly<Record<SolverName, number>>;
  readonly accuracy: Readonly<Record<SolverName, Accuracy>>;
  /** the carts of the physics engine are others: braked feet only */
  readonly physics: {
    readonly runs: number;
    readonly time: number;
    readonly ours: number;
    /** relative deviation from ours */
    readonly deviation: Accuracy;
  };
}

function makeCases(highs: Highs): Case[] {
  const random = seededRandom(SEED);
  return Array.from({ length: CARTS }, () => {
    const { contacts, path } = randomProblem(random);
    const headings = Array.from({ length: HEADINGS }, (_, k) => {
      const turned = { ...path, direction: path.direction + (2 * Math.PI * k) / HEADINGS };
      return { path: turned, normals: normalPieces(contacts, turned) };
    });
    return { contacts, headings, warm: warmSolver(highs, contacts, path, 'inscribed') };
  });
}

function heading(one: Case, k: number): Case['headings'][number] {
  const found = one.headings[k];
  if (!found) throw new Error(`heading ${k} of ${one.headings.length}`);
  return found;
}

function solvers(highs: Highs): Record<SolverName, Evaluate> {
  const fresh = (way: FreshWay): Evaluate => {
    const solve = freshSolver(highs, 'inscribed', way);
    return (one, k) => {
      const { path, normals } = heading(one, k);
      return solve(one.contacts, path, normals);
    };
  };
  return {
    ours: (one, k) => holdingForce(one.contacts, heading(one, k).path).force,
    'LP fresh, text': fresh('text'),
    'LP fresh': fresh('arrays'),
    'LP fresh, tuned': fresh('arrays without presolve'),
    'LP warm': (one, k) => {
      const { path, normals } = heading(one, k);
      return one.warm.solve(path, normals);
    },
  };
}

/** microseconds for each of `count` calls */
function timed(count: number, run: () => void): number {
  const start = performance.now();
  run();
  return ((performance.now() - start) * 1000) / count;
}

function evaluateAll(one: Case, evaluate: Evaluate): void {
  for (let k = 0; k < HEADINGS; k += 1) evaluate(one, k);
}

function accuracyOf(
  truths: readonly (readonly number[])[],
  cases: readonly Case[],
  evaluate: Evaluate,
) {
  const errors = cases.flatMap((one, c) =>
    (truths[c] ?? []).map((truth, t) => Math.abs(evaluate(one, 3 * t) / truth - 1)),
  );
  return { median: median(errors), worst: Math.max(...errors) };
}

/** Middle of the sharp bracket for every third heading (it takes long). */
function truthsOf(highs: Highs, cases: readonly Case[]): number[][] {
  return cases.map((one) =>
    one.headings
      .filter((_, k) => k % 3 === 0)
      .map(({ path }) => {
        const { sharp } = sharpBracket(highs, one.contacts, path);
        return (sharp.low.force + sharp.high.force) / 2;
      }),
  );
}

interface Physical {
  readonly cart: FootedCart;
  readonly problem: ReturnType<typeof footedProblem>;
  readonly ratio: number;
}

/** Carts that hold at least 2 % of their weight: below that a relative figure means little. */
function physicalCarts(count: number): Physical[] {
  const random = seededRandom(SEED + 1);
  const found: Physical[] = [];
  while (found.length < count) {
    const cart = randomFootedCart(random);
    const problem = footedProblem(cart, 'push');
    const ratio = holdingForce(problem.contacts, problem.path).force / problem.path.weight;
    if (ratio >= 0.02) found.push({ cart, problem, ratio });
  }
  return found;
}

function physicsRound(physics: Physics, carts: readonly Physical[], deviations: number[]) {
  const time = timed(carts.length, () => {
    for (const { cart, ratio } of carts) {
      deviations.push(Math.abs(physicsLimit(physics, cart, 'push').ratio / ratio - 1));
    }
  });
  const ours = timed(100 * carts.length, () => {
    for (let k = 0; k < 100; k += 1) {
      for (const { problem } of carts) holdingForce(problem.contacts, problem.path);
    }
  });
  return { time, ours };
}

function mapped<T, R>(table: Record<SolverName, T>, make: (value: T) => R): Record<SolverName, R> {
  return Object.fromEntries(
    Object.entries(table).map(([name, value]) => [name, make(value)]),
  ) as Record<SolverName, R>;
}

export async function holdingSpeed(progress: (text: string) => void): Promise<HoldingSpeed> {
  const highs = await loadLpSolver();
  const physics = await loadPhysics();
  const cases = makeCases(highs);
  const all = solvers(highs);
  const names = Object.keys(all) as SolverName[];
  const rounds = mapped<Evaluate, number[]>(all, () => []);
  const physical = physicalCarts(PHYSICS_CARTS * ROUNDS);
  const physicsRounds: { readonly time: number; readonly ours: number }[] = [];
  const deviations: number[] = [];
  for (const one of cases) evaluateAll(one, all.ours); // compiled before the first round
  for (let round = 0; round < ROUNDS; round += 1) {
    progress(`holding force, round ${round + 1} of ${ROUNDS}`);
    const spent = mapped(all, () => 0);
    for (const one of cases) {
      for (const name of names) {
        spent[name] += timed(HEADINGS, () => evaluateAll(one, all[name])) / CARTS;
      }
    }
    for (const name of names) rounds[name].push(spent[name]);
    const part = physical.slice(round * PHYSICS_CARTS, (round + 1) * PHYSICS_CARTS);
    physicsRounds.push(physicsRound(physics, part, deviations));
  }
  progress('holding force, accuracy');
  const truths = truthsOf(highs, cases);
  const accuracy = mapped(all, (evaluate) => accuracyOf(truths, cases, evaluate));
  for (const one of cases) one.warm.dispose();
  return {
    carts: CARTS,
    evaluations: CARTS * HEADINGS,
    rounds: ROUNDS,
    times: mapped(rounds, median),
    accuracy,
    physics: {
      runs: physical.length,
      time: median(physicsRounds.map((r) => r.time)),
      ours: median(physicsRounds.map((r) => r.ours)),
      deviation: { median: median(deviations), worst: Math.max(...deviations) },
    },
  };
}
