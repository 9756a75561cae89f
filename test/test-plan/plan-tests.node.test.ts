/** Plans of every example cart. */

import { beforeAll, describe, expect, test } from 'vitest';
import type { CheckReport } from '../../src/analysis/index.js';
import { checkCart, poseCart, QUICK_PROOF } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import { STANDARD_GRAVITY } from '../../src/engine/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import { QUESTION_KINDS } from '../../src/requirements/index.js';
import type { TestPlan, TestRun } from '../../src/test-plan/index.js';
import { changesBetween, planTests, predictRun, runWords } from '../../src/test-plan/index.js';
import { effortOf } from '../../src/test-plan/set-up-changes.js';
import { EXAMPLE_FILES, exampleCart } from '../analysis/example-carts.js';
import { builtIn } from '../analysis/simple-cart.js';
import { seededRandom } from '../reference/random.js';

interface Planned {
  readonly name: string;
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly report: CheckReport;
  readonly plan: TestPlan;
}

const SETS = ['iec-60601-1-3.2', 'iec-61010-1-3'];
/** The set with a combined force: one cart shows what it asks. */
const WITH_COMBINED = { file: 'scanner-cart.cart.yaml', set: 'iec-62368-1-2018' };
/** No proofs: what is found is what is tested here. */
const EFFORT = { ...QUICK_PROOF, starts: 30, followed: 3, firstBoxes: 0, gaps: [] };

function setsOf(file: string | undefined): readonly string[] {
  return file === WITH_COMBINED.file ? [...SETS, WITH_COMBINED.set] : SETS;
}

let all: readonly Planned[] = [];
beforeAll(async () => {
  const carts = await Promise.all(EXAMPLE_FILES.map(exampleCart));
  all = carts.flatMap((cart, i) =>
    setsOf(EXAMPLE_FILES[i]).map((id): Planned => {
      const set = builtIn(id);
      const report = checkCart(cart, set, { effort: EFFORT });
      const plan = planTests(cart, set, report, { rule: { kind: 'guard band', multiple: 1 } });
      return { name: `${EXAMPLE_FILES[i]} ${id}`, cart, set, report, plan };
    }),
  );
}, 60_000);

/** Every governing run with what its finding says is measured. */
function governing(): readonly { at: string; run: TestRun; found: number | null }[] {
  return all.flatMap(({ name, report, plan, set }) =>
    report.findings.flatMap((finding) => {
      const run = plan.runs.find((each) => each.finding === finding.id && each.governs);
      if (run === undefined) return [];
      const { loading } = run;
      const factor = set.clauses
        .find(({ id }) => id === finding.id)
        ?.values.find(({ id }) => id === 'factor')?.value;
      // a limit from above: what is measured is the demand; a scale shows mass, without the factor
      const weighed = loading.kind === 'weighing' && !loading.removed;
      const measured = weighed || loading.kind === 'propulsion' ? finding.demand : finding.capacity;
      const scale = weighed ? (factor ?? 1) * STANDARD_GRAVITY : 1;
      const found = measured === null ? null : measured.value / scale;
      return [{ at: `${name} ${finding.id}`, run, found }];
    }),
  );
}

describe('the worst found', () => {
  test('is predicted at its own set-up as its finding has it, to a millionth: 7 carts, 2 sets and one more', () => {
    const checked = governing();
    expect(checked.length).toBeGreaterThan(80);
    for (const { at, run, found } of checked) {
      const { capacity } = run.prediction;
      if (found === null) expect(capacity, at).toBeNull();
      // absolute below a millimetre, newton or the like: a distance may be about 0
      else {
        const off = Math.abs((capacity?.value ?? Number.NaN) - found);
        expect(off / Math.max(1e-3, Math.abs(found)), at).toBeLessThan(1e-6);
      }
    }
  });

  test('is no better than any other side of the cart', () => {
    for (const { name, plan } of all) {
      for (const run of plan.runs) {
        const worst = plan.runs.find((each) => each.finding === run.finding && each.governs);
        if (run.loading.kind === 'lifting' || run.prediction.reserve === null) continue;
        // a side is not searched as closely as the worst is
        const least = (worst?.prediction.reserve ?? 0) * (1 - 1e-6);
        expect(run.prediction.reserve, `${name} ${run.id}`).toBeGreaterThanOrEqual(least);
      }
    }
  });

  test('carries the bound that was proven, the other sides none', () => {
    for (const { plan } of all) {
      expect(
        plan.runs.filter(({ governs }) => !governs).every((r) => r.prediction.proven === null),
      ).toBe(true);
    }
    const tips = governing().filter(({ run }) => run.finding.startsWith('overbalance'));
    for (const { run } of tips) {
      expect(run.prediction.proven?.value).toBeLessThanOrEqual(
        (run.prediction.capacity?.value ?? 0) * (1 + 1e-9),
      );
    }
  });
});

