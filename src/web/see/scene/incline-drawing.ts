/** The incline in the picture: the level under it, and the way down of a weight. */

import { Group } from 'three';
import type { Pose, PosedCart } from '../../../analysis/index.js';
import type { Vec2, Vec3 } from '../../../document/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import { arrow, disposeUnder, movableLine, setLine } from './solids.js';
import type { Size } from './standing-drawing.js';

/** Radians about a level line square to the way downhill, and that line: how the floor stands in the
 * picture. The normal of the floor leans downhill. */
export function tiltOf({ incline }: Pose): { readonly axis: Vec3; readonly angle: number } {
  if (incline === null) return { axis: [0, 1, 0], angle: 0 };
  const { angle, downhill } = incline;
  return { axis: [-Math.sin(downhill), Math.cos(downhill), 0], angle };
}

/** The way of gravity as the cart sees it: unit vector, cart frame. */
export function gravityOf({ incline }: Pose): Vec3 {
  if (incline === null) return [0, 0, -1];
  const { angle, downhill } = incline;
  const along = Math.sin(angle);
  return [along * Math.cos(downhill), along * Math.sin(downhill), -Math.cos(angle)];
}

export interface Wedge {
  /** m, cart frame: the low end, the high end, and the point level with the low one under the high one */
  readonly low: Vec3;
  readonly high: Vec3;
  readonly under: Vec3;
}

/**
 * A wedge along the way downhill, at the side of the drawn floor; null: level.
 * @param part of the floor that is drawn, opposite corners, m
 */
export function wedgeOf(pose: Pose, part: readonly [Vec2, Vec2]): Wedge | null {
  const { incline } = pose;
  if (incline === null || incline.angle < 1e-6) return null;
  const way: Vec2 = [Math.cos(incline.downhill), Math.sin(incline.downhill)];
  const [[x0, y0], [x1, y1]] = part;
  const corners: readonly Vec2[] = [
    [x0, y0],
    [x1, y0],
    [x1, y1],
    [x0, y1],
  ];
  const along = corners.map(([x, y]) => x * way[0] + y * way[1]);
  const across = corners.map(([x, y]) => y * way[0] - x * way[1]);
  const [high, low, side] = [Math.min(...along), Math.max(...along), Math.min(...across)];
  const at = (s: number): Vec3 => [s * way[0] - side * way[1], s * way[1] + side * way[0], 0];
  const drop = (low - high) * Math.sin(incline.angle);
  const down = gravityOf(pose);
  const top = at(high);
  const under: Vec3 = [top[0] + drop * down[0], top[1] + drop * down[1], drop * down[2]];
  return { low: at(low), high: top, under };
}

export function drawIncline(size: Size, ink: Ink) {
  const root = new Group();
  const [slope, level, drop] = [0, 1, 2].map(() => movableLine(ink.dimension, LAYER.floorLines));
  const weight = arrow(ink.strong, ink.arrowInk, size.length * 0.05);
  const downhill = arrow(ink.mark, ink.arrow, size.length * 0.05);
  root.add(weight.root, downhill.root);
  for (const line of [slope, level, drop]) if (line !== undefined) root.add(line);
  return {
    root,
    pose(posed: PosedCart, pose: Pose, part: readonly [Vec2, Vec2]): void {
      const wedge = wedgeOf(pose, part);
      const nothing: Vec3 = [0, 0, 0];
      const { low, high, under } = wedge ?? { low: nothing, high: nothing, under: nothing };
      if (slope) setLine(slope, low, high);
      if (level) setLine(level, low, under);
      if (drop) setLine(drop, high, under);
      const tail = wedge === null ? nothing : between(low, high, 0.62);
      const head = wedge === null ? nothing : between(low, high, 0.4);
      downhill.set(tail, head);
      weight.set(posed.centreOfMass, weightEnd(posed, pose, size));
    },
    dispose: () => disposeUnder(root),
  };
}

/** m: the point of the weight's arrow. */
export function weightEnd({ centreOfMass }: PosedCart, pose: Pose, { length }: Size): Vec3 {
  const down = gravityOf(pose);
  const reach = Math.min(0.2 * length, 0.6 * centreOfMass[2]);
  return [
    centreOfMass[0] + reach * down[0],
    centreOfMass[1] + reach * down[1],
    centreOfMass[2] + reach * down[2],
  ];
}

function between(a: Vec3, b: Vec3, share: number): Vec3 {
  return [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])];
}
