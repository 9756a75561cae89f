/** What is typed to ask for remedies and tolerances, and what it means. */

import { parseNumber, parseQuantity } from '../../units/index.js';

export type TypedNumber =
  | { readonly kind: 'ok'; readonly value: number }
  | { readonly kind: 'problem'; readonly words: string };

/** As the command line allows. */
export const MARGIN_LIMITS = { least: 0, most: 1 } as const;
export const PRECISION_LIMITS = { least: 0.0005, most: 0.2 } as const;

/** A share typed in per cent: '10' and '10 %' are the same. */
export function typedShare(
  text: string,
  { least, most }: { readonly least: number; readonly most: number },
): TypedNumber {
  const parsed = parseQuantity(text.includes('%') ? text : `${text} %`, 'ratio');
  const value = parsed.kind === 'error' ? Number.NaN : parsed.value;
  if (value >= least && value <= most) return { kind: 'ok', value };
  return {
    kind: 'problem',
    words: `"${text}" is not allowed; allowed: ${percentText(least)} to ${percentText(most)} %`,
  };
}

export function percentText(share: number): string {
  return String(Number((100 * share).toPrecision(6)));
}

/** A whole number from which the draws are made. */
export function typedSeed(text: string): TypedNumber {
  const parsed = parseNumber(text);
  const value = parsed.kind === 'ok' ? parsed.value : Number.NaN;
  if (Number.isSafeInteger(value) && value >= 0) return { kind: 'ok', value };
  return { kind: 'problem', words: `"${text}" is not allowed; allowed: a whole number from 0` };
}
