import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { GaugeFileIssue, GaugeTrace } from '../../src/metrology/index.js';
import { readGaugeFile } from '../../src/metrology/index.js';

/** 12 samples: time in s, force in N, travel in mm. */
const SAMPLES = Array.from({ length: 12 }, (_, i) => [0.1 * i, 7.5 * i - 2, 0.25 * i] as const);

interface Written {
  readonly separator?: string;
  readonly comma?: boolean;
  readonly quoted?: boolean;
  readonly end?: string;
}

function tableText(headings: string, columns: 2 | 3, how: Written = {}): string {
  const { separator = ',', comma = false, quoted = false, end = '\n' } = how;
  const cell = (value: number) => {
    const text = value.toFixed(3).replace('.', comma ? ',' : '.');
    return quoted ? `"${text}"` : text;
  };
  const rows = SAMPLES.map((each) => each.slice(0, columns).map(cell).join(separator));
  return [headings, ...rows, ''].join(end);
}

function traceIn(text: string): GaugeTrace {
  const outcome = readGaugeFile(text, 'pull.csv');
  if (outcome.kind === 'refused') throw new Error(outcome.issues.map((i) => i.message).join('\n'));
  return outcome.trace;
}

function issuesIn(text: string): readonly GaugeFileIssue[] {
  const outcome = readGaugeFile(text, 'pull.csv');
  if (outcome.kind === 'ok') throw new Error('it was read');
  return outcome.issues;
}

function messagesIn(text: string): readonly string[] {
  return issuesIn(text).map(({ message }) => message);
}

/** Rounding of one multiplication, and of the time less that of the first sample. */
const close = (values: readonly number[], column: 0 | 1 | 2, factor: number) => {
  expect(values).toHaveLength(SAMPLES.length);
  values.forEach((value, i) => {
    expect(value).toBeCloseTo((SAMPLES[i]?.[column] ?? Number.NaN) * factor, 9);
  });
};

// 1 lbf = 4.4482216152605 N, 1 kgf = 9.80665 N (NIST SP 811, appendix B.8); exact
const LBF = 4.4482216152605;
const KGF = 9.80665;

