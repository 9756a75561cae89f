/** One closed form for each question. Statics of a rigid body, computed here from the stated inputs. */

import { describe, expect, test } from 'vitest';
import type { CheckOptions, Finding } from '../../src/analysis/index.js';
import { checkCart } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import { builtIn, CORNERS, castorAt, HALF_BASE, simpleCart, withValue } from './simple-cart.js';

const G = 9.80665; // m/s^2, standard gravity
const W = 50 * G;
const DEGREE = Math.PI / 180;
const MEDICAL = builtIn('iec-60601-1-3.2');

function ask(cart: Cart, id: string, set = MEDICAL, options: CheckOptions = {}): Finding {
  const { findings } = checkCart(cart, set, { ...options, only: id });
  const [finding] = findings;
  if (finding === undefined || findings.length !== 1)
    throw new Error(`${findings.length} findings`);
  return finding;
}

/** The searches close to 1e-6 of the value; closed forms with one configuration are exact to that. */
function close(value: number | undefined, expected: number): void {
  expect(value).toBeDefined();
  expect(Math.abs((value ?? Number.NaN) - expected)).toBeLessThanOrEqual(2e-6 * Math.abs(expected));
}

describe('overbalance', () => {
  // check-values item 5: half base 0.25 m, height 0.90 m: 15.52 deg; 1.00 m: 14.04 deg; half of the
  // last printed digit
  test.each([
    [0.9, 15.52],
    [1.0, 14.04],
  ])('half base 0.25 m, centre of mass at %s m: tips at %s deg', (height, angle) => {
    const found = ask(simpleCart([0, 0, height]), 'overbalance-transport');
    expect(found.verdict).toBe('holds');
    expect(Math.abs((found.capacity?.value ?? 0) / DEGREE - angle)).toBeLessThan(0.005);
  });

  test('a higher centre of mass fails, with the line named', () => {
    const found = ask(simpleCart([0.05, 0, 1.2]), 'overbalance-transport');
    expect(found.verdict).toBe('fails');
    close(found.capacity?.value, Math.atan((HALF_BASE - 0.05) / 1.2));
    expect(found.mode).toMatchObject({ kind: 'tips', castors: ['front right', 'front left'] });
    expect(found.because).toBe('It tips at 9.462 deg where 10 deg is asked.');
  });

  test('in use below the mark incline: holds, a marking is due', () => {
    const found = ask(simpleCart([0, 0, 1.6]), 'overbalance-use');
    expect(found.verdict).toBe('holds');
    expect(found.notes).toContain(
      'It would tip at 10 deg (it tips at 8.881 deg): a marking is due.',
    );
    const low = ask(simpleCart([0, 0, 0.5]), 'overbalance-use');
    expect(low.notes).toContain('It does not tip at 10 deg either: no marking is due.');
  });

  test('castors that leave no supported area: tips on the level', () => {
    const castors = CORNERS.map(([name, at]) => ({ ...castorAt(name, at, 'none'), trail: 0.3 }));
    const found = ask(simpleCart([0, 0, 0.5], { castors }), 'overbalance-transport');
    expect(found).toMatchObject({ verdict: 'fails', mode: null });
    expect(found.capacity?.value).toBe(0);
  });
});

