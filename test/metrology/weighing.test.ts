import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type {
  ScaleReading,
  Tilt,
  WeighingInput,
  WeighingResult,
} from '../../src/metrology/index.js';
import { weighed } from '../../src/metrology/index.js';
import { touchesBeside } from '../reference/leaning-wheel.js';
import { seededRandom } from '../reference/random.js';
import type { KnownCart, Uncertainties } from './tilted-cart.js';
import { degrees, FOUR_CASTORS, weighingOf } from './tilted-cart.js';

const GRAVITY = 9.80665;
const USUAL: Uncertainties = { scale: 0.05, place: 0.002, angle: 0.1 * degrees, axis: 0.0005 };
const UP_AND_DOWN = [
  [4, 'up'],
  [7, 'up'],
  [10, 'up'],
  [10, 'down'],
  [7, 'down'],
  [4, 'down'],
] as const;

function resultOf(input: WeighingInput): WeighingResult {
  const outcome = weighed(input);
  if (outcome.kind === 'refused') {
    throw new Error(outcome.problems.join('\n'));
  }
  return outcome.result;
}

function problemsOf(input: WeighingInput): readonly string[] {
  const outcome = weighed(input);
  return outcome.kind === 'refused' ? outcome.problems : [];
}

type TiltOf = NonNullable<WeighingInput['tilt']>;

function withTilt(input: WeighingInput, change: (tilt: TiltOf) => Partial<TiltOf>): WeighingInput {
  const { tilt } = input;
  return tilt === null ? input : { ...input, tilt: { ...tilt, ...change(tilt) } };
}

describe('h = r + L dF / (W tan theta): W 600 N, L 0.600 m, r 0.05 m, theta 10 deg (by statics)', () => {
  const known: KnownCart = {
    mass: 600 / GRAVITY,
    centre: [0, 0, 0.75],
    radius: 0.05,
    castors: [
      { name: 'a', at: [0.3, 0.2] },
      { name: 'b', at: [0.3, -0.2] },
      { name: 'c', at: [-0.3, 0.2] },
      { name: 'd', at: [-0.3, -0.2] },
    ],
    lifted: ['a', 'b'],
  };

  test('h 0.75 m moves 123.43 N to the lower castors', () => {
    const { line } = resultOf(weighingOf(known, [[10, 'up']], USUAL));
    expect((line?.points[0]?.y ?? 0) * GRAVITY).toBeCloseTo(123.43, 2);
    expect(line?.base).toBeCloseTo(0.6, 12);
  });

  test('123.43 N moved shows h 0.75 m', () => {
    // readings from the printed figure, not from statics: 300 N a row on the level
    const shown = (row: number) => row / 2 / GRAVITY;
    const level = ['a', 'b', 'c', 'd'].map((castor) => ({ castor, shown: shown(300), u: 0.02 }));
    const lower = ['c', 'd'].map((castor) => ({ castor, shown: shown(300 + 123.43), u: 0.02 }));
    const { height } = resultOf({
      contacts: known.castors.map(({ name, at }) => ({ castor: name, at, u: 0.001 })),
      level: { repeats: [level] },
      tilt: {
        lifted: ['a', 'b'],
        axisHeight: 0.05,
        axisHeightU: 0.0005,
        tilts: [{ angle: 10 * degrees, u: 0.001, way: 'up', lower }],
      },
    });
    // half of the last digit of 123.43 N is 0.03 mm of height
    expect(Math.abs((height?.value ?? 0) - 0.75)).toBeLessThan(0.00003);
  });
});

