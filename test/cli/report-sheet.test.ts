import { describe, expect, test } from 'vitest';
import type { CheckReport, Finding } from '../../src/analysis/index.js';
import type { Page } from '../../src/cli/page.js';
import { makePage } from '../../src/cli/page.js';
import { findingSheet } from '../../src/cli/sheets/finding.js';
import { governing, reportSheet } from '../../src/cli/sheets/report.js';
import { textWidth } from '../../src/cli/text-width.js';
import type { UnitSystem } from '../../src/units/index.js';
import { degrees, newtons, SAMPLE_CART, SAMPLE_REPORT } from './sample-report.js';
import { standIn } from './stand-in.js';

const UNIT_SYSTEMS: readonly UnitSystem[] = ['SI', 'US', 'both'];

function pageOf(width: number, environment: Record<string, string> = { LANG: 'C.UTF-8' }): Page {
  return makePage({ color: true, width }, standIn({ environment }));
}

function checkText(page: Page, units: UnitSystem = 'SI', report: CheckReport = SAMPLE_REPORT) {
  return page.print(reportSheet(page, { report, file: 'telehealth.yaml', units }));
}

function findingNamed(id: string): Finding {
  const found = SAMPLE_REPORT.findings.find((finding) => finding.id === id);
  if (found === undefined) throw new Error(`no finding ${id} in the sample`);
  return found;
}

function findingText(page: Page, finding: Finding, units: UnitSystem = 'SI') {
  const cautions = SAMPLE_REPORT.cautions;
  return page.print(findingSheet(page, { finding, cart: SAMPLE_CART, cautions, units }));
}

describe('the check sheet', () => {
  test('at 80 columns', async () => {
    await expect(checkText(pageOf(80))).toMatchFileSnapshot('./expected/check-80.txt');
  });

  test('at 120 columns', async () => {
    await expect(checkText(pageOf(120))).toMatchFileSnapshot('./expected/check-120.txt');
  });

  test('in both unit systems at 80 columns', async () => {
    await expect(checkText(pageOf(80), 'both')).toMatchFileSnapshot('./expected/check-both-80.txt');
  });

  test('in ASCII where the terminal is not UTF-8', async () => {
    const text = checkText(pageOf(80, { LANG: 'C' }));
    expect(text).toMatch(/^[\n\x20-\x7e]*$/);
    await expect(text).toMatchFileSnapshot('./expected/check-ascii-80.txt');
  });

  test('holds every verdict as a word in every row, without colour', () => {
    const text = checkText(pageOf(120));
    for (const { verdict, title } of SAMPLE_REPORT.findings) {
      if (verdict === 'not applicable') continue;
      const row = text.split('\n').find((line) => line.includes(title.slice(0, 30)));
      expect(row).toContain(` ${verdict} `);
    }
  });

  test('marks a limit from above as one', () => {
    expect(checkText(pageOf(80))).toMatch(/propulsion +41\.5 N +≤ 200 N +\+158\.5 N/);
  });

  test.each(UNIT_SYSTEMS)('no line leaves the page, from 80 to 130 columns, in %s', (units) => {
    for (let width = 80; width <= 130; width += 1) {
      for (const environment of [{ LANG: 'C.UTF-8' }, { LANG: 'C' }]) {
        const text = checkText(pageOf(width, environment), units);
        const widest = Math.max(...text.split('\n').map(textWidth));
        expect(widest, `at ${width}`).toBeLessThanOrEqual(width);
      }
    }
  });

  test('columns stay aligned under names in wide characters', () => {
    const report = {
      ...SAMPLE_REPORT,
      findings: SAMPLE_REPORT.findings.map((finding) => ({
        ...finding,
        title: '点滴スタンドの転倒',
      })),
    };
    const lines = checkText(pageOf(120), 'SI', report).split('\n');
    const start = lines.findIndex((line) => line.startsWith('verdict'));
    const ends = lines
      .slice(start, start + 9)
      .filter((line) => /proven$|worst case$/.test(line))
      .map((line) => textWidth(line.replace(/(proven|worst case)$/, '')));
    expect(ends.length).toBe(4);
    expect(new Set(ends).size).toBe(1);
  });
});

describe('what governs', () => {
  test('failing, undecided and friction-bound findings, worst first', () => {
    expect(governing(SAMPLE_REPORT.findings).map(({ id }) => id)).toEqual([
      'movement-push',
      'threshold',
      'movement-incline-use',
    ]);
  });

  test('the thinnest margin in proportion to its demand where everything holds', () => {
    const holds = findingNamed('overbalance-transport');
    const wide = { ...holds, id: 'wide', demand: degrees(5), margin: degrees(3) };
    const thin = { ...holds, id: 'thin', demand: newtons(100), margin: newtons(9) };
    const none = { ...holds, id: 'none', demand: null, margin: null };
    expect(governing([wide, none, thin]).map(({ id }) => id)).toEqual(['thin']);
    expect(governing([none])).toEqual([]);
  });
});

