/** The model against the scales. Known truth: carts whose parts weigh something else than they say. */

import { describe, expect, test } from 'vitest';
import type { Cart, Part } from '../../src/document/index.js';
import type { Reconciliation } from '../../src/judgement/index.js';
import { frictionOf, measuredCart, reconcile, weighingOf } from '../../src/judgement/index.js';
import { chiSquaredLimit } from '../../src/judgement/reconcile.js';
import type { Budget, WeighingResult } from '../../src/metrology/index.js';
import { combined } from '../../src/metrology/index.js';
import type { FrictionBody, WeighingBody } from '../../src/test-record/index.js';
import { simpleCart } from '../analysis/simple-cart.js';
import { normalCdf } from '../reference/distributions.js';
import { seededRandom } from '../reference/random.js';
import { INSTRUMENTS, instrumentsWith, measured } from './run-record.js';
import { weighedAs } from './simulated-weighing.js';

type Loose = Pick<Part, 'mass' | 'at' | 'massTolerance'> & Partial<Part>;

function cartOf(parts: readonly Loose[], changes: Partial<Cart> = {}): Cart {
  const [body] = simpleCart([0, 0, 0.5]).parts;
  if (body === undefined) throw new Error('no part');
  const named = parts.map((each, i): Part => ({ ...body, name: `part ${i + 1}`, ...each }));
  return { ...simpleCart([0, 0, 0.5]), parts: named, ...changes };
}

function result(
  mass: Budget,
  [x, y]: readonly [Budget, Budget],
  height: Budget | null,
): WeighingResult {
  return { mass, x, y, height, line: null, remarks: [] };
}

const VAGUE = measured(0, 1e3);
const TWO = cartOf([
  { mass: 20, at: [0, 0, 0.2], massTolerance: 0.6 },
  { mass: 10, at: [0, 0, 1.2], massTolerance: 0.3 },
]);
const BODY = weighedAs(TWO);

function masses({ parts }: Reconciliation): readonly number[] {
  return parts.map(({ adjusted }) => adjusted);
}

describe('the mass alone (closed form: shares by variance)', () => {
  // u^2 of the parts: 0.12 and 0.03 kg^2; 0.3 kg more with s = 0.1: moves u_i^2 d / (sum u^2 + s^2)
  const found = reconcile(TWO, BODY, result(measured(30.3, 0.1), [VAGUE, VAGUE], null));

  test('each part moves by its variance over all of it', () => {
    expect(masses(found)[0]).toBeCloseTo(20 + (0.12 * 0.3) / 0.16, 9);
    expect(masses(found)[1]).toBeCloseTo(10 + (0.03 * 0.3) / 0.16, 9);
    // d^2 / (sum u^2 + s^2)
    expect(found.chiSquared).toBeCloseTo(0.09 / 0.16, 9);
    expect(found.degrees).toBe(3);
    expect(found.fits).toBe(true);
  });

  test('what is known of each after it: u^2 - u^4 / (sum u^2 + s^2)', () => {
    expect(found.parts[0]?.u).toBeCloseTo(Math.sqrt(0.12 - 0.12 ** 2 / 0.16), 9);
    expect(found.parts[1]?.u).toBeCloseTo(Math.sqrt(0.03 - 0.03 ** 2 / 0.16), 9);
  });

  test('the difference, its E_n, and what is left', () => {
    const [mass] = found.differences;
    expect(mass).toMatchObject({ quantity: 'mass', model: { value: 30 } });
    expect(mass?.difference).toBeCloseTo(0.3, 12);
    expect(mass?.model.u).toBeCloseTo(Math.sqrt(0.15), 12);
    expect(mass?.normalised).toBeCloseTo(0.3 / (2 * Math.hypot(Math.sqrt(0.15), 0.1)), 12);
    expect(mass?.left).toBeCloseTo(0.3 - (0.15 * 0.3) / 0.16, 9);
  });

  test('the edits are the masses', () => {
    expect(found.edits).toEqual([
      { kind: 'part mass', part: 'part 1', mass: masses(found)[0] },
      { kind: 'part mass', part: 'part 2', mass: masses(found)[1] },
    ]);
    expect(reconcile(TWO, BODY, result(measured(30, 0.1), [VAGUE, VAGUE], null)).edits).toEqual([]);
  });
});

