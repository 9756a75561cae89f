/** A cart from the side or from the front, to scale, on its floor or incline. */

import type { ReactElement } from 'react';
import type { Pose, PosedCart } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { Arrow, ArrowHead } from './arrows.js';
import { CentreOfMassMark, crossIn } from './castor-plan.js';
import type { TipEnd } from './elevation-labels.js';
import { elevationLabels, pressTail, pushTail, tipEnd } from './elevation-labels.js';
import type { ElevationFrom, ElevationLayout } from './elevation-layout.js';
import { alongOf, elevationLayout, endLines } from './elevation-layout.js';
import { FigureFrame } from './figure-frame.js';
import { figureStyle } from './figure-style.js';
import { Labels, Words } from './labels.js';
import type { Point } from './picture.js';
import { angleTo, arcAbout, away, between, pathAround, pathThrough, px } from './picture.js';
import type { PlanOutline } from './plan-layout.js';
import { actionWords, massWords, standingWords, tipWords } from './pose-words.js';
import { carriedPoint } from './projected-outline.js';
import { ScaleBar } from './scale-bar.js';

export interface ElevationViewProps {
  readonly cart: Cart;
  readonly pose: Pose;
  /** the cart in that pose */
  readonly posed: PosedCart;
  readonly units: UnitSystem;
  /** side: from the right, forward to the right of the picture; front: from ahead, the cart's left to
   * the right of the picture */
  readonly from: ElevationFrom;
  /** px; default 640, at least 320 */
  readonly width?: number;
  /** px; default 520, at least 300 */
  readonly height?: number;
  /** default: 'From the side: ' or 'From the front: ' with the cart's name and position */
  readonly title?: string;
}

/**
 * Down in the picture is down: an incline tilts floor and cart as they appear from this side. Fall line,
 * the angles at which it tips to either end, height of the centre of mass and over all.
 */
export function ElevationView(props: ElevationViewProps): ReactElement {
  const { cart, pose, posed, units, from, width = 640, height = 520 } = props;
  const title = props.title ?? `From the ${from}: ${cart.name}, ${pose.position}`;
  const scene = { cart, pose, posed, units, from, width, height };
  const layout = elevationLayout(scene);
  const ends = endLines(from, posed).map((line) => line && tipEnd(line, from));
  const shown = ends.filter((end) => end !== null);
  return (
    <FigureFrame
      kind="elevation"
      width={width}
      height={height}
      title={title}
      description={describe(props, layout)}
      pxPerMetre={layout.view.pxPerMetre}
    >
      <Floor layout={layout} />
      <Shapes outlines={layout.wheels} layout={layout} style="open" />
      <Forks posed={posed} layout={layout} />
      <Shapes outlines={layout.bodies} layout={layout} style="body" />
      <Shapes outlines={layout.surfaces} layout={layout} style="dashed" />
      <Handles cart={cart} posed={posed} layout={layout} />
      {shown.map((end) => (
        <TipAngle key={end.at} end={end} posed={posed} layout={layout} />
      ))}
      <FallLine posed={posed} layout={layout} from={from} />
      <Heights posed={posed} layout={layout} units={units} from={from} />
      <Push pose={pose} layout={layout} from={from} />
      {pose.press === null ? null : (
        <Arrow
          from={pressTail(pose.press, layout)}
          to={layout.toPicture(pose.press.point)}
          style="accent"
          head={10}
        />
      )}
      <CentreOfMassMark at={layout.toPicture(posed.centreOfMass)} />
      <Labels labels={elevationLabels(scene, layout, shown)} />
      <Tilt pose={pose} layout={layout} units={units} />
      <ScaleBar
        pxPerMetre={layout.view.pxPerMetre}
        x={10}
        y={height - 30}
        most={Math.min(150, width * 0.3)}
        units={units}
      />
      <Words at={[width - 10, height - 12]} style="small" anchor="end">
        {from === 'side' ? 'seen from the right, forward to the right' : 'seen from the front'}
      </Words>
    </FigureFrame>
  );
}

function describe(props: ElevationViewProps, { reach }: ElevationLayout): string {
  const { cart, pose, posed, units, from } = props;
  const side = from === 'side' ? 'the right, forward to the right' : 'the front';
  const tips = endLines(from, posed)
    .filter((line) => line !== null)
    .map((line) => `Over ${line.castors.join(' and ')} it ${tipWords(line, units)}.`);
  return [
    `${cart.name} in the position ${pose.position}, seen from ${side}, to scale, ${quantityText(reach.height, 'length', units)} high.`,
    actionWords(pose, units),
    massWords(posed, units),
    standingWords(posed, units),
    ...tips,
  ].join(' ');
}

