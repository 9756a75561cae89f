/** Hatching worked out as lines, so that a drawing needs no pattern with an id of its own. */

import type { Point } from './picture.js';

/**
 * Strokes across the area inside the outlines (inside: by the even-odd rule, so that an outline within
 * another is a hole).
 *
 * @param angle rad, counter-clockwise from the right
 * @param spacing px
 */
export function hatchStrokes(
  outlines: readonly (readonly Point[])[],
  angle: number,
  spacing: number,
): readonly (readonly [Point, Point])[] {
  const [cos, sin] = [Math.cos(angle), -Math.sin(angle)];
  // along the strokes, and across them
  const turned = outlines.map((outline) =>
    outline.map(([x, y]): Point => [cos * x + sin * y, cos * y - sin * x]),
  );
  const across = turned.flatMap((outline) => outline.map((p) => p[1]));
  const first = Math.ceil(Math.min(...across) / spacing);
  const last = Math.floor(Math.max(...across) / spacing);
  const strokes: (readonly [Point, Point])[] = [];
  for (let i = first; i <= last; i += 1) {
    const level = i * spacing;
    const cuts = turned.flatMap((outline) => cutsAt(outline, level)).sort((p, q) => p - q);
    for (let k = 0; k + 1 < cuts.length; k += 2) {
      const ends = [cuts[k] ?? 0, cuts[k + 1] ?? 0].map(
        (along): Point => [cos * along - sin * level, sin * along + cos * level],
      );
      strokes.push(ends as unknown as readonly [Point, Point]);
    }
  }
  return strokes;
}

/** Where a level line crosses the outline; a corner on the line counts with one of its sides. */
function cutsAt(outline: readonly Point[], level: number): readonly number[] {
  return outline.flatMap((p, i) => {
    const q = outline[(i + 1) % outline.length] ?? p;
    if (p[1] < level === q[1] < level) return [];
    return [p[0] + ((level - p[1]) / (q[1] - p[1])) * (q[0] - p[0])];
  });
}
