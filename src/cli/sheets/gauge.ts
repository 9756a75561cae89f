/** The sheet of `standstill gauge`: the trace as a chart, what was read of it, the cautions. */

import type { GaugeTrace, Measured, SlipOnset, TraceReading } from '../../metrology/index.js';
import { expanded, measuredText, SEPARATOR_NAMES } from '../../metrology/index.js';
import type { Dimension, UnitSystem } from '../../units/index.js';
import { formatQuantity } from '../../units/index.js';
import type { Line, Page, Span } from '../page.js';
import { BLANK, cautionLines, item, labelled, paragraph, section, span, spread } from '../sheet.js';
import { traceChart } from './trace-chart.js';

export interface GaugeSheet {
  /** as the user named it */
  readonly file: string;
  readonly trace: GaugeTrace;
  readonly reading: TraceReading;
  readonly units: UnitSystem;
}

export const GAUGE_CAUTIONS: readonly string[] = [
  'Read by a program from one trace: look at it, and overrule the onset where you saw otherwise.',
  'The purchased text of the standard and the rules of the place where the cart is used govern.',
  'A qualified person decides and signs.',
];

const LABELS = { indent: 0, label: 16 };

function written(value: number, dimension: Dimension, units: UnitSystem, digits = 4): string {
  return formatQuantity(value, dimension, units, { digits });
}

/** '131.02 ± 0.83 N (k = 2.17)'. */
function withFactor(measured: Measured, dimension: Dimension, units: UnitSystem): string {
  const { k } = expanded(measured);
  return `${measuredText(measured, dimension, units)}, k = ${k.toFixed(2)}`;
}

function header(page: Page, { file, trace, reading }: GaugeSheet): Line[] {
  const { headings, separator, decimal, time } = trace;
  const lasts = time.at(-1) ?? 0;
  const columns = [headings.time, headings.force, headings.displacement].filter(
    (each) => each !== null,
  );
  const every = written(lasts / Math.max(1, time.length - 1), 'time', 'SI', 3);
  return [
    ...spread(page, 'Force gauge trace', 'strong', [verdict(page, reading)]),
    ...paragraph(page, file, 0, 'quiet'),
    ...paragraph(
      page,
      `${time.length} samples over ${written(lasts, 'time', 'SI')}, one every ${every} on average; columns ${columns.join(', ')}; separated by ${SEPARATOR_NAMES[separator]}, decimal ${decimal === '.' ? 'point' : 'comma'}.`,
    ),
    ...trace.preamble.slice(0, MOST_REMARKS).flatMap((line) => remarkOf(page, line)),
    ...(trace.preamble.length > MOST_REMARKS
      ? paragraph(
          page,
          `and ${trace.preamble.length - MOST_REMARKS} more lines above the headings`,
          2,
          'quiet',
        )
      : []),
  ];
}

/** lines above the headings that are shown */
const MOST_REMARKS = 6;

function remarkOf(page: Page, line: string): Line[] {
  return line.trim() === '' ? [] : paragraph(page, line.trim(), 2, 'quiet');
}

const VERDICTS = {
  found: { shape: '◆', ascii: '<>', text: 'onset of slip found', tone: 'plain' },
  none: { shape: '■', ascii: '[=]', text: 'no onset of slip', tone: 'plain' },
  'not judged': { shape: '○', ascii: '( )', text: 'not judged', tone: 'unsure' },
} as const;

function verdict(page: Page, { onset }: TraceReading): Span {
  const { shape, ascii, text, tone } = VERDICTS[onset.kind];
  return span(page, `${page.unicode ? shape : ascii} ${text}`, tone);
}

function onsetLines(page: Page, title: string, onset: SlipOnset, units: UnitSystem): Line[] {
  const say = (label: string, text: string) => labelled(page, label, text, LABELS);
  return [
    ...say(title, withFactor(onset.force, 'force', units)),
    ...say('', `at ${withFactor(onset.time, 'time', units)}, sample ${onset.index + 1}`),
    ...say('', `by: ${onset.method}`),
  ];
}

function resultLines(page: Page, { reading, units }: GaugeSheet): Line[] {
  const { peak, hold, rate, noise, onset } = reading;
  const say = (label: string, text: string) => labelled(page, label, text, LABELS);
  const candidate = onset.kind === 'not judged' ? onset.candidate : null;
  return [
    ...(onset.kind === 'found' ? onsetLines(page, 'onset of slip', onset.onset, units) : []),
    ...(onset.kind === 'found' ? [] : say('onset of slip', `${onset.kind}: ${onset.reason}`)),
    ...(candidate === null ? [] : onsetLines(page, 'if it slipped', candidate, units)),
    ...say(
      'peak',
      `${written(peak.force, 'force', units)} at ${written(peak.time, 'time', units)}`,
    ),
    ...say(
      'level stretch',
      hold === null
        ? 'none'
        : `${withFactor(hold.force, 'force', units)}, from ${written(hold.from, 'time', units)} to ${written(hold.to, 'time', units)}`,
    ),
    ...say('rise', rate === null ? 'none' : `${written(rate, 'force', units, 3)} per second`),
    ...say(
      'noise',
      `${written(noise, 'force', units, 2)} from sample to sample (standard deviation)`,
    ),
  ];
}

export function gaugeSheet(page: Page, sheet: GaugeSheet): Line[] {
  const { reading, trace, units } = sheet;
  return [
    ...header(page, sheet),
    BLANK,
    ...traceChart(page, trace, reading, units),
    ...section(page, 'Read (± 95.45 %, by the factor k)', resultLines(page, sheet)),
    ...section(
      page,
      'Remarks',
      reading.remarks.flatMap((remark) => item(page, remark, 0)),
    ),
    ...cautionLines(page, GAUGE_CAUTIONS),
  ];
}