describe('a gauge file is read', () => {
  it.each([
    ['comma', 'Time (s),Force (N)', {}, ',', '.', 1, 1],
    [
      'semicolon and decimal comma',
      'Zeit [s];Kraft [N]',
      { separator: ';', comma: true },
      ';',
      ',',
      1,
      1,
    ],
    ['tab', 'Time (ms)\tForce (kN)', { separator: '\t' }, '\t', '.', 1e-3, 1e3],
    ['blanks', 'Time (s)   Force (N)', { separator: '   ' }, ' ', '.', 1, 1],
    [
      'one blank, units in brackets',
      'Elapsed time (s) Pull force (lbf)',
      { separator: ' ' },
      ' ',
      '.',
      1,
      LBF,
    ],
    ['blanks and strokes', 't / s  F / kN', { separator: '  ' }, ' ', '.', 1, 1e3],
    [
      'quoted decimal commas',
      '"Temps (s)","Force (N)"',
      { comma: true, quoted: true },
      ',',
      ',',
      1,
      1,
    ],
    ['units after a comma', 'Time, s;Load, kgf', { separator: ';' }, ';', '.', 1, KGF],
    ['units after a stroke', 'Tiempo / min;Fuerza / lbf', { separator: ';' }, ';', '.', 60, LBF],
    ['underlines', 'time_s,force_N', {}, ',', '.', 1, 1],
    ['the unit as the last word', 'TIME SEC,LOAD LBF', {}, ',', '.', 1, LBF],
    ['windows line ends', 'Time (s),Force (N)', { end: '\r\n' }, ',', '.', 1, 1],
    ['old line ends', 'Time (s),Force (N)', { end: '\r' }, ',', '.', 1, 1],
    ['a byte order mark', '\ufeffTime (s),Force (N)', {}, ',', '.', 1, 1],
    ['accents', 'Durée (s);Effort (N)', { separator: ';' }, ';', '.', 1, 1],
  ] as const)('with %s', (_what, headings, how, separator, decimal, seconds, newtons) => {
    const trace = traceIn(tableText(headings, 2, how));
    expect(trace.separator).toBe(separator);
    expect(trace.decimal).toBe(decimal);
    close(trace.time, 0, seconds);
    close(trace.force, 1, newtons);
    expect(trace.displacement).toBeNull();
  });

  it.each([
    ['Time (s),Force (N),Travel (mm)', 1e-3],
    ['Zeit (s),Kraft (N),Weg / mm', 1e-3],
    ['Temps (s),Force (N),Déplacement (cm)', 1e-2],
    ['Time (s),Force (N),Displacement [in]', 0.0254],
  ])('with displacement: %s', (headings, metres) => {
    const trace = traceIn(tableText(headings, 3));
    close(trace.displacement ?? [], 2, metres);
    expect(trace.headings.displacement).toBe(headings.split(',')[2]);
  });

  it('with remarks above, some of them with quotes and separators', () => {
    const remarks = ['Force gauge 500 N', 'Operator;"A. Bench', 'Note, with a comma', ''];
    const trace = traceIn(
      [...remarks, tableText('Time (s);Force (N)', 2, { separator: ';' })].join('\n'),
    );
    expect(trace.preamble).toEqual(remarks);
    close(trace.force, 1, 1);
  });

  it('with units in a row of their own', () => {
    const trace = traceIn(tableText('Time,Force,Travel\n[ms],[lbf],[in]', 3));
    close(trace.time, 0, 1e-3);
    close(trace.force, 1, LBF);
    close(trace.displacement ?? [], 2, 0.0254);
  });

  it('with a time that does not begin at 0', () => {
    const rows = SAMPLES.map(([t, f]) => `${(t + 17).toFixed(1)},${f}`);
    close(traceIn(['Time (s),Force (N)', ...rows].join('\n')).time, 0, 1);
  });

  it('with clock times, also over midnight, which is told', () => {
    const rows = SAMPLES.map(([, f], i) => {
      const tenths = 10 * (23 * 3600 + 59 * 60 + 59) + 4 + i;
      const seconds = (tenths / 10) % 86400;
      const [h, m] = [Math.floor(seconds / 3600), Math.floor((seconds % 3600) / 60)];
      const two = (n: number) => String(n).padStart(2, '0');
      return `${two(h)}:${two(m)}:${(seconds % 60).toFixed(3).padStart(6, '0')};${f}`;
    });
    const outcome = readGaugeFile(['Time;Force (N)', ...rows].join('\n'), 'pull.csv');
    if (outcome.kind === 'refused') throw new Error(outcome.issues[0]?.message);
    close(outcome.trace.time, 0, 1);
    expect(outcome.warnings).toEqual([
      'pull.csv: line 8: the clock is taken to have passed midnight',
    ]);
  });

  it('with blank lines at the end, and separators that close each line', () => {
    const rows = SAMPLES.map(([t, f]) => `${t.toFixed(1)};${f};`);
    const trace = traceIn(['Time (s);Force (N);', ...rows, '', ';;', ' ', ''].join('\r\n'));
    close(trace.force, 1, 1);
  });

  it('with other columns, which are named as not read', () => {
    const rows = SAMPLES.map(([t, f]) => `${t.toFixed(1)},21.5,${f},ok`);
    const outcome = readGaugeFile(
      ['Time (s),Temp (C),Force (N),State', ...rows].join('\n'),
      'pull.csv',
    );
    expect(outcome.kind === 'ok' && outcome.warnings).toEqual([
      'pull.csv: line 1: not read: columns "Temp (C)", "State"',
    ]);
  });

  it('with a gap, which is told', () => {
    const rows = SAMPLES.map(([t, f], i) => `${(t + (i > 5 ? 3 : 0)).toFixed(1)},${f}`);
    const outcome = readGaugeFile(['Time (s),Force (N)', ...rows].join('\n'), 'pull.csv');
    expect(outcome.kind === 'ok' && outcome.warnings).toEqual([
      'pull.csv: line 8: nothing was recorded from 0.5 s to 3.6 s; usual is a sample every 0.1 s',
    ]);
  });
});

