import { describe, expect, it } from 'vitest';
import { poseCart, startPose } from '../../src/analysis/index.js';
import { ElevationView, PlanView } from '../../src/figure/index.js';
import { overlap } from '../../src/figure/picture.js';
import { EXAMPLE_FILES, exampleCart } from '../analysis/example-carts.js';
import { draw, fromGroup, levelTexts } from './drawn.js';

/** px²: a character of the estimated boxes, which are wider than the text in most faces. */
const A_CHARACTER = 80;

const UNITS = ['SI', 'both'] as const;

describe.each(EXAMPLE_FILES)('drawings of %s', (file) => {
  it.each([480, 900])('are readable at %i px in every position and unit', async (width) => {
    const cart = await exampleCart(file);
    for (const { name } of cart.positions) {
      const pose = startPose(cart, name);
      const scene = { cart, pose, posed: poseCart(cart, pose), width, height: 520 };
      for (const units of UNITS) {
        const drawings = [
          draw(<PlanView {...scene} units={units} />),
          draw(<ElevationView {...scene} units={units} from="side" />),
          draw(<ElevationView {...scene} units={units} from="front" />),
        ];
        for (const svg of drawings) {
          expect(svg).not.toMatch(/NaN|Infinity|undefined/);
          expect(outside(svg, width, 520)).toEqual([]);
          expect(hidden(svg)).toEqual([]);
        }
      }
    }
  });
});

function outside(svg: string, width: number, height: number): readonly string[] {
  return levelTexts(svg)
    .filter(({ box }) => box.left < 0 || box.right > width || box.top < 0 || box.bottom > height)
    .map(({ text }) => text);
}

function hidden(svg: string): readonly string[] {
  const labels = levelTexts(fromGroup(svg, 'fig-labels'));
  expect(labels.length).toBeGreaterThan(3);
  return labels.flatMap((p, i) =>
    labels
      .slice(i + 1)
      .filter((q) => overlap(p.box, q.box) > A_CHARACTER)
      .map((q) => `${p.text} / ${q.text}: ${overlap(p.box, q.box).toFixed(0)} px²`),
  );
}
