import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { StudyAim, VariantRow } from '../../src/studies/index.js';
import {
  aimValue,
  chosenToProve,
  collectFront,
  frontOf,
  summariseStudy,
} from '../../src/studies/index.js';

const AIMS: readonly StudyAim[] = [
  { of: 'mass', wanted: 'least' },
  { of: 'width', wanted: 'least' },
  { of: 'cost', wanted: 'least' },
  { of: 'margin', wanted: 'greatest' },
];

function row(index: number, changes: Partial<VariantRow> = {}): VariantRow {
  return {
    ...{ index, mass: 50, width: 0.6, length: 0.7, cost: 10, reserve: 1.2, governs: 'threshold' },
    ...{ passes: true, reserves: [1.2], fault: null, ...changes },
  };
}

/** Few values, far apart in the steps that figures are compared in: many ties. */
const value = (least: number, step: number) =>
  fc.integer({ min: 0, max: 4 }).map((i) => least + i * step);
const someRow = fc.record({
  mass: value(40, 1),
  width: value(0.5, 0.01),
  cost: fc.oneof(value(0, 5), fc.constant(null)),
  reserve: fc.oneof(value(1, 0.05), fc.constant(Number.POSITIVE_INFINITY)),
  passes: fc.integer({ min: 0, max: 3 }).map((i) => i > 0),
});
const someRows = fc
  .array(someRow, { maxLength: 60 })
  .map((all) => all.map((changes, index) => row(index, changes)));
const someAims = fc.subarray([...AIMS], { minLength: 1 });

/** By the definition, over all pairs. */
function bruteForce(rows: readonly VariantRow[], aims: readonly StudyAim[]): number[] {
  const worth = (each: VariantRow, { of, wanted }: StudyAim): number => {
    const known = aimValue(each, of);
    if (known === null) return Number.POSITIVE_INFINITY;
    return wanted === 'least' ? known : -known;
  };
  const passing = rows.filter(({ passes }) => passes);
  const isBeaten = (a: VariantRow): boolean =>
    passing.some((b) => {
      const gaps = aims.map((aim) => {
        const [p, q] = [worth(a, aim), worth(b, aim)];
        return p === q ? 0 : p - q;
      });
      // 1e-9: what rounding leaves of equal figures
      const notWorse = gaps.every((gap) => gap > -1e-9);
      return notWorse && (gaps.some((gap) => gap > 1e-9) || b.index < a.index);
    });
  return passing.filter((each) => !isBeaten(each)).map(({ index }) => index);
}

describe('the front', () => {
  test('is what comparing all pairs gives', async () => {
    await fc.assert(
      fc.asyncProperty(someRows, someAims, async (rows, aims) => {
        const front = await frontOf({ aims }, rows);
        expect(front.map(({ index }) => index)).toEqual(bruteForce(rows, aims));
      }),
      { numRuns: 300, seed: 3 },
    );
  });

  test('is the same in whatever order the rows come', async () => {
    const shuffled = someRows.chain((rows) =>
      fc.tuple(fc.constant(rows), fc.shuffledSubarray(rows, { minLength: rows.length })),
    );
    await fc.assert(
      fc.asyncProperty(shuffled, someAims, async ([rows, others], aims) => {
        expect(await frontOf({ aims }, others)).toEqual(await frontOf({ aims }, rows));
      }),
      { numRuns: 200, seed: 4 },
    );
  });

  test('has of several that are alike the one with the lowest index', async () => {
    const rows = [row(4), row(2), row(9)];
    expect((await frontOf({ aims: AIMS }, rows)).map(({ index }) => index)).toEqual([2]);
  });

  test('passes over differences below its steps: a gram, 0.1 mm, a cent, 0.1 % of margin', () => {
    const rows = [
      row(0),
      row(1, { mass: 50 - 4e-4 }),
      row(2, { width: 0.6 - 4e-5 }),
      row(3, { cost: 9.996 }),
      row(4, { reserve: 1.2004 }),
      row(5, { mass: 49.998 }),
    ];
    const front = collectFront({ aims: AIMS });
    for (const each of rows) front.add(each);
    expect(front.rows().map(({ index }) => index)).toEqual([5]);
  });

  test('is empty where nothing passes', async () => {
    expect(await frontOf({ aims: AIMS }, [row(0, { passes: false })])).toEqual([]);
  });
});

describe('the variants chosen to be proven', () => {
  const front = Array.from({ length: 21 }, (_, i) =>
    row(i, { mass: 40 + i, reserve: 1.1 + 0.05 * i }),
  );
  const aims = [AIMS[0], AIMS[3]] as StudyAim[];

  test('are all of a front that is not longer than asked', () => {
    expect(chosenToProve({ aims, proofs: 21 }, front)).toEqual(front.map(({ index }) => index));
    expect(chosenToProve({ aims, proofs: 0 }, front)).toEqual([]);
    expect(chosenToProve({ aims, proofs: 3 }, [])).toEqual([]);
  });

  test('are else the best in each aim, then the ones farthest from those chosen', () => {
    expect(chosenToProve({ aims, proofs: 1 }, front)).toEqual([0]);
    expect(chosenToProve({ aims, proofs: 2 }, front)).toEqual([0, 20]);
    expect(chosenToProve({ aims, proofs: 3 }, front)).toEqual([0, 10, 20]);
    expect(chosenToProve({ aims, proofs: 5 }, front)).toEqual([0, 5, 10, 15, 20]);
  });

  test('are chosen from a front of 200 000 variants, too', () => {
    const aims: readonly StudyAim[] = [
      { of: 'mass', wanted: 'least' },
      { of: 'margin', wanted: 'greatest' },
    ];
    const front = Array.from({ length: 200_001 }, (_, i) =>
      row(i, { mass: i / 1000, reserve: 1 + i / 1000 }),
    );
    expect(chosenToProve({ aims, proofs: 3 }, front)).toEqual([0, 100_000, 200_000]);
  });

  test('are as many as asked, all of the front, none twice', () => {
    fc.assert(
      fc.property(someRows, someAims, fc.integer({ min: 0, max: 8 }), (rows, some, proofs) => {
        const collected = collectFront({ aims: some });
        for (const each of rows) collected.add(each);
        const best = collected.rows();
        const chosen = chosenToProve({ aims: some, proofs }, best);
        expect(chosen).toHaveLength(Math.min(proofs, best.length));
        expect(chosen).toEqual([...new Set(chosen)].sort((a, b) => a - b));
        expect(best.map(({ index }) => index)).toEqual(expect.arrayContaining([...chosen]));
      }),
      { numRuns: 200, seed: 5 },
    );
  });
});

test('the summary of a study counts what passes, what fails and why, and what comes nearest', async () => {
  const failing = (index: number, reserve: number, governs: string) =>
    row(index, { passes: false, reserve, governs });
  const faulty = row(6, { passes: false, reserve: null, governs: '', fault: 'it tips at once' });
  const rows = [
    ...[row(0), failing(1, 0.8, 'threshold'), failing(2, 1.05, 'propulsion')],
    ...[failing(3, 1.05, 'threshold'), failing(4, 0.2, 'threshold'), row(5, { mass: 49 }), faulty],
  ];
  expect(await summariseStudy({ aims: AIMS }, rows)).toEqual({
    rows: 7,
    passing: 2,
    faults: 1,
    fault: faulty,
    front: [rows[5]],
    governing: [
      { id: 'threshold', variants: 3 },
      { id: 'propulsion', variants: 1 },
    ],
    nearest: rows[2],
  });
});
