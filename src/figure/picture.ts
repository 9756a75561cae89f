/** Points, boxes and paths of a picture, in px from its upper left corner, y down. */

import { curveLinear, curveLinearClosed, line } from 'd3-shape';

export type Point = readonly [number, number];

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** A hundredth of a px is closer than anybody sees, and the same on every machine. */
export function px(value: number): number {
  const rounded = Math.round(value * 100) / 100;
  return rounded === 0 ? 0 : rounded;
}

const openPath = line<Point>().curve(curveLinear).digits(2);
const closedPath = line<Point>().curve(curveLinearClosed).digits(2);

/** The attribute `d` of a path through the points. */
export function pathThrough(points: readonly Point[]): string {
  return openPath([...points]) ?? '';
}

/** The attribute `d` of a path through the points and back to the first. */
export function pathAround(points: readonly Point[]): string {
  return closedPath([...points]) ?? '';
}

/** The point `distance` away; angle in rad from the picture's right, counter-clockwise as seen. */
export function away([x, y]: Point, angle: number, distance: number): Point {
  return [x + distance * Math.cos(angle), y - distance * Math.sin(angle)];
}

/** rad, counter-clockwise as seen from the picture's right. */
export function angleTo(from: Point, to: Point): number {
  return Math.atan2(from[1] - to[1], to[0] - from[0]);
}

export function distanceOf(p: Point, q: Point): number {
  return Math.hypot(q[0] - p[0], q[1] - p[1]);
}

export function between(p: Point, q: Point, share: number): Point {
  return [p[0] + share * (q[0] - p[0]), p[1] + share * (q[1] - p[1])];
}

export function boxAround(points: readonly Point[]): Box {
  const x = points.map((p) => p[0]);
  const y = points.map((p) => p[1]);
  return {
    left: Math.min(...x),
    top: Math.min(...y),
    right: Math.max(...x),
    bottom: Math.max(...y),
  };
}

export function squareAt([x, y]: Point, half: number): Box {
  return { left: x - half, top: y - half, right: x + half, bottom: y + half };
}

/** px² that both cover. */
export function overlap(p: Box, q: Box): number {
  const width = Math.min(p.right, q.right) - Math.max(p.left, q.left);
  const height = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
  return width > 0 && height > 0 ? width * height : 0;
}

export function isInside([x, y]: Point, box: Box): boolean {
  return x >= box.left && x <= box.right && y >= box.top && y <= box.bottom;
}

/** The attribute `d` of an arc; rad, counter-clockwise as seen from the picture's right. */
export function arcAbout(middle: Point, radius: number, from: number, to: number): string {
  const [start, end] = [away(middle, from, radius), away(middle, to, radius)];
  const large = Math.abs(to - from) > Math.PI ? 1 : 0;
  const sweep = to > from ? 0 : 1;
  const r = px(radius);
  return `M${px(start[0])} ${px(start[1])}A${r} ${r} 0 ${large} ${sweep} ${px(end[0])} ${px(end[1])}`;
}
