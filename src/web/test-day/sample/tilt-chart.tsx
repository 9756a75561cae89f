/** The line of the tilts: load moved to the lower castors over the tangent of the tilt, and how far each
 * reading is off the line. Up and down by shape, so that it reads in grey. */

import { useId } from 'react';
import { figureStyle } from '../../../figure/index.js';
import type { WeighingLine } from '../../../metrology/index.js';
import { differenceText, measuredText } from '../../../metrology/index.js';
import type { UnitSystem } from '../../../units/index.js';
import type { ChartPoint, Panel, TiltChartLayout } from './tilt-chart-layout.js';
import { tiltChartLayout } from './tilt-chart-layout.js';

interface TiltChartProps {
  readonly line: WeighingLine;
  readonly units: UnitSystem;
}

/** px */
const WIDTH = 640;
const HEIGHT = 420;

export function TiltChart({ line, units }: TiltChartProps) {
  const id = useId();
  const layout = tiltChartLayout(line, units, WIDTH, HEIGHT);
  const { main, residuals, points } = layout;
  const [from, to] = layout.line;
  return (
    <svg
      className="fig tilt-chart"
      role="img"
      aria-labelledby={`${id}-title`}
      aria-describedby={`${id}-words`}
      width={WIDTH}
      height={HEIGHT}
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      fontVariant="tabular-nums"
    >
      <title id={`${id}-title`}>Load moved to the lower castors, by tilt</title>
      <desc id={`${id}-words`}>{describe(line, units)}</desc>
      <rect {...figureStyle.paper} width={WIDTH} height={HEIGHT} />
      <Grid panel={main} unit={layout.unit} title="load moved" above={30} />
      <Grid panel={residuals} unit={layout.unit} title="off the line" above={10} />
      <Tangents layout={layout} />
      <path {...figureStyle.accent} d={`M${from[0]},${from[1]}L${to[0]},${to[1]}`} />
      {points.map((point) => (
        <g key={`${point.x} ${point.y} ${point.way}`}>
          <Stick x={point.x} from={point.lineY} to={point.y} />
          <Mark way={point.way} x={point.x} y={point.y} />
          <Stick x={point.x} from={residuals.zero} to={point.residualY} />
          <Mark way={point.way} x={point.x} y={point.residualY} />
        </g>
      ))}
      <Legend right={main.right} />
    </svg>
  );
}

function describe({ points, slope, intercept }: WeighingLine, units: UnitSystem): string {
  const readings = points.map(({ x, y, way }) => {
    const angle = ((Math.atan(x) * 180) / Math.PI).toFixed(1);
    return `${angle} deg ${way}: ${differenceText(y, 0, 'mass', units)}`;
  });
  return `Fitted line: ${measuredText(slope, 'mass', units)} for a tangent of 1, ${measuredText(intercept, 'mass', units)} on the level. Readings: ${readings.join('; ')}.`;
}

interface GridProps {
  readonly panel: Panel;
  readonly unit: string;
  readonly title: string;
  /** px, of the title above the panel */
  readonly above: number;
}

function Grid({ panel, unit, title, above }: GridProps) {
  const { left, right, top, bottom, zero, ticks } = panel;
  return (
    <g>
      {ticks.map(({ at, text }) => (
        <g key={text}>
          <path {...figureStyle.faint} d={`M${left},${at}H${right}`} />
          <text {...figureStyle.label} x={left - 6} y={at + 4} textAnchor="end">
            {text}
          </text>
        </g>
      ))}
      <path {...figureStyle.ink} d={`M${left},${top}V${bottom}M${left},${zero}H${right}`} />
      <text {...figureStyle.label} x={8} y={top - above}>
        {title}, {unit}
      </text>
    </g>
  );
}

/** px */
const TICK = 5;

function Tangents({
  layout: { main, residuals, tangents, angles },
}: {
  readonly layout: TiltChartLayout;
}) {
  return (
    <g>
      {tangents.map(({ at, text }) => (
        <g key={text}>
          <path {...figureStyle.thin} d={`M${at},${residuals.bottom}v${TICK}`} />
          <text {...figureStyle.label} x={at} y={residuals.bottom + 18} textAnchor="middle">
            {text}
          </text>
        </g>
      ))}
      <text
        {...figureStyle.label}
        x={(main.left + main.right) / 2}
        y={residuals.bottom + 36}
        textAnchor="middle"
      >
        tangent of the tilt
      </text>
      {angles.map(({ at, text }) => (
        <g key={text}>
          <path {...figureStyle.thin} d={`M${at},${main.top}v${-TICK}`} />
          <text {...figureStyle.quietLabel} x={at} y={main.top - 9} textAnchor="middle">
            {text} deg
          </text>
        </g>
      ))}
    </g>
  );
}

function Stick({
  x,
  from,
  to,
}: {
  readonly x: number;
  readonly from: number;
  readonly to: number;
}) {
  return <path {...figureStyle.thin} d={`M${x},${from}V${to}`} />;
}

/** px */
const SIZE = 5;

function Mark({
  way,
  x,
  y,
}: {
  readonly way: ChartPoint['way'];
  readonly x: number;
  readonly y: number;
}) {
  const s = way === 'up' ? -SIZE : SIZE;
  const shape = `M${x},${y + s}L${x + SIZE},${y - s}H${x - SIZE}Z`;
  return <path {...(way === 'up' ? figureStyle.solid : figureStyle.open)} d={shape} />;
}

function Legend({ right }: { readonly right: number }) {
  const at = right - 210;
  return (
    <g>
      <Mark way="up" x={at} y={14} />
      <text {...figureStyle.label} x={at + 10} y={18}>
        on the way up
      </text>
      <Mark way="down" x={at + 108} y={14} />
      <text {...figureStyle.label} x={at + 118} y={18}>
        on the way down
      </text>
    </g>
  );
}