describe('the finding sheet', () => {
  test('a push that fails, at 80 columns', async () => {
    const text = findingText(pageOf(80), findingNamed('movement-push'));
    await expect(text).toMatchFileSnapshot('./expected/finding-80.txt');
  });

  test('a closed form with its working, at 120 columns', async () => {
    const text = findingText(pageOf(120), findingNamed('overbalance-transport'));
    await expect(text).toMatchFileSnapshot('./expected/finding-120.txt');
  });

  test('gives mover settings in the unit of their kind', () => {
    const text = findingText(pageOf(80), findingNamed('movement-push'), 'US');
    expect(text).toMatch(/^ {2}lift +0 in$/m);
    expect(text).toMatch(/^ {2}arm +90 deg$/m);
    expect(text).toMatch(/^ {2}left bag +6\.614 lb$/m);
  });

  test('one that does not apply shows its reason and no result', () => {
    const text = findingText(pageOf(80), findingNamed('handles'));
    expect(text).toMatch(/does not apply +the cart has no lifting handles/);
    expect(text).not.toContain('Result');
  });

  test('no line leaves the page, from 80 to 130 columns', () => {
    for (let width = 80; width <= 130; width += 1) {
      for (const finding of SAMPLE_REPORT.findings) {
        const text = findingText(pageOf(width), finding, 'both');
        const widest = Math.max(...text.split('\n').map(textWidth));
        expect(widest, `${finding.id} at ${width}`).toBeLessThanOrEqual(width);
      }
    }
  });
});

describe('hostile names', () => {
  const HOSTILE = 'bag\u001b[2J\u001b]0;owned\u0007\r\u202e\u009b1A\n■ holds';

  /** The sample with a hostile text wherever it holds a text of the user's. */
  function poisoned<T>(value: T): T {
    const fixed = new Set(['kind', 'verdict', 'dimension', 'sense', 'lock', 'id']);
    const walk = (each: unknown, key: string): unknown => {
      if (typeof each === 'string') return fixed.has(key) ? each : HOSTILE + each;
      if (Array.isArray(each)) return each.map((item) => walk(item, key));
      if (each === null || typeof each !== 'object') return each;
      return Object.fromEntries(
        Object.entries(each).map(([k, v]) => [
          ['movers', 'loads', 'swivels'].includes(key) ? HOSTILE + k : k,
          walk(v, k),
        ]),
      );
    };
    return walk(value, '') as T;
  }

  test('never reach the terminal as control characters', () => {
    const report = poisoned(SAMPLE_REPORT);
    for (const environment of [{ LANG: 'C.UTF-8' }, { LANG: 'C' }]) {
      const page = pageOf(80, environment);
      const sheets = [
        checkText(page, 'SI', report),
        ...report.findings.map((finding) => findingText(page, finding)),
      ];
      for (const text of sheets) {
        expect(text.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u);
        expect(Math.max(...text.split('\n').map(textWidth))).toBeLessThanOrEqual(80);
      }
    }
  });
});

describe('colour', () => {
  const print = (changes: Parameters<typeof standIn>[0], color = true) => {
    const page = makePage({ color, width: 80 }, standIn(changes));
    return page.print(reportSheet(page, { report: SAMPLE_REPORT, file: 'a.yaml', units: 'SI' }));
  };
  const ESCAPE = '\u001b[';
  const LANG = 'C.UTF-8';

  test('on a terminal, and the same text once it is taken out', () => {
    const coloured = print({ outIsTerminal: true, environment: { LANG } });
    expect(coloured).toContain(ESCAPE);
    const plain = coloured.replace(new RegExp(`${String.fromCharCode(27)}\\[\\d+m`, 'g'), '');
    expect(plain).toBe(print({ environment: { LANG } }));
  });

  test.each([
    ['into a file', { environment: { LANG } }, true],
    ['with --no-color', { outIsTerminal: true, environment: { LANG } }, false],
    ['with NO_COLOR', { outIsTerminal: true, environment: { LANG, NO_COLOR: '1' } }, true],
    ['on a dumb terminal', { outIsTerminal: true, environment: { LANG, TERM: 'dumb' } }, true],
    [
      'with NO_COLOR against FORCE_COLOR',
      { outIsTerminal: true, environment: { LANG, NO_COLOR: '1', FORCE_COLOR: '1' } },
      true,
    ],
  ])('none %s', (_when, changes, color) => {
    expect(print(changes, color)).not.toContain(ESCAPE);
  });

  test('an empty NO_COLOR asks for nothing', () => {
    expect(print({ outIsTerminal: true, environment: { LANG, NO_COLOR: '' } })).toContain(ESCAPE);
  });
});
