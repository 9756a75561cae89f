/** How much a cart holds in each direction, against what is asked, and which way it goes. */

import type { CurveFactory } from 'd3-shape';
import { curveLinear, curveLinearClosed, lineRadial } from 'd3-shape';
import type { ReactElement } from 'react';
import type { HoldingRay, HoldingRose } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { ArrowHead } from './arrows.js';
import { FigureFrame, TITLE_HEIGHT } from './figure-frame.js';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { hatchStrokes } from './hatching.js';
import { Words } from './labels.js';
import { ModeSymbol } from './mode-symbol.js';
import type { Point } from './picture.js';
import { away, pathAround, pathThrough, px } from './picture.js';
import type { RoseRun, RoseScale } from './rose-layout.js';
import {
  fallsShort,
  modeShape,
  rayPoint,
  roseScale,
  runsOf,
  shortfallOutlines,
  symbolRays,
} from './rose-layout.js';
import { KEY_LINE, keyRows, Legend } from './rose-legend.js';
import { rayWords, shortfallWords } from './rose-words.js';
import { wrapText } from './text-width.js';

export interface HoldingRoseFigureProps {
  readonly rose: HoldingRose;
  readonly units: UnitSystem;
  /** px; default 480, at least 320; the height follows from it */
  readonly width?: number;
  /** default: 'Holding by direction' with the load */
  readonly title?: string;
  /** index of a ray to mark and tell of; default: none */
  readonly highlight?: number;
}

/** px about the rim for symbols and words */
const RIM_ROOM = 52;
/** px to the left and right of the rim: 'front' and 'back' stand there */
const SIDE_ROOM = 74;
const LARGEST_RADIUS = 210;
const LINE = 15;

/** The front of the cart is to the right, as in the plan; its left is up. */
export function HoldingRoseFigure(props: HoldingRoseFigureProps): ReactElement {
  const { rose, units, width = 480, highlight } = props;
  const title = props.title ?? `Holding by direction of the ${rose.load}`;
  const radius = Math.min(LARGEST_RADIUS, width / 2 - SIDE_ROOM);
  const middle: Point = [width / 2, TITLE_HEIGHT + RIM_ROOM - 6 + radius];
  const scale = roseScale(rose, radius, units);
  const lower = middle[1] + radius + RIM_ROOM + 4;
  const keys = keyRows(rose, width, scale.most);
  const notes = noteLines(props, width);
  const notesAt = lower + keys.length * KEY_LINE + 8;
  const chosen = highlight === undefined ? undefined : rose.rays[highlight];
  const chart = { rose, middle, radius, scale, units };
  return (
    <FigureFrame
      kind="rose"
      width={width}
      height={notesAt + notes.length * LINE}
      title={title}
      description={describe(props)}
    >
      <Rings {...chart} />
      <Shortfall {...chart} />
      <Demand {...chart} />
      <Held {...chart} />
      <Beyond {...chart} />
      <RingTexts {...chart} />
      <Modes {...chart} />
      <Bearings {...chart} />
      <FailWord {...chart} />
      <LeastMark {...chart} />
      {chosen === undefined ? null : <Highlight {...chart} ray={chosen} />}
      <Legend rows={keys} top={lower} />
      {notes.map((line, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other identity
        <Words key={i} at={[10, notesAt + i * LINE]} style={line.style}>
          {line.text}
        </Words>
      ))}
    </FigureFrame>
  );
}

function describe({ rose, units, highlight }: HoldingRoseFigureProps): string {
  const least = rose.rays[rose.least];
  const chosen = highlight === undefined ? undefined : rose.rays[highlight];
  return [
    `Holding force by direction in ${rose.rays.length} directions, the front of the cart to the right.`,
    shortfallWords(rose, units),
    least === undefined ? '' : `Least, ${rayWords(rose, least, units)}.`,
    chosen === undefined ? '' : `Chosen, ${rayWords(rose, chosen, units)}.`,
  ]
    .filter((text) => text !== '')
    .join(' ');
}

