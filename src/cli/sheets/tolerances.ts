/** The sheet of `standstill tolerances`: how likely each finding passes, what matters most, what was
 * assumed, how it was computed, then the cautions. */

import type { Dimension } from '../../analysis/index.js';
import type {
  Effect,
  InputSummary,
  Probability,
  ToleranceFinding,
  ToleranceReport,
} from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';
import { formatQuantity } from '../../units/index.js';
import type { Line, Page, Span, Tone } from '../page.js';
import { countText } from '../quantities.js';
import type { Cell, Column } from '../sheet.js';
import { BLANK, cautionLines, item, paragraph, section, span, spread, table } from '../sheet.js';
import { clauseTitle } from './finding-words.js';

export interface TolerancesSheet {
  readonly report: ToleranceReport;
  /** the cart file as the user named it */
  readonly file: string;
  readonly units: UnitSystem;
}

/** A share in per cent, with as many digits as tell it from all and nothing. */
function percent(share: number): string {
  const rest = Math.min(share, 1 - share);
  const decimals = rest === 0 || rest >= 0.1 ? 1 : rest >= 0.001 ? 2 : 3;
  return `${Number((100 * share).toFixed(decimals))} %`;
}

/** The share of the trials that pass: 'all' and 'none' are counts, not certainties. */
function passing({ value }: Probability): string {
  if (value === 1) return 'all trials';
  return value === 0 ? 'no trial' : percent(value);
}

/** '82.2 to 85.5 %'; at an end what is left open: '99.91 % or more'. */
function intervalText({ value, from, to }: Probability): string {
  if (value === 1) return `${percent(from)} or more`;
  if (value === 0) return `${percent(to)} or less`;
  return `${percent(from).replace(' %', '')} to ${percent(to)}`;
}

/** @param unknown findings that cannot be judged */
function headline(together: Probability, unknown: number): string {
  if (together.value === 0) return 'no trial passes';
  const judged = unknown === 0 ? '' : ' what is judged';
  if (together.value === 1) return `all trials pass${judged}`;
  return `${percent(together.value)} pass ${unknown === 0 ? 'all' : 'what is judged'}`;
}

