/** How a file's name tells its kind. */

import type { ATTACHMENT_MEDIA } from './entry-limits.js';

type Media = (typeof ATTACHMENT_MEDIA)[number];

/** By the ending of a file's name; gauges write their tables under several. */
const BY_ENDING: ReadonlyMap<string, Media> = new Map([
  ['jpg', 'image/jpeg'],
  ['jpeg', 'image/jpeg'],
  ['png', 'image/png'],
  ['webp', 'image/webp'],
  ['csv', 'text/csv'],
  ['tsv', 'text/plain'],
  ['txt', 'text/plain'],
  ['xlsx', 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet'],
  ['yaml', 'application/yaml'],
  ['yml', 'application/yaml'],
  ['pdf', 'application/pdf'],
]);

/** Endings that `mediaOf` knows, for messages. */
export const ATTACHMENT_ENDINGS: readonly string[] = [...BY_ENDING.keys()];

/** Media type (RFC 6838) of a file by its name; null: a record takes no such file. */
export function mediaOf(name: string): Media | null {
  const ending = /\.([^.]+)$/.exec(name)?.[1]?.toLowerCase() ?? '';
  return BY_ENDING.get(ending) ?? null;
}