describe('forces that tip', () => {
  test('horizontal: F h = W d, at the top of the box', () => {
    const found = ask(simpleCart([0, 0, 0.5]), 'horizontal-force');
    close(found.capacity?.value, (W * HALF_BASE) / 1);
    close(found.demand?.value, 0.15 * W);
    expect(found.worst?.point?.[2]).toBe(1);
  });

  // check-values item 2: 250 lb on a base of 32 in: a push of 60 lb tips above 66.67 in
  test('250 lb, base 32 in, pushed with 60 lb: tips above 66.67 in', () => {
    const [pound, inch] = [0.45359237, 0.0254];
    const castors = CORNERS.map(([name, [x, y]]) => ({
      ...castorAt(name, [Math.sign(x) * 16 * inch, Math.sign(y) * 16 * inch], 'total'),
      trail: 0,
    }));
    const at = (height: number): Finding => {
      const cart = simpleCart([0, 0, 0.5], { castors });
      const parts = cart.parts.map((part) => ({ ...part, mass: 250 * pound }));
      const shape = { kind: 'box', from: [-0.2, -0.2, 0], to: [0.2, 0.2, height * inch] } as const;
      const outline = [{ name: 'box', on: null, shape, pushable: true }];
      const share = withValue(MEDICAL, 'horizontal-force', 'weight-fraction', 60 / 250);
      const capped = withValue(share, 'horizontal-force', 'force-cap', 1000);
      const high = withValue(capped, 'horizontal-force', 'greatest-height', 2);
      return ask({ ...cart, parts, outline }, 'horizontal-force', high);
    };
    expect(at(66.66).verdict).toBe('holds');
    expect(at(66.68).verdict).toBe('fails');
  });

  test('downward on a foothold outside the line: P l = W d', () => {
    const surface = {
      name: 'step',
      kind: 'foothold',
      on: null,
      from: [0.4, -0.2],
      to: [0.6, 0.2],
      height: 0.1,
    } as const;
    const found = ask(simpleCart([0, 0, 0.5], { surfaces: [surface] }), 'downward-force');
    // foothold: a strip of 5 cm x 20 cm, its middle 2.5 cm inside the edge
    close(found.capacity?.value, (W * HALF_BASE) / (0.575 - HALF_BASE));
    expect(found.verdict).toBe('fails');
    expect(found.demand?.value).toBe(800);
  });

  test('downward inside the lines: unlimited, and said so', () => {
    const surface = {
      name: 'seat',
      kind: 'seat',
      on: null,
      from: [-0.2, -0.2],
      to: [0.2, 0.2],
      height: 0.5,
    } as const;
    const found = ask(simpleCart([0, 0, 0.5], { surfaces: [surface] }), 'downward-force');
    expect(found.verdict).toBe('holds');
    expect(found.capacity?.value).toBe(Number.POSITIVE_INFINITY);
    expect(found.worst).toBeNull();
    expect(found.because).toContain('always stands inside the tipping lines');
  });

  test('level and downward together: r (F h + P l) = W d', () => {
    const shape = { kind: 'box', from: [-0.4, -0.2, 0.1], to: [0.4, 0.2, 1] } as const;
    const outline = [{ name: 'box', on: null, shape, pushable: true }];
    const found = ask(
      simpleCart([0, 0, 0.5], { outline }),
      'combined-force',
      builtIn('iec-62368-1-2018'),
    );
    const asked = 0.13 * W;
    close(found.demand?.value, asked);
    const turning = asked * 1 + 100 * (0.4 - HALF_BASE);
    close(found.capacity?.value, (asked * W * HALF_BASE) / turning);
  });

  test('nothing pushable: not decided, and what is missing', () => {
    const found = ask(simpleCart([0, 0, 0.5], { outline: [] }), 'horizontal-force');
    expect(found.verdict).toBe('not decided');
    expect(found.proof).toEqual({ kind: 'none', reason: 'the outline names no pushable body' });
  });
});