describe('a cart of known mass and centre of mass', () => {
  const carts: readonly (readonly [string, KnownCart])[] = [
    ['lifted at the front', FOUR_CASTORS],
    ['lifted at the back', { ...FOUR_CASTORS, lifted: ['rear left', 'rear right'] }],
    [
      'with three castors, one lifted',
      {
        ...FOUR_CASTORS,
        castors: [
          { name: 'front', at: [0.3, -0.013] },
          { name: 'rear left', at: [-0.25, 0.22] },
          { name: 'rear right', at: [-0.25, -0.22] },
        ],
        lifted: ['front'],
      },
    ],
    [
      'with three castors, two lifted',
      {
        ...FOUR_CASTORS,
        castors: [
          { name: 'front', at: [0.3, -0.013] },
          { name: 'rear left', at: [-0.25, 0.22] },
          { name: 'rear right', at: [-0.25, -0.22] },
        ],
        lifted: ['rear right', 'rear left'],
      },
    ],
    ['standing on edges', { ...FOUR_CASTORS, radius: 0 }],
    ['below its axles', { ...FOUR_CASTORS, centre: [0, 0, 0.03] }],
  ];

  test.each(carts)('%s, is found again to the last digits', (_, cart) => {
    const { mass, x, y, height, line } = resultOf(weighingOf(cart, UP_AND_DOWN, USUAL));
    expect(mass.value).toBeCloseTo(cart.mass, 10);
    expect(x.value).toBeCloseTo(cart.centre[0], 10);
    expect(y.value).toBeCloseTo(cart.centre[1], 10);
    expect(height?.value).toBeCloseTo(cart.centre[2], 10);
    expect(line?.intercept.value).toBeCloseTo(0, 10);
    expect(line?.upDown).toBeCloseTo(0, 10);
  });

  test('is found at 30 degrees as at 3: no small angles', () => {
    const low: KnownCart = { ...FOUR_CASTORS, centre: [0.021, -0.013, 0.3] };
    for (const angle of [3, 30]) {
      const { height } = resultOf(weighingOf(low, [[angle, 'up']], USUAL));
      expect(height?.value).toBeCloseTo(0.3, 10);
    }
  });

  test('is found wherever the frame is and however it is turned (seed 17)', () => {
    const random = seededRandom(17);
    for (let k = 0; k < 20; k++) {
      const [turn, dx, dy] = [random() * 7, random() - 0.5, random() - 0.5];
      const moved = ([x, y]: readonly [number, number]): readonly [number, number] => [
        dx + x * Math.cos(turn) - y * Math.sin(turn),
        dy + x * Math.sin(turn) + y * Math.cos(turn),
      ];
      const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
      const there = resultOf({
        ...input,
        contacts: input.contacts.map((contact) => ({ ...contact, at: moved(contact.at) })),
      });
      const [x, y] = moved([0.021, -0.013]);
      expect(there.x.value).toBeCloseTo(x, 10);
      expect(there.y.value).toBeCloseTo(y, 10);
      expect(there.height?.value).toBeCloseTo(0.82, 10);
      expect(there.height?.u).toBeCloseTo(resultOf(input).height?.u ?? 0, 7);
    }
  });

  test('a five-star base on two scales, one castor raised, two hanging free', () => {
    // by hand: castors on a circle of 0.3 m, the lower two and the one opposite make a triangle
    const star = Array.from({ length: 5 }, (_, i) => ({
      name: `castor ${i + 1}`,
      at: [0.3 * Math.cos(0.4 * Math.PI * i), 0.3 * Math.sin(0.4 * Math.PI * i)] as const,
    }));
    const mass = 30;
    const height = 0.7;
    const base = 0.3 * (1 + Math.cos(Math.PI / 5));
    const level = star.map(({ name }) => ({ castor: name, shown: mass / 5, u: 0.02 }));
    const tilts = UP_AND_DOWN.map(([angle, way]) => {
      const arm = 0.3 * Math.cos(Math.PI / 5) - (height - 0.04) * Math.tan(angle * degrees);
      const each = (mass * (1 - arm / base)) / 2;
      const lower = [0, each, each, 0];
      return {
        angle: angle * degrees,
        u: 0.001,
        way,
        lower: [2, 3, 4, 5].map((name, i) => ({
          castor: `castor ${name}`,
          shown: lower[i] ?? 0,
          u: 0.02,
        })),
      };
    });
    const input: WeighingInput = {
      contacts: star.map(({ name, at }) => ({ castor: name, at, u: 0.001 })),
      level: { repeats: [level] },
      tilt: { lifted: ['castor 1'], axisHeight: 0.04, axisHeightU: 0.0005, tilts },
    };
    const { line, height: found } = resultOf(input);
    expect(found?.value).toBeCloseTo(height, 10);
    expect(line?.base).toBeCloseTo(base, 10);
  });
});

