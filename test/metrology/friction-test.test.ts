import { describe, expect, test } from 'vitest';
import type { FrictionResult, SlipReading } from '../../src/metrology/index.js';
import { expanded, frictionShown } from '../../src/metrology/index.js';
import { seededRandom } from '../reference/random.js';

const degrees = Math.PI / 180;
/** m/s2, 3rd General Conference on Weights and Measures, 1901 */
const GRAVITY = 9.80665;

function angle(of: number, u = 0.2): SlipReading {
  return { kind: 'slip angle', angle: of * degrees, u: u * degrees };
}

function pull(force: number, u = 0.5, mass = 20, massU = 0.02): SlipReading {
  return { kind: 'pull', force, u, mass, massU };
}

function resultOf(readings: readonly SlipReading[]): FrictionResult {
  const outcome = frictionShown(readings);
  if (outcome.kind === 'refused') {
    throw new Error(outcome.problems.join('\n'));
  }
  return outcome.result;
}

describe('one reading', () => {
  test('45 degrees is a coefficient of 1, and an error of the angle counts twice', () => {
    const { coefficient, each, spread, remarks } = resultOf([angle(45)]);
    expect(coefficient.value).toBeCloseTo(1, 12);
    expect(each).toEqual([coefficient.value]);
    expect(spread).toBeNull();
    expect(coefficient.lines).toHaveLength(1);
    expect(coefficient.u).toBeCloseTo(2 * 0.2 * degrees, 12);
    expect(remarks).toEqual(['One reading only: how well it repeats is not known.']);
  });

  test('a pull of the whole weight is a coefficient of 1', () => {
    const { coefficient } = resultOf([pull(20 * GRAVITY, 2, 20, 0.1)]);
    expect(coefficient.value).toBeCloseTo(1, 12);
    // relative uncertainties combine: 2 N of 196 N and 0.1 kg of 20 kg (JCGM 100, 5.1.6)
    expect(coefficient.u).toBeCloseTo(Math.hypot(2 / (20 * GRAVITY), 0.1 / 20), 12);
  });
});

describe('several readings', () => {
  const angles = [20, 21, 22, 23, 24].map((one) => angle(one));

  test('the mean of the coefficients, not the coefficient of the mean', () => {
    const { coefficient, each } = resultOf(angles);
    const tangents = [20, 21, 22, 23, 24].map((one) => Math.tan(one * degrees));
    expect(each).toEqual(tangents);
    expect(coefficient.value).toBeCloseTo(tangents.reduce((a, b) => a + b) / 5, 14);
  });

  test('scatter is type A with n - 1 degrees of freedom, the instrument type B', () => {
    const { coefficient, spread } = resultOf(angles);
    const [scatter, instrument] = coefficient.lines;
    expect(scatter).toMatchObject({ source: 'scatter of the readings', type: 'A', dof: 4 });
    expect(scatter?.contribution).toBeCloseTo((spread ?? 0) / Math.sqrt(5), 12);
    expect(instrument).toMatchObject({ source: 'angle of slip', type: 'B', dof: null });
  });

  test('an error of the instrument is not made smaller by reading more often', () => {
    const [one] = resultOf([angle(22)]).coefficient.lines;
    const many = resultOf(new Array(50).fill(angle(22))).coefficient;
    expect(many.lines[1]?.contribution).toBeCloseTo(one?.contribution ?? 0, 12);
    expect(many.lines[0]?.contribution).toBe(0);
  });

  test('pulls have lines for force and mass', () => {
    const { coefficient } = resultOf([pull(78), pull(80), pull(82), pull(79), pull(81)]);
    expect(coefficient.lines.map((line) => line.source)).toEqual([
      'scatter of the readings',
      'force of the pull',
      'mass on the treads',
    ]);
    expect(coefficient.lines[1]?.sensitivity).toBeCloseTo(1 / (20 * GRAVITY), 12);
    expect(coefficient.lines[2]?.sensitivity).toBeCloseTo(-80 / (400 * GRAVITY), 12);
  });

  test('the 95.45 % interval covers the truth in 95.45 % of 4000 sets of five (seed 23)', () => {
    // scatter normal with 4 % of 0.42, the gauge exact: Student's interval is exact then. The share of 4000
    // has a standard deviation of 0.33 %; four of them
    const random = seededRandom(23);
    const normal = () => Array.from({ length: 12 }, random).reduce((a, b) => a + b) - 6;
    let covered = 0;
    for (let i = 0; i < 4000; i++) {
      const pulls = Array.from({ length: 5 }, () =>
        pull(0.42 * (1 + 0.04 * normal()) * 20 * GRAVITY, 0, 20, 0),
      );
      const { coefficient } = resultOf(pulls);
      covered += Math.abs(coefficient.value - 0.42) <= expanded(coefficient).U ? 1 : 0;
    }
    expect(Math.abs(covered / 4000 - 0.9545)).toBeLessThan(0.0133);
  });
});

