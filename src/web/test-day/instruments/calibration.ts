/** Whether an instrument's calibration still counts, in words. */

const DAY = 86_400_000;
/** Days before it ends that are told: time enough to have it calibrated (our choice, no source). */
const SOON = 30;

export type CalibrationState =
  /** it has no due date (a tape that is checked) */
  | { readonly kind: 'no due date' }
  | { readonly kind: 'in date' }
  | { readonly kind: 'due soon'; readonly days: number }
  | { readonly kind: 'expired'; readonly days: number };

/** @param due ISO 8601 date, the last day it may be used @param today ISO 8601 date */
export function calibrationState(due: string | null, today: string): CalibrationState {
  if (due === null) return { kind: 'no due date' };
  const days = Math.round((Date.parse(due) - Date.parse(today)) / DAY);
  if (days < 0) return { kind: 'expired', days: -days };
  return days <= SOON ? { kind: 'due soon', days } : { kind: 'in date' };
}

export function calibrationWords(state: CalibrationState): string {
  switch (state.kind) {
    case 'no due date':
      return 'no due date';
    case 'in date':
      return 'in date';
    case 'due soon':
      return state.days === 0
        ? 'in date, last day today'
        : `in date, due in ${daysWords(state.days)}`;
    case 'expired':
      return `expired ${daysWords(state.days)} ago`;
  }
}

function daysWords(days: number): string {
  return days === 1 ? '1 day' : `${days} days`;
}

/** The day by the clock that entries carry: UTC, as the record judges due dates. @param now ISO 8601 */
export function dayOf(now: string): string {
  return now.slice(0, 10);
}
