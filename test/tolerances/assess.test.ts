import { describe, expect, test } from 'vitest';
import type { Cart, Part } from '../../src/document/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import type { ToleranceOptions, ToleranceReport } from '../../src/tolerances/index.js';
import { assessTolerances } from '../../src/tolerances/index.js';
import { builtIn, HALF_BASE, simpleCart } from '../analysis/simple-cart.js';
import { integral, normalCdf, rectangularSumCdf } from '../reference/distributions.js';
import { onlyClauses } from './one-clause.js';

const TEN = Math.tan((10 * Math.PI) / 180);

function part(name: string, mass: number, height: number, changes: Partial<Part> = {}): Part {
  return {
    name,
    mass,
    massTolerance: 0,
    massDistribution: 'rectangular',
    at: [0, 0, height],
    atTolerance: 0,
    atDistribution: 'rectangular',
    on: null,
    massFrom: 'cart file',
    ...changes,
  };
}

/** The simple cart of these parts with friction `value` within `tolerance`. */
function cartOf(
  parts: readonly Part[],
  friction: Partial<Cart['floor']['friction'][number]> = {},
): Cart {
  const cart = simpleCart([0, 0, 0.5]);
  const treads = cart.floor.friction.map((f) => ({ ...f, tolerance: 0, ...friction }));
  return { ...cart, parts, floor: { ...cart.floor, friction: treads } };
}

/** Two blocks of 500: a half-width of 4 % at the most, in half a second. */
const SHORT: ToleranceOptions = { block: 500, mostTrials: 2000, precision: 0.04, rankingRows: 0 };

function reportOf(
  cart: Cart,
  set: RequirementSet,
  options: ToleranceOptions = SHORT,
): ToleranceReport {
  const result = assessTolerances(cart, set, options);
  if (result.kind !== 'assessed') throw new Error('nothing stated');
  return result.report;
}

/** The counted probability is within four of its standard deviations of the exact one: a false alarm
 * in 15 000. */
function agrees({ findings, trials }: ToleranceReport, id: string, exact: number): void {
  const found = findings.find((finding) => finding.id === id)?.probability?.value ?? Number.NaN;
  const deviation = Math.sqrt((exact * (1 - exact)) / trials);
  expect(Math.abs(found - exact)).toBeLessThanOrEqual(4 * deviation);
}