describe('a gauge file is refused', () => {
  const good = tableText('Time (s),Force (N)', 2);
  const withLine = (index: number, line: string) => good.split('\n').with(index, line).join('\n');

  it.each([
    [
      'no unit of time',
      good.replace('Time (s)', 'Time'),
      'pull.csv line 1 column Time: no unit; allowed: s, ms, min, h, as in "Time (s)"; or clock times hh:mm:ss.sss',
    ],
    [
      'no unit of force',
      good.replace('Force (N)', 'Force'),
      'pull.csv line 1 column Force: no unit; allowed: N, kN, lbf, ozf, kgf, as in "Force (N)"',
    ],
    [
      'a mass for a force',
      good.replace('(N)', '(kg)'),
      '"kg": kg is the unit of a mass; write N or kgf for a force; allowed: N, kN, lbf, ozf, kgf',
    ],
    ['pounds', good.replace('(N)', '(lb)'), 'write lbf'],
    [
      'gram-force, which the units do not know',
      good.replace('(N)', '(gf)'),
      'the unit gf is not known here',
    ],
    [
      'no column of force',
      good.replace('Force (N)', 'Voltage (V)'),
      'pull.csv line 1: headings "Time (s)", "Voltage (V)"; allowed: a column of force',
    ],
    ['no headings', good.split('\n').slice(1).join('\n'), 'no headings of time and force'],
    [
      'two columns of force',
      tableText('Time (s),Force (N),Load (N)', 3),
      '"Force (N)" and "Load (N)"; allowed: one column of force',
    ],
    [
      'a word',
      withLine(4, '0.3,OVER'),
      'pull.csv line 5 column Force (N): "OVER"; allowed: a number with a decimal point',
    ],
    ['no value', withLine(4, '0.3,'), 'pull.csv line 5 column Force (N): no value'],
    ['NaN', withLine(4, '0.3,NaN'), 'line 5 column Force (N): "NaN"'],
    ['more than every range', withLine(4, '0.3,1e999'), 'line 5 column Force (N): "1e999"'],
    [
      'more than any force',
      withLine(4, '0.3,1e12'),
      'line 5 column Force (N): "1e12"; allowed: at most',
    ],
    [
      'a cut line',
      withLine(12, '1.1'),
      'pull.csv line 13: "1.1"; allowed: 2 values, as the headings say, separated by comma',
    ],
    [
      'a blank line within',
      withLine(6, ''),
      'pull.csv line 7: a blank line; allowed: a sample on every line',
    ],
    [
      'times out of order',
      withLine(6, '0.1,3'),
      'pull.csv line 7 column Time (s): "0.1"; allowed: a later time than "0.400" of line 6',
    ],
    [
      'a time twice',
      withLine(6, '0.4,3'),
      'pull.csv line 7 column Time (s): "0.4" again; allowed: a later time',
    ],
    ['a quote that does not close', withLine(6, '0.5,"3'), 'quotation marks'],
    [
      'decimal commas between commas',
      tableText('Time (s),Force (N)', 2, { comma: true }),
      'decimal commas need another separator',
    ],
    [
      'both decimal signs',
      withLine(6, '0.5,"3,5"'),
      'pull.csv line 7 column Force (N): "3,5"; allowed: a number with a decimal point',
    ],
    [
      'a null character',
      withLine(6, '0.5,\u0000'),
      'pull.csv line 7: a null character; allowed: text in UTF-8',
    ],
    [
      'too few samples',
      good.split('\n').slice(0, 8).join('\n'),
      'pull.csv: 7 samples; allowed: at least 10 samples',
    ],
    ['nothing', ' \n\n', 'an empty file'],
    [
      'a clock without seconds',
      withLine(1, '10:01,3').replace('Time (s)', 'Time (hh:mm:ss)'),
      'line 2 column Time (hh:mm:ss): "10:01"; allowed: a clock time hh:mm:ss.sss',
    ],
  ])('with %s', (_what, text, said) => {
    expect(messagesIn(text).join('\n')).toContain(said);
  });

  it('where every comma could also separate thousands', () => {
    const rows = SAMPLES.map((_, i) => `${i + 1};${i + 1},250`);
    expect(messagesIn(['Time (s);Force (N)', ...rows].join('\n'))[0]).toContain(
      'decimal comma or as thousands',
    );
  });

  it('beyond its greatest size, without looking at it', () => {
    expect(messagesIn('x'.repeat(20_000_001))[0]).toContain('allowed: at most 20000000 characters');
  });

  it('with every bad line named, and those beyond twenty counted', () => {
    const rows = Array.from({ length: 40 }, (_, i) => `${i},bad`);
    const issues = issuesIn(['Time (s),Force (N)', ...rows].join('\n'));
    expect(issues).toHaveLength(21);
    expect(issues.map(({ line }) => line).slice(0, 20)).toEqual(
      Array.from({ length: 20 }, (_, i) => i + 2),
    );
    expect(issues[20]?.actual).toBe('20 more such lines');
  });
});

