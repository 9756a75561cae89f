/** Numbers and clock times as gauges write them. */

export type DecimalSign = '.' | ',';

const NUMBERS: Readonly<Record<DecimalSign, RegExp>> = {
  '.': /^[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,3})?$/,
  ',': /^[-+]?(?:\d+,?\d*|,\d+)(?:[eE][-+]?\d{1,3})?$/,
};
/** could be thousands: 1,234 */
const GROUPED = /^[-+]?[1-9]\d{0,2},\d{3}$/;
const CLOCK_TIME = /^(\d{1,2}):([0-5]\d):([0-5]\d(?:[.,]\d{1,9})?)$/;

function withPlainSign(text: string): string {
  return text.replace(/^[\u2212\u2013\u2012]/, '-');
}

/** null: not a number with this decimal sign, or beyond every range. */
export function numberOf(text: string, decimal: DecimalSign): number | null {
  const number = withPlainSign(text);
  if (!NUMBERS[decimal].test(number)) return null;
  const value = Number(number.replace(',', '.'));
  return Number.isFinite(value) ? value + 0 : null;
}

export function isNumeric(text: string): boolean {
  return numberOf(text, '.') !== null || numberOf(text, ',') !== null;
}

export function isClock(text: string): boolean {
  return CLOCK_TIME.test(text);
}

/** s since midnight; null: no clock time of a day of 24 h. */
export function clockSeconds(text: string): number | null {
  const [, hours, minutes, seconds] = CLOCK_TIME.exec(text) ?? [];
  if (hours === undefined || minutes === undefined || seconds === undefined) return null;
  if (Number(hours) > 23) return null;
  return Number(hours) * 3600 + Number(minutes) * 60 + Number(seconds.replace(',', '.'));
}

/** The decimal sign of a file's values: the comma where most values with either have it. 'ambiguous' where
 * every comma could also separate thousands. */
export function decimalOf(values: Iterable<string>): DecimalSign | 'ambiguous' {
  let [points, commas, clear] = [0, 0, 0];
  for (const text of values) {
    if (text.includes('.')) points += 1;
    else if (text.includes(',')) {
      commas += 1;
      if (!GROUPED.test(withPlainSign(text))) clear += 1;
    }
  }
  if (commas === 0 || points >= commas) return '.';
  return clear === 0 ? 'ambiguous' : ',';
}