describe('ISO 10392:2011, 6.2', () => {
  test('takes out what rolling resistance does, opposite up and down, exactly', () => {
    const dragged = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL, 0.9);
    const { height, line } = resultOf(dragged);
    expect(height?.value).toBeCloseTo(0.82, 10);
    // each way moves H tan(theta): twice 0.9 kg times the mean tangent of 4, 7 and 10 degrees
    expect(line?.upDown).toBeCloseTo(-1.8 * 0.123013, 5);
    const upOnly = withTilt(dragged, ({ tilts }) => ({
      tilts: tilts.filter((tilt) => tilt.way === 'up'),
    }));
    expect((resultOf(upOnly).height?.value ?? 0) - 0.82).toBeCloseTo((-0.9 * 0.5) / 61.4, 9);
  });

  test('an error of the zero of the angle goes into the intercept with three angles or more', () => {
    const off = 0.3 * degrees;
    const shifted = withTilt(weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL), ({ tilts }) => ({
      tilts: tilts.map((tilt) => ({ ...tilt, angle: tilt.angle + off })),
    }));
    const { height, line, remarks } = resultOf(shifted);
    // through the level weighing 7 degrees read as 7.3 would be 4 % of the height above the axis: 31 mm
    expect(Math.abs((height?.value ?? 0) - 0.82)).toBeLessThan(0.002);
    expect(line?.intercept.value).toBeLessThan(-0.3);
    expect(remarks.join()).toContain('misses the level weighing');
  });

  test('fewer than three angles: the line is drawn through the level weighing, and says so', () => {
    for (const [tilts, words] of [
      [[[8, 'up']], 'One tilt angle'],
      [
        [
          [8, 'up'],
          [8.3, 'down'],
        ],
        'One tilt angle',
      ],
      [
        [
          [5, 'up'],
          [10, 'up'],
          [5, 'down'],
        ],
        'Two tilt angles',
      ],
    ] as [readonly (readonly [number, 'up' | 'down'])[], string][]) {
      const { height, line, remarks } = resultOf(weighingOf(FOUR_CASTORS, tilts, USUAL));
      expect(height?.value).toBeCloseTo(0.82, 10);
      expect(line?.intercept).toEqual({ value: 0, u: 0, dof: null });
      expect(remarks.join('\n')).toContain(words);
    }
  });

  test('one way only has no hysteresis to tell, and says so', () => {
    const { line, remarks } = resultOf(
      weighingOf(
        FOUR_CASTORS,
        [
          [4, 'up'],
          [7, 'up'],
          [10, 'up'],
        ],
        USUAL,
      ),
    );
    expect(line?.upDown).toBeNull();
    expect(remarks.join('\n')).toContain('Tilted up only');
  });

  test('slope, intercept and their uncertainties are those of weighted least squares', () => {
    // worked by hand: weights 1 / u^2 with u 0.1, 0.1, 0.2 at tan 0.1, 0.2, 0.3 on two castors
    const us = [0.1, 0.1, 0.2];
    const tangents = [0.1, 0.2, 0.3];
    const moved = [3, 6.2, 8.6];
    const level = { a: 10, b: 10, c: 10, d: 10 };
    const input: WeighingInput = {
      contacts: [
        ['a', 0.5, 0.5],
        ['b', 0.5, -0.5],
        ['c', -0.5, 0.5],
        ['d', -0.5, -0.5],
      ].map(([castor, x, y]) => ({
        castor: castor as string,
        at: [x as number, y as number],
        u: 0,
      })),
      level: {
        repeats: [Object.entries(level).map(([castor, shown]) => ({ castor, shown, u: 0 }))],
      },
      tilt: {
        lifted: ['a', 'b'],
        axisHeight: 0,
        axisHeightU: 0,
        tilts: tangents.map((tangent, j) => ({
          angle: Math.atan(tangent),
          u: 0,
          way: 'up',
          lower: [
            { castor: 'c', shown: 10 + (moved[j] ?? 0), u: us[j] ?? 0 },
            { castor: 'd', shown: 10, u: 0 },
          ],
        })),
      },
    };
    // sums: S 225, Sx 37.5, Sxx 7.25, Sy 1135, Sxy 218.5; D = S Sxx - Sx^2 = 225
    const { line, height } = resultOf(input);
    const slope = (225 * 218.5 - 37.5 * 1135) / 225;
    const intercept = (7.25 * 1135 - 37.5 * 218.5) / 225;
    expect(line?.slope.value).toBeCloseTo(slope, 9);
    expect(line?.intercept.value).toBeCloseTo(intercept, 9);
    // residuals with these, chi squared over 1 degree of freedom
    const chi = moved.reduce(
      (sum, y, j) => sum + ((y - intercept - slope * (tangents[j] ?? 0)) / (us[j] ?? 1)) ** 2,
      0,
    );
    expect(chi).toBeGreaterThan(1);
    expect(line?.slope.u).toBeCloseTo(Math.sqrt((225 / 225) * chi), 6);
    expect(line?.intercept.u).toBeCloseTo(Math.sqrt((7.25 / 225) * chi), 6);
    expect(height?.value).toBeCloseTo(slope / 40, 9);
  });

  test('a scatter that the stated uncertainties explain adds nothing to them', () => {
    const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
    const line = resultOf(input).height?.lines.find((one) => one.source.startsWith('scatter'));
    expect(line).toMatchObject({ type: 'A', contribution: 0, dof: 4 });
  });

  test('an unexplained one has its line, and a remark', () => {
    const rough = withTilt(weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL), ({ tilts }) => ({
      tilts: tilts.map((tilt, j) => ({
        ...tilt,
        lower: tilt.lower.map((one) => ({ ...one, shown: one.shown + (j % 2 === 0 ? 0.7 : -0.7) })),
      })),
    }));
    const { height, remarks } = resultOf(rough);
    const line = height?.lines.find((one) => one.source.startsWith('scatter'));
    expect(line?.contribution).toBeGreaterThan(0.05);
    expect(height?.dof).toBeLessThan(10);
    expect(remarks.join('\n')).toContain('do not lie on a line');
  });
});

