import { describe, expect, it } from 'vitest';
import { PlanView } from '../../src/figure/index.js';
import { overlap } from '../../src/figure/picture.js';
import { castorAt } from '../analysis/simple-cart.js';
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
import { HOSTILE_NAMES, sceneOf, smallCart, TRACK, WHEELBASE } from './small-scene.js';

/** px: coordinates are rounded to hundredths, and a length has two ends. */
const ROUNDING = 0.021;

const DEGREE = Math.PI / 180;

function scaleOf(svg: string): number {
  return numberOf(svg, 'data-px-per-metre');
}

describe('a plan', () => {
  const scene = sceneOf(smallCart(), { movers: { arm: 30 * DEGREE } });
  const svg = draw(<PlanView {...scene} units="SI" />);
  const scale = scaleOf(svg);

  it('draws wheelbase and track as long as they are at its scale', () => {
    const lengths = tagsOf(svg, 'fig-dimension').map((tag) => numberOf(tag, 'data-length'));
    expect(lengths).toHaveLength(2);
    // the scale itself is stated to a hundredth of a px a metre
    expect(Math.abs((lengths[0] as number) - WHEELBASE * scale)).toBeLessThan(ROUNDING);
    expect(Math.abs((lengths[1] as number) - TRACK * scale)).toBeLessThan(ROUNDING);
    expect(textsOf(svg)).toContain('640 mm');
    expect(textsOf(svg)).toContain('500 mm');
  });

  it('has a scale bar as long as it says', () => {
    const bar = fromGroup(svg, 'fig-scale-bar');
    const text = textsOf(bar)[0] ?? '';
    expect(text).toMatch(/^[125]0* mm$/);
    const metres = Number(text.replace(' mm', '')) / 1000;
    expect(Math.abs(numberOf(bar, 'width') - metres * scale)).toBeLessThan(ROUNDING);
  });

  it('draws a box turned by its mover where it is', () => {
    // (0.3, 0.05) turned by 30 degrees: x = 0.3 cos 30 - 0.05 sin 30, y = 0.3 sin 30 + 0.05 cos 30
    const expected = [
      [0.1, -0.05],
      [0.3, -0.05],
      [0.3, 0.05],
      [0.1, 0.05],
    ].map(([x = 0, y = 0]) => [x * (Math.sqrt(3) / 2) - y * 0.5, x * 0.5 + y * (Math.sqrt(3) / 2)]);
    const [base, arm] = tagsOf(svg, 'fig-body').map((tag) => cornersOf(attribute(tag, 'd')));
    const x = (base ?? []).map((p) => p[0]);
    const y = (base ?? []).map((p) => p[1]);
    // the base is centred on the origin
    const origin = [(Math.min(...x) + Math.max(...x)) / 2, (Math.min(...y) + Math.max(...y)) / 2];
    for (const [ex = 0, ey = 0] of expected) {
      const at = [(origin[0] ?? 0) + ex * scale, (origin[1] ?? 0) - ey * scale];
      const nearest = Math.min(
        ...(arm ?? []).map((p) => Math.hypot(p[0] - (at[0] ?? 0), p[1] - (at[1] ?? 0))),
      );
      expect(nearest).toBeLessThan(2 * ROUNDING);
    }
    expect(arm).toHaveLength(4);
  });

  it('shows each kind of lock by a shape of its own', () => {
    const castors = svg.split('<g class="fig-castor"').slice(1);
    const shapes = Object.fromEntries(
      castors.map((each) => {
        const own = each.slice(0, each.indexOf('</g>'));
        const solidStem = /<rect /.test(own);
        const bars = (own.match(/d="(M[^"]*){4}"/) ?? []).length > 0;
        return [attribute(each, 'data-castor-lock'), `${solidStem} ${bars}`];
      }),
    );
    expect(shapes).toEqual({
      none: 'false false',
      wheel: 'false true',
      directional: 'true false',
      total: 'true true',
    });
  });

  it('tells its numbers in the description', () => {
    const words = descriptionOf(svg);
    expect(words).toContain('Wheelbase 640 mm, track 500 mm.');
    expect(words).toContain('Mass 50 kg, centre of mass at x 20 mm, y 0 mm, z 500 mm.');
    expect(words).toContain('On the level.');
    for (const { load } of scene.posed.castors) {
      expect(words).toContain(`${Number((load as number).toPrecision(4))} N`);
    }
  });

  it('draws each tipping line with its distance and angle', () => {
    const texts = textsOf(svg);
    // trailing castors stand 30 mm behind their stems: the rear line is 0.35 m behind the origin, the
    // side lines 0.25 m beside it; the centre of mass is 20 mm ahead of it and 0.5 m high
    expect(texts).toContain('370 mm');
    expect(texts).toContain('250 mm');
    expect(texts).toContain(`tips at ${angleText(0.37 / 0.5)}`);
    expect(texts).toContain(`tips at ${angleText(0.25 / 0.5)}`);
  });
});

