import { describe, expect, it } from 'vitest';
import type { WeighingLine } from '../../src/metrology/index.js';
import { tiltChartLayout } from '../../src/web/test-day/sample/tilt-chart-layout.js';

const DEGREE = Math.PI / 180;

/** 26 kg for a tangent of 1 through 0.02 kg, readings off it by turns. */
function line(off = 0.05): WeighingLine {
  const slope = { value: 26, u: 0.5, dof: 4 };
  const intercept = { value: 0.02, u: 0.05, dof: 4 };
  const points = [4, 8, 12, 12, 8, 4].map((angle, i) => {
    const x = Math.tan(angle * DEGREE);
    const residual = i < 3 ? off : -off;
    return { x, y: 0.02 + 26 * x + residual, way: i < 3 ? 'up' : 'down', residual } as const;
  });
  return { points, slope, intercept, upDown: 2 * off, base: 0.6 };
}

describe('the chart of the tilts', () => {
  const { main, residuals, points, ...layout } = tiltChartLayout(line(), 'SI', 640, 420);

  it('has all of it inside its panels', () => {
    for (const { x, y, residualY } of points) {
      expect(x).toBeGreaterThan(main.left);
      expect(x).toBeLessThanOrEqual(main.right);
      expect(y).toBeGreaterThanOrEqual(main.top);
      expect(y).toBeLessThanOrEqual(main.bottom);
      expect(residualY).toBeGreaterThanOrEqual(residuals.top);
      expect(residualY).toBeLessThanOrEqual(residuals.bottom);
    }
    expect(main.bottom).toBeLessThan(residuals.top);
  });

  it('has readings above the line where they show more, in both panels', () => {
    for (const { way, y, lineY, residualY } of points) {
      expect(Math.sign(lineY - y)).toBe(way === 'up' ? 1 : -1);
      expect(Math.sign(residuals.zero - residualY)).toBe(way === 'up' ? 1 : -1);
    }
  });

  it('has the fitted line through what it is at each reading', () => {
    const [[x0, y0], [x1, y1]] = layout.line;
    for (const { x, lineY } of points) {
      expect(y0 + ((x - x0) / (x1 - x0)) * (y1 - y0)).toBeCloseTo(lineY, 9);
    }
  });

  it('has the ticks of the angles where their tangents are', () => {
    const [origin, second] = [layout.tangents[0], layout.tangents[1]];
    if (origin === undefined || second === undefined) throw new Error('no ticks');
    const perUnit = (second.at - origin.at) / (Number(second.text) - Number(origin.text));
    expect(layout.angles.map(({ text }) => text)).toContain('8');
    for (const { at, text } of layout.angles) {
      expect(at - origin.at).toBeCloseTo(perUnit * Math.tan(Number(text) * DEGREE), 6);
    }
  });

  it('begins at 0 where the line misses it by less than can be seen, and below where not', () => {
    const one = line();
    const far = { ...one, intercept: { value: -2, u: 0.1, dof: 4 } };
    expect(main.ticks[0]?.text).toBe('0');
    expect(Number(tiltChartLayout(far, 'SI', 640, 420).main.ticks[0]?.text)).toBeLessThan(0);
    expect(layout.line[0][1]).toBeLessThan(main.bottom);
  });

  it('shows pounds where they are asked for', () => {
    const us = tiltChartLayout(line(), 'US', 640, 420);
    expect([layout.unit, us.unit]).toEqual(['kg', 'lb']);
    // 26 tan 12 deg is 5.5 kg and 12.2 lb
    expect(Number(us.main.ticks.at(-1)?.text)).toBeGreaterThanOrEqual(12);
  });

  it('has a scale for residuals that are nothing', () => {
    const none = tiltChartLayout(line(0), 'SI', 640, 420);
    expect(none.points.every(({ residualY }) => residualY === none.residuals.zero)).toBe(true);
  });
});
