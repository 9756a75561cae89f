import { describe, expect, it } from 'vitest';
import type { Verdict } from '../../src/analysis/index.js';
import { hatchStrokes } from '../../src/figure/hatching.js';
import { ScaleBar, VerdictMark } from '../../src/figure/index.js';
import type { LabelWish } from '../../src/figure/label-places.js';
import { placeLabels } from '../../src/figure/label-places.js';
import { overlap } from '../../src/figure/picture.js';
import { roundNumber } from '../../src/figure/round-length.js';
import { fitText, textWidth, wrapText } from '../../src/figure/text-width.js';
import { attribute, draw, numberOf, textsOf } from './drawn.js';

describe('a scale bar', () => {
  it('is a round length in either unit, at most as long as there is room', () => {
    const svg = draw(<ScaleBar pxPerMetre={400} x={0} y={0} most={150} units="both" />);
    const widths = [...svg.matchAll(/ width="([\d.]+)"/g)].map((m) => Number(m[1]));
    expect(textsOf(svg)).toEqual(['200 mm', '10 in']);
    // 0.2 m at 400 px a metre; 10 in of 25.4 mm (exact by definition of the inch) each; half is filled
    expect(widths).toEqual([80, 40, 101.6, 50.8]);
  });

  it('takes 1, 2 or 5 times a power of ten', () => {
    expect([0.99, 1, 1.99, 2, 4.9, 5, 9.99, 10, 480].map(roundNumber)).toEqual([
      0.5, 1, 1, 2, 2, 5, 5, 10, 200,
    ]);
  });
});

describe('marks of verdicts', () => {
  const verdicts: readonly Verdict[] = [
    'holds',
    'fails',
    'depends on friction',
    'not decided',
    'not applicable',
  ];

  it('differ in shape, not only in colour', () => {
    const shapes = verdicts.map((verdict) =>
      [
        ...draw(<VerdictMark verdict={verdict} />).matchAll(
          /<(rect|path|circle)[^>]*?( d="[^"]*")?\/?>/g,
        ),
      ]
        .map((m) => m[1] + (m[2] ?? ''))
        .join(),
    );
    expect(new Set(shapes).size).toBe(verdicts.length);
  });

  it('name themselves only where they stand alone', () => {
    expect(draw(<VerdictMark verdict="fails" />)).toContain('aria-hidden="true"');
    const alone = draw(<VerdictMark verdict="fails" alone size={24} />);
    expect(alone).toContain('<title>fails</title>');
    expect(attribute(alone, 'role')).toBe('img');
    expect(numberOf(alone, 'width')).toBe(24);
  });
});

describe('hatching', () => {
  it('covers as much as the area it hatches', () => {
    // Cavalieri: strokes a spacing apart, their lengths times the spacing make the area; each of the
    // borders adds up to half a spacing times its length
    const ring = [square(100), square(60)];
    const strokes = hatchStrokes(ring, 0.6, 0.5);
    const length = strokes.reduce((sum, [p, q]) => sum + Math.hypot(q[0] - p[0], q[1] - p[1]), 0);
    expect(Math.abs(length * 0.5 - (100 ** 2 - 60 ** 2))).toBeLessThan(0.01 * 100 ** 2);
  });

  it('keeps out of holes', () => {
    for (const [p, q] of hatchStrokes([square(100), square(60)], 0.6, 3)) {
      const middle = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2] as const;
      expect(Math.max(Math.abs(middle[0]), Math.abs(middle[1]))).toBeGreaterThan(30 - 1e-9);
    }
  });
});

function square(side: number) {
  const half = side / 2;
  return [
    [-half, -half],
    [half, -half],
    [half, half],
    [-half, half],
  ] as const;
}

describe('text', () => {
  it('is estimated as wide as in the widest of the common faces', () => {
    // advances of DejaVu Sans in 1/2048 em: digits 1303, a 1255, m 1995, i 569, space 651, W 2025
    const em = (advances: number) => (advances / 2048) * 100;
    for (const [text, advance] of [
      ['0123456789', 13030],
      ['a', 1255],
      ['mmm', 5985],
      ['ii', 1138],
      [' ', 651],
      ['W', 2025],
    ] as const) {
      expect(textWidth(text, 100), text).toBeGreaterThanOrEqual(em(advance));
      expect(textWidth(text, 100), text).toBeLessThan(em(advance) * 1.6);
    }
  });

  it('is cut to what fits, and broken between words', () => {
    expect(fitText('short', 200, 11)).toBe('short');
    const cut = fitText('a very long name that cannot fit', 60, 11);
    expect(cut.endsWith('…')).toBe(true);
    expect(textWidth(cut, 11)).toBeLessThanOrEqual(60);
    const lines = wrapText('asked 94.1 N (21.2 lbf), found 62 N (13.9 lbf)', 120, 11);
    expect(lines.join(' ')).toBe('asked 94.1 N (21.2 lbf), found 62 N (13.9 lbf)');
    for (const line of lines) expect(textWidth(line, 11)).toBeLessThanOrEqual(120);
    expect(wrapText('one two three four five six', 40, 11, 2)).toHaveLength(2);
  });
});

describe('labels', () => {
  it('of one place go round it and do not hide each other', () => {
    const wishes = Array.from(
      { length: 8 },
      (_, i): LabelWish => ({
        key: String(i),
        lines: [`label ${i}`, '123 N'],
        at: [200, 150],
        reach: 6,
        towards: 0,
      }),
    );
    const within = { left: 0, top: 0, right: 400, bottom: 300 };
    const boxes = placeLabels(wishes, within, []).map(({ box }) => box);
    const hidden = boxes.flatMap((p, i) => boxes.slice(i + 1).map((q) => overlap(p, q)));
    expect(Math.max(...hidden)).toBe(0);
    for (const box of boxes) expect(overlap(box, within)).toBeCloseTo(areaOf(box), 9);
  });
});

function areaOf({
  left,
  top,
  right,
  bottom,
}: {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}) {
  return (right - left) * (bottom - top);
}
