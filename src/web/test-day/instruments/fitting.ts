/** Whether the instruments of a project do for what a plan needs. */

import type { Amount } from '../../../analysis/index.js';
import type { Equipment } from '../../../test-plan/index.js';
import type { InstrumentBody, Typed } from '../../../test-record/index.js';
import { dimensionOf, siOf } from '../../../test-record/index.js';
import { calibrationState } from './calibration.js';

/** How an instrument does for a piece of equipment. */
export interface Fit {
  readonly instrument: InstrumentBody;
  /** past its due date */
  readonly isExpired: boolean;
  /** what it does not do, in words; empty: it does */
  readonly shortcomings: readonly string[];
  /** what is not stated about it and would have to be known */
  readonly unstated: readonly string[];
}

export type Standing =
  /** vinyl, a stop, a restraint: nothing to be calibrated */
  | { readonly kind: 'no instrument' }
  | { readonly kind: 'at hand'; readonly fits: readonly Fit[] }
  /** of the kind, and in date, but something is not stated about it */
  | { readonly kind: 'not known'; readonly fits: readonly Fit[] }
  /** fits but for its due date */
  | { readonly kind: 'expired'; readonly fits: readonly Fit[] }
  /** of the kind, but not fine enough or not for the range */
  | { readonly kind: 'does not fit'; readonly fits: readonly Fit[] }
  | { readonly kind: 'missing' };

/** @param instruments those that count (not withdrawn) @param today ISO 8601 date */
export function standingOf(
  equipment: Equipment,
  instruments: readonly InstrumentBody[],
  today: string,
): Standing {
  if (equipment.instrument === null) return { kind: 'no instrument' };
  const fits = instruments
    .filter(({ instrument }) => instrument === equipment.instrument)
    .map((instrument) => fitOf(equipment, instrument, today));
  if (fits.length === 0) return { kind: 'missing' };
  const able = fits.filter(({ shortcomings }) => shortcomings.length === 0);
  const inDate = able.filter(({ isExpired }) => !isExpired);
  const known = inDate.filter(({ unstated }) => unstated.length === 0);
  if (known.length > 0) return { kind: 'at hand', fits: known };
  if (inDate.length > 0) return { kind: 'not known', fits: inDate };
  return able.length > 0 ? { kind: 'expired', fits: able } : { kind: 'does not fit', fits };
}

function fitOf(equipment: Equipment, instrument: InstrumentBody, today: string): Fit {
  const checks = [
    rangeCheck(equipment, instrument),
    finenessCheck('resolution', equipment.resolution, instrument.resolution, 1, null),
    finenessCheck(
      'uncertainty',
      equipment.uncertainty,
      instrument.uncertainty,
      // needed at k = 2, stated at the certificate's own coverage
      2 / instrument.coverage,
      equipment.to?.value ?? null,
    ),
  ];
  return {
    instrument,
    isExpired: calibrationState(instrument.due, today).kind === 'expired',
    shortcomings: checks.flatMap(({ short }) => short),
    unstated: checks.flatMap(({ unstated }) => unstated),
  };
}

interface Check {
  readonly short: readonly string[];
  readonly unstated: readonly string[];
}
const FINE: Check = { short: [], unstated: [] };

/** Relative: what a change of units may cost. */
const ROUNDING = 1e-9;

function rangeCheck({ from, to }: Equipment, instrument: InstrumentBody): Check {
  const above = endCheck(to, instrument.to, (own, needed) => own >= needed * (1 - ROUNDING));
  const below = endCheck(from, instrument.from, (own, needed) => own <= needed * (1 + ROUNDING));
  if (above === 'short') return { short: [`its range ends at ${instrument.to}`], unstated: [] };
  if (below === 'short') return { short: [`its range begins at ${instrument.from}`], unstated: [] };
  // a range that begins nowhere begins at nothing, as every display does
  return above === 'unstated' ? { short: [], unstated: ['its range is not stated'] } : FINE;
}

function endCheck(
  needed: Amount | null,
  own: Typed | null,
  does: (own: number, needed: number) => boolean,
): 'does' | 'short' | 'unstated' {
  if (needed === null) return 'does';
  const value = si(own, needed);
  if (value === null) return 'unstated';
  return does(value, needed.value) ? 'does' : 'short';
}

/** @param scale of the stated value to the needed one @param reading that a share ('0.5 %') is of */
function finenessCheck(
  what: string,
  needed: Amount | null,
  own: Typed | null,
  scale: number,
  reading: number | null,
): Check {
  if (needed === null) return FINE;
  const value = own?.trim().endsWith('%') ? shareOf(own, reading) : si(own, needed);
  if (value === null) return { short: [], unstated: [`its ${what} is not stated`] };
  const isFine = value * scale <= needed.value * (1 + ROUNDING);
  return isFine ? FINE : { short: [`its ${what} is ${own}`], unstated: [] };
}

function shareOf(own: Typed, reading: number | null): number | null {
  return reading === null || dimensionOf(own, ['ratio']) === null
    ? null
    : siOf(own, 'ratio') * Math.abs(reading);
}

/** null: not stated, or of another dimension */
function si(typed: Typed | null, { dimension }: Amount): number | null {
  if (typed === null || dimensionOf(typed, [dimension]) === null) return null;
  return siOf(typed, dimension);
}

/** One sentence a standing, without the plan's own words. */
export function standingWords(standing: Standing): string {
  switch (standing.kind) {
    case 'no instrument':
      return 'to be at hand';
    case 'missing':
      return 'not among the instruments';
    case 'at hand':
      return `${namesOf(standing.fits)}: fits, in date`;
    case 'not known':
      return `${saidOf(standing.fits, ({ unstated }) => unstated)}: not known whether it fits`;
    case 'expired':
      return `${namesOf(standing.fits)}: fits, but its calibration has expired`;
    case 'does not fit':
      return `${saidOf(standing.fits, ({ shortcomings }) => shortcomings)}: does not fit`;
  }
}

function namesOf(fits: readonly Fit[]): string {
  return fits.map(({ instrument }) => nameOf(instrument)).join(', ');
}

function saidOf(fits: readonly Fit[], of: (fit: Fit) => readonly string[]): string {
  return fits.map((fit) => `${nameOf(fit.instrument)} (${of(fit).join(', ')})`).join(', ');
}

function nameOf({ name, serial }: InstrumentBody): string {
  return serial.trim() === '' ? name : `${name} ${serial}`;
}
