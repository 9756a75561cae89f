/** What was read of a gauge's file as JSON, described by schema/gauge-1.schema.json: SI, each value beside
 * its unit. */

import type { GaugeTrace, Measured, SlipOnset, TraceReading } from '../metrology/index.js';
import { expanded } from '../metrology/index.js';
import { jsonText } from './report-json.js';
import { GAUGE_CAUTIONS } from './sheets/gauge.js';

export const GAUGE_SCHEMA = 'standstill/gauge-1';

export interface GaugeResult {
  readonly file: string;
  readonly trace: GaugeTrace;
  readonly reading: TraceReading;
}

function measuredJson(measured: Measured, unit: string) {
  const { value, u, dof } = measured;
  const { U, k, level } = expanded(measured);
  return { value, unit, u, dof, U, k, level };
}

function onsetJson({ time, force, index, method }: SlipOnset) {
  return {
    time: measuredJson(time, 's'),
    force: measuredJson(force, 'N'),
    sample: index + 1,
    method,
  };
}

function judgedJson(onset: TraceReading['onset']) {
  if (onset.kind === 'found') return { kind: 'found', ...onsetJson(onset.onset) };
  if (onset.kind === 'none') return onset;
  const { kind, reason, candidate } = onset;
  return { kind, reason, candidate: candidate === null ? null : onsetJson(candidate) };
}

export function gaugeJson({ file, trace, reading }: GaugeResult, version: string): string {
  const { peak, hold, rate, noise, onset, remarks } = reading;
  const seconds = (value: number) => ({ value, unit: 's' });
  return jsonText({
    schema: GAUGE_SCHEMA,
    standstill: version,
    file,
    samples: trace.time.length,
    lasts: seconds(trace.time.at(-1) ?? 0),
    headings: trace.headings,
    preamble: trace.preamble,
    peak: { time: seconds(peak.time), force: { value: peak.force, unit: 'N' } },
    hold:
      hold === null
        ? null
        : { from: seconds(hold.from), to: seconds(hold.to), force: measuredJson(hold.force, 'N') },
    rate: rate === null ? null : { value: rate, unit: 'N/s' },
    noise: { value: noise, unit: 'N' },
    onset: judgedJson(onset),
    remarks,
    cautions: GAUGE_CAUTIONS,
  });
}
