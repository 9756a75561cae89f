/** The reserve of every finding side by side: what the cart can do over what is asked of it. */

import type { ReactElement } from 'react';
import { reserveText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { ArrowHead } from './arrows.js';
import { FigureFrame, TITLE_HEIGHT } from './figure-frame.js';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { hatchStrokes } from './hatching.js';
import { Words } from './labels.js';
import type { LaidRow, MarginColumns } from './margin-layout.js';
import { layRows, MARK_ROOM, marginColumns, TEXT_LINE } from './margin-layout.js';
import type { MarginRow, MarginValue } from './margin-row.js';
import { foundText, marginWords } from './margin-row.js';
import { pathAround, pathThrough, px } from './picture.js';
import { fitText, textWidth } from './text-width.js';
import { VerdictShape } from './verdict-mark.js';

export interface MarginBarsProps {
  /** shown in this order */
  readonly rows: readonly MarginRow[];
  readonly units: UnitSystem;
  /** px; default 640, at least 320; from 600 on, text stands beside the bars */
  readonly width?: number;
  /** default 'Reserve of each finding' */
  readonly title?: string;
  /** false: for screen readers only. Default true. */
  readonly showTitle?: boolean;
  /** what the two variants are called; needed where rows have an `other` */
  readonly names?: readonly [string, string];
  /** the reserve at which the bars end; default 3. Fixed, so that bars do not jump while the cart
   * changes. */
  readonly most?: number;
  /** false: no axis and no key, for a row by itself. Default true. */
  readonly showAxis?: boolean;
}

/** px */
const AXIS_HEIGHT = 24;
const KEY_LINE = 18;
const MOST_RESERVE = 3;

/** Bars from 0 to the worst found, with a line at 1: there what is held is just what is asked. */
export function MarginBars(props: MarginBarsProps): ReactElement {
  const {
    rows,
    units,
    width = 640,
    most = MOST_RESERVE,
    showAxis = true,
    showTitle = true,
  } = props;
  const columns = marginColumns(width, most);
  const head = (showTitle ? TITLE_HEIGHT : 4) + (showAxis ? AXIS_HEIGHT : 0);
  const laid = layRows(rows, columns, units, head + 4, props.names);
  const last = laid.at(-1);
  const bottom = last === undefined ? head + 4 : last.top + last.height;
  const keys = showAxis ? layKeys(props, width, bottom + 14) : [];
  const height = keys.length === 0 ? bottom : (keys.at(-1)?.y ?? bottom) + 10;
  return (
    <FigureFrame
      kind="margins"
      width={width}
      height={height}
      title={props.title ?? 'Reserve of each finding'}
      showTitle={showTitle}
      description={describe(props)}
    >
      {showAxis ? <Axis columns={columns} rows={laid} top={head} /> : null}
      {laid.map((each) => (
        <Row key={each.row.id} laid={each} columns={columns} most={most} />
      ))}
      {keys.map((key) => (
        <g key={key.mark}>
          <KeyMark mark={key.mark} x={key.x} y={key.y - 4} />
          <Words at={[key.x + KEY_MARK, key.y]} style="small">
            {key.text}
          </Words>
        </g>
      ))}
    </FigureFrame>
  );
}

function describe({ rows, units, names }: MarginBarsProps): string {
  if (rows.length === 0) return 'No findings.';
  const [first, second] = names ?? ['', ''];
  return rows
    .map(({ title, value, other }) => {
      const own = valueWords(value, units);
      return other
        ? `${title}: ${first} ${own} ${second} ${valueWords(other, units)}`
        : `${title}: ${own}`;
    })
    .join(' ');
}

function valueWords(value: MarginValue, units: UnitSystem): string {
  const proven = value.proven === null ? '' : `, proven at least ${reserveText(value.proven)}`;
  const posed = value.posed === null ? '' : `, in the pose shown ${reserveText(value.posed)}`;
  const reserve = value.found === null ? '' : `, reserve ${foundText(value)}${proven}${posed}`;
  return `${marginWords(value, units)}${reserve}.`;
}

interface AxisProps {
  readonly columns: MarginColumns;
  readonly rows: readonly LaidRow[];
  readonly top: number;
}

/** The numbers at the top, and through every row's bars a line at each. */
function Axis({ columns, rows, top }: AxisProps): ReactElement {
  const lines = (at: number) => {
    const x = px(columns.along(at));
    const spans = rows.map(({ bar, otherBar, row }) => {
      const low = px((row.other ? otherBar : bar) + 9);
      return `M${x} ${px(bar - 9)}V${low}`;
    });
    return `M${x} ${top - 2}v4${spans.join('')}`;
  };
  return (
    <g className="fig-axis">
      {columns.ticks.map((tick) => (
        <g key={tick}>
          <path {...(tick === 1 ? figureStyle.ink : figureStyle.faint)} d={lines(tick)} />
          <Words
            at={[columns.along(tick), top - 5]}
            style={tick === 1 ? 'strongLabel' : 'small'}
            anchor="middle"
          >
            {String(tick)}
          </Words>
        </g>
      ))}
    </g>
  );
}

interface RowProps {
  readonly laid: LaidRow;
  readonly columns: MarginColumns;
  readonly most: number;
}

function Row({ laid, columns, most }: RowProps): ReactElement {
  const { row, top, title, words, otherWords } = laid;
  const x = 8 + MARK_ROOM;
  const line = (i: number) => top + 11 + i * TEXT_LINE;
  const text = [...words, ...otherWords];
  return (
    <g className="fig-margin-row" data-finding={row.id}>
      {row.value.verdict === null ? null : (
        <VerdictShape verdict={row.value.verdict} x={16} y={top + 7} size={14} />
      )}
      {row.other?.verdict ? (
        <VerdictShape
          verdict={row.other.verdict}
          x={16}
          y={line(title.length + words.length) - 4}
          size={12}
        />
      ) : null}
      {title.map((each, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other identity
        <Words key={i} at={[x, line(i)]} style="strongLabel">
          {each}
        </Words>
      ))}
      {text.map((each, i) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other identity
        <Words key={i} at={[x, line(title.length + i)]} style="quietLabel">
          {each}
        </Words>
      ))}
      <Bar value={row.value} y={laid.bar} columns={columns} most={most} second={false} />
      {row.other ? (
        <Bar value={row.other} y={laid.otherBar} columns={columns} most={most} second />
      ) : null}
    </g>
  );
}

