/** A bar that tells how long things are in a drawing to scale. */

import type { ReactElement } from 'react';
import type { UnitSystem } from '../units/index.js';
import { figureStyle } from './figure-style.js';
import { Words } from './labels.js';
import { px } from './picture.js';
import { roundLength } from './round-length.js';

export interface ScaleBarProps {
  /** px that a metre is long in the drawing */
  readonly pxPerMetre: number;
  /** px: the left end of the upper bar */
  readonly x: number;
  readonly y: number;
  /** px: the bar is the longest of a round length (1, 2 or 5 times a power of ten) that fits */
  readonly most: number;
  /** 'both' draws a bar in millimetres and one in inches under it */
  readonly units: UnitSystem;
}

const BAR_HEIGHT = 5;
/** px from a bar to the next */
const BAR_STEP = 16;

/** One bar or two, a part of an SVG. */
export function ScaleBar({ pxPerMetre, x, y, most, units }: ScaleBarProps): ReactElement {
  const systems = units === 'both' ? (['SI', 'US'] as const) : [units];
  return (
    <g className="fig-scale-bar">
      {systems.map((system, i) => {
        const { metres, text } = roundLength(most / pxPerMetre, system);
        const length = metres * pxPerMetre;
        return <Bar key={system} x={x} y={y + i * BAR_STEP} length={length} text={text} />;
      })}
    </g>
  );
}

interface BarProps {
  readonly x: number;
  readonly y: number;
  readonly length: number;
  readonly text: string;
}

function Bar({ x, y, length, text }: BarProps): ReactElement {
  return (
    <g>
      <rect {...figureStyle.open} x={px(x)} y={px(y)} width={px(length)} height={BAR_HEIGHT} />
      <rect {...figureStyle.solid} x={px(x)} y={px(y)} width={px(length / 2)} height={BAR_HEIGHT} />
      <Words at={[x + length + 6, y + 8]} style="small">
        {text}
      </Words>
    </g>
  );
}