interface ChartProps {
  readonly rose: HoldingRose;
  readonly middle: Point;
  readonly radius: number;
  readonly scale: RoseScale;
  readonly units: UnitSystem;
}

function Rings({ middle, radius, scale }: ChartProps): ReactElement {
  const [cx, cy] = [px(middle[0]), px(middle[1])];
  const spokes = Array.from({ length: 8 }, (_, i) =>
    pathThrough([away(middle, (i * Math.PI) / 4, 8), away(middle, (i * Math.PI) / 4, radius)]),
  );
  return (
    <g className="fig-rings">
      <path {...figureStyle.ring} d={spokes.join('')} />
      {scale.rings.map((force) => (
        <circle
          key={force}
          {...(force >= scale.most ? figureStyle.thin : figureStyle.faint)}
          cx={cx}
          cy={cy}
          r={px(scale.radiusOf(force))}
        />
      ))}
    </g>
  );
}

/** rad: the direction between two spokes in which most is held over what is asked: there is room. */
function ringTextDirection({ rays }: HoldingRose): number {
  const reserveAt = (direction: number) => {
    const ray = rays.reduce((p, q) =>
      Math.cos(q.direction - direction) > Math.cos(p.direction - direction) ? q : p,
    );
    return ray.capacity - ray.demand;
  };
  return RING_TEXT_DIRECTIONS.reduce((p, q) => (reserveAt(q) > reserveAt(p) ? q : p));
}

/** Steep ones only: the text is level, and would lie along its neighbours elsewhere. */
const RING_TEXT_DIRECTIONS = [-3, 3, -5, 5].map((eighths) => (eighths * Math.PI) / 8);

function RingTexts({ rose, middle, scale, units }: ChartProps): ReactElement {
  const direction = ringTextDirection(rose);
  return (
    <g className="fig-ring-texts">
      {ringTextRadii(scale, direction).map(([force, radius]) => {
        const [x, y] = away(middle, direction, radius);
        return (
          <Words key={force} at={[x, y + 3]} style="small" anchor="middle">
            {quantityText(force, 'force', units)}
          </Words>
        );
      })}
    </g>
  );
}

/** px from one text to the next, measured upright */
const RING_TEXT_STEP = 14;

/** From the rim inwards, forces with the radii at which they are written, none on top of another. The
 * rim's own stands inside of it, off the symbols. */
function ringTextRadii({ rings, most, radiusOf }: RoseScale, direction: number) {
  const kept: (readonly [number, number])[] = [];
  for (const force of [...rings].reverse()) {
    const radius = radiusOf(force) - (force >= most ? 11 : 0);
    const outer = kept.at(-1)?.[1] ?? Number.POSITIVE_INFINITY;
    if ((outer - radius) * Math.abs(Math.sin(direction)) >= RING_TEXT_STEP) {
      kept.push([force, radius]);
    }
  }
  return kept;
}

type Polar = readonly [number, number];

/** d3 counts angles clockwise from the top. */
function radialPath(points: readonly Polar[], curve: CurveFactory = curveLinearClosed): string {
  const path = lineRadial<Polar>()
    .angle(([direction]) => Math.PI / 2 - direction)
    .radius(([, distance]) => distance)
    .curve(curve)
    .digits(2);
  return path([...points]) ?? '';
}

function Demand({ rose, middle, scale }: ChartProps): ReactElement {
  const points = rose.rays.map((ray) => [ray.direction, scale.radiusOf(ray.demand)] as const);
  return (
    <path
      {...figureStyle.chain}
      className="fig-chain fig-demand"
      d={radialPath(points)}
      transform={`translate(${px(middle[0])} ${px(middle[1])})`}
    />
  );
}