/** A number of the standard normal distribution: the sum of twelve uniforms has variance 1, and is normal
 * but for its far tails. */
function normal(random: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) {
    sum += random();
  }
  return sum;
}

type Errors = 'independent' | 'one scale' | 'zero of the angle' | 'scale of the angle';

/** The weighing with errors drawn for everything that has an uncertainty. */
function drawn(input: WeighingInput, random: () => number, kind: Errors): WeighingInput {
  const shared = normal(random);
  const angle = normal(random);
  const reading = <R extends { readonly shown: number; readonly u: number }>(one: R): R => ({
    ...one,
    shown: one.shown + one.u * (kind === 'one scale' ? shared : normal(random)),
  });
  const tilted = withTilt(input, ({ axisHeight, axisHeightU, tilts }) => {
    const most = Math.max(...tilts.map((tilt) => tilt.angle));
    const errors = (share: number) =>
      kind === 'zero of the angle'
        ? angle
        : kind === 'scale of the angle'
          ? angle * share
          : normal(random);
    return {
      axisHeight: axisHeight + axisHeightU * normal(random),
      tilts: tilts.map((tilt) => ({
        ...tilt,
        angle: tilt.angle + tilt.u * errors(tilt.angle / most),
        lower: tilt.lower.map(reading),
      })),
    };
  });
  return {
    ...tilted,
    contacts: input.contacts.map((contact) => ({
      ...contact,
      at: [contact.at[0] + contact.u * normal(random), contact.at[1] + contact.u * normal(random)],
    })),
    level: { ...input.level, repeats: input.level.repeats.map((one) => one.map(reading)) },
  };
}

/** Standard deviations of many weighings of one cart, each with its own errors. */
function spreads(input: WeighingInput, count: number, seed: number, kind: Errors) {
  const random = seededRandom(seed);
  const drawnOnes = Array.from({ length: count }, () => resultOf(drawn(input, random, kind)));
  const spread = (of: (result: WeighingResult) => number) => {
    const values = drawnOnes.map(of);
    const mean = values.reduce((sum, value) => sum + value, 0) / count;
    return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1));
  };
  return {
    mass: spread((result) => result.mass.value),
    x: spread((result) => result.x.value),
    y: spread((result) => result.y.value),
    height: spread((result) => result.height?.value ?? Number.NaN),
  };
}

describe('uncertainty against Monte Carlo (JCGM 101: the law of propagation validated)', () => {
  const MANY = 1000;
  const SOME = 400;
  // the standard deviation of a standard deviation of n values is 1 / sqrt(2 n) of it: 2.2 % of 1000, 3.5 %
  // of 400; 3.5 of them
  const within = (count: number) => 3.5 / Math.sqrt(2 * count);
  const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
  const told = resultOf(input);

  test('independent errors: mass, x, y and height agree (seed 41)', () => {
    const found = spreads(input, MANY, 41, 'independent');
    expect(Math.abs(found.mass / told.mass.u - 1)).toBeLessThan(within(MANY));
    expect(Math.abs(found.x / told.x.u - 1)).toBeLessThan(within(MANY));
    expect(Math.abs(found.y / told.y.u - 1)).toBeLessThan(within(MANY));
    expect(Math.abs(found.height / (told.height?.u ?? 0) - 1)).toBeLessThan(within(MANY));
  });

  test.each([
    ['zero of the angle', 42],
    ['scale of the angle', 43],
  ] as const)('an error of the %s makes no more than is told (seed %d)', (kind, seed) => {
    const found = spreads(input, SOME, seed, kind);
    expect(found.height).toBeLessThan((told.height?.u ?? 0) * (1 + within(SOME)));
  });

  test('one tilt, where the zero of the angle counts in full: height agrees (seed 44)', () => {
    const one = weighingOf(FOUR_CASTORS, [[10, 'up']], USUAL);
    const found = spreads(one, MANY, 44, 'zero of the angle');
    expect(Math.abs(found.height / (resultOf(one).height?.u ?? 0) - 1)).toBeLessThan(within(MANY));
  });

  test('one scale moved about has one error: mass agrees, four times that of one castor (seed 45)', () => {
    const named = <R extends { readonly scale?: string }>(one: R): R => ({
      ...one,
      scale: 'bench',
    });
    const moved = withTilt(
      { ...input, level: { repeats: input.level.repeats.map((one) => one.map(named)) } },
      ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({ ...tilt, lower: tilt.lower.map(named) })),
      }),
    );
    const { mass, x, height } = resultOf(moved);
    expect(mass.lines.map((line) => line.source)).toEqual(["scale 'bench'"]);
    expect(mass.u).toBeCloseTo(4 * USUAL.scale, 9);
    const found = spreads(moved, SOME, 45, 'one scale');
    expect(Math.abs(found.mass / mass.u - 1)).toBeLessThan(within(SOME));
    expect(found.x).toBeLessThan(x.u * (1 + within(SOME)));
    expect(found.height).toBeLessThan((height?.u ?? 0) * (1 + within(SOME)));
  });
});