describe('the other sides', () => {
  test('have their castors turned worst: no random turn tips earlier on an incline (seed 41)', () => {
    const random = seededRandom(41);
    const runs = all.flatMap(({ cart, set, plan, name }) =>
      plan.runs
        .filter(({ finding, governs }) => finding.startsWith('overbalance') && !governs)
        .map((run) => ({ cart, set, run, name })),
    );
    expect(runs.length).toBeGreaterThan(50);
    for (const { cart, run, name } of runs) {
      for (let trial = 0; trial < 20; trial++) {
        const swivels = Object.fromEntries(
          Object.keys(run.pose.swivels).map((castor) => [castor, 2 * Math.PI * random()]),
        );
        const tips = poseCart(cart, { ...run.pose, swivels }).tipAngle ?? 0;
        expect(tips, `${name} ${run.id}`).toBeGreaterThanOrEqual(
          (run.prediction.capacity?.value ?? 0) - 1e-9,
        );
      }
    }
  });

  test('are left out when only the worst is wanted', () => {
    const { cart, set, report } = all[0] as Planned;
    const { runs } = planTests(cart, set, report, {
      rule: { kind: 'simple acceptance' },
      directions: 'worst',
      repeats: 5,
    });
    expect(runs.every(({ governs }) => governs)).toBe(true);
    expect(new Set(runs.map(({ finding }) => finding)).size).toBe(runs.length);
    expect(runs.every(({ repeats }) => repeats === 5)).toBe(true);
  });
});

describe('friction', () => {
  /** Greatest share by which more friction lowered what a set-up holds, up to 1.2 in steps. */
  function greatestFall({ cart, set, plan }: Planned, steps: number): number {
    const falls = plan.runs
      .filter(({ criteria }) => criteria.length === 2)
      .map((run) => {
        let peak = 0;
        let fall = 0;
        for (let step = 1; step <= steps; step++) {
          const held = predictRun(cart, set, run, (1.2 * step) / steps).capacity?.value ?? 0;
          if (peak > 0) fall = Math.max(fall, 1 - held / peak);
          peak = Math.max(peak, held);
        }
        return fall;
      });
    return Math.max(0, ...falls);
  }

  test('never lowers what a set-up holds where every castor has a lock: every holding run', () => {
    const locked = all.filter(({ cart }) => cart.castors.every(({ lock }) => lock !== 'none'));
    expect(locked.length).toBeGreaterThan(3);
    for (const planned of locked) {
      expect(greatestFall(planned, 12), planned.name).toBeLessThan(1e-9);
    }
  });

  test('may lower it by some per cent where free castors trail another way, never by a tenth', () => {
    const free = all.filter(({ cart }) => cart.castors.some(({ lock }) => lock === 'none'));
    const fall = Math.max(...free.map((planned) => greatestFall(planned, 24)));
    // docs/test-plan.md says up to 4 %
    expect(fall).toBeGreaterThan(0);
    expect(fall).toBeLessThan(0.05);
  });

  test('that a set-up needs holds what is asked, and a thousandth less does not', () => {
    for (const { cart, set, plan, name } of all) {
      for (const run of plan.runs) {
        const needed = run.prediction.frictionNeeded;
        if (needed === null) continue;
        const reserve = (friction: number) => predictRun(cart, set, run, friction).reserve ?? 0;
        expect(reserve(needed), `${name} ${run.id}`).toBeGreaterThanOrEqual(1);
        expect(reserve(needed * 0.999), `${name} ${run.id}`).toBeLessThan(1);
      }
    }
  });
});

