/** A cart from above, to scale, like an engineer's sheet. */

import type { ReactElement } from 'react';
import type { Pose, PosedCart, TippingLine } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { Cart } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { Arrow, DimensionLine, dimensionWidth } from './arrows.js';
import {
  CastorPlan,
  CentreOfMassMark,
  FallPointMark,
  footOn,
  HandleMark,
  PressMark,
} from './castor-plan.js';
import { FigureFrame } from './figure-frame.js';
import { figureStyle } from './figure-style.js';
import { Labels, Words } from './labels.js';
import type { Box, Point } from './picture.js';
import {
  angleTo,
  away,
  between,
  distanceOf,
  pathAround,
  pathThrough,
  squareAt,
} from './picture.js';
import { planLabels } from './plan-labels.js';
import type { PlanLayout, PlanOutline } from './plan-layout.js';
import { planLayout } from './plan-layout.js';
import {
  actionWords,
  castorsWords,
  massWords,
  nearestLine,
  standingWords,
  stemExtent,
} from './pose-words.js';
import { carriedPoint } from './projected-outline.js';
import { ScaleBar } from './scale-bar.js';
import type { View } from './view.js';

export interface PlanViewProps {
  readonly cart: Cart;
  readonly pose: Pose;
  /** the cart in that pose */
  readonly posed: PosedCart;
  readonly units: UnitSystem;
  /** px; default 640, at least 320 */
  readonly width?: number;
  /** px; default 520, at least 300 */
  readonly height?: number;
  /** default: 'Plan: ' with the cart's name and position */
  readonly title?: string;
}

/**
 * x forward is to the right, y left is up. Bodies as their movers carry them, castors at true size with
 * locks and loads, support and tipping lines, centre of mass and where it would fall, incline or push.
 */
export function PlanView(props: PlanViewProps): ReactElement {
  const { cart, pose, posed, units, width = 640, height = 520 } = props;
  const title = props.title ?? `Plan: ${cart.name}, ${pose.position}`;
  const layout = planLayout({ cart, pose, posed, width, height });
  const nearest = nearestLine(posed);
  const push = pushArrow(pose, layout.view);
  const sizes = dimensionsOf(posed, units, layout);
  const taken = [...sizes.map(({ box }) => box), downhillBox(width)];
  const scene = { cart, pose, posed, width, height, units, nearest, push, taken };
  return (
    <FigureFrame
      kind="plan"
      width={width}
      height={height}
      title={title}
      description={describe(props)}
      pxPerMetre={layout.view.pxPerMetre}
    >
      <Outlines outlines={layout.bodies} view={layout.view} surface={false} />
      <Outlines outlines={layout.surfaces} view={layout.view} surface />
      <Support posed={posed} view={layout.view} />
      {sizes.map(({ key, line }) => (
        <DimensionLine key={key} {...line} />
      ))}
      <TippingLines posed={posed} view={layout.view} nearest={nearest} />
      {posed.castors.map((castor) => (
        <CastorPlan
          key={castor.name}
          castor={castor}
          view={layout.view}
          missing={castor.name === pose.without}
        />
      ))}
      <Handles cart={cart} posed={posed} view={layout.view} />
      <Fall posed={posed} layout={layout} nearest={nearest} />
      {pose.press === null ? null : (
        <PressMark at={layout.view.toPicture([pose.press.point[0], pose.press.point[1]])} />
      )}
      {push === null ? null : <Arrow from={push.tail} to={push.head} style="accent" head={10} />}
      <Labels labels={planLabels(scene, layout)} />
      <Downhill pose={pose} units={units} width={width} />
      <Foot view={layout.view} units={units} width={width} height={height} />
    </FigureFrame>
  );
}