describe('budget', () => {
  const { mass, x, height } = resultOf(weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL));

  test('names every source of the height', () => {
    expect(height?.lines.map((line) => line.source)).toEqual([
      "scale under 'front left'",
      "scale under 'front right'",
      "scale under 'rear left'",
      "scale under 'rear right'",
      "place of castor 'front left'",
      "place of castor 'front right'",
      "place of castor 'rear left'",
      "place of castor 'rear right'",
      'height of the tilt axis',
      'angle of the tilts',
      'scatter of the tilts about their line',
    ]);
  });

  test('mass: four scales with sensitivity 1', () => {
    expect(mass.lines.map((line) => line.source)).toHaveLength(4);
    for (const line of mass.lines) {
      expect(line.sensitivity).toBeCloseTo(1, 9);
    }
    expect(mass.u).toBeCloseTo(0.1, 9);
  });

  test('x: a scale turns it by (x_i - x) / W, a place by F_i / W', () => {
    const line = (source: string) => x.lines.find((one) => one.source === source);
    expect(line("scale under 'front left'")?.sensitivity).toBeCloseTo((0.25 - 0.021) / 61.4, 8);
    // front row 0.542 of the weight, left of it (0.22 - 0.013) / 0.44
    const share = ((0.25 + 0.021) / 0.5) * ((0.22 - 0.013) / 0.44);
    expect(line("place of castor 'front left'")?.sensitivity).toBeCloseTo(share, 8);
  });

  test('an error of the axis height is one of the height, one to one', () => {
    const line = height?.lines.find((one) => one.source === 'height of the tilt axis');
    expect(line?.sensitivity).toBeCloseTo(1, 9);
    const raised = withTilt(weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL), () => ({
      axisHeight: 0.06,
    }));
    expect(resultOf(raised).height?.value).toBeCloseTo(0.83, 10);
  });

  test('repeats: mean, and a type A line with n - 1 degrees of freedom', () => {
    const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
    const [first = []] = input.level.repeats;
    const heavier = (by: number) => first.map((one) => ({ ...one, shown: one.shown + by / 4 }));
    const result = resultOf({ ...input, level: { repeats: [-0.2, 0, 0.2].map(heavier) } });
    expect(result.mass.value).toBeCloseTo(61.4, 10);
    const line = result.mass.lines.find((one) => one.source.startsWith('repeats'));
    expect(line).toMatchObject({ type: 'A', dof: 2, sensitivity: 1 });
    expect(line?.u).toBeCloseTo(0.2 / Math.sqrt(3), 9);
    expect(result.height?.lines.some((one) => one.source.startsWith('repeats'))).toBe(true);
    // the scales keep their errors however often they are read
    expect(result.mass.lines[0]?.contribution).toBeCloseTo(0.05, 9);
  });

  test('scales that are not level move the centre of mass by the height above the axles', () => {
    const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
    const lean = resultOf({ ...input, level: { ...input.level, levelU: 0.002 } });
    const line = lean.x.lines.find((one) => one.source === 'level of the scales');
    expect(line?.contribution).toBeCloseTo(0.002 * (0.82 - 0.05), 8);
    expect(lean.x.value).toBe(resultOf(input).x.value);
  });

  test('everything twice as heavy, as large: shares of uncertainty stay', () => {
    const twice: KnownCart = {
      ...FOUR_CASTORS,
      mass: 2 * FOUR_CASTORS.mass,
      centre: [0.042, -0.026, 1.64],
      radius: 0.1,
      castors: FOUR_CASTORS.castors.map(({ name, at: [a, b] }) => ({
        name,
        at: [2 * a, 2 * b] as const,
      })),
    };
    const grown = resultOf(
      weighingOf(twice, UP_AND_DOWN, { scale: 0.1, place: 0.004, angle: USUAL.angle, axis: 0.001 }),
    );
    expect((grown.height?.u ?? 0) / 2).toBeCloseTo(height?.u ?? 0, 9);
    expect(grown.x.u / 2).toBeCloseTo(x.u, 9);
  });
});