describe('a plan', () => {
  test('asks every clause of its set: runs, or a reason why there are none', () => {
    const kinds = new Set<string>();
    for (const { set, plan } of all) {
      for (const { id, question } of set.clauses) {
        const runs = plan.runs.filter(({ finding }) => finding === id);
        const reason = plan.notTested.find(({ finding }) => finding === id)?.reason ?? '';
        expect(runs.length > 0, id).toBe(reason === '');
        if (runs.length > 0) kinds.add(question.kind);
        expect(runs.filter(({ governs }) => governs).length, id).toBe(runs.length > 0 ? 1 : 0);
      }
    }
    expect([...kinds].sort()).toEqual([...QUESTION_KINDS].sort());
  });

  test('never needs more effort than clause by clause, and counts what its words say', () => {
    for (const { plan, name } of all) {
      expect(plan.changes.planned, name).toBeLessThanOrEqual(plan.changes.byClause);
      const effort = plan.runs
        .slice(1)
        .reduce((sum, run, i) => sum + effortOf(plan.runs[i] as TestRun, run), 0);
      expect(plan.changes.planned, name).toBe(effort);
      for (const [i, run] of plan.runs.entries()) {
        expect(changesBetween(run, run, 'SI')).toEqual([]);
        const before = plan.runs[i - 1];
        const words = changesBetween(before ?? null, run, 'US');
        expect(words.length > 0, run.id).toBe(before === undefined || effortOf(before, run) > 0);
      }
    }
  });

  test('weighs first, holds before it tips, and leaves what may do damage to the end', () => {
    const rank = ({ loading, criteria }: TestRun): number => {
      if (loading.kind === 'weighing') return loading.removed ? 2 : 0;
      if (loading.kind === 'threshold' || loading.kind === 'lifting') return 3;
      return loading.kind === 'propulsion' || criteria.length === 2 ? 1 : 2;
    };
    for (const { plan } of all) {
      const ranks = plan.runs.map(rank);
      expect(ranks).toEqual(ranks.toSorted((a, b) => a - b));
    }
  });

  test('survives being kept as JSON, and is made the same again', () => {
    for (const { plan } of all) expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
    for (const { cart, set, report, plan } of all.slice(-4)) {
      const again = planTests(cart, set, report, { rule: plan.rule });
      expect(again).toEqual(plan);
    }
  });

  test('says of every value that nobody confirmed that it is not', () => {
    for (const { plan } of all) {
      expect(plan.cautions.some((text) => text.startsWith('Not compared with'))).toBe(true);
      expect(plan.cautions).toContain('A qualified person decides and signs.');
      for (const run of plan.runs) {
        expect(run.criteria.every(({ confirmed }) => !confirmed)).toBe(true);
        expect(runWords(run, 'SI').acceptance.join()).toContain('not confirmed');
      }
    }
  });

  test('warns of a fall wherever the cart may tip, and asks for a restraint there', () => {
    for (const { plan } of all) {
      const restrained = plan.equipment.find(({ id }) => id === 'restraint')?.runs ?? [];
      for (const run of plan.runs) {
        const mayTip = ['incline', 'push', 'press'].includes(run.loading.kind);
        if (!mayTip) continue;
        expect(run.cautions.join()).toMatch(/may tip: slack restraint on, a second person/);
        expect(restrained).toContain(run.id);
      }
    }
  });
});

describe('words of a run', () => {
  test('are whole in every unit system', () => {
    for (const { plan } of all) {
      for (const run of plan.runs) {
        for (const units of ['SI', 'US', 'both'] as const) {
          const words = JSON.stringify(runWords(run, units));
          expect(words).not.toMatch(/undefined|NaN|null|Infinity|\[object/);
        }
      }
    }
  });

  test('tell an engineer how to turn a castor', () => {
    const plan = all.find(({ name }) => name.startsWith('telehealth-two-locks-one-side'))?.plan;
    const run = plan?.runs.find(({ id }) => id === 'unwanted-movement-push-3');
    if (run === undefined) throw new Error('no such run');
    expect(changesBetween(null, run, 'SI')).toContain(
      'turn castors front left and rear left so that their wheels trail to the right (-90 deg)',
    );
    const words = runWords(run, 'SI');
    expect(words.setUp).toContainEqual({
      label: 'locks',
      text: 'on: front left (wheel) and rear left (wheel)',
    });
    expect(words.setUp).toContainEqual({
      label: 'castors front right and rear right',
      text: 'free to trail',
    });
    expect(words.setUp).toContainEqual({
      label: 'floor',
      text: 'vinyl 2 mm to 4 mm on a hard level floor',
    });
  });
});