describe('the ends of the tolerances', () => {
  test('nothing goes beyond them; what cannot be is said', () => {
    const found = reconcile(TWO, BODY, result(measured(32, 0.05), [VAGUE, VAGUE], null));
    expect(masses(found)).toEqual([20.6, 10.3]);
    expect(found.parts.every(({ atLimit }) => atLimit)).toBe(true);
    expect(found.fits).toBe(false);
    expect(found.remarks.join(' ')).toContain('cannot make the sample that was weighed');
    expect(found.differences[0]?.left).toBeCloseTo(1.1, 9);
  });

  test('masses that are all far off at once fit, and the sum of squares says it', () => {
    const parts = Array.from({ length: 8 }, () => ({
      mass: 5,
      at: [0, 0, 0.5] as const,
      massTolerance: 0.1,
    }));
    const found = reconcile(
      cartOf(parts),
      BODY,
      result(measured(40.75, 0.01), [VAGUE, VAGUE], null),
    );
    expect(found.fits).toBe(true);
    // eight parts of 0.094 kg, u 0.0577: 8 x 2.65
    expect(found.chiSquared).toBeGreaterThan(20);
    expect(found.remarks.join(' ')).toContain('exceeded once in twenty');
  });

  test('parts without a tolerance stay as they are, and are named', () => {
    const cart = cartOf([
      { mass: 20, at: [0, 0, 0.2], massTolerance: 0 },
      { mass: 10, at: [0, 0, 1.2], massTolerance: 0.5 },
    ]);
    const found = reconcile(cart, BODY, result(measured(30.3, 0.01), [VAGUE, VAGUE], null));
    expect(masses(found)[0]).toBe(20);
    expect(found.parts[0]).toMatchObject({ u: 0, atLimit: false });
    expect(found.remarks).toContain(
      'Without a mass tolerance, so taken as exact and not adjusted: part 1.',
    );
    const exact = cartOf([{ mass: 30, at: [0, 0, 0.2], massTolerance: 0 }]);
    const none = reconcile(exact, BODY, result(measured(30.3, 0.01), [VAGUE, VAGUE], null));
    expect(none).toMatchObject({ edits: [], fits: false });
    expect(none.remarks.join(' ')).toContain('nothing can be adjusted');
  });

  test('a tolerance as large as the mass leaves a part', () => {
    const cart = cartOf([{ mass: 2, at: [0, 0, 0.2], massTolerance: 3 }]);
    const found = reconcile(cart, BODY, result(measured(0.001, 0.0001), [VAGUE, VAGUE], null));
    expect(masses(found)[0]).toBeGreaterThan(0);
  });
});

describe('the height tells which of two parts it is', () => {
  test('more mass and a higher centre of mass: it is the upper part', () => {
    const truth = [20, 10.25];
    const mass = 30.25;
    const height = (20 * 0.2 + 10.25 * 1.2) / mass;
    const exact = measured(0, 0.01);
    const found = reconcile(
      TWO,
      BODY,
      result(measured(mass, 0.001), [exact, exact], measured(height, 1e-5)),
    );
    // the scales know it 300 times as well as the tolerances: what the prior takes away is below 1e-3
    masses(found).forEach((each, i) => {
      expect(Math.abs(each - (truth[i] ?? 0))).toBeLessThan(2e-3);
    });
  });

  test('places that are not known weaken what x, y and height say', () => {
    const loose = cartOf([
      { mass: 20, at: [0, 0, 0.2], massTolerance: 0.6, atTolerance: 0.05 },
      { mass: 10, at: [0, 0, 1.2], massTolerance: 0.3, atTolerance: 0.05 },
    ]);
    const weighed = result(
      measured(30, 0.01),
      [measured(0, 1e-4), measured(0, 1e-4)],
      measured(0.55, 1e-4),
    );
    const surely = reconcile(TWO, BODY, weighed).differences[3];
    const hardly = reconcile(loose, BODY, weighed).differences[3];
    // (20^2 + 10^2)^0.5 / 30 of 50 mm / sqrt 3
    const places = (Math.hypot(20, 10) / 30) * (0.05 / Math.sqrt(3));
    expect(Math.sqrt((hardly?.model.u ?? 0) ** 2 - (surely?.model.u ?? 0) ** 2)).toBeCloseTo(
      places,
      9,
    );
    expect(surely?.normalised ?? 0).toBeGreaterThan(hardly?.normalised ?? 1);
    // with the mass weighed, one part gains what the other loses: 0.12 x 0.03 / 0.15 kg^2, 1 m apart on 30 kg
    const masses = 0.024 / 30 ** 2;
    // what the places may be goes to them; the mass is known to 0.01 kg only, which changes the third digit
    const share = (hardly?.left ?? 0) / (hardly?.difference ?? 1);
    expect(share).toBeCloseTo(places ** 2 / (places ** 2 + masses), 2);
  });
});