/** 'all pass', 'none passes', '73.6 % pass' */
function ofDrawn({ value }: Probability): string {
  if (value === 1) return 'all pass';
  return value === 0 ? 'none passes' : `${percent(value)} pass`;
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

/** Digits that belong to a standard uncertainty. */
const UNCERTAINTY_DIGITS = 2;

function text(value: number, dimension: Dimension, units: UnitSystem, digits = 4): string {
  if (dimension === 'ratio') return String(Number(value.toPrecision(digits)));
  return formatQuantity(value, dimension, units === 'both' ? 'SI' : units, { digits });
}

function both(value: number, dimension: Dimension, units: UnitSystem, digits = 4): string[] {
  if (units !== 'both' || dimension === 'ratio') return [text(value, dimension, units, digits)];
  const pair = [text(value, dimension, 'SI', digits), text(value, dimension, 'US', digits)];
  return pair[0] === pair[1] ? pair.slice(0, 1) : pair;
}

/** Mean over standard uncertainty. */
function spreadingCell(
  page: Page,
  finding: ToleranceFinding,
  which: 'demand' | 'capacity',
  units: UnitSystem,
): Cell {
  const { dimension } = finding;
  const spreading = finding[which];
  if (spreading === null || dimension === null) return [span(page, '-', 'quiet')];
  const { mean, standard } = spreading;
  const known = standard > LEAST_SHOWN * Math.abs(mean);
  const digits = known ? digitsOf(mean, standard) : 4;
  const means = both(mean, dimension, units, digits).map((each) => span(page, each));
  if (!known) return means;
  const u = both(standard, dimension, units, UNCERTAINTY_DIGITS);
  return [...means, ...u.map((each) => span(page, `u ${each}`, 'quiet'))];
}

/** A mean down to the first digit of its standard uncertainty: what follows is noise of the trials. */
function digitsOf(mean: number, standard: number): number {
  const first = (value: number): number => Math.floor(Math.log10(Math.abs(value)));
  return Math.max(2, Math.min(6, first(mean) - first(standard) + 1));
}

/** Relative: what varies less does not vary. */
const LEAST_SHOWN = 1e-9;

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

function signed(value: number, dimension: Dimension, units: UnitSystem): string[] {
  const sign = value < 0 ? '-' : '+';
  return both(Math.abs(value), dimension, units, 3).map((each) => `${sign}${each}`);
}

function changeCell(
  page: Page,
  value: number | null,
  other: number | null,
  { dimension, nominal }: ToleranceFinding,
  units: UnitSystem,
): Cell {
  if (value === null || dimension === null) return [span(page, '-', 'quiet')];
  const least = LEAST_SHOWN * Math.abs(nominal?.capacity ?? 1);
  const small = Math.abs(value) <= Math.max(least, LEAST_BESIDE * Math.abs(other ?? 0));
  if (small) return [span(page, '0', 'quiet')];
  return signed(value, dimension, units).map((each) => span(page, each));
}

/** A change this much smaller than that of the other end is none. */
const LEAST_BESIDE = 1e-3;

/** Tolerance as an engineer writes it: '0.6 +/- 0.1', or what is added to what is asked. */
function toleranceText(page: Page, input: InputSummary, units: UnitSystem): string {
  const show = (value: number): string =>
    input.dimension === 'ratio'
      ? String(Number(value.toPrecision(4)))
      : formatQuantity(value, input.dimension, units === 'both' ? 'SI' : units);
  const plusMinus = page.unicode ? '±' : '+/-';
  const tolerance = `${plusMinus}${show(input.tolerance)}`;
  return input.nominal === null ? tolerance : `${show(input.nominal)} ${tolerance}`;
}

const EFFECT_COLUMNS: readonly Column[] = [
  { heading: 'input', align: 'left' },
  { heading: 'lower end', align: 'right' },
  { heading: 'upper end', align: 'right' },
  { heading: 'total share of the variance', align: 'left' },
];

/** Rows of the ranking shown of one finding. */
const MOST_EFFECTS = 8;
/** A share below this is not told from none by so few rows. */
const LEAST_SHARE = 0.005;

function shown({ total, low, high }: Effect): boolean {
  if (total !== null) return total.value >= LEAST_SHARE;
  return low !== null && high !== null && (low !== 0 || high !== 0);
}

/** An estimate of a share of nothing may come out a little below it. */
function wholePercent(share: number): string {
  return `${Math.max(0, Math.round(100 * share))} %`;
}

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
  const effects = finding.effects.filter(shown).slice(0, MOST_EFFECTS);
  const title = clauseTitle(finding.clause, finding.title);
  const right =
    finding.probability === null ? [] : [span(page, `passes: ${passing(finding.probability)}`)];
  const left = finding.effects.length - effects.length;
  const rows = effects.map((effect) => {
    const input = report.inputs.find(({ name }) => name === effect.input);
    return [
      [
        span(page, effect.input),
        ...(input === undefined ? [] : [span(page, toleranceText(page, input, units), 'quiet')]),
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
  const others = judged.filter((finding) => finding !== governs && finding.effects.some(shown));
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

const DISTRIBUTIONS: Readonly<Record<InputSummary['distribution'], string>> = {
  rectangular: 'rectangular: anywhere within the tolerance alike',
  triangular: 'triangular: within the tolerance, more likely near the middle',
  normal: 'normal: the tolerance is two standard uncertainties',
  t: 't: the tolerance is the half-width of the 95 % interval of the mean of the readings stated',
};

/** Inputs that one entry of the file states, such as three coordinates or every stem. */
function byEntry(inputs: readonly InputSummary[]): readonly (readonly InputSummary[])[] {
  const groups = new Map<string, InputSummary[]>();
  for (const input of inputs) groups.set(input.from, [...(groups.get(input.from) ?? []), input]);
  return [...groups.values()];
}

function assumed(page: Page, { report, units }: TolerancesSheet): Line[] {
  const rows = byEntry(report.inputs).flatMap((group) => {
    const [first] = group;
    if (first === undefined) return [];
    const several =
      group.length > 1 && group.every(({ tolerance }) => tolerance === first.tolerance);
    const values = several
      ? [`${toleranceText(page, { ...first, nominal: null }, units)}, each of ${group.length}`]
      : group.map((input) => toleranceText(page, input, units));
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

function computed(page: Page, { report }: TolerancesSheet): Line[] {
  const { convergence, search, rankingRows, inputs } = report;
  const redrawn = inputs.filter((input) => input.redrawn > 0);
  const unranked = inputs.filter(({ ranked }) => !ranked).map(({ name }) => name);
  const unknown = report.findings.filter(({ kind }) => kind === 'not known');
  const sometimes = report.findings.filter(({ kind, applied }) => kind === 'judged' && applied < 1);
  const texts = [
    ...(convergence.kind === 'not converged'
      ? convergence.reasons.map((reason) => `Not converged: ${reason}. More trials: --most-trials.`)
      : []),
    'Inputs are independent of each other. Castors of one type are one batch: what is off is off in all of them alike.',
    `In every trial the worst configuration is taken from those known, not proven; in ${search.trials} trials searched afresh the reserve differed by ${search.difference === 0 ? 'nothing' : `${Number((100 * search.difference).toPrecision(2))} % at most`}.`,
    ...report.notes,
    ...unknown.map(({ id, reason }) => `${id} is not part of the probabilities. ${reason}`),
    ...sometimes.map(
      ({ id, applied }) =>
        `${id} is asked in ${percent(applied)} of the trials; where it is not asked it counts as met.`,
    ),
    ...redrawn.map(
      ({ name, redrawn: count }) =>
        `${name}: ${countText(count)} draws fell where there is no such cart and were drawn again.`,
    ),
    ...(rankingRows > 0
      ? [`Ranking from ${countText(rankingRows)} rows; its intervals are by bootstrap.`]
      : []),
    ...(unranked.length > 0 && rankingRows > 0
      ? [
          `Left out of the ranking, since they moved next to nothing wherever tried: ${unranked.join(', ')}.`,
        ]
      : []),
  ];
  return texts.flatMap((each) => item(page, each, 0));
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
