/** The sheet of `standstill tolerances`: how likely each finding passes, what matters most, what was
 * assumed, how it was computed, then the cautions. */

import { clauseTitle, countText } from '../../analysis/index.js';
import type {
  Effect,
  Probability,
  ToleranceFinding,
  ToleranceReport,
} from '../../tolerances/index.js';
import {
  byEntry,
  changeTexts,
  computedTexts,
  DISTRIBUTIONS,
  hasEffect,
  headline,
  intervalText,
  ofDrawn,
  passing,
  percent,
  spreadingTexts,
  toleranceText,
  wholePercent,
} from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';
import type { Line, Page, Span, Tone } from '../page.js';
import type { Cell, Column } from '../sheet.js';
import { BLANK, cautionLines, item, paragraph, section, span, spread, table } from '../sheet.js';

export interface TolerancesSheet {
  readonly report: ToleranceReport;
  /** the cart file as the user named it */
  readonly file: string;
  readonly units: UnitSystem;
}

function probabilityTone({ from, to }: Probability): Tone {
  if (from >= 0.95) return 'good';
  return to < 0.5 ? 'bad' : 'unsure';
}

function header(page: Page, { report, file }: TolerancesSheet): Line[] {
  const { id, title } = report.requirementSet;
  const { together, convergence, precision, trials, seed } = report;
  const unknown = report.findings.filter(({ kind }) => kind === 'not known').length;
  const every =
    unknown === 0 ? 'every finding' : `every finding that can be judged (${unknown} cannot)`;
  const right: Span[] =
    together === null
      ? [span(page, 'nothing judged', 'unsure')]
      : [span(page, headline(together, unknown), probabilityTone(together))];
  const known =
    convergence.kind === 'converged'
      ? `converged: every probability to ${percent(precision)} or better`
      : `NOT CONVERGED: ${convergence.reasons.length} ${convergence.reasons.length === 1 ? 'figure is' : 'figures are'} not known as well as wanted`;
  return [
    ...spread(page, report.cart, 'strong', right),
    ...paragraph(page, `${title} (${id})`),
    ...paragraph(page, file, 0, 'quiet'),
    ...(together === null
      ? []
      : paragraph(
          page,
          `Of carts and tests drawn from the tolerances ${ofDrawn(together)} ${every} (95 % interval: ${intervalText(together)}).`,
        )),
    ...paragraph(page, `${countText(trials)} trials, seed ${seed}; ${known}.`),
  ];
}

/** Mean over standard uncertainty. */
function spreadingCell(
  page: Page,
  finding: ToleranceFinding,
  which: 'demand' | 'capacity',
  units: UnitSystem,
): Cell {
  const texts = spreadingTexts(finding, which, units);
  if (texts === null) return [span(page, '-', 'quiet')];
  return [
    ...texts.mean.map((each) => span(page, each)),
    ...texts.standard.map((each) => span(page, `u ${each}`, 'quiet')),
  ];
}

function reserveCell(page: Page, { reserve }: ToleranceFinding): Cell {
  if (reserve === null) return [span(page, '-', 'quiet')];
  const { mean, symmetric } = reserve;
  const show = (value: number): string => value.toFixed(mean < 10 ? 3 : 1);
  return [
    span(page, show(mean)),
    span(page, `${show(symmetric.from)} to ${show(symmetric.to)}`, 'quiet'),
  ];
}

function probabilityCell(page: Page, finding: ToleranceFinding): Cell {
  const { probability, applied } = finding;
  if (probability === null) return [span(page, 'not known', 'unsure')];
  const asked: Cell = applied < 1 ? [span(page, `asked in ${percent(applied)}`, 'quiet')] : [];
  return [
    span(page, passing(probability), probabilityTone(probability)),
    span(page, intervalText(probability), 'quiet'),
    ...asked,
  ];
}

const PROBABILITY_COLUMNS: readonly Column[] = [
  { heading: 'passes', align: 'left' },
  { heading: 'finding', align: 'left' },
  { heading: 'demand', align: 'right' },
  { heading: 'capacity', align: 'right' },
  { heading: 'reserve', align: 'right' },
];