/** What is held, up to the rim: what lies beyond it is shown by `Beyond`. */
function Held({ rose, middle, scale }: ChartProps): ReactElement {
  const { rays } = rose;
  const isWithin = (ray: HoldingRay) => ray.capacity <= scale.most;
  const point = (ray: HoldingRay): Polar => [ray.direction, scale.radiusOf(ray.capacity)];
  const path = rays.every(isWithin)
    ? radialPath(rays.map(point))
    : runsOf(rays, (ray) => String(isWithin(ray)))
        .filter(({ from }) => isWithin(rays[from] as HoldingRay))
        .map((run) => radialPath(raysAround(rays, run).map(point), curveLinear))
        .join('');
  return (
    <path
      {...figureStyle.accent}
      className="fig-accent fig-held"
      d={path}
      transform={`translate(${px(middle[0])} ${px(middle[1])})`}
    />
  );
}

/** The rays of a run, and one more at either end. */
function raysAround(rays: readonly HoldingRay[], { from, count }: RoseRun): readonly HoldingRay[] {
  return Array.from(
    { length: count + 2 },
    (_, i) => rays[(from - 1 + i + rays.length) % rays.length] as HoldingRay,
  );
}

/** px from a hatching stroke to the next */
const HATCH_STEP = 5;

function Shortfall({ rose, middle, scale }: ChartProps): ReactElement | null {
  if (!rose.rays.some(fallsShort)) return null;
  const { outer, inner } = shortfallOutlines(rose.rays, middle, scale);
  const strokes = hatchStrokes([outer, inner], Math.PI / 4, HATCH_STEP);
  return (
    <g className="fig-shortfall">
      <path
        {...figureStyle.lacking}
        d={`${pathAround(outer)}${pathAround(inner)}`}
        fillRule="evenodd"
      />
      <path {...figureStyle.hatch} d={strokes.map((stroke) => pathThrough(stroke)).join('')} />
    </g>
  );
}

/** The word outside of what is asked, where the shortfall is widest. */
function FailWord({ rose, middle, scale }: ChartProps): ReactElement | null {
  const runs = runsOf(rose.rays, (ray) => String(fallsShort(ray))).filter(({ from }) =>
    fallsShort(rose.rays[from] as HoldingRay),
  );
  const widest = runs.reduce(
    (p, q) => (q.count > p.count ? q : p),
    runs[0] ?? { from: 0, count: 0 },
  );
  const ray = rose.rays[(widest.from + Math.floor(widest.count / 2)) % rose.rays.length];
  if (widest.count === 0 || ray === undefined) return null;
  const outside = 12 + 10 * Math.abs(Math.cos(ray.direction));
  const [x, y] = away(middle, ray.direction, scale.radiusOf(ray.demand) + outside);
  return (
    <Words at={[x, y + 4]} style="strongLabel" anchor="middle">
      fails
    </Words>
  );
}

/** px between the rim and the symbols of the modes */
const MODE_ROOM = 15;
/** symbols all round, about */
const MODE_COUNT = 24;

function Modes({ rose, middle, radius }: ChartProps): ReactElement {
  const runs = runsOf(rose.rays, ({ mode }) => modeShape(mode));
  const stride = Math.max(1, rose.rays.length / MODE_COUNT);
  return (
    <g className="fig-modes">
      {symbolRays(runs, rose.rays.length, stride).map((i) => {
        const ray = rose.rays[i] as HoldingRay;
        const at = away(middle, ray.direction, radius + MODE_ROOM);
        return <ModeSymbol key={i} shape={modeShape(ray.mode)} at={at} angle={goesTowards(ray)} />;
      })}
    </g>
  );
}

function goesTowards({ mode, direction }: HoldingRay): number {
  return mode?.kind === 'slides' || mode?.kind === 'rolls' ? mode.direction : direction;
}

const BEARINGS = ['front', 'left', 'back', 'right'] as const;