describe('the probability of passing is that of a closed form', () => {
  test('friction alone: P(mu >= tan 10 deg) on the ramp, all castors locked (seed 1)', () => {
    const cart = cartOf([part('body', 50, 0.5)], { value: 0.18, tolerance: 0.02 });
    const report = reportOf(cart, onlyClauses('unwanted-movement-transport'));
    agrees(report, 'unwanted-movement-transport', (0.2 - TEN) / 0.04);
  });

  test('friction of a triangular distribution (seed 2)', () => {
    const triangular = { value: 0.18, tolerance: 0.02, distribution: 'triangular' } as const;
    const cart = cartOf([part('body', 50, 0.5)], triangular);
    const report = reportOf(cart, onlyClauses('unwanted-movement-transport'), {
      ...SHORT,
      seed: 2,
    });
    // below the middle: F(x) = (1 + x)^2 / 2
    const x = (TEN - 0.18) / 0.02;
    agrees(report, 'unwanted-movement-transport', 1 - (1 + x) ** 2 / 2);
  });

  test('the mass of one part high up: the centre of mass must stay below d / tan 10 deg (seed 3)', () => {
    // (30 * 0.3 + m * 2.2) / (30 + m) = d / tan 10
    const z = HALF_BASE / TEN;
    const most = (30 * (z - 0.3)) / (2.2 - z);
    const nominal = Math.round(most);
    const parts = [part('base', 30, 0.3), part('head', nominal, 2.2, { massTolerance: 4 })];
    const report = reportOf(cartOf(parts), onlyClauses('overbalance-transport'), {
      ...SHORT,
      seed: 3,
    });
    agrees(report, 'overbalance-transport', (most - (nominal - 4)) / 8);
  });

  test('two masses: a linear condition, by convolution of two rectangulars (seed 4)', () => {
    const z = HALF_BASE / TEN;
    // m1 (h1 - z) + m2 (h2 - z) <= 0
    const [m1, m2, h1, h2] = [30, 48, 0.3, 2.1];
    const parts = [
      part('base', m1, h1, { massTolerance: 2 }),
      part('head', m2, h2, { massTolerance: 3 }),
    ];
    const report = reportOf(cartOf(parts), onlyClauses('overbalance-transport'), {
      ...SHORT,
      seed: 4,
    });
    const middle = m1 * (h1 - z) + m2 * (h2 - z);
    const widths = [2 * Math.abs(h1 - z), 3 * Math.abs(h2 - z)];
    const exact = rectangularSumCdf(-middle, widths);
    expect(exact).toBeGreaterThan(0.05);
    expect(exact).toBeLessThan(0.95);
    agrees(report, 'overbalance-transport', exact);
  });

  test('three coordinates of one place: the lesser edge distance over the height, by quadrature (seed 5)', () => {
    const [height, tolerance] = [1.32, 0.03];
    const cart = cartOf([part('body', 50, height, { atTolerance: tolerance })]);
    const report = reportOf(cart, onlyClauses('overbalance-transport'), { ...SHORT, seed: 5 });
    // the farther of two coordinates m has density 2 m / t^2; the height passes below (d - m) / tan 10
    const passing = (m: number): number => {
      const share = ((HALF_BASE - m) / TEN - (height - tolerance)) / (2 * tolerance);
      return ((2 * m) / tolerance ** 2) * Math.max(0, Math.min(1, share));
    };
    const exact = integral(passing, 0, tolerance, 20_000);
    expect(exact).toBeGreaterThan(0.05);
    agrees(report, 'overbalance-transport', exact);
  });

  test('friction and ramp: mu >= tan(10 deg + offset), by quadrature (seed 6)', () => {
    const cart = cartOf([part('body', 50, 0.5)], { value: 0.18, tolerance: 0.02 });
    const ramp = { tolerance: 0.01, relative: false, distribution: 'rectangular' } as const;
    const uncertain = { ...cart, uncertainty: { 'ramp angle': ramp } };
    const report = reportOf(uncertain, onlyClauses('unwanted-movement-transport'), {
      ...SHORT,
      seed: 6,
    });
    const passing = (offset: number): number =>
      Math.max(0, Math.min(1, (0.2 - Math.tan(Math.atan(TEN) + offset)) / 0.04)) / 0.02;
    agrees(report, 'unwanted-movement-transport', integral(passing, -0.01, 0.01));
  });

  test('of all together is that of the one that fails first, where one input decides both (seed 7)', () => {
    // 5 deg in use needs less friction than 10 deg in transport
    const cart = cartOf([part('body', 50, 0.5)], { value: 0.15, tolerance: 0.1 });
    const set = onlyClauses('unwanted-movement-transport', 'unwanted-movement-use');
    const report = reportOf(cart, set, { ...SHORT, seed: 7 });
    const [transport, use] = report.findings;
    agrees(report, 'unwanted-movement-use', (0.25 - Math.tan((5 * Math.PI) / 180)) / 0.2);
    expect(report.together).toEqual(transport?.probability);
    expect(use?.probability?.value).toBeGreaterThan(transport?.probability?.value ?? 1);
    expect(report.governing).toBe('unwanted-movement-transport');
  });
});

describe('the reserve', () => {
  test('has the mean, uncertainty and interval of its closed form (seed 8)', () => {
    const cart = cartOf([part('body', 50, 0.5)], { value: 0.3, tolerance: 0.06 });
    const report = reportOf(cart, onlyClauses('unwanted-movement-transport'), {
      ...SHORT,
      seed: 8,
    });
    const { reserve } = report.findings[0] ?? {};
    // capacity atan(mu) over 10 deg, increasing in mu: quantiles go through
    const ten = Math.atan(TEN);
    const at = (p: number): number => Math.atan(0.24 + 0.12 * p) / ten;
    expect(reserve?.converged).toBe(true);
    const { tolerance = 0 } = reserve ?? {};
    const mean = integral(at, 0, 1);
    const variance = integral((p) => (at(p) - mean) ** 2, 0, 1);
    // known to the numerical tolerance with 95 %: twice that for a false alarm in 15 000
    expect(Math.abs((reserve?.mean ?? 0) - mean)).toBeLessThan(2 * tolerance);
    expect(Math.abs((reserve?.standard ?? 0) - Math.sqrt(variance))).toBeLessThan(2 * tolerance);
    expect(Math.abs((reserve?.symmetric.from ?? 0) - at(0.025))).toBeLessThan(2 * tolerance);
    expect(Math.abs((reserve?.symmetric.to ?? 0) - at(0.975))).toBeLessThan(2 * tolerance);
  });
});