interface BarProps {
  readonly value: MarginValue;
  /** px: its middle */
  readonly y: number;
  readonly columns: MarginColumns;
  readonly most: number;
  readonly second: boolean;
}

/** px: half the height of a bar */
const HALF = 5.5;

function Bar({ value, y, columns, most, second }: BarProps): ReactElement {
  const { barFrom, barTo, along } = columns;
  const { found, proven, posed } = value;
  const solid = second ? figureStyle.otherBar : figureStyle.bar;
  const light = second ? figureStyle.otherBarFound : figureStyle.barFound;
  return (
    <g className="fig-bar-row">
      <path {...figureStyle.faint} d={`M${px(barFrom)} ${px(y)}H${px(barTo)}`} />
      {found === null ? null : <Piece style={light} from={barFrom} to={along(found)} y={y} />}
      {found === null || proven === null ? null : (
        <Piece style={solid} from={barFrom} to={along(Math.min(found, proven))} y={y} />
      )}
      {found !== null && found < 1 ? <Lacking from={along(found)} to={along(1)} y={y} /> : null}
      {found !== null && found > most ? (
        <ArrowHead at={[barTo + 9, y]} angle={0} size={10} />
      ) : null}
      {proven === null || proven > most ? null : <ProvenTick x={along(proven)} y={y} />}
      {posed === null ? null : <PosedTick x={along(posed)} y={y} />}
      <Words at={[barTo + 12, y + 4]} style={found === null ? 'small' : 'strongLabel'}>
        {foundText(value)}
      </Words>
    </g>
  );
}

interface PieceProps {
  readonly style: typeof figureStyle.bar;
  readonly from: number;
  readonly to: number;
  readonly y: number;
}

function Piece({ style, from, to, y }: PieceProps): ReactElement {
  const width = px(Math.max(0, to - from));
  return <rect {...style} x={px(from)} y={px(y - HALF)} width={width} height={2 * HALF} />;
}

