/** The floor: its grid, the size of the base, and what it is inclined by. */

import { Group } from 'three';
import type { PosedCart } from '../../../analysis/index.js';
import type { Vec2, Vec3 } from '../../../document/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import { disposeUnder, lines, movableLine, setLine } from './solids.js';

/** @param part opposite corners of what is drawn of the floor, whole meshes apart, m */
export function drawGrid(part: readonly [Vec2, Vec2], mesh: number, ink: Ink) {
  const root = new Group();
  const [[x0, y0], [x1, y1]] = part;
  const across = range(x0, x1, mesh).flatMap((x): Vec3[] => [
    [x, y0, 0],
    [x, y1, 0],
  ]);
  const along = range(y0, y1, mesh).flatMap((y): Vec3[] => [
    [x0, y, 0],
    [x1, y, 0],
  ]);
  root.add(lines([...across, ...along], ink.gridLine, LAYER.floor));
  root.add(lines(rim(part), ink.quiet, LAYER.floor));
  return { root, dispose: () => disposeUnder(root) };
}

function rim([[x0, y0], [x1, y1]]: readonly [Vec2, Vec2]): readonly Vec3[] {
  const corners: readonly Vec3[] = [
    [x0, y0, 0],
    [x1, y0, 0],
    [x1, y1, 0],
    [x0, y1, 0],
  ];
  return corners.flatMap((corner, i) => [corner, corners[(i + 1) % 4] ?? corner]);
}

function range(from: number, to: number, step: number): readonly number[] {
  const count = Math.round((to - from) / step);
  return Array.from({ length: count + 1 }, (_, i) => from + i * step);
}

export interface Dimensions {
  /** m: where the numbers stand, and how long what they measure is */
  readonly wheelbase: { readonly at: Vec3; readonly length: number };
  readonly track: { readonly at: Vec3; readonly length: number };
}

/** m from the outermost stem to the dimension line. */
const OFF = 0.16;
const TICK = 0.02;

/** Wheelbase to the right of the cart, track behind it, on the floor. */
export function dimensionsOf({ castors }: PosedCart): Dimensions {
  const x = spanOf(castors.map(({ stem }) => stem[0]));
  const y = spanOf(castors.map(({ stem }) => stem[1]));
  return {
    wheelbase: { at: [(x.least + x.most) / 2, y.least - OFF, 0], length: x.most - x.least },
    track: { at: [x.least - OFF, (y.least + y.most) / 2, 0], length: y.most - y.least },
  };
}

function spanOf(values: readonly number[]): { readonly least: number; readonly most: number } {
  return { least: Math.min(...values), most: Math.max(...values) };
}

export function drawDimensions(ink: Ink) {
  const root = new Group();
  const drawn = Array.from({ length: 10 }, () => movableLine(ink.dimension, LAYER.floorLines));
  root.add(...drawn);
  return {
    root,
    pose(posed: PosedCart): void {
      const { wheelbase, track } = dimensionsOf(posed);
      const segments = [
        ...dimensionLine(wheelbase.at, wheelbase.length, [1, 0], [0, 1]),
        ...dimensionLine(track.at, track.length, [0, 1], [1, 0]),
      ];
      segments.forEach(([from, to], i) => {
        const line = drawn[i];
        if (line !== undefined) setLine(line, from, to);
      });
    },
    dispose: () => disposeUnder(root),
  };
}

/** The line, two lines out to it, and a slanting stroke at each end. */
function dimensionLine(
  middle: Vec3,
  length: number,
  along: Vec2,
  back: Vec2,
): readonly (readonly [Vec3, Vec3])[] {
  if (length < TICK) return [];
  const at = (s: number, out: number): Vec3 => [
    middle[0] + s * along[0] + out * back[0],
    middle[1] + s * along[1] + out * back[1],
    0,
  ];
  const half = length / 2;
  return [
    [at(-half, 0), at(half, 0)],
    [at(-half, -TICK), at(-half, OFF - 0.03)],
    [at(half, -TICK), at(half, OFF - 0.03)],
    [at(-half - TICK, -TICK), at(-half + TICK, TICK)],
    [at(half - TICK, -TICK), at(half + TICK, TICK)],
  ];
}