/** The four sides of the cart about the rim, and in the middle a pointer to its front. */
function Bearings({ middle, radius }: ChartProps): ReactElement {
  return (
    <g className="fig-bearings">
      {BEARINGS.map((word, i) => {
        const across = i % 2 === 0;
        const [x, y] = away(middle, (i * Math.PI) / 2, radius + (across ? 28 : 34));
        const anchor = across ? (i === 0 ? 'start' : 'end') : 'middle';
        return (
          <Words
            key={word}
            at={[x, y + (i === 3 ? 6 : 4)]}
            style={i === 0 ? 'strongLabel' : 'small'}
            anchor={anchor}
          >
            {word}
          </Words>
        );
      })}
      <ArrowHead at={away(middle, 0, 9)} angle={0} size={15} />
    </g>
  );
}

/** Where more is held than the chart reaches: arrow heads leave the rim, and the legend says so. */
function Beyond({ rose, middle, radius, scale }: ChartProps): ReactElement | null {
  const { rays } = rose;
  const isBeyond = (ray: HoldingRay) => ray.capacity > scale.most;
  if (!rays.some(isBeyond)) return null;
  const runs = runsOf(rays, (ray) => String(isBeyond(ray))).filter(({ from }) =>
    isBeyond(rays[from] as HoldingRay),
  );
  const marks = symbolRays(runs, rays.length, Math.max(1, rays.length / 18));
  return (
    <g className="fig-beyond">
      {marks.map((i) => {
        const { direction } = rays[i] as HoldingRay;
        return (
          <ArrowHead
            key={i}
            at={away(middle, direction, radius + 1)}
            angle={direction}
            size={8}
            accent
          />
        );
      })}
    </g>
  );
}

function LeastMark({ rose, middle, scale }: ChartProps): ReactElement | null {
  const ray = rose.rays[rose.least];
  if (ray === undefined) return null;
  const [x, y] = rayPoint(middle, ray, ray.capacity, scale);
  return (
    <rect
      {...figureStyle.open}
      className="fig-open fig-least"
      x={px(x - 4)}
      y={px(y - 4)}
      width={8}
      height={8}
    />
  );
}

function Highlight({
  middle,
  radius,
  scale,
  ray,
}: ChartProps & { readonly ray: HoldingRay }): ReactElement {
  const end = rayPoint(middle, ray, ray.capacity, scale);
  return (
    <g className="fig-highlight">
      <path
        {...figureStyle.dashed}
        d={pathThrough([middle, away(middle, ray.direction, radius)])}
      />
      <path {...figureStyle.strong} d={pathThrough([middle, end])} />
      <circle {...figureStyle.solid} cx={px(end[0])} cy={px(end[1])} r={4.5} />
    </g>
  );
}

interface NoteLine {
  readonly text: string;
  readonly style: 'label' | 'strongLabel';
}

/** of each note: long names of castors end in an ellipsis, not in a page of text */
const MOST_LINES = 5;

function weightOf(style: NoteLine['style']): number {
  return style === 'strongLabel' ? 600 : 400;
}

/** The least and the chosen ray in words under the chart. */
function noteLines({ rose, units, highlight }: HoldingRoseFigureProps, width: number) {
  const least = rose.rays[rose.least];
  const chosen = highlight === undefined ? undefined : rose.rays[highlight];
  const wrapped = (text: string, style: NoteLine['style']): readonly NoteLine[] =>
    wrapText(text, width - 20, TEXT_SIZE.label, MOST_LINES, weightOf(style)).map((line) => ({
      text: line,
      style,
    }));
  return [
    ...(chosen === undefined
      ? []
      : wrapped(`Chosen: ${rayWords(rose, chosen, units)}.`, 'strongLabel')),
    ...(least === undefined ? [] : wrapped(`Least: ${rayWords(rose, least, units)}.`, 'label')),
    ...wrapped(shortfallWords(rose, units), 'label'),
  ];
}
