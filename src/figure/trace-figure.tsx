/** A force gauge's trace: force against time, with what was read of it. */

import type { ReactElement } from 'react';
import type { GaugeTrace, TraceReading } from '../metrology/index.js';
import type { UnitSystem } from '../units/index.js';

export interface TraceFigureProps {
  readonly trace: GaugeTrace;
  readonly reading: TraceReading;
  /** the onset that the user set instead; null: none */
  readonly overruled: { readonly time: number; readonly force: number } | null;
  readonly units: UnitSystem;
}

export function TraceFigure({ trace }: TraceFigureProps): ReactElement {
  return <svg viewBox="0 0 640 320" aria-label={`${trace.time.length} samples`} />;
}
