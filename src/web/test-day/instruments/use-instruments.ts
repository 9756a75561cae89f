/** The instruments of the project that is open. */

import { useMemo } from 'react';
import type { InstrumentBody, RecordState } from '../../../test-record/index.js';
import { recordsOf } from '../../../test-record/index.js';
import { useTestDay } from '../use-test-day.js';
import { dayOf } from './calibration.js';

export interface Instruments {
  /** in the order they were added, those withdrawn last */
  readonly all: readonly RecordState<InstrumentBody>[];
  /** those that may be used */
  readonly usable: readonly InstrumentBody[];
  /** ISO 8601 date */
  readonly today: string;
}

export function useInstruments(): Instruments {
  const state = useTestDay((s) => s.state);
  const today = dayOf(new Date().toISOString());
  return useMemo(() => {
    const records = state === null ? [] : recordsOf(state, 'instrument');
    const inUse = records.filter(({ withdrawn }) => !withdrawn);
    const all = [...inUse, ...records.filter(({ withdrawn }) => withdrawn)];
    return { all, usable: inUse.map(({ content }) => content), today };
  }, [state, today]);
}