interface LayoutProps {
  readonly layout: ElevationLayout;
}

/** px from a floor stroke to the next */
const FLOOR_STEP = 9;

/** The floor across the picture, with strokes under it. */
function Floor({ layout }: LayoutProps): ReactElement {
  const { reach, flatToPicture, tilt, view } = layout;
  const room = Math.min(70 / view.pxPerMetre, (reach.to - reach.from) * 0.3 + 0.05);
  const left = flatToPicture([Math.min(reach.from, layout.fallPoint ?? reach.from) - room, 0]);
  const right = flatToPicture([Math.max(reach.to, layout.fallPoint ?? reach.to) + room, 0]);
  const count = Math.floor(Math.hypot(right[0] - left[0], right[1] - left[1]) / FLOOR_STEP);
  const strokes = Array.from({ length: count }, (_, i) => {
    const at = between(left, right, (i + 1) / count);
    return pathThrough([at, away(at, -tilt - (3 * Math.PI) / 4, 8)]);
  });
  return (
    <g className="fig-floor">
      <path {...figureStyle.faint} d={strokes.join('')} />
      <path {...figureStyle.strong} d={pathThrough([left, right])} />
    </g>
  );
}

interface ShapesProps extends LayoutProps {
  readonly outlines: readonly PlanOutline[];
  readonly style: 'open' | 'body' | 'dashed';
}

function Shapes({ outlines, layout, style }: ShapesProps): ReactElement {
  return (
    <g>
      {outlines.map(({ name, points }) => (
        <path key={name} {...figureStyle[style]} d={pathAround(points.map(layout.flatToPicture))} />
      ))}
    </g>
  );
}

interface PosedProps extends LayoutProps {
  readonly posed: PosedCart;
}

/** From each axle to the stem over the wheel. */
function Forks({ posed, layout }: PosedProps): ReactElement {
  const forks = posed.castors.map(({ stem, contact, wheelDiameter }) => {
    const axle = layout.toPicture([...contact, wheelDiameter / 2]);
    const crown = layout.toPicture([...stem, wheelDiameter * 1.08]);
    return pathThrough([axle, crown]);
  });
  return <path {...figureStyle.ink} d={forks.join('')} />;
}

function Handles({ cart, posed, layout }: PosedProps & { readonly cart: Cart }): ReactElement {
  return (
    <g className="fig-handles">
      {cart.handles.map(({ name, at, on }) => {
        const [x, y] = layout.toPicture(carriedPoint(at, on, posed.placements));
        return <circle key={name} {...figureStyle.open} cx={px(x)} cy={px(y)} r={4} />;
      })}
    </g>
  );
}

interface TipAngleProps extends PosedProps {
  readonly end: TipEnd;
}

/** px: radius of the arcs that show tip angles */
const TIP_ARC = 58;

/** From the centre of mass to the tipping line, with the angle off square to the floor. */
function TipAngle({ end, posed, layout }: TipAngleProps): ReactElement {
  const centre = layout.toPicture(posed.centreOfMass);
  const foot = layout.flatToPicture([end.at, 0]);
  const down = -Math.PI / 2 - layout.tilt;
  return (
    <g className="fig-tip-angle">
      <path {...figureStyle.dashed} d={pathThrough([centre, foot])} />
      <path
        {...figureStyle.thin}
        d={arcAbout(centre, TIP_ARC, down, down + angleFrom(down, angleTo(centre, foot)))}
      />
      <path {...figureStyle.solid} d={pathAround(triangleUnder(foot, layout.tilt))} />
    </g>
  );
}

/** rad: the turn from one angle to the other, the short way. */
function angleFrom(from: number, to: number): number {
  return Math.atan2(Math.sin(to - from), Math.cos(to - from));
}

/** A pivot under the floor at the tipping line. */
function triangleUnder(at: Point, tilt: number): readonly Point[] {
  return [at, away(at, -tilt - Math.PI / 2 + 0.5, 9), away(at, -tilt - Math.PI / 2 - 0.5, 9)];
}

interface FromProps extends PosedProps {
  readonly from: ElevationFrom;
}