function describe({ cart, pose, posed, units }: PlanViewProps): string {
  const { wheelbase, track } = stemExtent(posed);
  return [
    `${cart.name} in the position ${pose.position}, seen from above, forward to the right, to scale.`,
    `Wheelbase ${quantityText(wheelbase, 'length', units)}, track ${quantityText(track, 'length', units)}.`,
    actionWords(pose, units),
    massWords(posed, units),
    standingWords(posed, units),
    castorsWords(posed, pose, units),
  ].join(' ');
}

interface PosedProps {
  readonly posed: PosedCart;
  readonly view: View;
}

function Support({ posed, view }: PosedProps): ReactElement | null {
  if (posed.support.length < 3) return null;
  return <path {...figureStyle.support} d={pathAround(posed.support.map(view.toPicture))} />;
}

interface OutlinesProps {
  readonly outlines: readonly PlanOutline[];
  readonly view: View;
  readonly surface: boolean;
}

function Outlines({ outlines, view, surface }: OutlinesProps): ReactElement {
  const style = surface ? figureStyle.dashed : figureStyle.body;
  return (
    <g className={surface ? 'fig-surfaces' : 'fig-bodies'}>
      {outlines.map(({ name, points }) => (
        <path key={name} {...style} d={pathAround(points.map(view.toPicture))} />
      ))}
    </g>
  );
}

interface NearestProps extends PosedProps {
  readonly nearest: TippingLine | null;
}

function TippingLines({ posed, view, nearest }: NearestProps): ReactElement {
  return (
    <g className="fig-tipping-lines">
      {posed.lines.map((line) => (
        <path
          key={line.castors.join('\n')}
          {...(line === nearest ? figureStyle.accent : figureStyle.chain)}
          d={pathThrough([view.toPicture(line.from), view.toPicture(line.to)])}
        />
      ))}
    </g>
  );
}

function Handles({ cart, posed, view }: PosedProps & { readonly cart: Cart }): ReactElement {
  return (
    <g className="fig-handles">
      {cart.handles.map(({ name, at, on }) => {
        const [x, y] = carriedPoint(at, on, posed.placements);
        return <HandleMark key={name} at={view.toPicture([x, y])} />;
      })}
    </g>
  );
}

interface FallProps {
  readonly posed: PosedCart;
  readonly layout: PlanLayout;
  readonly nearest: TippingLine | null;
}

/** The centre of mass, where its fall line meets the floor, and the way from there to the nearest
 * tipping line. */
function Fall({ posed, layout, nearest }: FallProps): ReactElement {
  const { view, fallPointShown } = layout;
  const [x, y] = posed.centreOfMass;
  const centre = view.toPicture([x, y]);
  const fall = view.toPicture(posed.fallPoint);
  const edge = nearest && ([view.toPicture(nearest.from), view.toPicture(nearest.to)] as const);
  const foot = edge && footOn(edge, fall);
  const end = fallPointShown ? fall : away(centre, angleTo(centre, fall), 70);
  return (
    <g className="fig-fall">
      {foot !== null && fallPointShown && distanceOf(foot, fall) > 12 ? (
        <Arrow from={fall} to={foot} style="thin" head={6} />
      ) : null}
      {distanceOf(centre, end) > 9 ? <Arrow from={centre} to={end} style="ink" head={6} /> : null}
      {fallPointShown ? <FallPointMark at={fall} /> : null}
      <CentreOfMassMark at={centre} />
    </g>
  );
}

/** px */
const PUSH_LENGTH = 46;

function pushArrow(
  { push }: Pose,
  view: View,
): { readonly tail: Point; readonly head: Point } | null {
  if (push === null) return null;
  const head = view.toPicture([push.point[0], push.point[1]]);
  return { tail: away(head, push.direction, -PUSH_LENGTH), head };
}

interface Sized {
  readonly key: string;
  readonly line: Parameters<typeof DimensionLine>[0];
  readonly box: Box;
}

/** px: room for the labels of castors between cart and wheelbase */
const UNDER_CART = 70;

