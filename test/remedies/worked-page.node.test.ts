/** The worked page, docs/theory/remedies.md: every figure by stand-alone arithmetic, and what the
 * program finds beside it. */

import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { checkCart } from '../../src/analysis/index.js';
import type { Cart, CartEdit } from '../../src/document/index.js';
import { editCart } from '../../src/document/index.js';
import type { LeverKind } from '../../src/remedies/index.js';
import { findRemedies, USUAL_REACHES } from '../../src/remedies/index.js';
import { solveBallast } from '../../src/remedies/levers/ballast.js';
import { plainLevers } from '../../src/remedies/levers/levers.js';
import { partLevers } from '../../src/remedies/levers/part-levers.js';
import { createScreener, shortOf } from '../../src/remedies/screener.js';
import { solveLever } from '../../src/remedies/solve-lever.js';
import { exampleCart } from '../analysis/example-carts.js';
import { builtIn } from '../analysis/simple-cart.js';
import { pivotForce } from '../reference/pivot-force.js';
import type { PivotCase } from './example-arithmetic.js';
import {
  FLUID_STAND_RADIUS,
  firstStep,
  fluidStandRadius,
  fluidStandTips,
  kitTrolleyGrip,
  LAMP,
  lampHeadBack,
  lampReserve,
  pushAsked,
  SCANNER_ASKED,
  scannerForce,
  telehealth,
  telehealthCastors,
  telehealthPush,
} from './example-arithmetic.js';

const PAGE = readFileSync(
  new URL('../../docs/theory/remedies.md', import.meta.url),
  'utf8',
).replace(/\s+/g, ' ');
const SET = builtIn('iec-60601-1-3.2');
const PUSH = 'unwanted-movement-push';

/** Found only: what is compared here is the least amount, and proofs are tested elsewhere. */
const NO_PROOF = { seed: 1, starts: 30, followed: 3, wanted: 1, firstBoxes: 0, gaps: [] };

function reserveOf(cart: Cart, id: string): number {
  const effort = { ...NO_PROOF, starts: 300, followed: 8 };
  const [finding] = checkCart(cart, SET, { friction: 'low', only: id, effort }).findings;
  const { demand, capacity } = finding ?? { demand: null, capacity: null };
  if (demand === null || capacity === null) throw new Error(`no ${id}`);
  return capacity.value / demand.value;
}

/** Least amounts that pass as found, by lever, of the kinds asked for. */
function leastAmounts(cart: Cart, ...kinds: LeverKind[]): ReadonlyMap<string, number> {
  const screener = createScreener(cart, SET, { margin: 0.1, raised: new Map() });
  const watch = shortOf(screener, screener.base);
  const plain = [
    ...plainLevers(cart, USUAL_REACHES),
    ...(kinds.includes('part place') ? partLevers(screener, watch, USUAL_REACHES) : []),
  ];
  const ballast = kinds.includes('ballast') ? solveBallast(screener, watch, USUAL_REACHES) : null;
  const answers = plain
    .filter(({ kind }) => kinds.includes(kind))
    .map((lever) => solveLever(screener, lever, watch));
  return new Map(
    [...answers, ...(ballast === null ? [] : [ballast])]
      .filter(({ kind }) => kind === 'passes')
      .map(({ lever, k }) => [lever.id, lever.amountAt(k).value]),
  );
}

const wheelLock = (castor: string): CartEdit => ({
  kind: 'castor lock',
  castor,
  lock: 'wheel',
  brakeTorque: null,
  lockDirections: null,
});

/** The search for the worst ends within 0.1 % of it (test/analysis/screen-cart). */
const SEARCH = 0.001;

function expectClose(found: number, exact: number, share = SEARCH): void {
  expect(Math.abs(found / exact - 1)).toBeLessThanOrEqual(share);
}

