/**
 * Numbers as people type them: 12.5, 12,5, 1 1/2, 1½, 1-1/2, 3/4, 1.2e3, with any minus sign and any
 * kind of space. A point is always a decimal point. A comma is a decimal comma, except where it
 * could also separate thousands (1,234): that is refused, and so is every other grouping of digits.
 */

export type NumberResult =
  | { readonly kind: 'ok'; readonly value: number }
  | {
      readonly kind: 'error';
      readonly code: 'not-a-number' | 'ambiguous-number';
      readonly message: string;
      readonly allowed: string;
    };

/**
 * Which decimal sign the source uses. 'either': not known, 1,234 is ambiguous. 'comma': known to be
 * the comma, so that 1,234 is a little over one, and 1.234 is ambiguous in its turn.
 */
export type DecimalSign = 'either' | 'comma';

const ALLOWED = 'a number such as 12.5, with nothing between thousands';

/** A longer text is no number anyone typed; the bound keeps every step below cheap. */
const LONGEST_TEXT = 100;

export function isTooLong(text: string): boolean {
  return text.length > LONGEST_TEXT && text.trim().length > LONGEST_TEXT;
}

const VULGAR_FRACTIONS: Readonly<Record<string, string>> = {
  '½': '1/2',
  '⅓': '1/3',
  '⅔': '2/3',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
};

/** Plain spaces, minus signs, slashes and fractions for their typographic kin. */
export function normaliseNumberText(text: string): string {
  return text
    .replace(/[\u200b-\u200d\u2060]/g, '')
    .replace(/[\u2212\u2012\u2013\ufe63\uff0d]/g, '-')
    .replace(/[\u2044\u2215]/g, '/')
    .replace(/[½⅓⅔¼¾⅛⅜⅝⅞]/g, (f) => ` ${VULGAR_FRACTIONS[f]}`)
    .replace(/\s+/g, ' ')
    .trim();
}

const NUMBER_PREFIX = /^[-+]?[\d.,'\u2019/ -]*\d(?:[eE][-+]?\d+)?/;

/**
 * Splits a normalised text into its leading number and the rest; null when it does not begin with
 * a number.
 */
export function splitNumber(normalised: string): { number: string; rest: string } | null {
  const number = NUMBER_PREFIX.exec(normalised)?.[0];
  if (number === undefined) return null;
  return { number, rest: normalised.slice(number.length).trim() };
}

/** Never throws; the value is finite. */
export function parseNumber(text: string, decimal: DecimalSign = 'either'): NumberResult {
  const parts = isTooLong(text) ? null : splitNumber(normaliseNumberText(text));
  if (parts === null || parts.rest !== '') return notANumber(text, 'is not a number');
  return readNumber(parts.number, text, decimal);
}

/** Reads what `splitNumber` found; `source` is the whole text, for messages. */
export function readNumber(number: string, source: string, decimal: DecimalSign): NumberResult {
  const sign = number.startsWith('-') ? -1 : 1;
  const digits = number.replace(/^[-+] ?/, '');
  if (isAmbiguous(digits, decimal)) return ambiguous(digits, source);
  const size = readFraction(digits) ?? readDecimal(digits);
  if (size === null) return notANumber(source, 'is not a number');
  if (!Number.isFinite(size)) return notANumber(source, 'is beyond every range');
  // + 0 turns -0 into 0
  return { kind: 'ok', value: sign * size + 0 };
}

function readDecimal(digits: string): number | null {
  const match = /^(\d*)(?:[.,](\d+))?([eE][-+]?\d+)?$/.exec(digits);
  if (match === null) return null;
  const [, whole = '', decimals = '', exponent = ''] = match;
  if (whole === '' && decimals === '') return null;
  const value = Number(`${whole || '0'}.${decimals || '0'}${exponent}`);
  // 1e-999 would silently become zero
  return value === 0 && /[1-9]/.test(whole + decimals) ? Number.POSITIVE_INFINITY : value;
}

function readFraction(digits: string): number | null {
  const match = /^(?:(\d+)[ -])?(\d+) ?\/ ?(\d+)$/.exec(digits);
  if (match === null) return null;
  const [, whole = '0', numerator = '', denominator = ''] = match;
  if (Number(denominator) === 0) return null;
  return Number(whole) + Number(numerator) / Number(denominator);
}

function isAmbiguous(digits: string, decimal: DecimalSign): boolean {
  // 0,500 and 1234,567 have one reading: no grouping begins with 0 or with four digits
  const lone = decimal === 'comma' ? /^[1-9]\d{0,2}\.\d{3}$/ : /^[1-9]\d{0,2},\d{3}$/;
  return (
    lone.test(digits) ||
    /^\d{1,3}(?:[.,]\d{3}){2,}$/.test(digits) ||
    /^\d{1,3}(?:['\u2019 ]\d{3})+$/.test(digits) ||
    /^\d{1,3}(?:[.,'\u2019 ]\d{3})+[.,]\d+$/.test(digits)
  );
}

function ambiguous(digits: string, source: string): NumberResult {
  const joined = digits.replace(/[^\d]/g, '');
  const lone = /^(\d+)([.,])(\d+)$/.exec(digits);
  const clear = lone === null ? '' : `${lone[1]}${lone[2] === ',' ? '.' : ','}${lone[3]}`;
  const message =
    lone === null
      ? `"${shorten(source)}" has marks between its thousands; write the digits together`
      : `"${shorten(source)}" can be read as ${joined} or as ${clear}; write one of these`;
  return { kind: 'error', code: 'ambiguous-number', message, allowed: ALLOWED };
}

function notANumber(source: string, what: string): NumberResult {
  const message = `"${shorten(source)}" ${what}`;
  return { kind: 'error', code: 'not-a-number', message, allowed: ALLOWED };
}

/** For messages: one line of at most 40 characters. */
export function shorten(text: string): string {
  const line = text.slice(0, 200).replace(/\s+/g, ' ').trim();
  return line.length <= 40 ? line : `${line.slice(0, 39)}…`;
}