function probabilityTable(page: Page, { report, units }: TolerancesSheet): Line[] {
  const asked = report.findings.filter(({ kind }) => kind !== 'never asked');
  const rows = asked.map((finding) => [
    probabilityCell(page, finding),
    [span(page, finding.title), span(page, finding.id, 'quiet')],
    spreadingCell(page, finding, 'demand', units),
    spreadingCell(page, finding, 'capacity', units),
    reserveCell(page, finding),
  ]);
  return [
    ...table(page, PROBABILITY_COLUMNS, rows, 1),
    ...paragraph(
      page,
      'passes: share of the trials, with its 95 % interval. demand and capacity: mean and standard uncertainty u. reserve: capacity over demand (limit over demand where the clause limits from above), mean and 95 % of the trials; 1 is just enough.',
      0,
      'quiet',
    ),
  ];
}

/** Columns of the longest bar. */
const BAR = 20;

/** A bar that reads without colour, in eighths where the page can show them. */
function bar(page: Page, share: number): string {
  const length = Math.max(0, Math.min(1, share)) * BAR;
  if (!page.unicode) return '#'.repeat(Math.round(length)).padEnd(BAR, '.');
  const eighths = ['', '▏', '▎', '▍', '▌', '▋', '▊', '▉'];
  const whole = Math.floor(length);
  const part = eighths[Math.floor((length - whole) * 8)] ?? '';
  return `${'█'.repeat(whole)}${part}` || '▏';
}

function changeCell(
  page: Page,
  value: number | null,
  other: number | null,
  finding: ToleranceFinding,
  units: UnitSystem,
): Cell {
  const { tone, texts } = changeTexts(value, other, finding, units);
  return texts.map((each) => span(page, each, tone));
}

function plusMinus(page: Page): string {
  return page.unicode ? '±' : '+/-';
}

const EFFECT_COLUMNS: readonly Column[] = [
  { heading: 'input', align: 'left' },
  { heading: 'lower end', align: 'right' },
  { heading: 'upper end', align: 'right' },
  { heading: 'total share of the variance', align: 'left' },
];

/** Rows of the ranking shown of one finding. */
const MOST_EFFECTS = 8;
function shareCell(page: Page, { main, total }: Effect): Cell {
  if (total === null || main === null) return [span(page, 'not ranked', 'quiet')];
  const ends = [total.from, total.to].map((each) => wholePercent(each).replace(' %', ''));
  return [
    span(page, `${bar(page, total.value)} ${wholePercent(total.value)}`),
    span(page, `95 %: ${ends.join(' to ')} %; by itself ${wholePercent(main.value)}`, 'quiet'),
  ];
}

function ranking(page: Page, sheet: TolerancesSheet, finding: ToleranceFinding): Line[] {
  const { report, units } = sheet;
  const effects = finding.effects.filter(hasEffect).slice(0, MOST_EFFECTS);
  const title = clauseTitle(finding.clause, finding.title);
  const right =
    finding.probability === null ? [] : [span(page, `passes: ${passing(finding.probability)}`)];
  const left = finding.effects.length - effects.length;
  const rows = effects.map((effect) => {
    const input = report.inputs.find(({ name }) => name === effect.input);
    return [
      [
        span(page, effect.input),
        ...(input === undefined
          ? []
          : [span(page, toleranceText(input, units, plusMinus(page)), 'quiet')]),
      ],
      changeCell(page, effect.low, effect.high, finding, units),
      changeCell(page, effect.high, effect.low, finding, units),
      shareCell(page, effect),
    ];
  });
  return [
    ...spread(page, title, 'strong', right),
    ...(rows.length === 0
      ? paragraph(page, 'No input that is stated moves it.', 0)
      : table(page, EFFECT_COLUMNS, rows, 0)),
    ...(left > 0 && rows.length > 0
      ? paragraph(
          page,
          `${left} more ${left === 1 ? 'input' : 'inputs'} with next to no share.`,
          0,
          'quiet',
        )
      : []),
  ];
}