describe('a finding that is not always asked', () => {
  const set = onlyClauses('horizontal-force');

  test('counts as met where it is not, and says how often it is (asked from 25 kg on, seed 9)', () => {
    // tips at W d / h = 0.15 W / 1.1, where 15 % of the weight are asked: it fails if asked
    const off: Partial<Part> = { at: [0.1, 0, 0.4], massTolerance: 0.5 };
    const tall = cartOf([part('body', 24.8, 0.4, off)]);
    const outline = tall.outline.map((body) => ({
      ...body,
      shape: { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 1.1] } as const,
    }));
    const report = reportOf({ ...tall, outline }, set, { ...SHORT, seed: 9 });
    const [finding] = report.findings;
    agrees(report, 'horizontal-force', (25 - 24.3) / 1);
    expect(finding?.applied).toBeCloseTo(1 - (finding?.probability?.value ?? 0), 12);
    expect(finding?.kind).toBe('judged');
  });

  test('is told apart from one that never is', () => {
    const cart = cartOf([part('body', 20, 0.4, { massTolerance: 0.5 })]);
    expect(reportOf(cart, set).findings[0]).toMatchObject({ kind: 'never asked', applied: 0 });
  });

  test('is not judged where something is not given, and takes no part in the whole', () => {
    const cart = cartOf([part('body', 50, 0.4, { massTolerance: 0.5 })]);
    const outline = cart.outline.map((body) => ({ ...body, pushable: false }));
    const report = reportOf({ ...cart, outline }, onlyClauses('horizontal-force', 'propulsion'));
    expect(report.findings[0]).toMatchObject({ kind: 'not known', probability: null });
    expect(report.findings[0]?.reason).toContain('push');
    expect(report.together?.value).toBe(1);
  });
});

describe('which input matters most', () => {
  const ranked: ToleranceOptions = { ...SHORT, rankingRows: 400 };

  test('shares the variance of a sum as its parts (seed 10)', () => {
    // all castors but one carry the cart: reserve = rating / mass, all but linear in the masses
    const parts = [
      part('light', 20, 0.3, { massTolerance: 0.3 }),
      part('heavy', 30, 0.3, { massTolerance: 0.6 }),
    ];
    const report = reportOf(cartOf(parts), onlyClauses('castor-missing'), { ...ranked, seed: 10 });
    const [first, second] = report.findings[0]?.effects ?? [];
    expect(first?.input).toBe('mass of heavy');
    expect(second?.input).toBe('mass of light');
    for (const [effect, share] of [
      [first, 0.8],
      [second, 0.2],
    ] as const) {
      const { value, from, to } = effect?.total ?? { value: 0, from: 0, to: 0 };
      expect(Math.abs(value - share)).toBeLessThan(to - from);
    }
  });

  test('gives the change by each input alone in the unit of the finding', () => {
    const parts = [part('body', 50, 0.5, { massTolerance: 0.5 })];
    const trail = { tolerance: 0.002, relative: false, distribution: 'rectangular' } as const;
    const cart = { ...cartOf(parts), uncertainty: { trail } };
    const report = reportOf(cart, onlyClauses('overbalance-transport', 'castor-missing'), SHORT);
    const [tips, carries] = report.findings;
    const of = (finding: typeof tips, input: string) =>
      finding?.effects.find((effect) => effect.input === input);
    // atan(d / z): a longer trail takes from the distance of the tipping line
    const change = (by: number): number => Math.atan((HALF_BASE - by) / 0.5) - Math.atan(0.5);
    expect(of(tips, 'trail of all castors')?.high).toBeCloseTo(change(0.002), 9);
    expect(of(tips, 'trail of all castors')?.low).toBeCloseTo(change(-0.002), 9);
    expect(of(tips, 'mass of body')?.high).toBeCloseTo(0, 12);
    expect(of(carries, 'mass of body')?.high).toBeCloseTo(-0.5, 9);
  });

  test('leaves out what moves nothing, and says so', () => {
    const parts = [part('body', 50, 0.5, { massTolerance: 0.5 })];
    const cart = cartOf(parts, { value: 0.3, tolerance: 0.05 });
    // mass moves no holding angle of a cart whose brakes outlast the tread
    const report = reportOf(cart, onlyClauses('unwanted-movement-transport'), ranked);
    expect(report.inputs.map(({ name, ranked: is }) => [name, is])).toEqual([
      ['mass of body', false],
      ['friction of rubber', true],
    ]);
    expect(report.findings[0]?.effects[0]).toMatchObject({ input: 'friction of rubber' });
  });
});