describe('refused, all at once, with castor or tilt, value and what is allowed', () => {
  const good = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
  const [first = []] = good.level.repeats;
  const level = (readings: typeof first): WeighingInput => ({
    ...good,
    level: { repeats: [readings] },
  });

  test.each<[string, WeighingInput, string]>([
    ['no level weighing', { ...good, level: { repeats: [] } }, 'level weighing: none'],
    [
      'a castor without reading',
      level(first.slice(1)),
      "level weighing 1, castor 'front left': no reading",
    ],
    [
      'a castor read twice',
      level([...first, ...first.slice(0, 1)]),
      "castor 'front left': read twice",
    ],
    [
      'a castor that is none',
      level([...first, { castor: 'spare', shown: 1, u: 0 }]),
      "castor 'spare': not on a scale here; allowed: 'front left'",
    ],
    [
      'NaN',
      level(first.map((one) => ({ ...one, shown: Number.NaN }))),
      'shown (kg): NaN; allowed: 0 to',
    ],
    ['a reading below 0', level(first.map((one) => ({ ...one, shown: -1 }))), 'shown (kg): -1'],
    ['u below 0', level(first.map((one) => ({ ...one, u: -1 }))), 'uncertainty (kg): -1'],
    [
      'mass 0',
      level(first.map((one) => ({ ...one, shown: 0 }))),
      '0 kg in all; allowed: more than 0',
    ],
    ['two castors', { ...good, contacts: good.contacts.slice(0, 2) }, 'castors: 2; allowed: three'],
    [
      'a place that is no number',
      { ...good, contacts: good.contacts.map((one) => ({ ...one, at: [Number.NaN, 0] as const })) },
      "castor 'front left': x (m): NaN",
    ],
    ['nothing lifted', withTilt(good, () => ({ lifted: [] })), 'lifted castors: none'],
    [
      'everything lifted',
      withTilt(good, () => ({ lifted: good.contacts.map((one) => one.castor) })),
      'lifted castors: all',
    ],
    [
      'an unknown one lifted',
      withTilt(good, () => ({ lifted: ['middle'] })),
      "'middle': no such castor",
    ],
    [
      'an axis below the floor',
      withTilt(good, () => ({ axisHeight: -0.01 })),
      'height of the axis (m): -0.01',
    ],
    [
      'angle 0',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt, j) => ({ ...tilt, angle: j * 0.05 })),
      })),
      'tilt 1: angle 0 deg; allowed: 0.5 to 45 deg',
    ],
    [
      'angle NaN',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({ ...tilt, angle: Number.NaN })),
      })),
      'tilt 6: angle NaN deg',
    ],
    [
      'degrees taken for radians',
      withTilt(good, ({ tilts }) => ({ tilts: tilts.map((tilt) => ({ ...tilt, angle: 10 })) })),
      'tilt 1: angle 572.958 deg',
    ],
    [
      'a lower castor without reading in a tilt',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({ ...tilt, lower: tilt.lower.slice(1) })),
      })),
      "tilt 1, castor 'rear left': no reading",
    ],
    [
      'a lifted castor read',
      withTilt(good, ({ tilts }) => ({ tilts: tilts.map((tilt) => ({ ...tilt, lower: first })) })),
      "tilt 1, castor 'front left': not on a scale here",
    ],
    [
      'lower castors that carry more than the cart',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({
          ...tilt,
          lower: tilt.lower.map((one) => ({ ...one, shown: 31 })),
        })),
      })),
      'tilt 1: 62 kg on the lower castors; allowed: more than 0, less than the 61.4 kg',
    ],
    [
      'lower castors that carry nothing',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({
          ...tilt,
          lower: tilt.lower.map((one) => ({ ...one, shown: 0 })),
        })),
      })),
      'the lower castors carry nothing',
    ],
    [
      'readings of the wrong end',
      withTilt(good, ({ tilts }) => ({
        tilts: tilts.map((tilt) => ({
          ...tilt,
          lower: tilt.lower.map((one) => ({ ...one, shown: 14 - 40 * Math.tan(tilt.angle) })),
        })),
      })),
      'below the floor',
    ],
    [
      'a lifted castor off its row',
      {
        ...good,
        contacts: good.contacts.map((one, i) =>
          i === 0 ? { ...one, at: [0.29, 0.22] as const } : one,
        ),
      },
      "castor 'front left': 21 mm off the row of the lifted castors; allowed: 10 mm, 2 % of the base",
    ],
    [
      'one castor at each end',
      withTilt(
        { ...good, contacts: good.contacts.slice(0, 3), level: { repeats: [first.slice(0, 3)] } },
        ({ tilts }) => ({
          lifted: ['front left'],
          tilts: tilts.map((tilt) => ({
            ...tilt,
            lower: [
              { castor: 'front right', shown: 0, u: 0.05 },
              { castor: 'rear left', shown: 20, u: 0.05 },
            ],
          })),
        }),
      ),
      'one castor below and one lifted leave the axis open',
    ],
    [
      'all castors in one row',
      { ...good, contacts: good.contacts.map((one, i) => ({ ...one, at: [0, 0.1 * i] as const })) },
      'the lifted castors stand 0 mm from the row',
    ],
  ])('%s', (_, input, sentence) => {
    expect(problemsOf(input).join('\n')).toContain(sentence);
  });

  test('several problems are told together', () => {
    const bad = withTilt(level(first.slice(1)), () => ({
      axisHeight: Number.NaN,
      lifted: ['middle'],
    }));
    expect(problemsOf(bad).length).toBeGreaterThanOrEqual(3);
  });

  test('whatever numbers it is given, nothing throws and no NaN comes out', () => {
    const odd = fc.oneof(
      fc.double(),
      fc.constantFrom(0, 1e-300, 1e-12, 0.5, 20, 1e5, Number.NaN, Number.POSITIVE_INFINITY, -1),
    );
    const small = fc.constantFrom(0, 1e-200, 1e-12, 0.001, 0.1);
    fc.assert(
      fc.property(
        fc.array(odd, { minLength: 30, maxLength: 30 }),
        fc.array(small, { minLength: 5, maxLength: 5 }),
        fc.nat(5),
        (values, us, keep) => {
          let k = 0;
          // most stay as they are, so that some weighings are reckoned
          const some = (good: number) => {
            k += 1;
            return k % 6 === keep && k < 30 ? (values[k] ?? good) : good;
          };
          const [a = 0, b = 0, c = 0, d = 0, e = 0] = us;
          const input = weighingOf(FOUR_CASTORS, UP_AND_DOWN.slice(keep), {
            scale: a,
            place: b,
            angle: c,
            axis: d,
          });
          const changed = withTilt(
            {
              ...input,
              level: {
                levelU: e,
                repeats: input.level.repeats.map((one) =>
                  one.map((r) => ({ ...r, shown: some(r.shown) })),
                ),
              },
            },
            ({ axisHeight, tilts }) => ({
              axisHeight: some(axisHeight),
              tilts: tilts.map((tilt) => ({
                ...tilt,
                angle: some(tilt.angle),
                lower: tilt.lower.map((r) => ({ ...r, shown: some(r.shown) })),
              })),
            }),
          );
          const outcome = weighed(changed);
          expect(
            JSON.stringify(outcome, (_, v) =>
              typeof v === 'number' && !Number.isFinite(v) ? 'spoilt' : v,
            ),
          ).not.toContain('spoilt');
        },
      ),
      { seed: 7, numRuns: 300 },
    );
  });
});

