/** From metres to px, one scale for both directions. */

import type { Vec2 } from '../document/index.js';
import type { Box, Point } from './picture.js';

export interface View {
  readonly pxPerMetre: number;
  /** m, y up, to px, y down */
  readonly toPicture: (point: Vec2) => Point;
}

/** m: a drawing of a single point is shown as if it were this large. */
const LEAST_EXTENT = 0.05;

/** The largest view in which all points lie within the frame, in its middle. */
export function fitView(points: readonly Vec2[], frame: Box): View {
  const x = extent(points.map((p) => p[0]));
  const y = extent(points.map((p) => p[1]));
  const pxPerMetre = Math.min(
    (frame.right - frame.left) / x.length,
    (frame.bottom - frame.top) / y.length,
  );
  const middle: Point = [(frame.left + frame.right) / 2, (frame.top + frame.bottom) / 2];
  return {
    pxPerMetre,
    toPicture: (p) => [
      middle[0] + pxPerMetre * (p[0] - x.middle),
      middle[1] - pxPerMetre * (p[1] - y.middle),
    ],
  };
}

function extent(values: readonly number[]) {
  const least = Math.min(...values);
  const most = Math.max(...values);
  return { length: Math.max(LEAST_EXTENT, most - least), middle: (least + most) / 2 };
}
