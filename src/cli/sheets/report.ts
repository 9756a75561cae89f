/** The sheet of `standstill check`: every finding in a row, then what governs, then the cautions. */

import type { Amount, CheckReport, Finding, Verdict } from '../../analysis/index.js';
import { clauseTitle, frictionText, modeText, proofText, proofWord } from '../../analysis/index.js';
import type { UnitSystem } from '../../units/index.js';
import { toneOf, verdictSpan } from '../marks.js';
import type { Line, Page, Span } from '../page.js';
import { amountLines, signedLines } from '../quantities.js';
import type { Cell } from '../sheet.js';
import {
  BLANK,
  cautionLines,
  item,
  labelled,
  paragraph,
  section,
  span,
  spread,
  table,
} from '../sheet.js';

export interface ReportSheet {
  readonly report: CheckReport;
  /** the cart file as the user named it */
  readonly file: string;
  readonly units: UnitSystem;
}

/** From here on clause and id have columns of their own. */
const WIDE = 110;
/** Longest label plus two. */
const LABELS = { indent: 2, label: 11 };

const WORST_FIRST: readonly Verdict[] = [
  'fails',
  'not decided',
  'depends on friction',
  'holds',
  'not applicable',
];

/** '1 fails, 2 hold', worst first. */
function tally(findings: readonly Finding[]): string {
  const words: Readonly<Record<Verdict, readonly [string, string]>> = {
    fails: ['fails', 'fail'],
    'not decided': ['not decided', 'not decided'],
    'depends on friction': ['depends on friction', 'depend on friction'],
    holds: ['holds', 'hold'],
    'not applicable': ['does not apply', 'do not apply'],
  };
  return WORST_FIRST.map((verdict) => {
    const count = findings.filter((finding) => finding.verdict === verdict).length;
    return count === 0 ? '' : `${count} ${words[verdict][count === 1 ? 0 : 1]}`;
  })
    .filter((part) => part !== '')
    .join(', ');
}

function header(page: Page, { report, file }: ReportSheet): Line[] {
  const { id, title } = report.requirementSet;
  return [
    ...spread(page, report.cart, 'strong', [verdictSpan(page, report.verdict)]),
    ...paragraph(page, `${title} (${id})`),
    ...paragraph(page, file, 0, 'quiet'),
    ...paragraph(page, `${report.findings.length} findings: ${tally(report.findings)}`),
  ];
}

function amountCell(page: Page, amount: Amount | null, units: UnitSystem): Cell {
  return amount === null
    ? [span(page, '-', 'quiet')]
    : amountLines(amount, units).map((text) => span(page, text));
}

/** Where the clause limits from above, what stands in this column is its limit: '≤ 200 N'. */
function capacityCell(page: Page, { capacity, sense }: Finding, units: UnitSystem): Cell {
  const cell = amountCell(page, capacity, units);
  if (sense === 'at least' || capacity === null) return cell;
  return cell.map(({ text }) => span(page, `≤ ${text}`));
}

function marginCell(page: Page, finding: Finding, units: UnitSystem): Cell {
  if (finding.margin === null) return [span(page, '-', 'quiet')];
  const tone = finding.verdict === 'holds' ? 'plain' : toneOf(finding.verdict);
  return signedLines(finding.margin, units).map((text) => span(page, text, tone));
}

function figures(page: Page, finding: Finding, units: UnitSystem): Cell[] {
  return [
    amountCell(page, finding.demand, units),
    capacityCell(page, finding, units),
    marginCell(page, finding, units),
    [span(page, proofWord(finding.proof), 'quiet')],
  ];
}

const FIGURES = [
  { heading: 'demand', align: 'right' },
  { heading: 'capacity', align: 'right' },
  { heading: 'margin', align: 'right' },
  { heading: 'worst case', align: 'left' },
] as const;

/** Shape, word and clause in a column of three short lines: 'depends on friction' is too long for one. */
function narrowVerdict(page: Page, finding: Finding): Span[] {
  const { text, tone } = verdictSpan(page, finding.verdict);
  const indent = ' '.repeat(page.unicode ? 2 : 4);
  const words =
    finding.verdict === 'depends on friction'
      ? [text.replace(' friction', ''), `${indent}friction`]
      : [text];
  return [
    ...words.map((word): Span => ({ text: word, tone })),
    span(page, indent + finding.requirement.clause, 'quiet'),
  ];
}

