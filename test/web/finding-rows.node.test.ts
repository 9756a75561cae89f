import { describe, expect, it } from 'vitest';
import type { ScreenedFinding, Verdict } from '../../src/analysis/index.js';
import { checkCart, screenCart } from '../../src/analysis/index.js';
import type { Clause, RequirementSet } from '../../src/requirements/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import type { FindingRow, RowsInput } from '../../src/web/findings/finding-rows.js';
import {
  findingRows,
  keepSame,
  orderOf,
  overallOf,
  RUNNING,
} from '../../src/web/findings/finding-rows.js';
import type { ProvenFinding } from '../../src/web/store/state.js';
import { exampleCart } from '../analysis/example-carts.js';

const found = findSet(builtInSets, 'iec-60601-1-3.2');
if (found === null) throw new Error('no set');
const set = found;

const cart = await exampleCart('telehealth-two-locks-one-side.cart.yaml');
const report = checkCart(cart, set);
const proven = new Map(
  report.findings.map((finding) => [finding.id, { finding, stage: 'full' } as ProvenFinding]),
);
const { findings } = screenCart(cart, set, { friction: 'as stated' });

const NOTHING: RowsInput = {
  set,
  units: 'SI',
  findings: null,
  atPose: null,
  proven: new Map(),
  before: new Map(),
  frictionAssumed: true,
};

const rowIn = (rows: readonly FindingRow[], id: string): FindingRow => {
  const row = rows.find((each) => each.id === id);
  if (row === undefined) throw new Error(`no row ${id}`);
  return row;
};

const stageOf = (
  id: string,
  change: Partial<ProvenFinding['finding']>,
  stage: 'quick' | 'full',
) => {
  const finding = proven.get(id)?.finding;
  if (finding === undefined) throw new Error(`no finding ${id}`);
  return new Map([...proven, [id, { finding: { ...finding, ...change }, stage }]]);
};

const firstWithAlternative = ({ clauses }: RequirementSet): Clause | undefined =>
  clauses.find(({ alternative }) => alternative !== null);

