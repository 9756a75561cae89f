/** The worst found and the bound proven, against random configurations and closed forms. */
import { describe, expect, it, vi } from 'vitest';
import type {
  HoldingCase,
  HoldingEvaluator,
  HoldingWorst,
  SearchEffort,
} from '../../src/engine/holding-worst.js';
import {
  createEvaluator,
  frictionNeed,
  holdingDomain,
  worstHolding,
} from '../../src/engine/holding-worst.js';
import { buildMassModel } from '../../src/engine/mass-model.js';
import type { ReferenceCart, ReferenceCastor } from '../reference/holding-slack.js';
import { slackAt, stemFrame } from '../reference/holding-slack.js';
import { seededRandom } from '../reference/random.js';
import type { CartKind, RandomCart } from '../reference/random-carts.js';
import { randomCart } from '../reference/random-carts.js';
import { randomVariables } from './dense-sampling.js';

/** ms; the longest takes 10 s alone on one core, more beside other tests */
vi.setConfig({ testTimeout: 180_000 });

const DEGREE = Math.PI / 180;

/** Enough to prove something of most small carts, within seconds. */
const EFFORT: SearchEffort = {
  seed: 3,
  starts: 100,
  followed: 8,
  wanted: 1,
  firstBoxes: 20_000,
  gaps: [
    { gap: 0.5, boxes: 20_000 },
    { gap: 0.2, boxes: 6000 },
    { gap: 0.1, boxes: 6000 },
  ],
};

/** The evaluator's own accuracy: the smoothing of the holding force, share of it. */
const SMOOTHING = 1e-5;

function caseOf(cart: ReferenceCart, domains: RandomCart['domains']): HoldingCase {
  const { castors, load, gravity } = cart;
  return {
    problem: { model: buildMassModel(cart), castors, load, gravity },
    configurations: { domains: domains.slice(0, cart.movers.length + cart.loads.length) },
  };
}

/** What many random points of the domain give. */
function sample(
  holding: HoldingCase,
  seed: number,
  measure: (evaluator: HoldingEvaluator, v: Float64Array) => number | null,
): number[] {
  const random = seededRandom(seed);
  const domain = holdingDomain(holding);
  const evaluator = createEvaluator(holding.problem, 1);
  return Array.from({ length: SAMPLES }, () => randomVariables(random, domain)).flatMap((v) => {
    const value = measure(evaluator, v);
    return value === null ? [] : [value];
  });
}

const SAMPLES = 20_000;

/** Ratio of a configuration that slides: tipping is bounded apart. */
function slidingRatio(evaluator: HoldingEvaluator, v: Float64Array): number | null {
  const { ratio, tips } = evaluator.evaluate(v);
  return tips ? null : ratio;
}

/** Infinity says that it tips, or that brakes or free castors decide: no factor to compare. */
function factorNeeded(evaluator: HoldingEvaluator, v: Float64Array): number | null {
  const needed = evaluator.need(v);
  return Number.isFinite(needed) ? needed : null;
}

/** From what the proof closes on at once to a mover, loads and castors held at any angle. */
const KINDS: readonly CartKind[] = [
  { locks: ['wheel'], movers: 1, loads: 1 },
  { locks: ['none', 'wheel', 'wheel'], castors: 4, movers: 0, loads: 2 },
  { locks: ['wheel', 'total'], castors: 3, movers: 1, loads: 0 },
  { locks: ['wheel', 'wheel', 'directional'], castors: 4, movers: 0, loads: 1 },
  { castors: 3, movers: 0, loads: 0 },
];

/** Carts that stay up in most configurations and hold something: others prove nothing here. */
function holdingCart(random: () => number, kind: CartKind): HoldingCase {
  for (;;) {
    const cart = randomCart(random, kind);
    const holding = caseOf(cart, cart.domains);
    const evaluator = createEvaluator(holding.problem, 1);
    const domain = holdingDomain(holding);
    const ratios = Array.from(
      { length: 200 },
      () => evaluator.evaluate(randomVariables(random, domain)).ratio,
    );
    if (Math.min(...ratios) > 0.2) return holding;
  }
}

describe('against 20,000 random configurations each', () => {
  it('seed 55001: none slides below the proven bound, found is not below it either', () => {
    const random = seededRandom(55001);
    let proven = 0;
    for (let k = 0; k < 5; k += 1) {
      const holding = holdingCart(random, KINDS[k] ?? {});
      const worst = worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT);
      const ratios = sample(holding, 55100 + k, slidingRatio);
      expect(worst.found.ratio, `cart ${k}`).toBeGreaterThanOrEqual(worst.proven);
      expect(Math.min(...ratios), `cart ${k}`).toBeGreaterThan(worst.proven * (1 - SMOOTHING));
      if (worst.proven > 0 && ratios.length > 1000) proven += 1;
    }
    expect(proven).toBeGreaterThanOrEqual(4);
  });

  it('seed 55002: none needs more friction than is proven to do, nor is that less than found', () => {
    const random = seededRandom(55002);
    let proven = 0;
    for (let k = 0; k < 5; k += 1) {
      const holding = holdingCart(random, KINDS[k] ?? {});
      const need = frictionNeed(holding, null, EFFORT);
      const factors = sample(holding, 55200 + k, factorNeeded);
      expect(need.found, `cart ${k}`).toBeLessThanOrEqual(need.proven);
      expect(Math.max(...factors), `cart ${k}`).toBeLessThan(need.proven * (1 + SMOOTHING));
      if (Number.isFinite(need.proven) && factors.length > 1000) proven += 1;
    }
    expect(proven).toBeGreaterThanOrEqual(3);
  });
});

