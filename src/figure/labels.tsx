import type { ReactElement } from 'react';
import type { TextStyle } from './figure-style.js';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import type { PlacedLabel } from './label-places.js';
import { LINE_HEIGHT } from './label-places.js';
import type { Point } from './picture.js';
import { pathThrough, px } from './picture.js';

interface WordsProps {
  /** of the base line */
  readonly at: Point;
  readonly children: string;
  readonly style?: TextStyle;
  readonly anchor?: 'start' | 'middle' | 'end';
}

/** One line of text. */
export function Words({
  at,
  children,
  style = 'label',
  anchor = 'start',
}: WordsProps): ReactElement {
  return (
    <text {...figureStyle[style]} x={px(at[0])} y={px(at[1])} textAnchor={anchor}>
      {children}
    </text>
  );
}

/** Labels where they were placed, their leaders first so that no text is crossed. */
export function Labels({ labels }: { readonly labels: readonly PlacedLabel[] }): ReactElement {
  return (
    <g className="fig-labels">
      {labels.map(({ key, leader }) =>
        leader === null ? null : <path key={key} {...figureStyle.faint} d={pathThrough(leader)} />,
      )}
      {labels.map((label) => (
        <Label key={label.key} label={label} />
      ))}
    </g>
  );
}

function Label({ label: { lines, strong, box } }: { readonly label: PlacedLabel }): ReactElement {
  const middle = (box.left + box.right) / 2;
  return (
    <g>
      {lines.map((line, i) => (
        <Words
          // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other identity
          key={i}
          at={[middle, box.top + TEXT_SIZE.label + i * LINE_HEIGHT]}
          style={i > 0 ? 'quietLabel' : strong ? 'strongLabel' : 'label'}
          anchor="middle"
        >
          {line}
        </Words>
      ))}
    </g>
  );
}
