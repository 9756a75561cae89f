/** A force gauge's trace: force against time, its peak, the stretch it was held, the onset of slip. */

import type { ReactElement } from 'react';
import { quantityText } from '../analysis/index.js';
import type { GaugeTrace, SlipOnset, TraceReading } from '../metrology/index.js';
import type { UnitSystem } from '../units/index.js';
import { FigureFrame, TITLE_HEIGHT } from './figure-frame.js';
import { figureStyle, TEXT_SIZE } from './figure-style.js';
import { Words } from './labels.js';
import { pathAround, pathThrough, px } from './picture.js';
import { textWidth } from './text-width.js';
import type { Axis, TraceLayout } from './trace-layout.js';
import { traceLayout } from './trace-layout.js';

export interface TraceFigureProps {
  readonly trace: GaugeTrace;
  readonly reading: TraceReading;
  /** the onset that the user set instead; null: none */
  readonly overruled: { readonly time: number; readonly force: number } | null;
  readonly units: UnitSystem;
  /** px; default 640, at least 320 */
  readonly width?: number;
  /** px; default 320, at least 220; a displacement is drawn below within it */
  readonly height?: number;
  /** default 'Force against time' */
  readonly title?: string;
}

/** px */
const LEFT = 56;
const RIGHT = 14;
const BELOW = 40;
const ABOVE = 18;

/** Forces are drawn as the file signs them. The shaded band at the onset is its force and time to two
 * standard uncertainties either way. */
export function TraceFigure(props: TraceFigureProps): ReactElement {
  const { trace, reading, overruled, units, width = 640, height = 320 } = props;
  const layout = traceLayout(trace, units, {
    left: LEFT,
    right: width - RIGHT,
    top: TITLE_HEIGHT + ABOVE,
    bottom: height - BELOW,
  });
  // what is read off counts the greater way as positive
  const sign = signOf(trace.force);
  return (
    <FigureFrame
      kind="trace"
      width={width}
      height={height}
      title={props.title ?? 'Force against time'}
      description={describe(props)}
    >
      <Axes layout={layout} />
      <Hold layout={layout} reading={reading} sign={sign} />
      <Onset layout={layout} reading={reading} sign={sign} overruled={overruled} />
      <path {...figureStyle.ink} d={pathThrough(layout.curve)} />
      {layout.displacement !== null && (
        <path {...figureStyle.ink} d={pathThrough(layout.displacement.curve)} />
      )}
      <Peak layout={layout} reading={reading} sign={sign} />
      {overruled !== null && (
        <Overruled layout={layout} reading={reading} at={overruled} sign={sign} />
      )}
    </FigureFrame>
  );
}

function signOf(force: readonly number[]): 1 | -1 {
  let [least, most] = [0, 0];
  for (const value of force) {
    least = Math.min(least, value);
    most = Math.max(most, value);
  }
  return most >= -least ? 1 : -1;
}

function describe({ reading, overruled, units }: TraceFigureProps): string {
  const force = (value: number): string => quantityText(value, 'force', units);
  const { peak, hold, onset } = reading;
  const parts = [
    `Peak ${force(peak.force)}.`,
    hold === null ? 'No level stretch.' : `Held level at ${force(hold.force.value)}.`,
    onset.kind === 'found'
      ? `Slip begins at ${force(onset.onset.force.value)}, after ${onset.onset.time.value.toFixed(2)} s.`
      : `No onset of slip: ${onset.reason}.`,
  ];
  return [...parts, ...(overruled === null ? [] : [`Overruled: ${force(overruled.force)}.`])].join(
    ' ',
  );
}

function Axes({ layout }: { readonly layout: TraceLayout }): ReactElement {
  const { left, right, top, bottom, time, force, displacement } = layout;
  const lowest = displacement?.bottom ?? bottom;
  return (
    <g>
      <Side axis={force} left={left} right={right} top={top} bottom={bottom} name="force" />
      {displacement !== null && (
        <Side
          axis={displacement.axis}
          left={left}
          right={right}
          top={displacement.top}
          bottom={displacement.bottom}
          name="displacement"
        />
      )}
      {time.ticks.map(({ at, text }) => (
        <g key={text}>
          <path {...figureStyle.thin} d={`M${px(at)} ${px(lowest)}v5`} />
          <Words at={[at, lowest + 18]} style="small" anchor="middle">
            {text}
          </Words>
        </g>
      ))}
      <path {...figureStyle.ink} d={`M${left} ${px(lowest)}H${right}`} />
      <Words at={[right, lowest + 32]} style="small" anchor="end">
        time, s
      </Words>
    </g>
  );
}

interface SideProps {
  readonly axis: Axis;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
  readonly name: string;
}

function Side({ axis, left, right, top, bottom, name }: SideProps): ReactElement {
  return (
    <g>
      {axis.ticks.map(({ at, text }) => (
        <g key={text}>
          <path {...figureStyle.faint} d={`M${left} ${px(at)}H${right}`} />
          <Words at={[left - 6, at + 4]} style="small" anchor="end">
            {text}
          </Words>
        </g>
      ))}
      <path {...figureStyle.ink} d={`M${left} ${px(top)}V${px(bottom)}`} />
      <Words at={[8, top - 8]} style="small">
        {`${name}, ${axis.unit}`}
      </Words>
    </g>
  );
}

