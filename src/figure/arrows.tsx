import type { ReactElement } from 'react';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { Words } from './labels.js';
import type { Point } from './picture.js';
import { angleTo, away, between, distanceOf, pathAround, pathThrough } from './picture.js';
import { textWidth } from './text-width.js';

type LineStyle = 'ink' | 'thin' | 'strong' | 'accent';

interface ArrowProps {
  readonly from: Point;
  readonly to: Point;
  readonly style?: LineStyle;
  /** px: length of the head */
  readonly head?: number;
}

/** A line with a filled head at its end. */
export function Arrow({ from, to, style = 'ink', head = 7 }: ArrowProps): ReactElement {
  const angle = angleTo(from, to);
  return (
    <g className="fig-arrow">
      <path {...figureStyle[style]} d={pathThrough([from, away(to, angle, -head * 0.8)])} />
      <ArrowHead at={to} angle={angle} size={head} accent={style === 'accent'} />
    </g>
  );
}

interface ArrowHeadProps {
  readonly at: Point;
  /** rad, counter-clockwise from the picture's right: the way it points */
  readonly angle: number;
  readonly size: number;
  readonly accent?: boolean;
}

export function ArrowHead({ at, angle, size, accent = false }: ArrowHeadProps): ReactElement {
  const spread = 0.34;
  const corners = [
    at,
    away(at, angle + Math.PI - spread, size),
    away(at, angle + Math.PI + spread, size),
  ];
  const style = accent ? figureStyle.accentSolid : figureStyle.solid;
  return <path {...style} d={pathAround(corners)} />;
}

interface DimensionProps {
  /** the points measured */
  readonly from: Point;
  readonly to: Point;
  /** 'x': across the picture, at the height `at`; 'y': up the picture, at the distance `at` from its
   * left edge */
  readonly along: 'x' | 'y';
  readonly at: number;
  readonly text: string;
}

/** A dimension line with its extension lines, and the value on it. */
export function DimensionLine({ from, to, along, at, text }: DimensionProps): ReactElement {
  const flat = (p: Point, out = 0): Point => (along === 'x' ? [p[0], at + out] : [at + out, p[1]]);
  const [p, q] = [flat(from), flat(to)];
  const length = distanceOf(p, q);
  const angle = angleTo(p, q);
  const roomy = length > 24;
  return (
    <g className="fig-dimension" data-length={Math.round(length * 100) / 100}>
      <path {...figureStyle.faint} d={pathThrough([from, flat(from, pastLine(from, at, along))])} />
      <path {...figureStyle.faint} d={pathThrough([to, flat(to, pastLine(to, at, along))])} />
      <path {...figureStyle.thin} d={pathThrough([p, q])} />
      <ArrowHead at={p} angle={roomy ? angle + Math.PI : angle} size={6} />
      <ArrowHead at={q} angle={roomy ? angle : angle + Math.PI} size={6} />
      {along === 'x' ? (
        <Words at={[between(p, q, 0.5)[0], at - 4]} anchor="middle">
          {text}
        </Words>
      ) : (
        <UprightWords at={[at - 4, between(p, q, 0.5)[1]]} text={text} />
      )}
    </g>
  );
}

/** px, signed: extension lines run a little past the dimension line. */
function pastLine(point: Point, at: number, along: 'x' | 'y'): number {
  return Math.sign(at - (along === 'x' ? point[1] : point[0])) * 4;
}

/** Read from the right, as dimensions on a sheet are. */
function UprightWords({ at, text }: { readonly at: Point; readonly text: string }): ReactElement {
  return (
    <text
      {...figureStyle.label}
      textAnchor="middle"
      transform={`translate(${Math.round(at[0])} ${Math.round(at[1])}) rotate(-90)`}
    >
      {text}
    </text>
  );
}

/** px that the value of a dimension takes along its line. */
export function dimensionWidth(text: string): number {
  return textWidth(text, TEXT_SIZE.label);
}
