import { describe, expect, it } from 'vitest';
import type { FailureMode, HoldingRay, HoldingRose } from '../../src/analysis/index.js';
import { HoldingRoseFigure } from '../../src/figure/index.js';
import { runsOf } from '../../src/figure/rose-layout.js';
import {
  attribute,
  cornersOf,
  descriptionOf,
  draw,
  fromGroup,
  levelTexts,
  numberOf,
  tagsOf,
  textsOf,
} from './drawn.js';

const SLIDES = (direction: number): FailureMode => ({ kind: 'slides', direction });
const TIPS: FailureMode = {
  kind: 'tips',
  castors: ['front left', '<script>'],
  line: [
    [0, 0],
    [1, 0],
  ],
};

function roseOf(
  count: number,
  capacity: (direction: number) => number,
  mode: (direction: number) => FailureMode | null = SLIDES,
): HoldingRose {
  const rays = Array.from({ length: count }, (_, i): HoldingRay => {
    const direction = (2 * Math.PI * i) / count;
    const held = capacity(direction);
    return {
      direction,
      demand: 80,
      capacity: held,
      stated: { value: held, dimension: 'force' },
      mode: mode(direction),
      swivels: {},
    };
  });
  const ratios = rays.map((ray) => ray.capacity / ray.demand);
  return { finding: 'push', load: 'push', rays, least: ratios.indexOf(Math.min(...ratios)) };
}

