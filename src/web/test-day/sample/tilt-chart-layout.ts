/** Where everything of the chart of a tilted weighing stands: load moved over the tangent of the tilt, and
 * what is left from the line below it. px; x to the right, y down. */

import { scaleLinear } from 'd3-scale';
import type { TiltPoint, WeighingLine } from '../../../metrology/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { formatQuantity } from '../../../units/index.js';

export interface Tick {
  readonly at: number;
  readonly text: string;
}

export interface ChartPoint {
  readonly way: TiltPoint['way'];
  readonly x: number;
  readonly y: number;
  /** on the fitted line */
  readonly lineY: number;
  /** in the panel of the residuals */
  readonly residualY: number;
}

export interface TiltChartLayout {
  readonly width: number;
  readonly height: number;
  readonly main: Panel;
  readonly residuals: Panel;
  readonly line: readonly [readonly [number, number], readonly [number, number]];
  readonly points: readonly ChartPoint[];
  /** of tan(theta), below */
  readonly tangents: readonly Tick[];
  /** of theta, above */
  readonly angles: readonly Tick[];
  /** of the loads: 'kg' or 'lb' */
  readonly unit: string;
}

export interface Panel {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  /** where 0 is */
  readonly zero: number;
  readonly ticks: readonly Tick[];
}

/** px */
const MARGIN = { left: 64, right: 16, top: 48, bottom: 44 } as const;
const BETWEEN = 34;
const RESIDUALS = 88;

export function tiltChartLayout(
  line: WeighingLine,
  units: UnitSystem,
  width: number,
  height: number,
): TiltChartLayout {
  const { scale, unit } = massUnit(units);
  const [left, right] = [MARGIN.left, width - MARGIN.right];
  const residualsBottom = height - MARGIN.bottom;
  const residualsTop = residualsBottom - RESIDUALS;
  const mainBottom = residualsTop - BETWEEN;
  const steepest = Math.max(...line.points.map(({ x }) => x));
  const x = scaleLinear([0, steepest * 1.06], [left, right]);
  const fitted = (tangent: number) => scale * (line.intercept.value + line.slope.value * tangent);
  const loads = line.points.map((point) => scale * point.y);
  const most = Math.max(0, ...loads, fitted(steepest));
  const least = Math.min(0, ...loads, fitted(0));
  // an axis of its own below 0 only where something stands there that can be seen
  const from = least < -BELOW_ZERO * most ? least : 0;
  const y = scaleLinear([from, most], [mainBottom, MARGIN.top]).nice(5);
  const off = line.points.map(({ residual }) => scale * residual);
  const far = Math.max(...off.map(Math.abs), LEAST_RESIDUAL);
  const r = scaleLinear([-far, far], [residualsBottom, residualsTop]).nice(3);
  const end = x.domain()[1] ?? steepest;
  return {
    ...{ width, height, unit },
    main: { left, right, top: MARGIN.top, bottom: mainBottom, zero: y(0), ticks: ticksOf(y, 5) },
    residuals: {
      ...{ left, right, top: residualsTop, bottom: residualsBottom },
      ...{ zero: r(0), ticks: ticksOf(r, 3) },
    },
    line: [
      [x(0), y(fitted(0))],
      [x(end), y(fitted(end))],
    ],
    points: line.points.map((point, i) => ({
      way: point.way,
      x: x(point.x),
      y: y(scale * point.y),
      lineY: y(fitted(point.x)),
      residualY: r(off[i] ?? 0),
    })),
    tangents: ticksOf(x, 6),
    angles: angleTicks(end).map(({ tangent, text }) => ({ at: x(tangent), text })),
  };
}

/** Share of the greatest load. */
const BELOW_ZERO = 0.04;
/** kg or lb: residuals below a tenth of a gram are rounding. */
const LEAST_RESIDUAL = 1e-4;

function massUnit(units: UnitSystem): { readonly scale: number; readonly unit: string } {
  const one = formatQuantity(1, 'mass', units === 'US' ? 'US' : 'SI', { digits: 15 });
  const [scale = '', unit = ''] = one.split(' ');
  return { scale: Number(scale), unit };
}

function ticksOf(scale: ReturnType<typeof scaleLinear<number, number>>, count: number): Tick[] {
  const text = scale.tickFormat(count);
  return scale.ticks(count).map((value) => ({ at: scale(value), text: plain(text(value)) }));
}

/** d3 writes a typographic minus sign; the page writes the plain one. */
function plain(text: string): string {
  return text.replace('\u2212', '-');
}

const DEGREE = Math.PI / 180;
const ANGLE_TICKS = 6;

/** Whole or half degrees up to the end, as many as can be read. */
function angleTicks(end: number): readonly { readonly tangent: number; readonly text: string }[] {
  const most = Math.atan(end) / DEGREE;
  return (
    scaleLinear([0, most], [0, 1])
      .ticks(ANGLE_TICKS)
      // 0 stands below, where the axes meet
      .filter((angle) => angle > 0)
      .map((angle) => ({ tangent: Math.tan(angle * DEGREE), text: `${angle}` }))
  );
}