describe('one evaluation', () => {
  it('seed 55003: the motion that starts takes from friction just what the load gives', () => {
    const random = seededRandom(55003);
    let moved = 0;
    for (let k = 0; k < 400; k += 1) {
      const cart = randomCart(random);
      const holding = caseOf(cart, cart.domains);
      const v = randomVariables(random, holdingDomain(holding));
      const evaluator = createEvaluator(holding.problem, 1);
      const { demand, point } = evaluator.evaluate(v);
      const { result, path, swivels } = evaluator.describe(v);
      if (result.kind !== 'slips' || result.force === 0) continue;
      const { origin, size } = stemFrame(cart.castors);
      const [vx, vy] = result.velocity;
      const { rotation } = result;
      const twist = {
        vx: vx - rotation * (origin[1] - path.pointY),
        vy: vy + rotation * (origin[0] - path.pointX),
        w: rotation * size,
      };
      // As it says the castors stand; those that trail do so behind this motion.
      const first = cart.domains.length - cart.castors.length;
      const variables = v.map((value, i) => swivels[i - first] ?? value);
      const asked = { variables, target: result.force / demand, factor: 1, point };
      const most = Math.max(Math.abs(twist.vx), Math.abs(twist.vy), Math.abs(twist.w));
      const found = slackAt(cart, asked, twist, STILL * most);
      expect(found, `cart ${k}`).not.toBeNull();
      moved += 1;
      // Per unit speed of the loaded point, as the force is.
      const share = Math.abs(found?.slack ?? Number.NaN) / (found?.weight ?? 0);
      expect(share, `cart ${k}`).toBeLessThan(BALANCE);
    }
    expect(moved).toBeGreaterThan(200);
  });
});

/** Share of the weight. The force of a given motion is found to 1e-9 of itself; but on a ramp limits that
 * do not grow with the load are taken at the force first found, which rounds of trailing then lower. */
const BALANCE = 2e-4;
/** Speed of a stem per greatest component of the motion: the engine takes a castor as turned about, free
 * to trail any way, within this of its stem. */
const STILL = 1e-3;

const WHEEL_LOCK: ReferenceCastor = {
  at: [0, 0],
  wheelDiameter: 0.1,
  trail: 0,
  fixedDirection: null,
  lock: 'wheel',
  brakeTorque: null,
  lockDirections: null,
  swivelMoment: 0.3,
  rollingLength: 0.0022,
  stiffness: 4e5,
  friction: 0.5,
};

function plainCart(
  locks: readonly ReferenceCastor['lock'][],
  change: Partial<ReferenceCastor>,
): ReferenceCart {
  const corners = [
    [0.3, 0.25],
    [0.3, -0.25],
    [-0.3, 0.25],
    [-0.3, -0.25],
  ] as const;
  return {
    parts: [{ mass: 50, at: [0.02, 0.01, 0.4], on: null }],
    movers: [],
    loads: [{ at: [0.1, 0, 0.5], on: null }],
    castors: corners.map((at, i) => ({ ...WHEEL_LOCK, ...change, at, lock: locks[i] ?? 'none' })),
    load: { kind: 'incline', angle: 5 * DEGREE },
    gravity: 9.80665,
  };
}

const CARRIED = [[[0, 4]]] as const;
const ALL_LOCKED = ['wheel', 'wheel', 'wheel', 'wheel'] as const;

/** The same cart in a frame turned by a quarter or mirrored in its long axis. */
function seenAs(cart: ReferenceCart, how: 'turned' | 'mirrored'): ReferenceCart {
  const place = <T extends readonly number[]>([x = 0, y = 0, ...rest]: T): T =>
    [...(how === 'turned' ? [-y, x] : [x, -y]), ...rest] as unknown as T;
  return {
    ...cart,
    parts: cart.parts.map((part) => ({ ...part, at: place(part.at) })),
    loads: cart.loads.map((load) => ({ ...load, at: place(load.at) })),
    castors: cart.castors.map((castor) => ({ ...castor, at: place(castor.at) })),
  };
}

