import type { ReactElement, ReactNode } from 'react';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { px } from './picture.js';
import { fitText } from './text-width.js';

interface FigureFrameProps {
  /** 'plan', 'elevation', ...: class `fig-KIND` */
  readonly kind: string;
  /** px */
  readonly width: number;
  readonly height: number;
  readonly title: string;
  /** the essential numbers in sentences, for who does not see the drawing */
  readonly description: string;
  /** px a metre is long; drawings to scale only */
  readonly pxPerMetre?: number;
  /** false: the title is for screen readers only. Default true. */
  readonly showTitle?: boolean;
  readonly children: ReactNode;
}

/** px under the upper edge at which the title ends. */
export const TITLE_HEIGHT = 28;

/** The drawing as one image: to assistive technology its title and description. */
export function FigureFrame(props: FigureFrameProps): ReactElement {
  const { kind, width, height, title, description, pxPerMetre, showTitle = true } = props;
  return (
    <svg
      className={`fig fig-${kind}`}
      role="img"
      xmlns="http://www.w3.org/2000/svg"
      width={width}
      height={px(height)}
      viewBox={`0 0 ${width} ${px(height)}`}
      fontVariant="tabular-nums"
      {...(pxPerMetre === undefined ? {} : { 'data-px-per-metre': px(pxPerMetre) })}
    >
      <title>{title}</title>
      <desc>{description}</desc>
      <rect {...figureStyle.paper} width={width} height={px(height)} />
      {showTitle ? (
        <text {...figureStyle.title} x={8} y={20}>
          {fitText(title, width - 16, TEXT_SIZE.title, 600)}
        </text>
      ) : null}
      {props.children}
    </svg>
  );
}