describe('a run', () => {
  const cart = cartOf([part('body', 50, 0.5, { massTolerance: 1 })], {
    value: 0.18,
    tolerance: 0.02,
  });
  const set = onlyClauses('unwanted-movement-transport');

  test('is the same bit for bit with the same seed, and another with another', () => {
    const [first, again, other] = [1, 1, 2].map((seed) =>
      reportOf(cart, set, { ...SHORT, rankingRows: 20, seed }),
    );
    expect(again).toEqual(first);
    expect(other?.together).not.toEqual(first?.together);
  });

  test('draws every other input alike when one is added', () => {
    // the added input moves nothing here: had it reshuffled the friction, other trials would pass
    const trail = { tolerance: 0.001, relative: false, distribution: 'rectangular' } as const;
    const more = { ...cart, uncertainty: { 'push force': trail } };
    expect(reportOf(more, set).together).toEqual(reportOf(cart, set).together);
  });

  test('ends and says what is not known well enough when its trials are spent', () => {
    const report = reportOf(cart, set, { ...SHORT, precision: 0.001, block: 100, mostTrials: 300 });
    expect(report.trials).toBe(300);
    expect(report.convergence.kind).toBe('not converged');
    const reasons = report.convergence.kind === 'not converged' ? report.convergence.reasons : [];
    expect(reasons.join()).toContain('unwanted-movement-transport: the probability is known to');
  });

  test('stops as soon as the precision is reached', () => {
    const report = reportOf(cart, set, {
      ...SHORT,
      precision: 0.2,
      block: 100,
      mostTrials: 100_000,
    });
    expect(report.convergence.kind).toBe('converged');
    expect(report.trials).toBeLessThan(5000);
    const { from = 0, to = 1 } = report.together ?? {};
    expect((to - from) / 2).toBeLessThanOrEqual(0.2);
  });

  test('counts draws that would be no cart', () => {
    // a normal part 5 mm above the floor, tolerance 8 mm: a tenth of it would lie below
    const at: Partial<Part> = { at: [0, 0, 0.005], atTolerance: 0.008, atDistribution: 'normal' };
    const report = reportOf(cartOf([part('body', 50, 0.5), part('plate', 5, 0.005, at)]), set);
    const height = report.inputs.find(({ name }) => name === 'height of plate');
    const outside = 1 - normalCdf(0.005 / 0.004);
    const expected = (report.trials * outside) / (1 - outside);
    expect(Math.abs((height?.redrawn ?? 0) - expected)).toBeLessThan(4 * Math.sqrt(expected) + 1);
  });

  test('asks for nothing to be made up: a cart without tolerances says so', () => {
    expect(assessTolerances(cartOf([part('body', 50, 0.5)]), set)).toEqual({
      kind: 'nothing stated',
      cart: 'Simple cart',
    });
  });

  test('reports progress and carries the cautions', () => {
    const seen: string[] = [];
    const options = {
      ...SHORT,
      onProgress: (_d: number, _t: number, what: string) => seen.push(what),
    };
    const report = reportOf(cart, set, options);
    expect(new Set(seen)).toContain('trials at most');
    expect(report.cautions.length).toBeGreaterThan(0);
  });
});

describe('what fails without a ratio', () => {
  test('fails every trial: the cart tips without one castor', () => {
    const laboratory = builtIn('iec-61010-1-3');
    const clauses = laboratory.clauses.filter(({ id }) => id === 'castor-missing');
    const report = reportOf(cartOf([part('body', 50, 0.5, { massTolerance: 1 })]), {
      ...laboratory,
      clauses,
    });
    const [missing] = report.findings;
    expect(missing?.probability?.value).toBe(0);
    expect(missing?.reserve).toBeNull();
    expect(report.together?.value).toBe(0);
  });
});