function angleText(tangent: number): string {
  return `${Number((Math.atan(tangent) / DEGREE).toPrecision(4))} deg`;
}

describe('what acts on the cart', () => {
  it('is an arrow downhill with the incline', () => {
    const incline = { angle: 10 * DEGREE, downhill: Math.PI / 2 };
    const svg = draw(<PlanView {...sceneOf(smallCart(), { incline })} units="SI" />);
    const arrow = fromGroup(svg, 'fig-downhill');
    const [tail, head] = cornersOf(attribute(arrow, 'd'));
    // the left of the cart is up in the picture
    expect(head?.[0]).toBeCloseTo(tail?.[0] ?? 0, 1);
    expect(head?.[1]).toBeLessThan(tail?.[1] ?? 0);
    expect(textsOf(arrow).slice(0, 2)).toEqual(['downhill', '10 deg']);
    expect(descriptionOf(svg)).toContain('On an incline of 10 deg, downhill left (90 deg)');
  });

  it('is a push with its force and height, a press, or a castor taken away', () => {
    const push = { point: [0.35, 0, 1] as const, direction: Math.PI, force: 42 };
    const press = { point: [0.1, 0.1, 0.2] as const, force: 30 };
    const scene = sceneOf(smallCart(), { push, press, without: 'front left' });
    const svg = draw(<PlanView {...scene} units="both" />);
    expect(textsOf(svg)).toContain('push 42 N (9.442 lbf)');
    expect(textsOf(svg)).toContain('pressed down');
    expect(textsOf(svg)).toContain('taken away');
    expect(descriptionOf(svg)).toContain('front left taken away');
    expect(descriptionOf(svg)).toContain('pushed with 42 N (9.442 lbf) towards back (180 deg)');
  });

  it('is shown though the fall point is far off', () => {
    const push = { point: [0.35, 0, 1] as const, direction: 0, force: 5000 };
    const scene = sceneOf(smallCart(), { push });
    expect(scene.posed.stands).toBe(false);
    const svg = draw(<PlanView {...scene} units="SI" />);
    expect(svg).not.toContain('fig-fall-point');
    expect(descriptionOf(svg)).toContain('it tips');
    // the cart is still drawn at a useful size
    expect(scaleOf(svg)).toBeGreaterThan(300);
    expect(svg).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe('names in a plan', () => {
  const castors = HOSTILE_NAMES.map((name, i) =>
    castorAt(name, [i < 2 ? 0.32 : -0.32, i % 2 === 0 ? 0.25 : -0.25], 'total'),
  );
  const cart = smallCart({ name: HOSTILE_NAMES[3] as string, castors });

  it('stay text, whatever they are', () => {
    const svg = draw(<PlanView {...sceneOf(cart)} units="SI" />);
    expect(svg).not.toContain('<script');
    expect(svg).toContain('&lt;script&gt;');
    const words = descriptionOf(svg);
    for (const name of HOSTILE_NAMES) expect(words).toContain(name);
  });

  it.each([360, 640, 900])('stay inside a picture %i px wide', (width) => {
    const svg = draw(<PlanView {...sceneOf(cart)} units="both" width={width} height={420} />);
    const texts = levelTexts(svg);
    expect(texts.length).toBeGreaterThan(8);
    for (const { text, box } of texts) {
      expect(box.left, text).toBeGreaterThanOrEqual(0);
      expect(box.right, text).toBeLessThanOrEqual(width);
      expect(box.bottom, text).toBeLessThanOrEqual(420);
    }
  });
});

describe('a plan of many castors', () => {
  it('leaves their names to the description, which counts them', () => {
    const castors = Array.from({ length: 40 }, (_, i) => {
      const angle = (2 * Math.PI * i) / 40;
      return castorAt(`castor ${i}`, [0.5 * Math.cos(angle), 0.5 * Math.sin(angle)], 'none');
    });
    const svg = draw(<PlanView {...sceneOf(smallCart({ castors }))} units="SI" />);
    expect(svg.split('<g class="fig-castor"')).toHaveLength(41);
    expect(textsOf(svg)).not.toContain('castor 3');
    expect(descriptionOf(svg)).toContain('; and 28 more.');
  });
});

describe('labels of a plan', () => {
  it.each([360, 480, 640, 900])('hide each other nowhere in a picture %i px wide', (width) => {
    const incline = { angle: 5 * DEGREE, downhill: 2 };
    const scene = sceneOf(smallCart(), { incline });
    const svg = draw(<PlanView {...scene} units="SI" width={width} height={480} />);
    const labels = levelTexts(fromGroup(svg, 'fig-labels'));
    const covered = labels.flatMap((p, i) =>
      labels.slice(i + 1).map((q) => ({ texts: [p.text, q.text], area: overlap(p.box, q.box) })),
    );
    // px²: less than a character
    expect(covered.filter(({ area }) => area > 40)).toEqual([]);
  });
});