describe('rolling', () => {
  test('propulsion: N b / r, and the corner with M_s / t at the start', () => {
    const found = ask(simpleCart([0, 0, 0.5]), 'propulsion');
    // Trailing backwards, the contacts stand 0.03 m behind the stems: the front row carries more.
    const start = [1, -1].reduce((sum, side) => {
      const load = (W / 4) * (1 + (side * 0.03) / 0.28);
      return sum + 2 * Math.hypot((load * 0.0022) / 0.0625, 0.3 / 0.03);
    }, 0);
    close(found.demand?.value, start);
    const sustained = (W * 0.0022) / 0.0625;
    expect(found.because).toContain(`moving it on ${Number(sustained.toPrecision(4))} N`);
    expect(found.verdict).toBe('holds');
  });

  test('threshold: wheels stopped dead, a point mass: v^2 = 2 g (R - z) R^2 / z^2', () => {
    const heavy = withValue(MEDICAL, 'threshold', 'mass-above', 0);
    const found = ask(simpleCart([0, 0, 0.5]), 'threshold', heavy);
    const radius = Math.hypot(HALF_BASE, 0.5);
    close(found.capacity?.value, Math.sqrt(2 * G * (radius - 0.5)) * (radius / 0.5));
    close(found.demand?.value, 0.9);
    // check-values item 6: r 62.5 mm, h 10 mm: F / W 0.6459, half of the last printed digit; the
    // leading row carries N = W (x_rear to centre) / (distance of the rows), castors trailing
    const climb = found.working.at(-1)?.value.value ?? 0;
    const row = (W * (0.28 + 0.03)) / 0.56;
    expect(Math.abs(climb / row - 0.6459)).toBeLessThan(5e-5);
  });

  test('threshold as high as the axle: stops', () => {
    const castors = CORNERS.map(([name, at]) => ({
      ...castorAt(name, at, 'none'),
      wheelDiameter: 0.02,
    }));
    const found = ask(simpleCart([0, 0, 0.5], { castors }), 'threshold');
    expect(found).toMatchObject({ verdict: 'fails', mode: { kind: 'stops' } });
    expect(found.capacity).toEqual({ value: 0.01, dimension: 'length' });
  });
});

describe('castors and handles', () => {
  test('castor load of a cart on castors without trail: W / 4 (1 + x / s)', () => {
    const castors = CORNERS.map(([name, at]) => ({ ...castorAt(name, at, 'none'), trail: 0 }));
    const found = ask(simpleCart([0.07, 0, 0.5], { castors }), 'castor-rating');
    close(found.demand?.value, (W / 4) * (1 + 0.07 / 0.28));
    close(found.capacity?.value, 60 * G);
    expect(found.verdict).toBe('holds');
  });

  test('a rating that is not stated: not decided, and which', () => {
    const castors = CORNERS.map(([name, at], i) => ({
      ...castorAt(name, at, 'none'),
      rating: i === 2 ? null : 60,
    }));
    const cart = simpleCart([0, 0, 0.5], { castors });
    const found = ask(cart, 'castor-rating');
    expect(found.verdict).toBe('not decided');
    expect(found.because).toContain('the rating of rear left is not stated');
    expect(ask(cart, 'castor-missing').verdict).toBe('not decided');
  });

  test('ratings of three of four', () => {
    const found = ask(simpleCart([0, 0, 0.5]), 'castor-missing');
    expect(found.capacity).toEqual({ value: 180, dimension: 'mass' });
    close(found.demand?.value, 50);
  });

  test('balance without the most loaded of four: tips', () => {
    const found = ask(simpleCart([0, 0, 0.5]), 'castor-missing', builtIn('iec-61010-1-3'));
    // The line of two opposite stems, shrunk by the trail, leaves the centre outside by the trail.
    close(found.capacity?.value, -0.03);
    expect(found.verdict).toBe('fails');
  });

  test('handles: the lever rule times the factor', () => {
    const handle = (name: string, x: number, rating: number | null) =>
      ({ name, on: null, at: [x, 0, 0.8], kind: 'lifting', rating }) as const;
    const handles = [handle('front', 0.3, 1500), handle('rear', -0.3, 1500)];
    const found = ask(simpleCart([0.1, 0, 0.5], { handles }), 'handles');
    close(found.demand?.value, (4 * W * (0.3 + 0.1)) / 0.6);
    expect(found.verdict).toBe('holds');
    const unknown = [handle('front', 0.3, 1500), handle('rear', -0.3, null)];
    const open = ask(simpleCart([0.1, 0, 0.5], { handles: unknown }), 'handles');
    expect(open.verdict).toBe('not decided');
  });
});

