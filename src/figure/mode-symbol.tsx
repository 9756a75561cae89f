/** How a cart gives way, as a shape. */

import type { ReactElement } from 'react';
import { ArrowHead } from './arrows.js';
import { figureStyle } from './figure-style.js';
import type { Point } from './picture.js';
import { arcAbout, away, pathThrough, px } from './picture.js';
import type { ModeShape } from './rose-layout.js';

interface ModeSymbolProps {
  readonly shape: ModeShape;
  readonly at: Point;
  /** rad, counter-clockwise from the right: the way it goes; where there is none, the way it is pushed */
  readonly angle: number;
}

/**
 * slides: a block with an arrow; rolls: a wheel with an arrow; pivots: a bent arrow, turning as the cart
 * does; tips: a box on its corner. About 16 px wide.
 */
export function ModeSymbol({ shape, at, angle }: ModeSymbolProps): ReactElement {
  return (
    <g className={`fig-mode fig-mode-${shape.replaceAll(' ', '-')}`}>
      {symbolOf(shape, at, angle)}
    </g>
  );
}

function symbolOf(shape: ModeShape, at: Point, angle: number): ReactElement {
  switch (shape) {
    case 'slides':
      return (
        <Going
          at={at}
          angle={angle}
          body={<SlidingBlock at={away(at, angle, -4)} angle={angle} />}
        />
      );
    case 'rolls':
      return <Going at={at} angle={angle} body={<RollingWheel at={away(at, angle, -4)} />} />;
    case 'pivots clockwise':
      return <BentArrow at={at} sense={-1} />;
    case 'pivots counter-clockwise':
      return <BentArrow at={at} sense={1} />;
    case 'tips':
      return <Toppling at={at} />;
    case 'stops':
    case 'overloads':
    case 'has no support':
      return <path {...figureStyle.strong} d={bar(at, angle)} />;
  }
}

interface GoingProps {
  readonly at: Point;
  readonly angle: number;
  readonly body: ReactElement;
}

function Going({ at, angle, body }: GoingProps): ReactElement {
  return (
    <>
      <path {...figureStyle.ink} d={pathThrough([at, away(at, angle, 6)])} />
      {body}
      <ArrowHead at={away(at, angle, 9)} angle={angle} size={7} />
    </>
  );
}

function SlidingBlock({ at, angle }: { readonly at: Point; readonly angle: number }): ReactElement {
  const turn = px((-angle * 180) / Math.PI);
  const place = `translate(${px(at[0])} ${px(at[1])}) rotate(${turn})`;
  return <rect {...figureStyle.solid} x={-3.5} y={-3.5} width={7} height={7} transform={place} />;
}

function RollingWheel({ at }: { readonly at: Point }): ReactElement {
  return (
    <>
      <circle {...figureStyle.open} cx={px(at[0])} cy={px(at[1])} r={4} />
      <circle {...figureStyle.solid} cx={px(at[0])} cy={px(at[1])} r={1} />
    </>
  );
}

/** Three quarters of a turn, the head where it ends. */
function BentArrow({ at, sense }: { readonly at: Point; readonly sense: 1 | -1 }): ReactElement {
  const radius = 6;
  const last = Math.PI / 2 + sense * 3.6;
  const end = away(at, last, radius);
  const tangent = last + (sense * Math.PI) / 2;
  return (
    <>
      <path {...figureStyle.ink} d={arcAbout(at, radius, Math.PI / 2 - sense * 0.6, last)} />
      <ArrowHead at={away(end, tangent, 4)} angle={tangent} size={7} />
    </>
  );
}

/** A box on one of its corners. */
function Toppling({ at: [x, y] }: { readonly at: Point }): ReactElement {
  return (
    <>
      <rect
        {...figureStyle.open}
        x={-4}
        y={-11}
        width={8}
        height={9}
        transform={`translate(${px(x - 1)} ${px(y + 6)}) rotate(28)`}
      />
      <path {...figureStyle.strong} d={`M${px(x - 8)} ${px(y + 7)}H${px(x + 8)}`} />
    </>
  );
}

/** A bar across the way it goes. */
function bar(at: Point, angle: number): string {
  return pathThrough([away(at, angle + Math.PI / 2, 6), away(at, angle - Math.PI / 2, 6)]);
}