/** Wheelbase under the cart, track to the left of it, both over the outermost stems. */
function dimensionsOf(posed: PosedCart, units: UnitSystem, layout: PlanLayout): readonly Sized[] {
  const { view, cartBox, field } = layout;
  const stems = posed.castors.map(({ stem }) => view.toPicture(stem));
  const by = (axis: 0 | 1) => [...stems].sort((p, q) => p[axis] - q[axis]);
  const [left, right] = ends(by(0));
  const [top, bottom] = ends(by(1));
  const { wheelbase, track } = stemExtent(posed);
  const base = quantityText(wheelbase, 'length', units);
  const across = quantityText(track, 'length', units);
  const low = Math.min(field.bottom - 6, cartBox.bottom + UNDER_CART);
  const side = Math.max(field.left + 16, cartBox.left - 78);
  return [
    {
      key: 'wheelbase',
      line: { from: left, to: right, along: 'x', at: low, text: base },
      box: dimensionBox([(left[0] + right[0]) / 2, low - 8], dimensionWidth(base) / 2, 7),
    },
    {
      key: 'track',
      line: { from: top, to: bottom, along: 'y', at: side, text: across },
      box: dimensionBox([side - 8, (top[1] + bottom[1]) / 2], 8, dimensionWidth(across) / 2),
    },
  ];
}

function ends(sorted: readonly Point[]): readonly [Point, Point] {
  return [sorted[0] ?? [0, 0], sorted.at(-1) ?? [0, 0]];
}

function dimensionBox(at: Point, halfWidth: number, halfHeight: number): Box {
  const { left, top, right, bottom } = squareAt(at, 0);
  return {
    left: left - halfWidth,
    top: top - halfHeight,
    right: right + halfWidth,
    bottom: bottom + halfHeight,
  };
}

interface DownhillProps {
  readonly pose: Pose;
  readonly units: UnitSystem;
  readonly width: number;
}

const DOWNHILL_LENGTH = 40;

function downhillBox(width: number): Box {
  return { left: width - 132, top: 30, right: width, bottom: 92 };
}

/** The way downhill, in the upper right corner: it is the same everywhere under the cart. */
function Downhill({ pose: { incline }, units, width }: DownhillProps): ReactElement | null {
  if (incline === null || incline.angle === 0) return null;
  const middle: Point = [width - 34, 66];
  const tail = away(middle, incline.downhill, -DOWNHILL_LENGTH / 2);
  const head = away(middle, incline.downhill, DOWNHILL_LENGTH / 2);
  return (
    <g className="fig-downhill">
      <Arrow from={tail} to={head} style="accent" head={11} />
      <Words at={[width - 64, 63]} style="strongLabel" anchor="end">
        downhill
      </Words>
      <Words at={[width - 64, 77]} style="strongLabel" anchor="end">
        {quantityText(incline.angle, 'angle', units)}
      </Words>
    </g>
  );
}

interface FootProps {
  readonly view: View;
  readonly units: UnitSystem;
  readonly width: number;
  readonly height: number;
}

function Foot({ view, units, width, height }: FootProps): ReactElement {
  return (
    <>
      <ScaleBar
        pxPerMetre={view.pxPerMetre}
        x={10}
        y={height - 30}
        most={Math.min(150, width * 0.3)}
        units={units}
      />
      <Axes at={[width - 92, height - 12]} />
    </>
  );
}

function Axes({ at }: { readonly at: Point }): ReactElement {
  const [x, y] = at;
  const forward: Point = [x + 30, y];
  const left: Point = [x, y - 26];
  return (
    <g className="fig-axes">
      <Arrow from={at} to={forward} style="thin" head={6} />
      <Arrow from={at} to={left} style="thin" head={6} />
      <Words at={[forward[0] + 4, forward[1] + 3]} style="small">
        x forward
      </Words>
      <Words at={[left[0] + 6, between(at, left, 0.9)[1] + 3]} style="small">
        y left
      </Words>
    </g>
  );
}