/** Half the gradient of the sum of squares, by differences of the sum itself. */
function slopesOf(cart: Cart, weighed: WeighingResult, at: readonly number[]): readonly number[] {
  const sum = (masses: readonly number[]): number => {
    const total = masses.reduce((p, q) => p + q, 0);
    const along = (axis: 0 | 1 | 2): number =>
      masses.reduce((p, m, i) => p + m * (cart.parts[i]?.at[axis] ?? 0), 0) / total;
    const squares = cart.parts.map(({ mass, massTolerance }, i) =>
      massTolerance === 0 ? 0 : (((masses[i] ?? 0) - mass) / (massTolerance / Math.sqrt(3))) ** 2,
    );
    const data: readonly (readonly [Budget | null, number])[] = [
      [weighed.mass, total],
      [weighed.x, along(0)],
      [weighed.y, along(1)],
      [weighed.height, along(2)],
    ];
    for (const [budget, value] of data) {
      if (budget !== null) squares.push(((budget.value - value) / budget.u) ** 2);
    }
    return squares.reduce((p, q) => p + q, 0);
  };
  return cart.parts.map(({ massTolerance }, i) => {
    const step = 1e-5 * massTolerance;
    const moved = (by: number) => at.map((each, j) => (i === j ? each + by : each));
    return massTolerance === 0 ? 0 : (sum(moved(step)) - sum(moved(-step))) / (2 * step);
  });
}

interface Simulated {
  readonly cart: Cart;
  readonly truth: readonly number[];
  readonly weighed: WeighingResult;
}

const NOISE = { mass: 0.05, place: 0.001, height: 0.005 };

/** @param spread draws the true mass of a part within or about its tolerance, in standard uncertainties */
function simulated(
  random: () => number,
  spread: (random: () => number) => number,
  distribution: Part['massDistribution'],
): Simulated {
  const gauss = (): number =>
    Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const count = 3 + Math.floor(6 * random());
  const near = () => 0.6 * (random() - 0.5);
  const cart = cartOf(
    Array.from({ length: count }, (_, i) => {
      const mass = i === 0 ? 15 + 20 * random() : 1 + 7 * random();
      const massTolerance = mass * (0.01 + 0.06 * random());
      const at = [near(), near(), i === 0 ? 0.15 : 0.2 + random()] as const;
      return { mass, at, massTolerance, massDistribution: distribution };
    }),
  );
  const width = distribution === 'normal' ? 0.5 : 1 / Math.sqrt(3);
  const truth = cart.parts.map(
    ({ mass, massTolerance }) => mass + spread(random) * massTolerance * width,
  );
  const total = truth.reduce((p, q) => p + q, 0);
  const along = (axis: 0 | 1 | 2): number =>
    truth.reduce((p, m, i) => p + m * (cart.parts[i]?.at[axis] ?? 0), 0) / total;
  const read = (value: number, u: number) => measured(value + u * gauss(), u);
  return {
    cart,
    truth,
    weighed: result(
      read(total, NOISE.mass),
      [read(along(0), NOISE.place), read(along(1), NOISE.place)],
      read(along(2), NOISE.height),
    ),
  };
}