/** Along the resultant from the centre of mass to the floor. */
function FallLine({ posed, layout, from }: FromProps): ReactElement {
  const centre = layout.toPicture(posed.centreOfMass);
  const end = layout.flatToPicture([alongOf(from, posed.fallPoint), 0]);
  const shown = layout.fallPoint === null ? away(centre, angleTo(centre, end), 90) : end;
  return <Arrow from={centre} to={shown} style="accent" head={9} />;
}

interface HeightsProps extends FromProps {
  readonly units: UnitSystem;
}

/** Heights are measured square to the floor: on an incline the dimension leans with the cart. */
function Heights({ posed, layout, units, from }: HeightsProps): ReactElement {
  const { reach, view } = layout;
  const step = 26 / view.pxPerMetre;
  const z = posed.centreOfMass[2];
  const along = alongOf(from, posed.centreOfMass);
  return (
    <g className="fig-heights">
      <Height layout={layout} at={reach.from - step} from={along} height={z} units={units} />
      <Height
        layout={layout}
        at={reach.to + step}
        from={reach.to}
        height={reach.height}
        units={units}
      />
    </g>
  );
}

interface HeightProps extends LayoutProps {
  /** m along the picture: of the dimension line, and where its extension line starts */
  readonly at: number;
  readonly from: number;
  readonly height: number;
  readonly units: UnitSystem;
}

function Height({ layout, at, from, height, units }: HeightProps): ReactElement {
  const { flatToPicture, tilt, view } = layout;
  const low = flatToPicture([at, 0]);
  const high = flatToPicture([at, height]);
  const past = at + (Math.sign(at - from) * 4) / view.pxPerMetre;
  const angle = angleTo(low, high);
  const middle = away(between(low, high, 0.5), angle + Math.PI / 2, 4);
  const turn = px(-90 + (tilt * 180) / Math.PI);
  return (
    <g className="fig-dimension" data-length={px(height * view.pxPerMetre)}>
      <path
        {...figureStyle.faint}
        d={pathThrough([flatToPicture([from, height]), flatToPicture([past, height])])}
      />
      <path {...figureStyle.thin} d={pathThrough([low, high])} />
      <ArrowHead at={high} angle={angle} size={6} />
      <ArrowHead at={low} angle={angle + Math.PI} size={6} />
      <text
        {...figureStyle.label}
        textAnchor="middle"
        transform={`translate(${px(middle[0])} ${px(middle[1])}) rotate(${turn})`}
      >
        {quantityText(height, 'length', units)}
      </text>
    </g>
  );
}

interface PushProps extends LayoutProps {
  readonly pose: Pose;
  readonly from: ElevationFrom;
}

/** px: a push that points along the line of sight more than this is seen as a point */
const SHORTEST_PUSH = 9;

function Push({ pose: { push }, layout, from }: PushProps): ReactElement | null {
  if (push === null) return null;
  const head = layout.toPicture(push.point);
  const tail = pushTail(push, layout, from);
  const length = Math.hypot(head[0] - tail[0], head[1] - tail[1]);
  if (length > SHORTEST_PUSH) return <Arrow from={tail} to={head} style="accent" head={10} />;
  return (
    <g className="fig-push-end-on">
      <circle {...figureStyle.accent} cx={px(head[0])} cy={px(head[1])} r={7} />
      {pointsAway(push.direction, from) ? (
        <path {...figureStyle.accent} d={crossIn(head, 7)} />
      ) : (
        <circle {...figureStyle.accentSolid} cx={px(head[0])} cy={px(head[1])} r={2} />
      )}
    </g>
  );
}

/** Whether it points away from who looks: its tail is then seen, the cross of an arrow. */
function pointsAway(direction: number, from: ElevationFrom): boolean {
  return from === 'side' ? Math.sin(direction) > 0 : Math.cos(direction) < 0;
}

interface TiltProps extends LayoutProps {
  readonly pose: Pose;
  readonly units: UnitSystem;
}

/** The incline as it appears, and the true one where that is another. */
function Tilt({ pose: { incline }, layout, units }: TiltProps): ReactElement | null {
  if (incline === null || incline.angle === 0) return null;
  const seen = quantityText(Math.abs(layout.tilt), 'angle', units);
  const own = quantityText(incline.angle, 'angle', units);
  const words = seen === own ? `incline ${own}` : `incline ${own}, from here ${seen}`;
  return (
    <Words at={[layout.field.right - 6, layout.field.top + 12]} style="strongLabel" anchor="end">
      {words}
    </Words>
  );
}