describe('locks', () => {
  const LOW = { kind: 'box', from: [-0.2, -0.2, 0.05], to: [0.2, 0.2, 0.1] } as const;
  const outline = [{ name: 'box', on: null, shape: LOW, pushable: true }];

  function measured(cart: Cart, value: number): Cart {
    const friction = [
      {
        tread: 'rubber',
        value,
        tolerance: 0.02,
        distribution: 'rectangular',
        readings: null,
        basis: 'measured',
      },
    ] as const;
    return { ...cart, floor: { ...cart.floor, friction } };
  }

  test('all locked: slides at μ W, low end of the tolerance', () => {
    const cart = measured(simpleCart([0, 0, 0.1], { outline }), 0.32);
    const found = ask(cart, 'unwanted-movement-push');
    close(found.capacity?.value, 0.3 * W);
    expect(found.verdict).toBe('holds');
    expect(found.mode?.kind).toBe('slides');
  });

  test('on an incline: atan μ', () => {
    const cart = measured(simpleCart([0, 0, 0.1], { outline }), 0.32);
    const found = ask(cart, 'unwanted-movement-transport');
    close(found.capacity?.value, Math.atan(0.3));
    expect(found.verdict).toBe('holds');
  });

  test('measured too low: fails', () => {
    const cart = measured(simpleCart([0, 0, 0.1], { outline }), 0.16);
    expect(ask(cart, 'unwanted-movement-push').verdict).toBe('fails');
  });

  test('assumed: depends on friction, with the coefficient needed', () => {
    const found = ask(simpleCart([0, 0, 0.1], { outline }), 'unwanted-movement-push');
    expect(found.verdict).toBe('depends on friction');
    expect(found.because).toMatch(/depends on friction: needs 0\.15\d?\.$/);
    expect(found.frictionNeeded?.kind).toBe('value');
    if (found.frictionNeeded?.kind !== 'value') return;
    close(found.frictionNeeded.found, 0.15);
    expect(found.frictionNeeded.proven).toBeGreaterThanOrEqual(found.frictionNeeded.found);
  });

  test('assumed at most less than needed: fails, with both', () => {
    const friction = [
      {
        tread: 'rubber',
        value: 0.1,
        tolerance: 0.02,
        distribution: 'rectangular',
        readings: null,
        basis: 'assumed',
      },
    ] as const;
    const cart = simpleCart([0, 0, 0.1], { outline, floor: { name: 'ice', friction } });
    const found = ask(cart, 'unwanted-movement-push');
    expect(found.verdict).toBe('fails');
    expect(found.because).toContain('needs 0.15, assumed at most 0.12');
  });

  test('no locks: fails, rolls', () => {
    const castors = CORNERS.map(([name, at]) => castorAt(name, at, 'none'));
    const found = ask(simpleCart([0, 0, 0.3], { castors }), 'unwanted-movement-push');
    expect(found).toMatchObject({ verdict: 'fails', mode: { kind: 'rolls' } });
    expect(found.frictionNeeded?.kind).toBe('none suffices');
    expect(found.because).toContain('No wheel is locked.');
  });

  test('tipping first: fails whatever the friction', () => {
    const shape = { kind: 'box', from: [-0.2, -0.2, 0.1], to: [0.2, 0.2, 1.9] } as const;
    const tall = [{ name: 'box', on: null, shape, pushable: true }];
    const fixed: RequirementSet = withValue(
      MEDICAL,
      'unwanted-movement-push',
      'weight-fraction',
      0.2,
    );
    const found = ask(simpleCart([0, 0, 0.8], { outline: tall }), 'unwanted-movement-push', fixed);
    expect(found).toMatchObject({ verdict: 'fails', mode: { kind: 'tips' } });
    close(found.capacity?.value, (W * HALF_BASE) / 1.5);
    expect(found.frictionNeeded?.kind).toBe('none suffices');
  });

  test('wheel locks pivot first: said in the notes, twice the trail', () => {
    const castors = CORNERS.map(([name, at]) => castorAt(name, at, 'wheel'));
    const found = ask(simpleCart([0, 0, 0.1], { outline, castors }), 'unwanted-movement-push');
    expect(found.notes.some((note) => note.includes('by up to 60 mm (twice the trail)'))).toBe(
      true,
    );
  });
});
