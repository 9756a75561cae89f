/** Options that several commands share, and what their values may be. */

import { InvalidArgumentError, Option } from '@commander-js/extra-typings';
import type { UnitSystem } from '../../units/index.js';
import type { Outcome } from '../outcome.js';
import { GREATEST_WIDTH, LEAST_WIDTH } from '../page.js';

/** Takes what a command came to. */
export type Conclude = (outcome: Outcome<number>) => void;

export const UNITS: Readonly<Record<'si' | 'us' | 'both', UnitSystem>> = {
  si: 'SI',
  us: 'US',
  both: 'both',
};

function columnsOf(text: string): number {
  const width = /^\d+$/.test(text) ? Number(text) : Number.NaN;
  if (width >= LEAST_WIDTH && width <= GREATEST_WIDTH) return width;
  throw new InvalidArgumentError(
    `Allowed: a whole number of columns from ${LEAST_WIDTH} to ${GREATEST_WIDTH}.`,
  );
}

export function unitsOption() {
  return new Option('--units <system>', 'units to show')
    .choices(['si', 'us', 'both'] as const)
    .default('si' as const);
}

export function widthOption() {
  return new Option(
    '--width <columns>',
    'width of the sheet (default: the terminal, or 80)',
  ).argParser(columnsOf);
}

export const NO_COLOR = ['--no-color', 'without colour (as with NO_COLOR set)'] as const;
export const SET = [
  '--requirements <set>',
  'requirement set, instead of the one the cart file names',
] as const;
export const SET_FILE = [
  '--requirement-file <file>',
  'requirement sets or amendments of your own',
] as const;

/** A whole number from `least` to `most`. */
export function countOf(least: number, most: number): (text: string) => number {
  return (text) => {
    const count = /^\d+$/.test(text) ? Number(text) : Number.NaN;
    if (count >= least && count <= most) return count;
    throw new InvalidArgumentError(`Allowed: a whole number from ${least} to ${most}.`);
  };
}