describe('closed forms', () => {
  // The load point lies downhill of the centre of mass, and so does the middle of friction, which
  // goes with the loads: all braked alike, a cart slides straight down at tan(theta) = mu.
  it('all castors braked on an incline: mu / tan(angle), whatever it carries', () => {
    const holding = caseOf(plainCart(ALL_LOCKED, {}), CARRIED);
    const exact = 0.5 / Math.tan(5 * DEGREE);
    const worst = worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT);
    expect(worst.found.tips).toBe(false);
    expect(Math.abs(worst.found.ratio / exact - 1)).toBeLessThan(SMOOTHING);
    expect(worst.proven).toBeLessThanOrEqual(exact);
    expect(worst.proven).toBeGreaterThan(0.75 * exact);
  });

  it('and the factor on friction needed is tan(angle) / mu', () => {
    const holding = caseOf(plainCart(ALL_LOCKED, {}), CARRIED);
    const exact = Math.tan(5 * DEGREE) / 0.5;
    const need = frictionNeed(holding, null, EFFORT);
    expect(Math.abs(need.found / exact - 1)).toBeLessThan(SMOOTHING);
    expect(need.proven).toBeGreaterThanOrEqual(exact * (1 - SMOOTHING));
    expect(need.proven).toBeLessThan(1.15 * exact);
  });

  it('no lock on an incline: it rolls at tan(theta) = b / r, and no friction helps', () => {
    const cart = plainCart(['none', 'none', 'none', 'none'], {});
    const holding = caseOf(cart, CARRIED);
    const worst = worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT);
    const exact = 0.044 / Math.tan(5 * DEGREE);
    expect(Math.abs(worst.found.ratio / exact - 1)).toBeLessThan(SMOOTHING);
    expect(worst.proven).toBeLessThanOrEqual(exact);
    expect(frictionNeed(holding, null, EFFORT)).toMatchObject({
      found: Number.POSITIVE_INFINITY,
      proven: Number.POSITIVE_INFINITY,
    });
  });
});

describe('a force that may point in some directions only', () => {
  const whole = caseOf(plainCart(['total', 'none', 'total', 'none'], {}), CARRIED);
  const at = whole.problem.model.variableCount;
  const all = worstHolding(whole, Number.POSITIVE_INFINITY, EFFORT);
  const worst = all.found.variables[at] as number;

  it('the worst one alone: as much as all of them, to the end of the search', () => {
    const holding: HoldingCase = { ...whole, directions: [[worst, worst]] };
    const { found, proven } = worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT);
    expect(found.variables[at]).toBe(worst);
    expect(Math.abs(found.ratio / all.found.ratio - 1)).toBeLessThan(0.01);
    expect(proven).toBeGreaterThan(0);
    expect(proven).toBeLessThanOrEqual(all.found.ratio);
  });

  it('others: kept to, no less than is proven of all', () => {
    const directions = [
      [-2, -1.5],
      [0.5, 0.5],
    ] as const;
    const holding: HoldingCase = { ...whole, directions };
    const { found, proven } = worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT);
    const direction = found.variables[at] as number;
    expect(directions.some(([from, to]) => from <= direction && direction <= to)).toBe(true);
    expect(found.ratio).toBeGreaterThanOrEqual(all.proven);
    expect(proven).toBeLessThanOrEqual(found.ratio);
  });
});

describe('symmetry and determinism', () => {
  const layouts = [
    ['two locks on one side', ['wheel', 'none', 'wheel', 'none']],
    ['two locks on opposite corners', ['wheel', 'none', 'none', 'wheel']],
  ] as const;

  /** Both brackets hold the same truth, and chance has little room to miss it in three variables. */
  function expectSame(one: HoldingWorst, other: HoldingWorst): void {
    expect(one.proven).toBeGreaterThan(0);
    expect(other.proven).toBeGreaterThan(0);
    expect(one.proven).toBeLessThanOrEqual(other.found.ratio);
    expect(other.proven).toBeLessThanOrEqual(one.found.ratio);
    // Steps end at 1e-3 of a turn about the worst, where the ratio has a kink at worst.
    expect(Math.abs(one.found.ratio / other.found.ratio - 1)).toBeLessThan(0.01);
  }

  it.each(layouts)('%s: turned by a quarter or mirrored it holds as much', (_, locks) => {
    const cart = plainCart(locks, { trail: 0.032 });
    const solve = (seen: ReferenceCart): HoldingWorst =>
      worstHolding(caseOf(seen, CARRIED), Number.POSITIVE_INFINITY, EFFORT);
    const plain = solve(cart);
    expectSame(plain, solve(seenAs(cart, 'turned')));
    expectSame(plain, solve(seenAs(cart, 'mirrored')));
  });

  it('asked twice it says the same to the last digit', () => {
    const holding = caseOf(plainCart(['total', 'none', 'none', 'wheel'], { trail: 0.03 }), CARRIED);
    const solve = () => [
      worstHolding(holding, Number.POSITIVE_INFINITY, EFFORT),
      frictionNeed(holding, null, EFFORT),
    ];
    expect(solve()).toEqual(solve());
  });
});