describe('remarks', () => {
  const good = weighingOf(FOUR_CASTORS, UP_AND_DOWN, USUAL);
  const remarksOf = (input: WeighingInput) => resultOf(input).remarks.join('\n');

  test('a full weighing, repeated, has none', () => {
    const [first = []] = good.level.repeats;
    expect(resultOf({ ...good, level: { repeats: [first, first, first] } }).remarks).toEqual([]);
  });

  test('weighed once; nothing stated; no tilts', () => {
    expect(remarksOf(good)).toContain('Weighed level once');
    expect(
      remarksOf(weighingOf(FOUR_CASTORS, UP_AND_DOWN, { scale: 0, place: 0, angle: 0, axis: 0 })),
    ).toContain(
      'No uncertainty is stated for the scales, the places of the castors, the angle, the height of the tilt axis',
    );
    expect(remarksOf(withTilt(good, () => ({ tilts: [] })))).toContain(
      'the height is not measured',
    );
    expect(resultOf({ ...good, tilt: null })).toMatchObject({ height: null, line: null });
  });

  test('level weighings that differ by more than the scales explain', () => {
    const [first = []] = good.level.repeats;
    const heavier = first.map((one) => ({ ...one, shown: one.shown + 0.3 }));
    expect(remarksOf({ ...good, level: { repeats: [first, heavier] } })).toContain(
      'differ by more than the scales',
    );
  });

  test('an angle read one way only, but for the turning point', () => {
    const turning = UP_AND_DOWN.filter((_, j) => j !== 3);
    expect(remarksOf(weighingOf(FOUR_CASTORS, turning, USUAL))).not.toContain('other way');
    const lonely = UP_AND_DOWN.filter((_, j) => j !== 4);
    expect(remarksOf(weighingOf(FOUR_CASTORS, lonely, USUAL))).toContain(
      '7 deg up: not read the other way',
    );
  });

  test('a centre of mass below the axles', () => {
    expect(
      remarksOf(weighingOf({ ...FOUR_CASTORS, centre: [0, 0, 0.03] }, UP_AND_DOWN, USUAL)),
    ).toContain('lost load');
  });
});