describe('telehealth', () => {
  const common = { mu: 0.5, lift: 0.3, supplies: 4 } as const;
  const rows: readonly (readonly [string, string, PivotCase, readonly CartEdit[]])[] = [
    [
      'two locks on one side, as it is',
      'telehealth-two-locks-one-side',
      {
        ...common,
        braked: [0, 2],
        arm: -39.9,
        direction: -45.6,
        pivot: 0,
        pivotAngle: 142.8,
        sense: 1,
      },
      [],
    ],
    [
      'two locks on one side, with front right',
      'telehealth-two-locks-one-side',
      {
        ...common,
        braked: [0, 1, 2],
        arm: -81.6,
        direction: -102.2,
        pivot: 1,
        pivotAngle: 96.4,
        sense: 1,
      },
      [wheelLock('front right')],
    ],
    [
      'two locks on one side, with rear right',
      'telehealth-two-locks-one-side',
      {
        ...common,
        ...{ supplies: 0, braked: [0, 2, 3], arm: -90, direction: -76.3 },
        ...{ pivot: 3, pivotAngle: 81, sense: -1 },
      },
      [wheelLock('rear right')],
    ],
    [
      'opposite corners, as it is',
      'telehealth-two-locks-opposite-corners',
      {
        ...common,
        braked: [0, 3],
        arm: 53,
        direction: 90.3,
        pivot: 0,
        pivotAngle: -120.4,
        sense: -1,
      },
      [],
    ],
    [
      'opposite corners, lift at most 95 mm',
      'telehealth-two-locks-opposite-corners',
      {
        ...common,
        ...{ lift: 0.095, braked: [0, 3], arm: 49.6, direction: 94.6 },
        ...{ pivot: 0, pivotAngle: -122.4, sense: -1 },
      },
      [{ kind: 'mover range', mover: 'lift', from: 0, to: 0.095 }],
    ],
    [
      'opposite corners, friction 0.76',
      'telehealth-two-locks-opposite-corners',
      {
        ...common,
        ...{ mu: 0.76, braked: [0, 3], arm: 49.6, direction: 78.6 },
        ...{ pivot: 0, pivotAngle: -124.5, sense: -1 },
      },
      [{ kind: 'friction', tread: 'grey rubber', value: 0.86, tolerance: 0.1, basis: 'assumed' }],
    ],
  ];

  test.each(rows)('%s', async (_, file, given, edits) => {
    const push = telehealthPush(given);
    const { force, loads, arm, moment } = pivotForce(
      telehealthCastors(given.braked, given.mu),
      push,
    );
    const asked = pushAsked(telehealth(given.lift, given.arm, given.supplies).mass);
    const row = [
      loads.map((load) => load.toFixed(1)).join(', '),
      `${moment.toFixed(2)} N m`,
      `${(1000 * arm).toFixed(1)} mm`,
      `${force.toFixed(1)} N`,
      `${asked.toFixed(1)} N`,
      (force / asked).toFixed(3),
    ].join(' | ');
    expect(PAGE).toContain(row);
    const cart = editCart(await exampleCart(`${file}.cart.yaml`), edits);
    expectClose(reserveOf(cart, PUSH), force / asked);
  });

  test('one lock on either right castor is what the search comes to', async () => {
    const cart = await exampleCart('telehealth-two-locks-one-side.cart.yaml');
    const report = findRemedies(cart, SET, { kinds: ['lock layout'], proofEffort: NO_PROOF });
    expect(report.remedies.map(({ edits }) => edits)).toEqual([
      [wheelLock('rear right')],
      [wheelLock('front right')],
    ]);
  });

  test('from opposite corners the least lift and grip are those of the page', async () => {
    const cart = await exampleCart('telehealth-two-locks-opposite-corners.cart.yaml');
    const least = leastAmounts(cart, 'mover limit', 'tread friction');
    expect(least.get('mover limit: lift at most')).toBeCloseTo(0.3 - 0.095, 9);
    expect(least.get('tread friction: grey rubber')).toBeCloseTo(0.26, 9);
  });
});

test('fluid stand: radius and locks', async () => {
  const { e, reserve } = fluidStandTips(FLUID_STAND_RADIUS);
  const radius = fluidStandRadius(1.1);
  const whole = Math.ceil(1000 * radius) / 1000;
  expect(PAGE).toContain(`${(1000 * e).toFixed(2)} mm beyond the middle`);
  expect(PAGE).toContain(`that is ${reserve.toFixed(3)}. For 1.1`);
  expect(PAGE).toContain(`= ${(1000 * radius).toFixed(1)} mm, so ${(1000 * whole).toFixed(0)} mm`);
  expect(PAGE).toContain(`(reserve ${fluidStandTips(whole).reserve.toFixed(3)})`);
  expect(PAGE).toContain(`397 mm the reserve is ${fluidStandTips(0.397).reserve.toFixed(3)}.`);
  const cart = await exampleCart('fluid-stand-five-star.cart.yaml');
  expectClose(reserveOf(cart, 'horizontal-force'), reserve);
  expect(reserveOf(cart, PUSH).toFixed(3)).toBe('0.705');
  const out = (R: number): CartEdit[] =>
    cart.castors.map(({ name, at: [x, y] }) => ({
      kind: 'castor place',
      castor: name,
      at: [(x * R) / FLUID_STAND_RADIUS, (y * R) / FLUID_STAND_RADIUS],
    }));
  const locks = ['front left', 'front right'].map((name) => ({
    ...wheelLock(name),
    brakeTorque: 4.5,
  }));
  const both = editCart(cart, [...out(whole), ...locks]);
  expectClose(reserveOf(both, 'horizontal-force'), fluidStandTips(whole).reserve);
  expectClose(reserveOf(both, PUSH), fluidStandTips(whole).reserve);
  expect(reserveOf(editCart(cart, out(0.415)), PUSH)).toBeLessThan(1.1);
  expect(
    reserveOf(editCart(cart, [...out(whole - 0.001), ...locks]), 'horizontal-force'),
  ).toBeLessThan(1.1);
});