/** The finding that governs in full, the others with what moves them most. */
function matters(page: Page, sheet: TolerancesSheet): Line[] {
  const { report, units } = sheet;
  const judged = report.findings.filter(({ kind }) => kind === 'judged');
  const governs = judged.find(({ id }) => id === report.governing);
  if (governs === undefined) return [];
  const others = judged.filter((finding) => finding !== governs && finding.effects.some(hasEffect));
  const rows = others.map((finding) => {
    const [first] = finding.effects;
    return [
      [span(page, finding.title)],
      [span(page, first?.input ?? '-')],
      first === undefined ? [] : changeCell(page, first.low, first.high, finding, units),
      first === undefined ? [] : changeCell(page, first.high, first.low, finding, units),
      [span(page, first?.total == null ? '-' : wholePercent(first.total.value))],
    ];
  });
  return [
    ...ranking(page, sheet, governs),
    ...(rows.length === 0 ? [] : [BLANK, ...table(page, OTHER_COLUMNS, rows, 0)]),
    ...paragraph(
      page,
      "lower and upper end: change of the finding with this input alone at either end of its tolerance, all others as stated; + is safer. total share: what would stay of the variance of the reserve if all other inputs were known exactly (Sobol' total index).",
      0,
      'quiet',
    ),
  ];
}

const OTHER_COLUMNS: readonly Column[] = [
  { heading: 'other findings', align: 'left' },
  { heading: 'moved most by', align: 'left' },
  { heading: 'lower end', align: 'right' },
  { heading: 'upper end', align: 'right' },
  { heading: 'share', align: 'right' },
];

const INPUT_COLUMNS: readonly Column[] = [
  { heading: 'stated at', align: 'left' },
  { heading: 'value and tolerance', align: 'left' },
  { heading: 'distribution', align: 'left' },
];

function assumed(page: Page, { report, units }: TolerancesSheet): Line[] {
  const rows = byEntry(report.inputs).flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const several =
      group.length > 1 && group.every(({ tolerance }) => tolerance === first.tolerance);
    const values = several
      ? [
          `${toleranceText({ ...first, nominal: null }, units, plusMinus(page))}, each of ${group.length}`,
        ]
      : group.map((input) => toleranceText(input, units, plusMinus(page)));
    return [
      [
        [span(page, first.from)],
        values.map((each) => span(page, each)),
        [span(page, first.distribution)],
      ],
    ];
  });
  const used = new Set(report.inputs.map(({ distribution }) => distribution));
  const meanings = [...used].map((distribution) => DISTRIBUTIONS[distribution]).join('; ');
  return [
    ...table(page, INPUT_COLUMNS, rows, 0),
    ...paragraph(
      page,
      `${meanings}. Nothing else varies: what has no tolerance in the file is taken as stated.`,
      0,
      'quiet',
    ),
  ];
}

/** What to do where the trials did not suffice. */
const MORE_TRIALS = ' More trials: --most-trials.';

function computed(page: Page, { report }: TolerancesSheet): Line[] {
  return computedTexts(report, MORE_TRIALS).flatMap((each) => item(page, each, 0));
}

function neverAsked(page: Page, { report }: TolerancesSheet): Line[] {
  return report.findings
    .filter(({ kind }) => kind === 'never asked')
    .flatMap(({ clause, title, reason }) =>
      item(page, `${clauseTitle(clause, title)}: ${reason}`, 0),
    );
}

export function tolerancesSheet(page: Page, sheet: TolerancesSheet): Line[] {
  const { report } = sheet;
  return [
    ...header(page, sheet),
    BLANK,
    ...probabilityTable(page, sheet),
    ...section(page, 'What matters most', matters(page, sheet)),
    ...section(page, 'What was assumed', assumed(page, sheet)),
    ...section(page, 'How it was computed', computed(page, sheet)),
    ...section(page, 'Never asked', neverAsked(page, sheet)),
    ...cautionLines(page, report.cautions),
  ];
}