describe('the rows of the findings', () => {
  it('are one for each clause, in the order of the set, before anything is known', () => {
    const rows = findingRows(NOTHING);
    expect(rows.map(({ id }) => id)).toEqual(set.clauses.map(({ id }) => id));
    expect(rows.every(({ verdict, words }) => verdict === null && words === 'being judged')).toBe(
      true,
    );
  });

  it('say of a proven cart what its report says', () => {
    const rows = findingRows({ ...NOTHING, findings, proven, before: proven });
    for (const finding of report.findings) {
      expect(rowIn(rows, finding.id).verdict).toBe(finding.verdict);
    }
    expect(overallOf(rows).verdict).toBe(report.verdict);
  });

  it('give what is found before it is proven no verdict but that it fails', () => {
    const rows = findingRows({ ...NOTHING, findings });
    const verdicts = new Set(rows.map(({ verdict }) => verdict));
    expect([...verdicts].every((each) => each !== 'holds' && each !== 'depends on friction')).toBe(
      true,
    );
    expect(rowIn(rows, 'overbalance-transport').words).toBe(RUNNING);
  });

  it('tell of a clause that fails as found so, but of holding on assumed friction only when proven', () => {
    const short = (id: string): readonly ScreenedFinding[] =>
      findings.map((each) => (each.id === id ? { ...each, own: 0.9, reserve: 0.9 } : each));
    const tips = findingRows({ ...NOTHING, findings: short('overbalance-transport') });
    expect(rowIn(tips, 'overbalance-transport').verdict).toBe('fails');
    const holding = set.clauses.find(({ question }) => question.kind === 'holding on incline');
    const id = holding?.id ?? '';
    expect(rowIn(findingRows({ ...NOTHING, findings: short(id) }), id).verdict).toBeNull();
    const measured = { ...NOTHING, findings: short(id), frictionAssumed: false };
    expect(rowIn(findingRows(measured), id).verdict).toBe('fails');
  });

  it('do not call a quick proof that has not closed undecided, and a full one they do', () => {
    const id = 'overbalance-transport';
    const quick = stageOf(id, { verdict: 'not decided' }, 'quick');
    const row = rowIn(findingRows({ ...NOTHING, proven: quick }), id);
    expect(row.verdict).toBeNull();
    expect(row.remark).toMatch(/^proven at least \d/);
    const full = stageOf(id, { verdict: 'not decided' }, 'full');
    expect(rowIn(findingRows({ ...NOTHING, proven: full }), id).verdict).toBe('not decided');
  });

  it('wait for the clause that may be met instead, and hold where it holds', () => {
    const sets = builtInSets.map((each) => ({ each, clause: firstWithAlternative(each) }));
    const { each, clause } = sets.find((one) => one.clause !== undefined) ?? {};
    if (each === undefined || clause === undefined) throw new Error('no alternative');
    const alternative = clause.alternative ?? '';
    const judged = checkCart(cart, each);
    const of = (own: Verdict, other: Verdict | null): FindingRow => {
      const known = judged.findings.flatMap((finding) => {
        const verdict = finding.id === clause.id ? own : finding.id === alternative ? other : null;
        const applicability = { applies: true, reason: '' };
        return verdict === null
          ? []
          : [
              [
                finding.id,
                { finding: { ...finding, verdict, applicability }, stage: 'full' },
              ] as const,
            ];
      });
      return rowIn(findingRows({ ...NOTHING, set: each, proven: new Map(known) }), clause.id);
    };
    expect(of('fails', null).verdict).toBeNull();
    expect(of('fails', 'fails').verdict).toBe('fails');
    expect(of('fails', 'holds').verdict).toBe('holds');
    expect(of('fails', 'holds').remark).toMatch(/^met by the alternative/);
    expect(of('holds', null).verdict).toBe('holds');
  });

  it('keep the bound of the cart as it was, marked as old', () => {
    const row = rowIn(
      findingRows({ ...NOTHING, findings, before: proven }),
      'overbalance-transport',
    );
    expect(row.provenIsOld).toBe(true);
    expect(row.proven).not.toBeNull();
    const now = rowIn(findingRows({ ...NOTHING, findings, proven }), 'overbalance-transport');
    expect(now.provenIsOld).toBe(false);
  });

  it('are found at the friction that they are proven at', () => {
    const live = findingRows({ ...NOTHING, findings });
    for (const row of findingRows({ ...NOTHING, proven })) {
      const own = rowIn(live, row.id).found;
      if (row.found === null || own === null) continue;
      // screening finds the worst of every example to 0.1 % (test/analysis/screen-cart)
      expect(Math.abs(own / row.found - 1)).toBeLessThan(2e-3);
    }
  });

  it('stay the same objects where they say the same', () => {
    const first = findingRows({ ...NOTHING, findings });
    const again = keepSame(first, findingRows({ ...NOTHING, findings }));
    expect(again).toBe(first);
    const moved = findings.map((each, i) => (i === 0 ? { ...each, own: 7, reserve: 7 } : each));
    const changed = keepSame(first, findingRows({ ...NOTHING, findings: moved }));
    expect(changed.map((row, i) => row === first[i])).toEqual(first.map((_, i) => i !== 0));
  });

  it('come thinnest first when wanted, what is not asked last', () => {
    const rows = findingRows({ ...NOTHING, findings });
    const order = orderOf(rows, 'thinnest').map((id) => rowIn(rows, id));
    const asked = order.filter((row) => row.asked && row.found !== null);
    const reserves = asked.map((row) => row.found ?? 0);
    expect(reserves).toEqual([...reserves].sort((a, b) => a - b));
    expect(order.at(-1)?.asked).toBe(false);
  });

  it('write amounts in the units chosen', () => {
    const amounts = (units: 'SI' | 'US'): string =>
      rowIn(findingRows({ ...NOTHING, units, proven }), 'propulsion').amounts;
    // 200 N is 45.0 lbf: 1 lbf = 4.4482216152605 N (NIST SP 811, appendix B)
    expect(amounts('SI')).toMatch(/^takes [\d.]+ N, limit 200 N$/);
    expect(amounts('US')).toMatch(/^takes [\d.]+ lbf, limit 44.96 lbf$/);
  });
});

describe('the verdict over all rows', () => {
  const row = (verdict: FindingRow['verdict']): FindingRow => ({
    ...rowIn(findingRows({ ...NOTHING, proven }), 'overbalance-transport'),
    verdict,
  });

  it('fails as soon as one does, and holds only when all do', () => {
    expect(overallOf([row('holds'), row(null), row('fails')])).toMatchObject({
      verdict: 'fails',
      words: 'Fails: 1 of 3 findings',
    });
    expect(overallOf([row('holds'), row(null)]).verdict).toBeNull();
    expect(overallOf([row('holds'), row('holds')])).toMatchObject({
      verdict: 'holds',
      words: 'Holds: all 2 findings',
    });
    expect(overallOf([row('holds'), row('depends on friction')]).verdict).toBe(
      'depends on friction',
    );
    expect(overallOf([row('depends on friction'), row('not decided')]).verdict).toBe('not decided');
    expect(overallOf([]).words).toBe('Nothing is asked of this cart');
  });
});