describe('carts of known truth', () => {
  const rectangular = (random: () => number) => Math.sqrt(3) * (2 * random() - 1);
  const normal = (random: () => number) =>
    Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());

  test('100 random carts: nothing is better within the tolerances (seed 21)', () => {
    const random = seededRandom(21);
    let atEnds = 0;
    for (let k = 0; k < 100; k += 1) {
      const wide = (draw: () => number) => 2.2 * rectangular(draw);
      const { cart, weighed } = simulated(random, wide, 'rectangular');
      const found = reconcile(cart, BODY, weighed);
      const slopes = slopesOf(cart, weighed, masses(found));
      found.parts.forEach(({ adjusted, stated, tolerance, atLimit }, i) => {
        const u = tolerance / Math.sqrt(3);
        // differences of a sum of some hundred, over 1e-5 of a tolerance: 1e-8 of it, times u
        const slope = (slopes[i] ?? 0) * u;
        if (atLimit) {
          atEnds += 1;
          expect(slope * Math.sign(adjusted - stated)).toBeLessThan(1e-4);
          expect(Math.abs(adjusted - stated)).toBeCloseTo(tolerance, 12);
        } else {
          expect(Math.abs(slope)).toBeLessThan(1e-4);
          expect(Math.abs(adjusted - stated)).toBeLessThan(tolerance);
        }
      });
    }
    expect(atEnds).toBeGreaterThan(50);
  });

  test('300 carts within their tolerances: nearer to the truth than stated, and they fit (seed 22)', () => {
    const random = seededRandom(22);
    let [stated, adjusted, fits, better] = [0, 0, 0, 0];
    for (let k = 0; k < 300; k += 1) {
      const { cart, truth, weighed } = simulated(random, rectangular, 'rectangular');
      const found = reconcile(cart, BODY, weighed);
      const off = (of: readonly number[]) =>
        truth.reduce((sum, mass, i) => sum + (mass - (of[i] ?? 0)) ** 2, 0);
      const before = off(cart.parts.map(({ mass }) => mass));
      const after = off(masses(found));
      stated += before;
      adjusted += after;
      if (after < before) better += 1;
      if (found.fits) fits += 1;
    }
    // came out as 0.11 of the squares left, 92 % of the carts nearer, 99.7 % fit
    expect(adjusted / stated).toBeLessThan(0.15);
    expect(better / 300).toBeGreaterThan(0.88);
    expect(fits / 300).toBeGreaterThan(0.98);
  });

  test('400 carts, normal tolerances: 2 u covers 95.45 % of the true masses (seed 23)', () => {
    const random = seededRandom(23);
    let [covered, all] = [0, 0];
    for (let k = 0; k < 400; k += 1) {
      const { cart, truth, weighed } = simulated(random, normal, 'normal');
      reconcile(cart, BODY, weighed).parts.forEach(({ adjusted, u }, i) => {
        all += 1;
        if (Math.abs(adjusted - (truth[i] ?? 0)) <= 2 * u) covered += 1;
      });
    }
    // parts of a cart are not independent: four standard deviations of as many carts as draws
    const spread = 4 * Math.sqrt((0.9545 * 0.0455) / 400);
    expect(Math.abs(covered / all - 0.9545)).toBeLessThan(spread);
  });

  test('a part that is missing is found out (seed 24)', () => {
    const random = seededRandom(24);
    for (let k = 0; k < 20; k += 1) {
      const { cart, weighed } = simulated(random, rectangular, 'rectangular');
      const [first] = cart.parts;
      const extra = { ...first, name: 'not there', mass: 6, massTolerance: 0.2 } as Part;
      const found = reconcile({ ...cart, parts: [...cart.parts, extra] }, BODY, weighed);
      expect(found.fits).toBe(false);
    }
  });
});

