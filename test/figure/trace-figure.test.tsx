import { describe, expect, it } from 'vitest';
import type { TraceFigureProps } from '../../src/figure/index.js';
import { TraceFigure } from '../../src/figure/index.js';
import type { GaugeTrace } from '../../src/metrology/index.js';
import { readTrace } from '../../src/metrology/index.js';
import { seededRandom } from '../reference/random.js';
import { descriptionOf, draw, textsOf } from './drawn.js';

const HEADINGS = { time: 'Time (s)', force: 'Force (N)', displacement: null };
const FORM = { headings: HEADINGS, preamble: [], separator: ',', decimal: '.' } as const;

/** Rises to 60 N in 3 s, drops to 45 N and slides on for 2 s; noise of 0.3 N, 100 samples a second. */
function slipping(sign: 1 | -1, displacement = false): GaugeTrace {
  const random = seededRandom(51);
  const time = Array.from({ length: 500 }, (_, i) => i / 100);
  const held = (t: number): number => (t < 3 ? 20 * t : 45 - 1.5 * Math.sin(8 * (t - 3)));
  const force = time.map((t) => sign * (held(t) + 0.6 * (random() - 0.5)));
  const slid = displacement ? time.map((t) => (t < 3 ? 0 : 0.02 * (t - 3))) : null;
  return { time, force, displacement: slid, ...FORM };
}

function drawn(trace: GaugeTrace, wishes: Partial<TraceFigureProps> = {}): string {
  const reading = readTrace(trace);
  return draw(
    <TraceFigure trace={trace} reading={reading} overruled={null} units="SI" {...wishes} />,
  );
}

/** Points of the first line of that class. */
function pointsOf(svg: string): readonly (readonly [number, number])[] {
  const paths = [...svg.matchAll(/ d="(M[^"]*)"/g)].map((each) => each[1] ?? '');
  const longest = paths.reduce((a, b) => (b.length > a.length ? b : a), '');
  return [...longest.matchAll(/(-?[\d.]+)[ ,](-?[\d.]+)/g)].map(
    (each) => [Number(each[1]), Number(each[2])] as const,
  );
}

describe('the figure of a trace', () => {
  it('draws force against time to scale, with peak and onset named', () => {
    const svg = drawn(slipping(1));
    expect(textsOf(svg)).toEqual(expect.arrayContaining(['peak', 'onset of slip', 'force, N']));
    const points = pointsOf(svg);
    const [x0, y0] = points[0] ?? [0, 0];
    const top = points.reduce((a, b) => (b[1] < a[1] ? b : a));
    // 3 s of 4.99 s along the width of 570 px, and 60 N up an axis that ends at a round number
    expect((top[0] - x0) / (640 - 56 - 14)).toBeCloseTo(3 / 4.99, 1);
    expect(y0).toBeGreaterThan(top[1] + 100);
    expect(descriptionOf(svg)).toMatch(/^Peak (59|60)\.?\d* N\./);
    expect(descriptionOf(svg)).toMatch(
      /Slip begins at (59|60)\.?\d* N, after (2\.9\d|3\.0\d) s\.$/,
    );
  });

  it('draws a pull that the file signs as negative downwards, and names the same', () => {
    const svg = drawn(slipping(-1));
    const points = pointsOf(svg);
    const lowest = points.reduce((a, b) => (b[1] > a[1] ? b : a));
    expect(lowest[1]).toBeGreaterThan((points[0]?.[1] ?? 0) + 100);
    expect(descriptionOf(svg)).toMatch(/^Peak (59|60)\.?\d* N\./);
  });

  it('tells an overruled onset from the one found', () => {
    const svg = drawn(slipping(1), { overruled: { time: 2.5, force: 50 } });
    expect(textsOf(svg)).toEqual(expect.arrayContaining(['onset of slip, overruled', 'own onset']));
    expect(descriptionOf(svg)).toContain('Overruled: 50 N.');
  });

  it('has a second panel where the file knows the displacement', () => {
    expect(textsOf(drawn(slipping(1, true)))).toContain('displacement, mm');
    expect(textsOf(drawn(slipping(1)))).not.toContain('displacement, mm');
  });

  it('is in the units asked', () => {
    const texts = textsOf(drawn(slipping(1, true), { units: 'US' }));
    expect(texts).toEqual(expect.arrayContaining(['force, lbf', 'displacement, in']));
  });

  it('draws 100 000 samples with a few points a column, and loses no extreme', () => {
    const time = Array.from({ length: 100_000 }, (_, i) => i / 20_000);
    const force = time.map((t, i) => (i === 61_803 ? 95 : 10 * t));
    const trace: GaugeTrace = { time, force, displacement: null, ...FORM };
    const points = pointsOf(drawn(trace));
    expect(points.length).toBeLessThan(1300);
    const heights = points.map(([, y]) => y).sort((a, b) => a - b);
    // the single spike of 95 N stands out above the 50 N of all the rest
    expect((heights[1] ?? 0) - (heights[0] ?? 0)).toBeGreaterThan(80);
  });
});
