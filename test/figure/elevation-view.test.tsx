import { describe, expect, it } from 'vitest';
import { ElevationView } from '../../src/figure/index.js';
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
import { HOSTILE_NAMES, sceneOf, smallCart } from './small-scene.js';

const DEGREE = Math.PI / 180;
/** rad: coordinates rounded to 0.01 px over some 100 px */
const ROUNDING = 3e-4;

/** rad, clockwise as seen from the picture's right. */
function fallOf(d: string): number {
  const [p, q] = cornersOf(d);
  return Math.atan2((q?.[1] ?? 0) - (p?.[1] ?? 0), (q?.[0] ?? 0) - (p?.[0] ?? 0));
}

function floorOf(svg: string): string {
  return attribute(tagsOf(fromGroup(svg, 'fig-floor'), 'fig-strong')[0] ?? '', 'd');
}

describe('an elevation', () => {
  it('draws heights at its scale', () => {
    const svg = draw(<ElevationView {...sceneOf(smallCart())} units="SI" from="side" />);
    const scale = numberOf(svg, 'data-px-per-metre');
    const heights = tagsOf(svg, 'fig-dimension').map((tag) => numberOf(tag, 'data-length'));
    // centre of mass 0.5 m high, the arm's box up to 0.9 m; the scale is rounded as they are
    expect(Math.abs((heights[0] ?? 0) - 0.5 * scale)).toBeLessThan(0.021);
    expect(Math.abs((heights[1] ?? 0) - 0.9 * scale)).toBeLessThan(0.021);
    expect(textsOf(svg)).toContain('500 mm');
    expect(textsOf(svg)).toContain('900 mm');
  });

  it('draws the angle at which it tips', () => {
    const scene = sceneOf(smallCart());
    const svg = draw(<ElevationView {...scene} units="SI" from="side" />);
    const rays = svg
      .split('<g class="fig-tip-angle"')
      .slice(1)
      .map((each) => fallOf(attribute(each, 'd')));
    // stems at -0.32 and 0.32, trailing 30 mm; the centre of mass at x = 0.02, 0.5 m high
    expect(rays).toHaveLength(2);
    expect(Math.abs((rays[0] ?? 0) - Math.PI / 2 - Math.atan(0.37 / 0.5))).toBeLessThan(ROUNDING);
    expect(Math.abs(Math.PI / 2 - (rays[1] ?? 0) - Math.atan(0.27 / 0.5))).toBeLessThan(ROUNDING);
    expect(descriptionOf(svg)).toContain(`tips at ${(Math.atan(0.54) / DEGREE).toFixed(2)} deg`);
  });

  it('tilts the floor by the incline and keeps the fall line upright', () => {
    const incline = { angle: 10 * DEGREE, downhill: 0 };
    const svg = draw(
      <ElevationView {...sceneOf(smallCart(), { incline })} units="SI" from="side" />,
    );
    expect(Math.abs(fallOf(floorOf(svg)) - 10 * DEGREE)).toBeLessThan(ROUNDING);
    const fall = attribute(tagsOf(svg, 'fig-accent')[0] ?? '', 'd');
    expect(Math.abs(fallOf(fall) - Math.PI / 2)).toBeLessThan(ROUNDING);
    expect(textsOf(svg)).toContain('incline 10 deg');
  });

  it('shows an incline that goes another way as it appears from here', () => {
    const incline = { angle: 10 * DEGREE, downhill: 60 * DEGREE };
    const scene = sceneOf(smallCart(), { incline });
    const side = draw(<ElevationView {...scene} units="SI" from="side" />);
    const front = draw(<ElevationView {...scene} units="SI" from="front" />);
    // apparent dip: tan(seen) = tan(true) cos(turned away) (structural geology's rule)
    const dip = (turned: number) => Math.atan(Math.tan(10 * DEGREE) * Math.cos(turned * DEGREE));
    expect(Math.abs(fallOf(floorOf(side)) - dip(60))).toBeLessThan(ROUNDING);
    expect(Math.abs(fallOf(floorOf(front)) - dip(30))).toBeLessThan(ROUNDING);
    for (const svg of [side, front]) {
      const fall = attribute(tagsOf(svg, 'fig-accent')[0] ?? '', 'd');
      expect(Math.abs(fallOf(fall) - Math.PI / 2)).toBeLessThan(ROUNDING);
    }
  });

  it('shows a push across the picture as an arrow and one along the line of sight as a point', () => {
    const push = { point: [0, 0, 0.8] as const, direction: 0, force: 20 };
    const scene = sceneOf(smallCart(), { push });
    const across = draw(<ElevationView {...scene} units="SI" from="side" />);
    const along = draw(<ElevationView {...scene} units="SI" from="front" />);
    expect(across).not.toContain('fig-push-end-on');
    expect(along).toContain('fig-push-end-on');
    expect(textsOf(along)).toContain('push 20 N');
  });

  it.each([340, 640])('keeps hostile names as text inside of %i px', (width) => {
    const handles = HOSTILE_NAMES.map((name, i) => ({
      name,
      on: null,
      at: [-0.3, 0, 0.5 + 0.1 * i] as const,
      kind: 'pushing' as const,
      rating: null,
    }));
    const scene = sceneOf(smallCart({ handles }));
    const svg = draw(<ElevationView {...scene} units="both" from="side" width={width} />);
    expect(svg).not.toContain('<script');
    for (const { text, box } of levelTexts(svg)) {
      expect(box.left, text).toBeGreaterThanOrEqual(0);
      expect(box.right, text).toBeLessThanOrEqual(width);
    }
  });
});