describe('whatever the text is', () => {
  const piece = fc.oneof(
    fc.constantFrom(
      'Time (s)',
      'Force (N)',
      'Weg (mm)',
      'Zeit [ms]',
      'F / kN',
      's',
      'N',
      '12:00:01.5',
    ),
    fc.constantFrom('"', '""', '\u0000', '\ufeff', '1,5', '1.234,5', '-', '\u2212', '1e400', '--5'),
    fc.double().map(String),
    fc.integer({ min: -1000, max: 1000 }).map(String),
    fc.string({ maxLength: 6 }),
  );
  const text = fc
    .array(fc.array(piece, { minLength: 1, maxLength: 4 }), { maxLength: 30 })
    .chain((rows) =>
      fc
        .tuple(fc.constantFrom(',', ';', '\t', ' '), fc.constantFrom('\n', '\r\n', '\r'))
        .map(([separator, end]) => rows.map((row) => row.join(separator)).join(end)),
    );

  it('reading never throws, and what it gives is finite, rising and whole', () => {
    fc.assert(
      fc.property(text, fc.boolean(), (body, headed) => {
        const outcome = readGaugeFile(headed ? `Time (s);Force (N)\n${body}` : body, 'x.csv');
        if (outcome.kind === 'refused') {
          expect(outcome.issues.length).toBeGreaterThan(0);
          for (const { message } of outcome.issues) expect(message).toContain('; allowed: ');
          return;
        }
        const { time, force } = outcome.trace;
        expect(force).toHaveLength(time.length);
        expect([...time, ...force].every(Number.isFinite)).toBe(true);
        expect(time.every((t, i) => i === 0 || t > (time[i - 1] ?? 0))).toBe(true);
      }),
      { seed: 501, numRuns: 400 },
    );
  });

  it('a table reads the same with quotation marks about its numbers and without', () => {
    const value = fc.integer({ min: -9999, max: 9999 }).map((v) => (v / 8).toFixed(3));
    fc.assert(
      fc.property(
        fc.array(value, { minLength: 10, maxLength: 30 }),
        fc.constantFrom(',', ';', '\t', ' '),
        (values, separator) => {
          const text = (quote: string) =>
            [
              ['Time_s', 'Force_N'].join(separator),
              ...values.map((v, i) => `${i}${separator}${quote}${v}${quote}`),
            ].join('\n');
          expect(traceIn(text('"'))).toEqual(traceIn(text('')));
        },
      ),
      { seed: 503, numRuns: 60 },
    );
  });

  it('numbers written with either decimal sign come back as they were', () => {
    const value = fc.double({ min: -1e6, max: 1e6, noNaN: true });
    fc.assert(
      fc.property(
        fc.array(value, { minLength: 10, maxLength: 30 }),
        fc.boolean(),
        (values, comma) => {
          const written = values
            .map((v) => (v + 0).toFixed(4))
            .map((v) => (comma ? v.replace('.', ',') : v));
          const rows = written.map((v, i) => `${i}${comma ? ',0' : '.0'};${v}`);
          const { force } = traceIn(['Zeit (s);Kraft (N)', ...rows].join('\n'));
          expect(force).toEqual(values.map((v) => Number((v + 0).toFixed(4)) + 0));
        },
      ),
      { seed: 502, numRuns: 100 },
    );
  });
});
