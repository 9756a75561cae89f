import { describe, expect, test } from 'vitest';
import type { Page } from '../../src/cli/page.js';
import { makePage } from '../../src/cli/page.js';
import { tolerancesSheet } from '../../src/cli/sheets/tolerances.js';
import { textWidth } from '../../src/cli/text-width.js';
import type { ToleranceReport } from '../../src/tolerances/index.js';
import type { UnitSystem } from '../../src/units/index.js';
import { SAMPLE_TOLERANCES } from './sample-tolerances.js';
import { standIn } from './stand-in.js';

function pageOf(width: number, environment: Record<string, string> = { LANG: 'C.UTF-8' }): Page {
  return makePage({ color: true, width }, standIn({ environment }));
}

function textOf(
  page: Page,
  units: UnitSystem = 'SI',
  report: ToleranceReport = SAMPLE_TOLERANCES,
): string {
  return page.print(tolerancesSheet(page, { report, file: 'telehealth.yaml', units }));
}

describe('the sheet of tolerances', () => {
  test('at 80 columns', async () => {
    await expect(textOf(pageOf(80))).toMatchFileSnapshot('./expected/tolerances-80.txt');
  });

  test('at 120 columns in both unit systems', async () => {
    const text = textOf(pageOf(120), 'both');
    await expect(text).toMatchFileSnapshot('./expected/tolerances-both-120.txt');
  });

  test('in ASCII where the terminal is not UTF-8', async () => {
    const text = textOf(pageOf(80, { LANG: 'C' }));
    // biome-ignore lint/suspicious/noControlCharactersInRegex: that is the range of ASCII
    expect(text).toMatch(/^[\x00-\x7f]*$/);
    await expect(text).toMatchFileSnapshot('./expected/tolerances-ascii-80.txt');
  });

  test.each<UnitSystem>(['SI', 'US', 'both'])(
    'no line leaves the page, from 80 to 130 columns, in %s',
    (units) => {
      for (let width = 80; width <= 130; width += 10) {
        const widths = textOf(pageOf(width), units).split('\n').map(textWidth);
        expect(Math.max(...widths)).toBeLessThanOrEqual(width);
      }
    },
  );

  test('says in words that it did not converge, and that it did', () => {
    expect(textOf(pageOf(80))).toContain('NOT CONVERGED: 1 figure is');
    const converged = textOf(pageOf(80), 'SI', {
      ...SAMPLE_TOLERANCES,
      convergence: { kind: 'converged' },
    });
    expect(converged).toContain('converged: every probability to 1 % or better');
    expect(converged).not.toMatch(/not converged/i);
  });

  test('never shows a probability below one as 100 %', () => {
    const [first, ...others] = SAMPLE_TOLERANCES.findings;
    const nearly = { ...first!, probability: { value: 0.99995, from: 0.9995, to: 0.999999 } };
    const text = textOf(pageOf(120), 'SI', { ...SAMPLE_TOLERANCES, findings: [nearly, ...others] });
    expect(text).toContain('99.995 %');
    expect(text).not.toMatch(/^all trials +Overbalance/m);
  });

  test('shows a cart of which nothing can be judged', () => {
    const unknown = SAMPLE_TOLERANCES.findings.filter(({ kind }) => kind !== 'judged');
    const report = { ...SAMPLE_TOLERANCES, findings: unknown, governing: null, together: null };
    const text = textOf(pageOf(80), 'SI', report);
    expect(text).toContain('nothing judged');
    expect(text).not.toContain('What matters most');
  });
});