test('lamp stand: castors, trail, head', async () => {
  const { radius, trail, offset, height } = LAMP;
  const wanted = 1.1 * 0.15 * height;
  const lack = wanted - (radius / 2 - trail - offset);
  const back = lampHeadBack(offset - lack);
  expect(PAGE).toContain(`11.04 mm. reserve =`);
  expect(PAGE).toContain(`= ${lampReserve(radius, trail, offset).toFixed(3)} For 1.1`);
  expect(PAGE).toContain(`${(1000 * wanted).toFixed(2)} mm, ${(1000 * lack).toFixed(2)} mm more`);
  expect(PAGE).toContain(`= ${(2000 * lack).toFixed(1)} mm: 11 mm;`);
  expect(PAGE).toContain(`back by ${(1000 * back).toFixed(1)} mm: 55 mm.`);
  const cart = await exampleCart('lamp-stand-three-castor.cart.yaml');
  expectClose(reserveOf(cart, PUSH), lampReserve(radius, trail, offset));
  const least = leastAmounts(cart, 'castor spacing', 'trail', 'part place');
  const out = firstStep((k) => lampReserve(radius + k / 1000, trail, offset), 1.1);
  const shorter = firstStep((k) => lampReserve(radius, trail - k / 1000, offset), 1.1);
  expect(least.get('castor spacing: further out')).toBeCloseTo(out / 1000, 9);
  expect(least.get('trail: shorter')).toBeCloseTo(shorter / 1000, 9);
  expect(least.get('part place: lamp head further back')).toBeCloseTo(
    Math.ceil(1000 * back) / 1000,
    9,
  );
});

test('scanner cart: ballast, grip, spacing', async () => {
  const step = (force: (k: number) => number) => firstStep((k) => force(k) / SCANNER_ASKED, 1.1);
  const ballast = step((k) => scannerForce({ ballast: k / 10 })) / 10;
  const grip = step((k) => scannerForce({ mu: 0.61 + k / 100 })) / 100;
  const longer = step((k) => scannerForce({ longer: k / 1000 })) / 1000;
  expect(PAGE).toContain(`gives ${scannerForce({}).toFixed(1)} N with friction 0.61`);
  expect(PAGE).toContain(`${ballast} kg (${(ballast - 0.1).toFixed(1)} kg falls short)`);
  expect(PAGE).toContain(`friction ${(0.61 + grip).toFixed(2)}, ${grip} more`);
  expect(PAGE).toContain(`castors ${(1000 * longer).toFixed(0)} mm further apart`);
  const cart = await exampleCart('scanner-cart.cart.yaml');
  expectClose(reserveOf(cart, PUSH), scannerForce({}) / SCANNER_ASKED);
  const least = leastAmounts(cart, 'ballast', 'tread friction', 'castor spacing');
  expect(least.get('ballast')).toBeCloseTo(ballast, 9);
  expect(least.get('tread friction: black rubber')).toBeCloseTo(grip, 9);
  expect(least.get('castor spacing: longer')).toBeCloseTo(longer, 9);
});

test('kit trolley: the tray', async () => {
  const out = kitTrolleyGrip(133.6, 14.5, 0.25);
  const shut = kitTrolleyGrip(133.6, 14.5, 0);
  expect(PAGE).toContain(`= ${out.toFixed(0)} N of 3000 N: reserve ${(3000 / out).toFixed(3)}`);
  expect(PAGE).toContain(`= ${shut.toFixed(0)} N: reserve ${(3000 / shut).toFixed(3)}`);
  expect(PAGE).toContain(`F = ${kitTrolleyGrip(125.6, 6.5, 0.25).toFixed(0)} N in use`);
  const cart = await exampleCart('kit-trolley-six-castor.cart.yaml');
  expectClose(reserveOf(cart, 'handles'), 3000 / out);
  const tray: CartEdit = {
    kind: 'position mover',
    position: 'in use',
    mover: 'top tray slide',
    from: 0,
    to: 0,
  };
  expectClose(reserveOf(editCart(cart, [tray]), 'handles'), 3000 / shut);
});