describe('a holding rose', () => {
  const rose = roseOf(72, (direction) => 100 + 60 * Math.sin(direction));
  const svg = draw(<HoldingRoseFigure rose={rose} units="SI" />);

  it('has rings whose radii are as their forces', () => {
    const rings = fromGroup(svg, 'fig-rings');
    const radii = (rings.slice(0, rings.indexOf('</g>')).match(/ r="[\d.]+"/g) ?? []).map((r) =>
      Number(r.slice(4, -1)),
    );
    const texts = fromGroup(svg, 'fig-ring-texts');
    const forces = textsOf(texts.slice(0, texts.indexOf('</g>')))
      .map((text) => Number(text.replace(' N', '')))
      .reverse();
    expect(forces).toEqual([50, 100, 150, 200]);
    radii.forEach((radius, i) => {
      // coordinates are rounded to hundredths
      const share = (forces[i] ?? 0) / 200;
      expect(Math.abs(radius - share * (radii.at(-1) ?? 0))).toBeLessThan(0.011);
    });
    expect(radii).toHaveLength(4);
  });

  it('draws what is held and asked at the same scale, forward to the right, left up', () => {
    const rings = fromGroup(svg, 'fig-rings');
    const rim = Math.max(...(rings.match(/ r="[\d.]+"/g) ?? []).map((r) => Number(r.slice(4, -1))));
    const most = Math.max(
      ...textsOf(fromGroup(svg, 'fig-ring-texts')).map((text) =>
        Number(/^(\d+) N$/.exec(text)?.[1] ?? 0),
      ),
    );
    const held = cornersOf(attribute(tagsOf(svg, 'fig-held')[0] ?? '', 'd'));
    const [forward, left] = [held[0] ?? [0, 0], held[18] ?? [0, 0]];
    expect(Math.abs(forward[0] - (100 / most) * rim)).toBeLessThan(0.02);
    expect(Math.abs(left[1] + (160 / most) * rim)).toBeLessThan(0.02);
    const asked = cornersOf(attribute(tagsOf(svg, 'fig-demand')[0] ?? '', 'd'));
    for (const [x, y] of asked)
      expect(Math.abs(Math.hypot(x, y) - (80 / most) * rim)).toBeLessThan(0.02);
  });

  it('says where it fails in words, and hatches it', () => {
    expect(tagsOf(svg, 'fig-hatch')).toHaveLength(1);
    expect(textsOf(svg)).toContain('fails');
    // 100 + 60 sin d < 80 where sin d < -1/3: from -160.5 to -19.5 degrees, 29 whole steps of 5
    expect(descriptionOf(svg)).toContain('It fails pushed in 29 of 72 directions');
    expect(descriptionOf(svg)).toContain('back (-160 deg) to forward (-20 deg)');
    expect(descriptionOf(svg)).toContain('Least, right (-90 deg): asked 80 N, holds 40 N');
  });

  it('hatches nothing where all is held', () => {
    const all = draw(<HoldingRoseFigure rose={roseOf(8, () => 90)} units="SI" />);
    expect(tagsOf(all, 'fig-hatch')).toHaveLength(0);
    expect(textsOf(all)).not.toContain('fails');
    expect(descriptionOf(all)).toContain('It holds what is asked in all 8 directions.');
  });

  it('marks and tells what lies beyond the chart', () => {
    const some = roseOf(36, (direction) =>
      Math.cos(direction) > 0 ? Number.POSITIVE_INFINITY : 1e6,
    );
    const beyond = draw(<HoldingRoseFigure rose={some} units="both" highlight={0} />);
    expect(textsOf(beyond)).toContain('holds beyond the chart');
    expect(descriptionOf(beyond)).toContain('holds unlimited');
    expect(beyond).not.toMatch(/NaN|Infinity|undefined/);
    expect(draw(<HoldingRoseFigure rose={roseOf(8, () => 90)} units="SI" />)).not.toContain(
      'beyond',
    );
  });

  it('shows every way it goes, also one of a single direction', () => {
    const mixed = roseOf(
      72,
      () => 100,
      (direction) =>
        direction === 0
          ? TIPS
          : direction < 3
            ? { kind: 'pivots', about: [0, 0], sense: 1 }
            : SLIDES(1),
    );
    const drawn = draw(<HoldingRoseFigure rose={mixed} units="SI" />);
    const chart = fromGroup(drawn, 'fig-modes');
    const symbols = chart.slice(0, chart.indexOf('fig-bearings'));
    expect(tagsOf(symbols, 'fig-mode-tips')).toHaveLength(1);
    expect(tagsOf(symbols, 'fig-mode-pivots-counter-clockwise').length).toBeGreaterThan(5);
    expect(textsOf(drawn)).toContain('tips (1 of 72)');
  });

  it('survives nothing held, nothing asked and castors in a line', () => {
    const none = roseOf(
      12,
      () => 0,
      () => null,
    );
    const svg = draw(<HoldingRoseFigure rose={none} units="SI" />);
    expect(descriptionOf(svg)).toContain('It fails in all 12 directions.');
    expect(descriptionOf(svg)).toContain('its castors give no support');
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
    const level = { ...none, rays: none.rays.map((ray) => ({ ...ray, demand: 0 })) };
    expect(draw(<HoldingRoseFigure rose={level} units="US" />)).not.toMatch(/NaN|Infinity/);
  });

  it("keeps its text inside and castors' names as text", () => {
    const tipping = roseOf(
      72,
      () => 100,
      () => TIPS,
    );
    for (const width of [330, 480, 900]) {
      const svg = draw(
        <HoldingRoseFigure rose={tipping} units="both" width={width} highlight={9} />,
      );
      expect(svg).not.toContain('<script');
      for (const { text, box } of levelTexts(svg)) {
        expect(box.left, text).toBeGreaterThanOrEqual(0);
        expect(box.right, text).toBeLessThanOrEqual(width);
        expect(box.bottom, text).toBeLessThanOrEqual(numberOf(svg, 'height'));
      }
    }
  });
});

describe('runs of rays', () => {
  it('go past the last ray to the first', () => {
    const rose = roseOf(8, (direction) => (Math.cos(direction) > 0.1 ? 50 : 100));
    const runs = runsOf(rose.rays, ({ capacity }) => String(capacity));
    expect(runs).toEqual([
      { from: 2, count: 5 },
      { from: 7, count: 3 },
    ]);
  });
});
