/** What the lines and symbols of a holding rose mean: only those that it shows. */

import type { ReactElement } from 'react';
import type { HoldingRose } from '../analysis/index.js';
import { ArrowHead } from './arrows.js';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { Words } from './labels.js';
import { ModeSymbol } from './mode-symbol.js';
import type { Point } from './picture.js';
import { pathThrough, px } from './picture.js';
import type { ModeShape } from './rose-layout.js';
import { modeShape } from './rose-layout.js';
import { textWidth } from './text-width.js';

/** px from a row to the next */
export const KEY_LINE = 19;

interface Key {
  readonly mark: ModeShape | 'asked' | 'held' | 'least' | 'beyond';
  readonly text: string;
}

const BEYOND: Key = { mark: 'beyond', text: 'holds beyond the chart' };

function keysOf({ rays }: HoldingRose, most: number): readonly Key[] {
  const shapes = [...new Set(rays.map(({ mode }) => modeShape(mode)))];
  return [
    { mark: 'asked', text: 'asked' },
    { mark: 'held', text: 'holds' },
    { mark: 'least', text: 'least' },
    ...(rays.some(({ capacity }) => capacity > most) ? [BEYOND] : []),
    ...shapes.map((shape): Key => {
      const count = rays.filter(({ mode }) => modeShape(mode) === shape).length;
      return { mark: shape, text: `${shape} (${count} of ${rays.length})` };
    }),
  ];
}

interface PlacedKey extends Key {
  readonly x: number;
}

/** px of a mark in the legend */
const MARK_WIDTH = 28;

/** The entries row by row, as many in a row as fit.
 *
 * @param most N, at the rim of the chart */
export function keyRows(
  rose: HoldingRose,
  width: number,
  most: number,
): readonly (readonly PlacedKey[])[] {
  const rows: PlacedKey[][] = [[]];
  let x = 10;
  for (const key of keysOf(rose, most)) {
    const length = MARK_WIDTH + textWidth(key.text, TEXT_SIZE.label) + 12;
    if (x + length > width && x > 10) {
      rows.push([]);
      x = 10;
    }
    rows.at(-1)?.push({ ...key, x });
    x += length;
  }
  return rows;
}

export interface LegendProps {
  readonly rows: readonly (readonly PlacedKey[])[];
  readonly top: number;
}

export function Legend({ rows, top }: LegendProps): ReactElement {
  return (
    <g className="fig-legend">
      {rows.flatMap((row, i) =>
        row.map(({ mark, text, x }) => {
          const y = top + i * KEY_LINE;
          return (
            <g key={mark}>
              <KeyMark mark={mark} at={[x + 10, y - 4]} />
              <Words at={[x + MARK_WIDTH, y]}>{text}</Words>
            </g>
          );
        }),
      )}
    </g>
  );
}

function KeyMark({ mark, at }: { readonly mark: Key['mark']; readonly at: Point }): ReactElement {
  const [x, y] = at;
  const dash = pathThrough([
    [x - 10, y],
    [x + 12, y],
  ]);
  if (mark === 'asked') return <path {...figureStyle.chain} d={dash} />;
  if (mark === 'held') return <path {...figureStyle.accent} d={dash} />;
  if (mark === 'least') {
    return <rect {...figureStyle.open} x={px(x - 4)} y={px(y - 4)} width={8} height={8} />;
  }
  if (mark === 'beyond') return <ArrowHead at={[x + 5, y]} angle={0} size={8} accent />;
  return <ModeSymbol shape={mark} at={at} angle={0} />;
}