describe('chi-squared, 95 %, in closed form', () => {
  test('1 to 4 degrees of freedom', () => {
    const [one, two, three, four] = [1, 2, 3, 4].map(chiSquaredLimit) as [
      number,
      number,
      number,
      number,
    ];
    // printed to nine decimals; densities there are below 0.1
    expect(2 * normalCdf(Math.sqrt(one)) - 1).toBeCloseTo(0.95, 8);
    expect(1 - Math.exp(-two / 2)).toBeCloseTo(0.95, 9);
    const root = Math.sqrt(three);
    const density = Math.sqrt(2 / Math.PI) * root * Math.exp(-three / 2);
    expect(2 * normalCdf(root) - 1 - density).toBeCloseTo(0.95, 8);
    expect(1 - Math.exp(-four / 2) * (1 + four / 2)).toBeCloseTo(0.95, 9);
    expect(() => chiSquaredLimit(5)).toThrow(RangeError);
  });
});

describe('the cart as measured', () => {
  const found = reconcile(TWO, BODY, result(measured(30.3, 0.1), [VAGUE, VAGUE], null));
  const friction = new Map([['rubber', measured(0.52, 0.01)]]);

  test('has the adjusted masses with 2 u, and the measured friction with U', () => {
    const cart = measuredCart(TWO, found, friction);
    expect(cart.parts.map(({ mass }) => mass)).toEqual(masses(found));
    expect(cart.parts[0]).toMatchObject({
      massTolerance: 2 * (found.parts[0]?.u ?? 0),
      massDistribution: 'normal',
    });
    expect(cart.floor.friction[0]).toMatchObject({
      value: 0.52,
      tolerance: 0.02,
      distribution: 'normal',
      readings: null,
      basis: 'measured',
    });
  });

  test('few readings widen the tolerance by t', () => {
    const few = combined(0.52, [{ source: 'scatter', type: 'A', u: 0.01, sensitivity: 1, dof: 2 }]);
    const cart = measuredCart(TWO, null, new Map([['rubber', few]]));
    // t for two degrees of freedom, 95.45 %: closed form sqrt(2) x / sqrt(1 - x^2)
    const x = 0.954499736103642;
    expect(cart.floor.friction[0]?.tolerance).toBeCloseTo(
      0.01 * Math.sqrt((2 * x * x) / (1 - x * x)),
      6,
    );
    expect(cart.parts).toEqual(TWO.parts);
  });

  test('what is not of the cart, or not known at all, is refused', () => {
    expect(() => measuredCart(TWO, null, new Map([['wood', measured(0.5, 0.01)]]))).toThrow(
      "measuredCart: no tread 'wood'; allowed: rubber",
    );
    expect(() => measuredCart(TWO, null, new Map([['rubber', measured(0.5, 0.3)]]))).toThrow(
      /known to better than itself/,
    );
  });
});

