/** When something was, in words. */

const MINUTE = 60_000;
const HOUR = 60 * MINUTE;

/** @param moment ISO 8601 @param now ISO 8601; the local time zone and language-neutral order */
export function momentWords(moment: string, now: string): string {
  const then = new Date(moment);
  const ago = new Date(now).getTime() - then.getTime();
  if (Number.isNaN(ago)) return 'at a time that is not known';
  if (ago >= 0 && ago < MINUTE) return 'less than a minute ago';
  if (ago >= 0 && ago < HOUR) return countOf(Math.floor(ago / MINUTE), 'minute');
  if (ago >= 0 && ago < 12 * HOUR) return countOf(Math.floor(ago / HOUR), 'hour');
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${then.getFullYear()}-${two(then.getMonth() + 1)}-${two(then.getDate())}`;
  return `on ${day} at ${two(then.getHours())}:${two(then.getMinutes())}`;
}

function countOf(count: number, unit: string): string {
  return `${count} ${unit}${count === 1 ? '' : 's'} ago`;
}
