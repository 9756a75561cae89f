/** The poses of all findings of all examples against the findings. */

import { beforeAll, describe, expect, test } from 'vitest';
import type { Finding } from '../../src/analysis/index.js';
import {
  checkCart,
  foundReserve,
  holdingRose,
  pinnedAt,
  poseCart,
  poseOfWorst,
  provenReserve,
  screenCart,
} from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import { QUICK_EFFORT } from '../../src/engine/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import { EXAMPLE_FILES, exampleCart } from './example-carts.js';
import { builtIn } from './simple-cart.js';

const SET = builtIn('iec-60601-1-3.2');
/** Between them they ask every kind of question. */
const SETS = [SET, builtIn('iec-61010-1-3'), builtIn('iec-62368-1-2018')];

/** What is shown of a holding finding is solved to 5e-6 of the friction available (docs/limits.md); loads
 * change with the force by less than the force itself. */
const SOLVED = 1e-4;
/** Ends of two compass searches with a last step of 0.1 % of the range: near a minimum far less. */
const SEARCHED = 1e-3;
/** Rounding of sums over parts. */
const ROUNDED = 1e-9;

const HOLDING = SET.clauses
  .filter(({ question: { kind } }) => kind.startsWith('holding'))
  .map(({ id }) => id);

describe.each(EXAMPLE_FILES)('poses of %s', (file) => {
  let cart: Cart;
  /** every finding with a worst configuration, and its set */
  let all: readonly { readonly set: RequirementSet; readonly finding: Finding }[];
  beforeAll(async () => {
    cart = await exampleCart(file);
    all = SETS.flatMap((set) =>
      checkCart(cart, set, { effort: QUICK_EFFORT })
        .findings.filter(({ worst }) => worst !== null)
        .map((finding) => ({ set, finding })),
    );
  });
  const shown = (): readonly Finding[] =>
    all.filter(({ set }) => set === SET).map(({ finding }) => finding);

  test('have the mass, the centre of mass and the castor loads of the finding', () => {
    for (const { set, finding } of all) {
      const { id, worst, castors } = finding;
      const pose = poseOfWorst(cart, set, finding);
      if (worst === null || pose === null) throw new Error(`${id}: no pose`);
      const posed = poseCart(cart, pose);
      expect(posed.mass, id).toBeCloseTo(worst.mass, 9);
      expect(posed.centreOfMass, id).toEqual(worst.centreOfMass.map((at) => expect.closeTo(at, 9)));
      const total = castors.reduce((sum, { load }) => sum + load, 0);
      for (const [i, { name, contact, load }] of castors.entries()) {
        const castor = posed.castors[i];
        expect(castor?.contact, `${id} ${name}`).toEqual(
          contact.map((at) => expect.closeTo(at, 9)),
        );
        const off = Math.abs((castor?.load ?? Number.NaN) - load) / total;
        expect(off, `${id} ${name}`).toBeLessThan(SOLVED);
      }
    }
  });

  test('are on the tipping line where the finding tips under a load', () => {
    const loaded = all.filter(({ set, finding: { id, mode, capacity } }) => {
      const kind = set.clauses.find((clause) => clause.id === id)?.question.kind ?? '';
      const still = kind === 'threshold' || kind === 'castor missing';
      return mode?.kind === 'tips' && !still && Number.isFinite(capacity?.value);
    });
    expect(loaded.length).toBeGreaterThan(0);
    for (const { set, finding } of loaded) {
      const pose = poseOfWorst(cart, set, finding);
      if (pose === null) throw new Error(`${finding.id}: no pose`);
      const { stands, lines } = poseCart(cart, pose);
      expect(stands, finding.id).toBe(true);
      const least = Math.min(...lines.map(({ clearance }) => clearance));
      // m; a holding finding's force is found to a millionth, its lever is at most a few metres
      expect(Math.abs(least), finding.id).toBeLessThan(1e-6);
    }
  });

  test('are as far inside the other castors as the clause of the missing one says', () => {
    const missing = all.find(({ set, finding: { id } }) =>
      set.clauses.some(
        ({ id: own, question: { kind } }) => own === id && kind === 'castor missing' && set !== SET,
      ),
    );
    if (missing === undefined) throw new Error('no such finding');
    const { set, finding } = missing;
    const pose = poseOfWorst(cart, set, finding);
    if (pose === null) throw new Error('no pose');
    expect(cart.castors.map(({ name }) => name)).toContain(pose.without);
    const { lines, stands } = poseCart(cart, pose);
    const least = Math.min(...lines.map(({ clearance }) => clearance));
    // three castors less one are in a line: no distance
    if (finding.capacity === null) expect(lines).toEqual([]);
    else expect(least).toBeCloseTo(finding.capacity.value, 9);
    expect(stands).toBe((finding.capacity?.value ?? -1) >= 0);
  });

  test('hold in the worst direction what the finding says, and nowhere less than is proven', () => {
    const held = shown().filter(({ id }) => HOLDING.includes(id));
    expect(held.length).toBeGreaterThan(0);
    for (const finding of held) {
      const pose = poseOfWorst(cart, SET, finding);
      const { id, worst, capacity, demand } = finding;
      if (pose === null || capacity === null || demand === null) throw new Error(`${id}: no pose`);
      const through = worst?.direction ?? 0;
      const options = { castors: 'turned the worst way', directions: 24, through } as const;
      const rose = holdingRose(cart, SET, id, pose, options);
      const ray = rose?.rays.find(({ direction }) => Math.abs(direction - through) < 1e-12);
      const off = Math.abs((ray?.stated.value ?? Number.NaN) / capacity.value - 1);
      expect(off, id).toBeLessThan(SEARCHED);
      const proven = provenReserve(finding) ?? 0;
      const least = Math.min(...(rose?.rays.map(({ stated }) => stated.value) ?? []));
      expect(least / demand.value, id).toBeGreaterThanOrEqual(proven * (1 - ROUNDED));
      const posed = holdingRose(cart, SET, id, pose, { ...options, castors: 'as posed' });
      for (const [i, each] of (posed?.rays ?? []).entries()) {
        const worstWay = rose?.rays[i]?.capacity ?? Number.NaN;
        expect(each.capacity * (1 + SEARCHED), `${id} ${i}`).toBeGreaterThanOrEqual(worstWay);
      }
      if (finding.mode?.kind === 'tips') continue;
      const own = posed?.rays.find(({ direction }) => Math.abs(direction - through) < 1e-12);
      const same = Math.abs((own?.stated.value ?? Number.NaN) / capacity.value - 1);
      expect(same, id).toBeLessThan(SOLVED);
    }
  });

  test('held there, no finding is below what is proven of the whole, and the worst is the worst', () => {
    const at = shown().find(({ id }) => id === HOLDING[0]) ?? shown()[0];
    if (at === undefined) throw new Error('nothing to show');
    for (const finding of new Set([at, ...shown()])) {
      const pose = poseOfWorst(cart, SET, finding);
      if (pose === null) throw new Error(`${finding.id}: no pose`);
      const only = finding === at ? undefined : [finding.id];
      const options = { friction: 'as stated', ...(only === undefined ? {} : { only }) } as const;
      for (const screened of screenCart(pinnedAt(cart, pose), SET, options).findings) {
        const whole = shown().find(({ id }) => id === screened.id);
        if (whole === undefined || screened.own === null) continue;
        const proven = provenReserve(whole) ?? 0;
        expect(screened.own, screened.id).toBeGreaterThanOrEqual(proven * (1 - ROUNDED));
        if (screened.id !== finding.id) continue;
        const reserve = foundReserve(whole) ?? Number.NaN;
        if (reserve === screened.own) continue;
        expect(Math.abs(screened.own / reserve - 1), screened.id).toBeLessThan(SEARCHED);
      }
    }
  });
});
