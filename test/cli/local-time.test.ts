import { describe, expect, test } from 'vitest';
import { instantOf, localText } from '../../src/cli/local-time.js';

describe('a time that somebody wrote', () => {
  test.each([
    // ISO 8601: the zone is taken off
    ['2026-11-25T09:30:00.000Z', '2026-11-25T09:30:00.000Z'],
    ['2026-11-25 09:30Z', '2026-11-25T09:30:00.000Z'],
    ['2026-11-25 09:30 UTC', '2026-11-25T09:30:00.000Z'],
    ['2026-11-25T10:30+01:00', '2026-11-25T09:30:00.000Z'],
    ['2026-11-25 04:00:07.5-05:30', '2026-11-25T09:30:07.500Z'],
    ['2028-02-29 00:00Z', '2028-02-29T00:00:00.000Z'],
  ])('%s is %s', (text, instant) => expect(instantOf(text)).toBe(instant));

  test.each([
    '2026-02-29 10:00Z',
    '2026-02-30 10:00',
    '2026-13-01 10:00',
    '2026-11-25 24:30',
    '2026-11-25 10:60Z',
    '2026-11-25',
    '25.11.2026 10:00',
    '10:00',
    '2026-11-25 10:00 CET',
    '',
  ])('"%s" is none', (text) => expect(instantOf(text)).toBeNull());

  test('without a zone is on the clock of this machine, there and back', () => {
    for (const text of ['2026-01-15 08:05', '2026-07-15 23:59']) {
      expect(localText(instantOf(text) ?? '')).toBe(text);
    }
  });
});
