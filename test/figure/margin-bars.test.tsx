import { describe, expect, it } from 'vitest';
import { checkCart, screenCart } from '../../src/analysis/index.js';
import type { MarginRow, MarginValue } from '../../src/figure/index.js';
import { MarginBars, marginOfFinding, marginOfScreened } from '../../src/figure/index.js';
import { builtIn, simpleCart } from '../analysis/simple-cart.js';
import { descriptionOf, draw, levelTexts, numberOf, tagsOf, textsOf } from './drawn.js';
import { HOSTILE_NAMES } from './small-scene.js';

const FORCE: MarginValue = {
  verdict: 'fails',
  demand: { value: 80, dimension: 'force' },
  capacity: { value: 40, dimension: 'force' },
  sense: 'at least',
  found: 0.5,
  proven: 0.4,
  posed: 1.5,
};

function rowOf(id: string, changes: Partial<MarginValue>): MarginRow {
  return { id, title: `Finding ${id}`, value: { ...FORCE, ...changes } };
}

function barWidths(svg: string, className = 'fig-bar-found'): readonly number[] {
  return tagsOf(svg, className).map((tag) => numberOf(tag, 'width'));
}

describe('margin bars', () => {
  it('are as long as the reserve', () => {
    const rows = [0.5, 1, 2].map((found, i) => rowOf(`r${i}`, { found, proven: null }));
    const [half = 0, one = 0, two = 0] = barWidths(
      draw(<MarginBars rows={rows} units="SI" showAxis={false} />),
    );
    // coordinates are rounded to hundredths of a px
    expect(Math.abs(half - one / 2)).toBeLessThan(0.02);
    expect(Math.abs(two - 2 * one)).toBeLessThan(0.02);
  });

  it('put the proven bound and the pose where they are', () => {
    const svg = draw(<MarginBars rows={[rowOf('a', {})]} units="SI" showAxis={false} />);
    const [found = 0] = barWidths(svg);
    const [proven = 0] = barWidths(svg, 'fig-bar');
    expect(proven / found).toBeCloseTo(0.4 / 0.5, 3);
    expect(tagsOf(svg, 'fig-proven')).toHaveLength(1);
    expect(tagsOf(svg, 'fig-posed')).toHaveLength(1);
    expect(tagsOf(svg, 'fig-hatch')).toHaveLength(1);
  });

  it('say the verdict by its word, and demand and capacity', () => {
    const rows = [
      rowOf('a', {}),
      rowOf('b', { verdict: 'holds', sense: 'at most', found: 2 }),
      rowOf('c', { verdict: null, sense: null }),
    ];
    const texts = textsOf(draw(<MarginBars rows={rows} units="SI" width={900} />));
    expect(texts).toContain('fails: asked 80 N, found 40 N');
    expect(texts).toContain('holds: takes 80 N, limit 40 N');
    expect(texts).toContain('found, not proven: demand 80 N, capacity 40 N');
  });

  it('tell not asked, not known, nothing and no limit apart', () => {
    const nothing = { demand: null, capacity: null, proven: null, posed: null };
    const rows = [
      rowOf('a', { ...nothing, verdict: 'not applicable', found: null }),
      rowOf('b', { ...nothing, verdict: 'not decided', found: null }),
      rowOf('c', { ...nothing, found: 0 }),
      rowOf('d', {
        verdict: 'holds',
        found: Number.POSITIVE_INFINITY,
        proven: Number.POSITIVE_INFINITY,
        capacity: { value: Number.POSITIVE_INFINITY, dimension: 'speed' },
      }),
    ];
    const svg = draw(<MarginBars rows={rows} units="SI" />);
    const texts = textsOf(svg);
    for (const word of ['not asked', 'not known', '0.000', 'unlimited'])
      expect(texts).toContain(word);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    expect(barWidths(svg)).toHaveLength(3);
    expect(descriptionOf(svg)).toContain('Finding d: holds: asked 80 N, found unlimited');
  });

  it('keep the order given', () => {
    const rows = ['z', 'a', 'm'].map((id) => rowOf(id, {}));
    const svg = draw(<MarginBars rows={rows} units="SI" />);
    expect([...svg.matchAll(/data-finding="(.)"/g)].map((m) => m[1])).toEqual(['z', 'a', 'm']);
  });

  it('show a second variant under the first', () => {
    const row = { ...rowOf('a', {}), other: { ...FORCE, verdict: 'holds', found: 1.25 } as const };
    const svg = draw(<MarginBars rows={[row]} units="SI" names={['as it is', 'longer']} />);
    expect(tagsOf(svg, 'fig-other-bar-found')).toHaveLength(1);
    expect(descriptionOf(svg)).toContain('as it is fails: asked 80 N, found 40 N, reserve 0.500');
    expect(descriptionOf(svg)).toContain('longer holds:');
    expect(textsOf(svg)).toContain('second bar: longer');
  });

  it.each([360, 900])('stay inside of %i px with hostile titles and both units', (width) => {
    const rows = HOSTILE_NAMES.map((title, i): MarginRow => {
      const other = { ...FORCE, verdict: 'depends on friction', found: 100 } as const;
      return { id: String(i), title, value: FORCE, other };
    });
    const names = [HOSTILE_NAMES[0], HOSTILE_NAMES[3]] as unknown as [string, string];
    const svg = draw(<MarginBars rows={rows} units="both" width={width} names={names} />);
    expect(svg).not.toContain('<script');
    for (const { text, box } of levelTexts(svg)) {
      expect(box.left, text).toBeGreaterThanOrEqual(0);
      expect(box.right, text).toBeLessThanOrEqual(width);
      expect(box.bottom, text).toBeLessThanOrEqual(numberOf(svg, 'height'));
    }
  });

  it('show findings of a check and of a screening', () => {
    const cart = simpleCart([0, 0, 0.6]);
    const set = builtIn('iec-60601-1-3.2');
    const screened = screenCart(cart, set).findings.map((finding) => ({
      id: finding.id,
      title: finding.title,
      value: marginOfScreened(finding),
    }));
    const checked = checkCart(cart, set, { only: 'overbalance-transport' }).findings;
    expect(checked).toHaveLength(1);
    for (const finding of checked) {
      const value = marginOfFinding(finding);
      const { demand, capacity } = finding;
      expect(value.found).toBeCloseTo((capacity?.value ?? 0) / (demand?.value ?? 1), 12);
      expect(value.proven).toBeLessThanOrEqual(value.found as number);
      expect(screened.find(({ id }) => id === finding.id)?.value.found).toBeCloseTo(
        value.found as number,
        9,
      );
    }
    const texts = textsOf(draw(<MarginBars rows={screened} units="SI" width={900} />));
    expect(texts).toContain('not applicable');
    expect(texts.some((text) => text.startsWith('found, not proven: demand 10 deg'))).toBe(true);
  });
});