function narrowTable(page: Page, findings: readonly Finding[], units: UnitSystem): Line[] {
  const columns = [
    { heading: 'verdict', align: 'left' },
    { heading: 'finding', align: 'left' },
    ...FIGURES.map((column) =>
      column.heading === 'worst case' ? { ...column, heading: 'worst' } : column,
    ),
  ] as const;
  const rows = findings.map((finding) => [
    narrowVerdict(page, finding),
    [span(page, finding.title), span(page, finding.id, 'quiet')],
    ...figures(page, finding, units),
  ]);
  return table(page, columns, rows, 1);
}

function wideTable(page: Page, findings: readonly Finding[], units: UnitSystem): Line[] {
  const columns = [
    { heading: 'verdict', align: 'left' },
    { heading: 'clause', align: 'left' },
    { heading: 'finding', align: 'left' },
    ...FIGURES,
  ] as const;
  const rows = findings.map((finding) => [
    [verdictSpan(page, finding.verdict)],
    [span(page, finding.requirement.clause)],
    [span(page, finding.title), span(page, finding.id, 'quiet')],
    ...figures(page, finding, units),
  ]);
  return table(page, columns, rows, 2);
}

/** Margin over demand: comparable between clauses of different units. */
function relativeMargin({ demand, margin }: Finding): number {
  if (demand === null || margin === null || demand.value === 0) return Number.POSITIVE_INFINITY;
  return margin.value / Math.abs(demand.value);
}

/** The findings to act on, worst first; where everything holds, the one with the thinnest margin. */
export function governing(findings: readonly Finding[]): Finding[] {
  const open = WORST_FIRST.slice(0, 3).flatMap((verdict) =>
    findings.filter((finding) => finding.verdict === verdict),
  );
  if (open.length > 0) return open;
  return findings
    .filter((finding) => finding.verdict === 'holds' && finding.margin !== null)
    .toSorted((a, b) => relativeMargin(a) - relativeMargin(b))
    .slice(0, 1);
}

function detail(page: Page, finding: Finding, units: UnitSystem): Line[] {
  const say = (label: string, text: string) => labelled(page, label, text, LABELS);
  const { mode, worst, frictionNeeded, leastFavourable, restsOn } = finding;
  return [
    ...spread(page, clauseTitle(finding.requirement.clause, finding.title), 'strong', [
      verdictSpan(page, finding.verdict),
    ]),
    ...paragraph(page, finding.because, LABELS.indent),
    ...(mode === null ? [] : say('how', modeText(mode, units))),
    ...(worst === null ? [] : say('worst', worst.words)),
    ...(frictionNeeded === null ? [] : say('friction', frictionText(frictionNeeded))),
    ...(finding.verdict === 'not applicable'
      ? []
      : say('bound', proofText(finding.proof, finding.sense, units))),
    ...(leastFavourable === null
      ? []
      : say(
          'uneven',
          `${amountLines(leastFavourable.capacity, units).join(' / ')}: ${leastFavourable.words}`,
        )),
    ...restsOn.flatMap((text, i) => say(i === 0 ? 'rests on' : '', text)),
  ];
}

function separated(blocks: readonly (readonly Line[])[]): Line[] {
  return blocks.flatMap((block, i) => (i === 0 ? block : [BLANK, ...block]));
}

export function reportSheet(page: Page, sheet: ReportSheet): Line[] {
  const { report, units } = sheet;
  const asked = report.findings.filter(({ verdict }) => verdict !== 'not applicable');
  const unasked = report.findings.filter(({ verdict }) => verdict === 'not applicable');
  const rows = page.width >= WIDE ? wideTable : narrowTable;
  const governs = governing(asked);
  return [
    ...header(page, sheet),
    BLANK,
    ...(asked.length === 0 ? [] : rows(page, asked, units)),
    ...section(
      page,
      'What governs',
      separated(governs.map((finding) => detail(page, finding, units))),
    ),
    ...section(
      page,
      'Does not apply',
      unasked.flatMap((finding) =>
        item(
          page,
          `${clauseTitle(finding.requirement.clause, finding.title)}: ${finding.applicability.reason}`,
          0,
        ),
      ),
    ),
    ...cautionLines(page, report.cautions),
    BLANK,
    ...paragraph(
      page,
      `One in full, with its working: standstill finding ${sheet.file} ID`,
      0,
      'quiet',
    ),
  ];
}
