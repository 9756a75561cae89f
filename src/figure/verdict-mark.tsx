/** A verdict as a shape: told apart in grey and by who sees no colours. */

import type { ReactElement } from 'react';
import type { Verdict } from '../analysis/index.js';
import { figureStyle } from './figure-style.js';
import { px } from './picture.js';

export interface VerdictShapeProps {
  readonly verdict: Verdict;
  /** px: its middle */
  readonly x: number;
  readonly y: number;
  /** px: side of the square it fits in */
  readonly size: number;
}

/**
 * The shape as a part of an SVG. holds: a filled block that stands on a line; fails: a triangle on its
 * point, struck through; depends on friction: a rhomb, one half filled; not decided: an open ring; not
 * applicable: a short line.
 */
export function VerdictShape({ verdict, x, y, size }: VerdictShapeProps): ReactElement {
  const className = `fig-verdict fig-verdict-${verdict.replaceAll(' ', '-')}`;
  return (
    <g className={className} transform={`translate(${px(x)} ${px(y)}) scale(${px(size / 16)})`}>
      {SHAPES[verdict]}
    </g>
  );
}

/** Each in a square of 16, its middle at zero. */
const SHAPES: Readonly<Record<Verdict, ReactElement>> = {
  holds: (
    <>
      <rect {...figureStyle.solid} x={-5} y={-6} width={10} height={10} />
      <path {...figureStyle.strong} d="M-8 6.5H8" />
    </>
  ),
  fails: (
    <>
      <path {...figureStyle.open} d="M-7.5 -6H7.5L0 7Z" />
      <path {...figureStyle.strong} d="M-7.5 7L7.5 -7.5" />
    </>
  ),
  'depends on friction': (
    <>
      <path {...figureStyle.open} d="M0 -7.5L7.5 0L0 7.5L-7.5 0Z" />
      <path {...figureStyle.solid} d="M0 -7.5V7.5L-7.5 0Z" />
    </>
  ),
  'not decided': <circle {...figureStyle.open} r={6} />,
  'not applicable': <path {...figureStyle.thin} d="M-5 0H5" />,
};

export interface VerdictMarkProps {
  readonly verdict: Verdict;
  /** px; default 16 */
  readonly size?: number;
  /** true: no word stands beside it, so the mark names itself to assistive technology. Default false. */
  readonly alone?: boolean;
}

/** The shape as an image of its own, to stand before the verdict's word in a text. */
export function VerdictMark({ verdict, size = 16, alone = false }: VerdictMarkProps): ReactElement {
  const shape = <VerdictShape verdict={verdict} x={8} y={8} size={16} />;
  const frame = { className: 'fig fig-mark', width: size, height: size, viewBox: '0 0 16 16' };
  return alone ? (
    <svg {...frame} role="img" xmlns="http://www.w3.org/2000/svg">
      <title>{verdict}</title>
      {shape}
    </svg>
  ) : (
    <svg {...frame} aria-hidden="true" xmlns="http://www.w3.org/2000/svg">
      {shape}
    </svg>
  );
}