interface SpanProps {
  readonly from: number;
  readonly to: number;
  readonly y: number;
}

/** What is missing to 1. */
function Lacking({ from, to, y }: SpanProps): ReactElement {
  const corners = [
    [from, y - HALF],
    [to, y - HALF],
    [to, y + HALF],
    [from, y + HALF],
  ] as const;
  const strokes = hatchStrokes([corners], Math.PI / 4, 4);
  return (
    <g className="fig-shortfall">
      <path {...figureStyle.lacking} d={pathAround(corners)} />
      <path {...figureStyle.hatch} d={strokes.map((stroke) => pathThrough(stroke)).join('')} />
    </g>
  );
}

interface TickProps {
  readonly x: number;
  readonly y: number;
}

function ProvenTick({ x, y }: TickProps): ReactElement {
  return (
    <path
      {...figureStyle.accent}
      className="fig-accent fig-proven"
      d={`M${px(x)} ${px(y - HALF - 3)}V${px(y + HALF + 3)}`}
    />
  );
}

function PosedTick({ x, y }: TickProps): ReactElement {
  return (
    <path
      {...figureStyle.open}
      className="fig-open fig-posed"
      d={pathAround([
        [x, y - 6],
        [x + 5, y],
        [x, y + 6],
        [x - 5, y],
      ])}
    />
  );
}

type KeyKind = 'found' | 'proven' | 'lacking' | 'posed' | 'one' | 'beyond' | 'other';

interface LaidKey {
  readonly mark: KeyKind;
  readonly text: string;
  readonly x: number;
  readonly y: number;
}

/** px of a mark in the key */
const KEY_MARK = 24;

function layKeys(props: MarginBarsProps, width: number, top: number): readonly LaidKey[] {
  let [x, y] = [10, top];
  return keysOf(props).map(([mark, text]) => {
    const length = KEY_MARK + textWidth(text, TEXT_SIZE.small) + 14;
    if (x + length > width && x > 10) {
      x = 10;
      y += KEY_LINE;
    }
    const key = { mark, text: fitText(text, width - KEY_MARK - 20, TEXT_SIZE.small), x, y };
    x += length;
    return key;
  });
}

/** Only what is drawn is explained. */
function keysOf({ rows, names, most = MOST_RESERVE }: MarginBarsProps) {
  const values = rows.flatMap(({ value, other }) => (other ? [value, other] : [value]));
  const some = (test: (value: MarginValue) => boolean) => values.some(test);
  const keys: readonly (readonly [KeyKind, string, boolean])[] = [
    ['one', '1: just enough (capacity over demand)', true],
    ['found', 'worst found', some(({ found }) => found !== null)],
    ['proven', 'proven: nothing is below', some(({ proven }) => proven !== null)],
    ['lacking', 'missing', some(({ found }) => found !== null && found < 1)],
    ['posed', 'in the pose shown', some(({ posed }) => posed !== null)],
    ['beyond', 'beyond the axis', some(({ found }) => found !== null && found > most)],
    ['other', `second bar: ${names?.[1] ?? ''}`, rows.some(({ other }) => Boolean(other))],
  ];
  return keys.filter(([, , shown]) => shown);
}

interface KeyMarkProps extends TickProps {
  readonly mark: KeyKind;
}

function KeyMark({ mark, x, y }: KeyMarkProps): ReactElement {
  switch (mark) {
    case 'one':
      return <path {...figureStyle.ink} d={`M${px(x + 8)} ${px(y - 8)}V${px(y + 8)}`} />;
    case 'found':
      return <Piece style={figureStyle.barFound} from={x} to={x + 18} y={y} />;
    case 'proven':
      return (
        <>
          <Piece style={figureStyle.bar} from={x} to={x + 14} y={y} />
          <ProvenTick x={x + 14} y={y} />
        </>
      );
    case 'lacking':
      return <Lacking from={x} to={x + 18} y={y} />;
    case 'posed':
      return <PosedTick x={x + 9} y={y} />;
    case 'beyond':
      return <ArrowHead at={[x + 14, y]} angle={0} size={10} />;
    case 'other':
      return <Piece style={figureStyle.otherBar} from={x} to={x + 18} y={y} />;
  }
}
