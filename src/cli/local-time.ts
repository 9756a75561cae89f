/** Times as people at this machine write and read them. */

const WRITTEN =
  /^(\d{4})-(\d{2})-(\d{2})[T ](\d{2}):(\d{2})(?::(\d{2})(?:\.(\d{1,3}))?)?\s*(Z|UTC|[+-]\d{2}:\d{2})?$/;

/** ISO 8601 in UTC to the millisecond; null: it is no time, or one that the clock left out. Without a zone
 * it is the time of this machine. */
export function instantOf(text: string): string | null {
  const parts = WRITTEN.exec(text.trim());
  if (parts === null) return null;
  const [, year, month, day, hour, minute, second = '00', fraction = '0', zone] = parts;
  const plain = `${year}-${month}-${day}T${hour}:${minute}:${second}`;
  const whole = `${plain}.${fraction.padEnd(3, '0')}`;
  const time = new Date(zone === undefined ? whole : whole + (zone === 'UTC' ? 'Z' : zone));
  if (Number.isNaN(time.getTime())) return null;
  // 31 February would be taken for a day of March, and an hour that summer time left out for the next
  const shift = zone === undefined ? -time.getTimezoneOffset() : minutesOf(zone);
  const back = new Date(time.getTime() + shift * 60_000).toISOString();
  return back.startsWith(plain) ? time.toISOString() : null;
}

/** Minutes that a zone is ahead of UTC. */
function minutesOf(zone: string): number {
  if (zone === 'Z' || zone === 'UTC') return 0;
  const [hours, minutes] = zone.slice(1).split(':').map(Number);
  return (zone.startsWith('-') ? -1 : 1) * ((hours ?? 0) * 60 + (minutes ?? 0));
}

/** '2026-11-25 14:30' of this machine, for an instant in ISO 8601. */
export function localText(instant: string): string {
  const time = new Date(instant);
  const local = new Date(time.getTime() - time.getTimezoneOffset() * 60_000);
  return local.toISOString().slice(0, 16).replace('T', ' ');
}
