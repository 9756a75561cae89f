/** Radii, runs and shortfalls of a holding rose. */

import { scaleLinear } from 'd3-scale';
import type { FailureMode, HoldingRay, HoldingRose } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Point } from './picture.js';
import { away, between } from './picture.js';
import { unitInSi } from './round-length.js';

export interface RoseScale {
  /** N at the rim */
  readonly most: number;
  /** N: the rings */
  readonly rings: readonly number[];
  /** N to px from the middle; beyond the rim, the rim */
  readonly radiusOf: (force: number) => number;
}

/** How far beyond what is asked a chart reaches: what is held many times over is not drawn out. */
const MOST_OVER_DEMAND = 2.5;
const LEAST_OVER_DEMAND = 1.25;

/** Rings at round numbers of the reader's unit. */
export function roseScale(rose: HoldingRose, radius: number, units: UnitSystem): RoseScale {
  const unit = unitInSi(units === 'US' ? 'lbf' : 'N', 'force');
  const demand = Math.max(...rose.rays.map((ray) => ray.demand));
  const finite = rose.rays.map(({ capacity }) => capacity).filter(Number.isFinite);
  const reached = Math.max(0, ...finite);
  const wanted =
    demand > 0
      ? Math.min(MOST_OVER_DEMAND * demand, Math.max(LEAST_OVER_DEMAND * demand, reached))
      : reached;
  const scale = scaleLinear()
    .domain([0, (wanted > 0 ? wanted : unit) / unit])
    .nice(5);
  const most = (scale.domain()[1] ?? 1) * unit;
  return {
    most,
    rings: scale
      .ticks(5)
      .filter((tick) => tick > 0)
      .map((tick) => tick * unit),
    radiusOf: (force) => (Math.min(force, most) / most) * radius,
  };
}

/** Neighbouring rays that go the same way. */
export interface RoseRun {
  /** of the first ray, and how many; a run may go past the last ray to the first */
  readonly from: number;
  readonly count: number;
}

/** Neighbouring rays of which `key` says the same, round the circle; one run when all are alike. */
export function runsOf(
  rays: readonly HoldingRay[],
  key: (ray: HoldingRay) => string,
): readonly RoseRun[] {
  const keys = rays.map(key);
  const starts = keys.flatMap((each, i) => (each === keys.at(i - 1) ? [] : [i]));
  if (starts.length === 0) return rays.length === 0 ? [] : [{ from: 0, count: rays.length }];
  return starts.map((from, i) => {
    const next = starts[i + 1] ?? (starts[0] ?? 0) + rays.length;
    return { from, count: next - from };
  });
}

/** 'pivots clockwise' and the like: what a mode is drawn as. */
export type ModeShape =
  | 'slides'
  | 'rolls'
  | 'pivots clockwise'
  | 'pivots counter-clockwise'
  | 'tips'
  | 'stops'
  | 'overloads'
  | 'has no support';

export function modeShape(mode: FailureMode | null): ModeShape {
  if (mode === null) return 'has no support';
  if (mode.kind !== 'pivots') return mode.kind;
  return mode.sense === 1 ? 'pivots counter-clockwise' : 'pivots clockwise';
}

/** Which rays carry a symbol: every `stride`th of a run, the middle one of a shorter run. */
export function symbolRays(runs: readonly RoseRun[], total: number, stride: number) {
  return runs.flatMap(({ from, count }) => {
    const symbols = Math.max(1, Math.round(count / stride));
    return Array.from({ length: symbols }, (_, i) => {
      const along = ((i + 0.5) * count) / symbols - 0.5;
      return Math.round(from + along) % total;
    });
  });
}

/** Whether less is held than asked. */
export function fallsShort({ capacity, demand }: HoldingRay): boolean {
  return capacity < demand;
}

/** The end of a ray at a force, px. */
export function rayPoint(
  middle: Point,
  { direction }: HoldingRay,
  force: number,
  scale: RoseScale,
): Point {
  return away(middle, direction, scale.radiusOf(force));
}

/**
 * The area between what is held and what is asked where that is less: an outer outline along what is
 * asked and an inner one along the lesser of both, with corners where they cross.
 */
export function shortfallOutlines(
  rays: readonly HoldingRay[],
  middle: Point,
  scale: RoseScale,
): { readonly outer: readonly Point[]; readonly inner: readonly Point[] } {
  const at = (ray: HoldingRay, force: number) => rayPoint(middle, ray, force, scale);
  const outer: Point[] = [];
  const inner: Point[] = [];
  rays.forEach((ray, i) => {
    const next = rays[(i + 1) % rays.length] ?? ray;
    outer.push(at(ray, ray.demand));
    inner.push(at(ray, Math.min(ray.capacity, ray.demand)));
    const share = crossing(gap(ray, scale), gap(next, scale));
    if (share === null) return;
    const corner = between(at(ray, ray.demand), at(next, next.demand), share);
    outer.push(corner);
    inner.push(corner);
  });
  return { outer, inner };
}

/** px of what is held beyond what is asked, as drawn. */
function gap({ capacity, demand }: HoldingRay, scale: RoseScale): number {
  return scale.radiusOf(capacity) - scale.radiusOf(demand);
}

function crossing(here: number, there: number): number | null {
  return here < 0 === there < 0 ? null : here / (here - there);
}