interface MarkProps {
  readonly layout: TraceLayout;
  readonly reading: TraceReading;
  readonly sign: 1 | -1;
}

function Peak({ layout, reading: { peak }, sign }: MarkProps): ReactElement {
  const x = layout.time.at(peak.time);
  const y = layout.force.at(sign * peak.force);
  const towards = sign === 1 ? -1 : 1;
  const tip = y + 3 * towards;
  const corners = [
    [x, tip],
    [x - 5, tip + 9 * towards],
    [x + 5, tip + 9 * towards],
  ] as const;
  return (
    <g>
      <path {...figureStyle.solid} d={pathAround(corners)} />
      <LineWords layout={layout} x={x} y={tip + (sign === 1 ? -1 : 8)} style="small" side="right">
        peak
      </LineWords>
    </g>
  );
}

function Hold({ layout, reading: { hold }, sign }: MarkProps): ReactElement | null {
  if (hold === null) return null;
  const from = layout.time.at(hold.from);
  const to = layout.time.at(hold.to);
  const y = layout.force.at(sign * hold.force.value) + 14 * sign;
  return (
    <g>
      <path
        {...figureStyle.thin}
        d={`M${px(from)} ${px(y - 4)}v8M${px(from)} ${px(y)}H${px(to)}M${px(to)} ${px(y - 4)}v8`}
      />
      <Words at={[(from + to) / 2, y + (sign === 1 ? 14 : -8)]} style="small" anchor="middle">
        level
      </Words>
    </g>
  );
}

interface OnsetProps extends MarkProps {
  readonly overruled: TraceFigureProps['overruled'];
}

/** The onset that was read: found, or where the rise breaks. */
function readOnset({ onset }: TraceReading): SlipOnset | null {
  if (onset.kind === 'none') return null;
  return onset.kind === 'found' ? onset.onset : onset.candidate;
}

interface LineWordsProps {
  readonly layout: TraceLayout;
  readonly x: number;
  readonly y: number;
  readonly style: 'small' | 'strongLabel';
  readonly side: 'left' | 'right';
  readonly children: string;
}

/** Beside an upright line, on the side wished where there is room. */
function LineWords({ layout, x, y, style, side, children }: LineWordsProps): ReactElement {
  const width = textWidth(children, TEXT_SIZE[style === 'small' ? 'small' : 'label'], 600) + 8;
  const isLeft = side === 'left' ? x - width > layout.left : x + width > layout.right;
  return (
    <Words at={[isLeft ? x - 7 : x + 7, y]} style={style} anchor={isLeft ? 'end' : 'start'}>
      {children}
    </Words>
  );
}

/** The one found, or where the rise breaks without being judged as slip. */
function Onset({ layout, reading, sign, overruled }: OnsetProps): ReactElement | null {
  const shown = readOnset(reading);
  if (shown === null) return null;
  const isFound = reading.onset.kind === 'found';
  const { time, force } = shown;
  const x = layout.time.at(time.value);
  const y = layout.force.at(sign * force.value);
  const wide = Math.max(1, layout.time.at(time.value + 2 * time.u) - x);
  const high = Math.max(1, Math.abs(layout.force.at(sign * force.value + 2 * force.u) - y));
  const words = isFound ? 'onset of slip' : 'rise breaks, not judged';
  return (
    <g>
      <rect
        {...figureStyle.shade}
        x={px(x - wide)}
        y={px(layout.top)}
        width={px(2 * wide)}
        height={px(layout.bottom - layout.top)}
      />
      <rect
        {...figureStyle.shade}
        x={px(layout.left)}
        y={px(y - high)}
        width={px(x - layout.left)}
        height={px(2 * high)}
      />
      <path
        {...(isFound && overruled === null ? figureStyle.accent : figureStyle.dashed)}
        d={`M${px(x)} ${px(layout.top)}V${px(layout.bottom)}`}
      />
      <LineWords
        layout={layout}
        x={x}
        y={sign === 1 ? layout.bottom - 8 : layout.top + 14}
        style="small"
        side={overruled !== null && overruled.time < time.value ? 'right' : 'left'}
      >
        {overruled === null ? words : `${words}, overruled`}
      </LineWords>
    </g>
  );
}

interface OverruledProps extends MarkProps {
  readonly at: { readonly time: number; readonly force: number };
}

function Overruled({ layout, reading, at, sign }: OverruledProps): ReactElement {
  const x = layout.time.at(at.time);
  const y = layout.force.at(sign * at.force);
  const read = readOnset(reading);
  const corners = [
    [x, y - 7],
    [x + 6, y],
    [x, y + 7],
    [x - 6, y],
  ] as const;
  return (
    <g>
      <path {...figureStyle.accent} d={`M${px(x)} ${px(layout.top)}V${px(layout.bottom)}`} />
      <path {...figureStyle.open} d={pathAround(corners)} />
      <LineWords
        layout={layout}
        x={x}
        y={sign === 1 ? layout.bottom - 22 : layout.top + 28}
        style="strongLabel"
        side={read !== null && at.time < read.time.value ? 'left' : 'right'}
      >
        own onset
      </LineWords>
    </g>
  );
}