test('a lower castor 8 mm off its row counts where it is, whatever it bears', () => {
  const [mass, base, height, radius, off] = [60, 0.5, 0.8, 0.05, 0.008];
  // of the middle one, chosen: on the level and in each tilt
  const middle = (tilt: number) => 10 + 100 * tilt;
  const centre = 0.24;
  const loads = (tilt: number) => {
    const lever = centre * Math.cos(tilt) - (height - radius) * Math.sin(tilt);
    const raised = (mass * lever) / (base * Math.cos(tilt)) - (middle(tilt) * off) / base;
    const ends = (mass - raised - middle(tilt)) / 2;
    return { raised, lower: { left: ends, middle: middle(tilt), right: ends } };
  };
  const row = (tilt: number): ScaleReading[] =>
    Object.entries(loads(tilt).lower).map(([castor, shown]) => ({ castor, shown, u: 0.01 }));
  const front = ['front left', 'front right'];
  const { height: found } = resultOf({
    contacts: [
      { castor: 'left', at: [0, 0.2], u: 0 },
      { castor: 'middle', at: [off, 0], u: 0 },
      { castor: 'right', at: [0, -0.2], u: 0 },
      ...front.map((castor, i) => ({ castor, at: [base, i === 0 ? 0.2 : -0.2] as const, u: 0 })),
    ],
    level: {
      repeats: [
        [...row(0), ...front.map((castor) => ({ castor, shown: loads(0).raised / 2, u: 0.01 }))],
      ],
    },
    tilt: {
      lifted: front,
      axisHeight: radius,
      axisHeightU: 0,
      tilts: [3, 6, 9].map(
        (angle): Tilt => ({
          angle: angle * degrees,
          u: 0.0005,
          way: 'up',
          lower: row(angle * degrees),
        }),
      ),
    },
  });
  expect(found?.value).toBeCloseTo(height, 9);
});

describe('wheels that are turned off the slope', () => {
  const [mass, base, a, height, radius] = [60, 0.5, 0.24, 0.8, 0.0625];

  /** Two rows of thin wheels, all `off` the slope; moments where they touch. */
  function weighedOff(off: number) {
    const angles = [3, 6, 9].map((angle) => angle * degrees);
    const lower = (tilt: number) => {
      const beside = touchesBeside(radius, off, tilt);
      const lever = a * Math.cos(tilt) - (height - radius) * Math.sin(tilt) - beside;
      return mass * (1 - lever / (base * Math.cos(tilt)));
    };
    const names = ['rear left', 'rear right', 'front left', 'front right'];
    const row = (load: number, of: readonly string[]): ScaleReading[] =>
      of.map((castor) => ({ castor, shown: load / 2, u: 0.01 }));
    const [rear, front] = [names.slice(0, 2), names.slice(2)];
    return weighed({
      contacts: names.map((castor, i) => ({
        castor,
        at: [i < 2 ? 0 : base, i % 2 === 0 ? 0.2 : -0.2],
        u: 0.0001,
        rolls: Math.PI - off,
      })),
      level: { repeats: [[...row(lower(0), rear), ...row(mass - lower(0), front)]] },
      tilt: {
        lifted: front,
        axisHeight: radius,
        axisHeightU: 0.0005,
        tilts: angles.flatMap((angle): Tilt[] =>
          (['up', 'down'] as const).map((way) => ({
            angle,
            u: 0.0005,
            way,
            lower: row(lower(angle), rear),
          })),
        ),
      },
    });
  }

  test.each([
    [0, 0],
    // r sin^2 of the angle: less than the 1 mm that is remarked on
    [6, 0.0625 * Math.sin(6 * degrees) ** 2],
    [20, 0.0625 * Math.sin(20 * degrees) ** 2],
    [45, 0.0625 / 2],
    [90, 0.0625],
  ])('by %s deg put the height wrong by r sin^2, and a remark says so', (angle, wrong) => {
    const outcome = weighedOff(angle * degrees);
    if (outcome.kind === 'refused') throw new Error(outcome.problems.join('; '));
    // r sin^2 is the first term: the next is of the size r sin^2(tilt), 1.5 mm at 9 deg
    expect(Math.abs((outcome.result.height?.value ?? 0) - height - wrong)).toBeLessThan(0.0015);
    const remark = outcome.result.remarks.filter((each) => each.startsWith('Wheels do not roll'));
    expect(remark).toHaveLength(angle > 6 ? 1 : 0);
    if (angle > 6) expect(remark[0]).toContain(`'rear left' by ${angle} deg`);
  });
});