describe('remarks', () => {
  const five = [20.8, 21, 21.2, 21.1, 20.9].map((one) => angle(one));

  test('five that repeat well have none', () => {
    expect(resultOf(five).remarks).toEqual([]);
  });

  test('three are few: k is 4.5 (JCGM 100, table G.2)', () => {
    expect(resultOf(five.slice(0, 3)).remarks.join()).toContain('counts 4.5 times for 95 %');
  });

  test('a wide spread is named with its ends', () => {
    const wide = [14, 18, 22, 26, 30].map((one) => angle(one));
    expect(resultOf(wide).remarks.join()).toContain('from 0.249 to 0.577');
  });

  test('angles and pulls that do not agree', () => {
    const mu = Math.tan(21 * degrees);
    const same = [77, 75, 76, 74.5, 75.5].map((force) => pull((force / 75.6) * mu * 20 * GRAVITY));
    expect(resultOf([...five, ...same]).remarks).toEqual([]);
    const less = same.map((one) =>
      one.kind === 'pull' ? { ...one, force: 0.9 * one.force } : one,
    );
    expect(resultOf([...five, ...less]).remarks.join()).toContain('more apart than');
  });

  test('an uncertainty that is not stated', () => {
    expect(resultOf(five.map((one) => ({ ...one, u: 0 }))).remarks.join()).toContain(
      'No uncertainty is stated for the angle of slip',
    );
  });
});

describe('refused', () => {
  test.each<[string, readonly SlipReading[], string]>([
    ['no readings', [], 'slip readings: none'],
    ['angle 0', [angle(20), angle(0)], 'slip reading 2: angle 0 deg; allowed: more than 0'],
    [
      'an angle in degrees',
      [{ kind: 'slip angle', angle: 22, u: 0 }],
      'slip reading 1: angle 1260.51 deg',
    ],
    ['angle NaN', [angle(Number.NaN)], 'angle NaN deg'],
    ['u below 0', [angle(20, -1)], 'uncertainty of the angle (rad): -0.0'],
    ['force 0', [pull(0)], 'force (N): 0; allowed: more than 0'],
    ['mass 0', [pull(80, 1, 0)], 'mass (kg): 0; allowed: more than 0'],
    ['mass NaN', [pull(80, 1, Number.NaN)], 'mass (kg): NaN'],
    ['infinite force', [pull(Number.POSITIVE_INFINITY)], 'force (N): Infinity'],
  ])('%s', (_, readings, sentence) => {
    const outcome = frictionShown(readings);
    expect(outcome.kind).toBe('refused');
    expect(outcome.kind === 'refused' ? outcome.problems.join('\n') : '').toContain(sentence);
  });

  test('all problems at once', () => {
    const outcome = frictionShown([pull(0, -1, 0, -1), angle(0)]);
    expect(outcome.kind === 'refused' ? outcome.problems : []).toHaveLength(5);
  });
});