describe('from the record to the scales and back (ISO 10392:2011, 6.2; statics of test/reference)', () => {
  test('the weighing of a cart gives its mass and centre of mass, and the model agrees', () => {
    const outcome = weighingOf(TWO, BODY, INSTRUMENTS);
    if (outcome.kind === 'refused') throw new Error(outcome.problems.join('\n'));
    const { mass, x, y, height } = outcome.result;
    // readings are typed to 1e-9 kg
    expect(mass.value).toBeCloseTo(30, 7);
    expect(x.value).toBeCloseTo(0, 7);
    expect(y.value).toBeCloseTo(0, 7);
    expect(height?.value).toBeCloseTo(16 / 30, 6);
    const found = reconcile(TWO, BODY, outcome.result);
    expect(found.fits).toBe(true);
    expect(found.differences.every(({ normalised }) => normalised < 1e-3)).toBe(true);
  });

  test('a scale has two steps of its display besides its certificate, under every castor alike', () => {
    const outcome = weighingOf(TWO, BODY, INSTRUMENTS);
    if (outcome.kind === 'refused') throw new Error(outcome.problems.join('\n'));
    const one = Math.hypot(0.02, 0.02 / Math.sqrt(12), 0.02 / Math.sqrt(12));
    expect(outcome.result.mass.u).toBeCloseTo(4 * one, 6);
  });

  test('what is missing or does not fit is refused, each with field and value', () => {
    const refusals = (changes: Partial<WeighingBody>, instruments = INSTRUMENTS) => {
      const outcome = weighingOf(TWO, { ...BODY, ...changes }, instruments);
      return outcome.kind === 'refused' ? outcome.problems : [];
    };
    const { 'front left': _, ...three } = BODY.swivels;
    expect(refusals({ swivels: three })).toEqual([
      "swivels 'front left': nothing is said of it; allowed: an angle with its unit, such as 90 deg",
    ]);
    expect(refusals({ position: 'parked', loads: { bag: '3 kg' } })).toEqual([
      "position 'parked': not one of the cart; allowed: transport, in use",
      "loads 'bag': the cart has none of the name; allowed: none",
    ]);
    expect(refusals({ scales: [] })[0]).toContain("castor 'front left', shown '");
    expect(refusals({}, instrumentsWith('scale', { uncertainty: null }))[0]).toContain(
      'allowed: a scale with a stated uncertainty, within its range',
    );
    expect(refusals({}, instrumentsWith('level', { to: '5 deg' }))[0]).toMatch(
      /^tilt, tilts 2, angle '8 deg': The tilt of 8 deg lies outside the range of Level 1/,
    );
  });

  test('castors that were not turned along the slope are remarked on', () => {
    const remarksAt = (angle: string) => {
      const swivels = Object.fromEntries(Object.keys(BODY.swivels).map((name) => [name, angle]));
      const outcome = weighingOf(TWO, { ...BODY, swivels }, INSTRUMENTS);
      return outcome.kind === 'ok' ? outcome.result.remarks.join(' ') : 'refused';
    };
    expect(remarksAt('150 deg')).toContain("('front left' by 30 deg, 'front right' by 30 deg");
    expect(remarksAt('180 deg')).not.toContain('along the slope');
    // no record says how level the scales stood
    expect(remarksAt('180 deg')).toMatch(/0\.2 deg off level moves x or y by \d+(\.\d+)? mm\./);
    expect(remarksAt('0 deg')).not.toContain('along the slope');
  });

  test('an expired scale is remarked on', () => {
    const outcome = weighingOf(TWO, BODY, instrumentsWith('scale', { due: '2026-01-31' }));
    expect(outcome.kind === 'ok' && outcome.result.remarks.join(' ')).toContain(
      'was used past its calibration, which was due on 2026-01-31',
    );
  });
});

describe('friction tests of the record', () => {
  const BODY_OF: FrictionBody = {
    kind: 'friction',
    sample: 'sample',
    tread: 'rubber',
    floor: 'vinyl',
    instruments: ['level', 'gauge', 'scale'].map((instrument) => ({ instrument, despite: null })),
    readings: [
      { kind: 'slip angle', angle: '30 deg' },
      { kind: 'pull', force: '36 lbf', mass: '28 kg' },
    ],
    taken: '2026-11-25T09:30:00.000Z',
    operator: 'Mara Quist',
    temperature: null,
    photos: [],
    notes: '',
  };

  test('tan of the slip angle, and pull over weight', () => {
    const outcome = frictionOf(BODY_OF, INSTRUMENTS);
    if (outcome.kind === 'refused') throw new Error(outcome.problems.join('\n'));
    const pull = (36 * 4.4482216152605) / (28 * 9.80665);
    expect(outcome.result.each[0]).toBeCloseTo(Math.tan(Math.PI / 6), 12);
    expect(outcome.result.each[1]).toBeCloseTo(pull, 12);
    expect(outcome.result.coefficient.value).toBeCloseTo((Math.tan(Math.PI / 6) + pull) / 2, 12);
  });

  test('without a scale the mass is refused, and named', () => {
    const instruments = BODY_OF.instruments.slice(0, 2);
    const outcome = frictionOf({ ...BODY_OF, instruments }, INSTRUMENTS);
    expect(outcome.kind === 'refused' && outcome.problems).toEqual([
      "readings 2, mass '28 kg': No instrument that measures the sliding mass is named (a scale): its uncertainty is not known. Instrument: no instrument; allowed: a scale with a stated uncertainty, within its range",
    ]);
  });
});
