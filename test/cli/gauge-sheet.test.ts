import { describe, expect, test } from 'vitest';
import { makePage } from '../../src/cli/page.js';
import { gaugeSheet } from '../../src/cli/sheets/gauge.js';
import { textWidth } from '../../src/cli/text-width.js';
import type { GaugeTrace } from '../../src/metrology/index.js';
import { readTrace } from '../../src/metrology/index.js';
import type { UnitSystem } from '../../src/units/index.js';
import { traceOf } from '../metrology/simulated-pulls.js';
import { standIn } from './stand-in.js';

/** Up at 30 N/s from 1 s on, then `after` 4 s. */
function trace(after: (s: number) => number): GaugeTrace {
  const time = Array.from({ length: 401 }, (_, i) => i / 50);
  // a ripple of a tenth of a newton for the noise: no two samples alike
  const force = time.map((t, i) => {
    const rise = t < 1 ? 0 : t < 5 ? 30 * (t - 1) : after(t - 5);
    return Math.round(10 * (rise + 0.1 * Math.sin(i * i))) / 10;
  });
  return { ...traceOf(time, force), preamble: ['Tarn Hollow Instruments, bench 2', ''] };
}

const SLIPS = trace((s) => 95 + 25 * Math.exp(-s / 0.05));
const HELD = trace(() => 120);

function text(of: GaugeTrace, width: number, units: UnitSystem = 'SI', LANG = 'C.UTF-8') {
  const page = makePage({ color: false, width }, standIn({ environment: { LANG } }));
  return page.print(
    gaugeSheet(page, { file: 'pull.csv', trace: of, reading: readTrace(of), units }),
  );
}

describe('the sheet of a gauge file', () => {
  test('at 80 columns', async () => {
    await expect(text(SLIPS, 80)).toMatchFileSnapshot('./expected/gauge-80.txt');
  });

  test('at 120 columns, in both unit systems, not judged', async () => {
    await expect(text(HELD, 120, 'both')).toMatchFileSnapshot('./expected/gauge-both-120.txt');
  });

  test('in ASCII where the terminal is not UTF-8', async () => {
    const ascii = text(SLIPS, 80, 'US', 'C');
    expect(ascii).toMatch(/^[\n\x20-\x7e]*$/);
    await expect(ascii).toMatchFileSnapshot('./expected/gauge-ascii-80.txt');
  });

  test('says what was found by a word, with its uncertainty and the cautions', () => {
    expect(text(SLIPS, 80)).toMatch(/onset of slip found\n/);
    expect(text(SLIPS, 80)).toMatch(/^onset of slip +1(19|20)\.\d+ ± \d\.\d+ N, k = 2\.\d\d$/m);
    expect(text(HELD, 80)).toMatch(/○ not judged\n/);
    expect(text(HELD, 80).replace(/\s+/g, ' ')).toContain(
      'a load that is held and a cart that slides',
    );
    expect(text(HELD, 80)).toContain('A qualified person decides and signs.');
  });

  test('draws the trace as high as it is, and the onset where it is', () => {
    const lines = text(SLIPS, 80).split('\n');
    const top = lines.findIndex((line) => line.includes(' N  '));
    const axis = lines.findIndex((line) => /^ +0 {2}─/.test(line));
    expect(axis - top).toBe(10);
    // 5 s of 8 s, over 70 columns beside 10
    const arrow = lines.find((line) => line.includes('▲'))?.indexOf('▲') ?? 0;
    expect(Math.abs(arrow - (10 + Math.floor((5 / 8) * 70)))).toBeLessThanOrEqual(1);
    // at 3 s the force is half the peak: half of the ten rows are filled
    const at = 10 + Math.floor((3 / 8) * 70);
    const filled = lines.slice(top, axis).filter((line) => (line[at] ?? ' ') === '█').length;
    expect(Math.abs(filled - 5)).toBeLessThanOrEqual(1);
  });

  test('draws a push, which the file signs as negative, as it draws a pull', () => {
    const push = { ...SLIPS, force: SLIPS.force.map((f) => -f) };
    expect(text(push, 80)).toBe(text(SLIPS, 80));
  });

  test('no line leaves the page, from 80 to 130 columns, whatever the names', () => {
    const hostile = 'Kraft\u001b[2J\u202e 点滴スタンド'.repeat(4);
    const named = {
      ...SLIPS,
      headings: { time: hostile, force: hostile, displacement: null },
      preamble: [hostile, '\u0007'],
    };
    for (let width = 80; width <= 130; width += 5) {
      for (const units of ['SI', 'US', 'both'] as const) {
        const sheet = text(named, width, units);
        expect(Math.max(...sheet.split('\n').map(textWidth))).toBeLessThanOrEqual(width);
        expect(sheet.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u);
      }
    }
  });
});
