/** An onset of slip that the user sets: the force is the trace's at that time. */

import type { GaugeTrace } from '../../../metrology/index.js';
import type { TraceTaken } from '../../../test-record/index.js';
import { parseQuantity } from '../../../units/index.js';

export type OwnOnset =
  | { readonly kind: 'ok'; readonly onset: NonNullable<TraceTaken['overruled']> }
  | { readonly kind: 'problem'; readonly words: string };

/** @param trace null: the file cannot be had now */
export function ownOnset(
  trace: GaugeTrace | null,
  timeTyped: string,
  uTyped: string,
  reason: string,
): OwnOnset {
  if (trace === null) return { kind: 'problem', words: 'The file cannot be read now.' };
  const time = parseQuantity(timeTyped, 'time');
  if (time.kind === 'error') return { kind: 'problem', words: `Time: ${time.allowed}.` };
  const first = trace.time[0] ?? 0;
  const last = trace.time.at(-1) ?? 0;
  if (time.value < first || time.value > last) {
    return { kind: 'problem', words: `Time: from ${first} s to ${last} s, as the file goes.` };
  }
  const u = parseQuantity(uTyped, 'force');
  if (u.kind === 'error' || u.value <= 0) {
    return { kind: 'problem', words: 'Uncertainty: a force above 0, such as 2 N.' };
  }
  if (reason.trim() === '') return { kind: 'problem', words: 'A reason is needed; it is kept.' };
  const force = forceAt(trace, time.value);
  return { kind: 'ok', onset: { time: time.value, force, u: u.value, reason: reason.trim() } };
}

/** N, between the samples on either side; the greater way of the force counts as positive, as in the
 * reading of the trace. */
export function forceAt({ time, force }: GaugeTrace, at: number): number {
  const after = time.findIndex((each) => each >= at);
  const i = after < 0 ? time.length - 1 : after;
  const t1 = time[i] ?? 0;
  const f1 = force[i] ?? 0;
  const t0 = time[i - 1] ?? t1;
  const f0 = force[i - 1] ?? f1;
  const share = t1 === t0 ? 1 : (at - t0) / (t1 - t0);
  return signOf(force) * (f0 + share * (f1 - f0));
}

function signOf(force: readonly number[]): 1 | -1 {
  const most = force.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const least = force.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  return most >= -least ? 1 : -1;
}
