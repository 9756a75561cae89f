/** The sheet of `standstill finding`: one finding in full, with its working. */

import type { Amount, CastorShare, Finding, WorkingStep } from '../../analysis/index.js';
import {
  amountText,
  clauseTitle,
  frictionText,
  headingText,
  modeText,
  pointText,
  proofText,
  quantityText,
  worstSettings,
} from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { UnitSystem } from '../../units/index.js';
import { verdictSpan } from '../marks.js';
import type { Line, Page } from '../page.js';
import { amountLines, signedLines } from '../quantities.js';
import type { Cell, Column } from '../sheet.js';
import {
  BLANK,
  item,
  labelled,
  paragraph,
  quantityCells,
  section,
  span,
  spread,
  table,
} from '../sheet.js';

export interface FindingSheet {
  readonly finding: Finding;
  readonly cart: Cart;
  readonly cautions: readonly string[];
  readonly units: UnitSystem;
}

const LABELS = { indent: 2, label: 18 };

function indented(page: Page, lines: readonly Line[], indent: number): Line[] {
  return lines.map((line) => [span(page, ' '.repeat(indent)), ...line]);
}

/** A table set two columns in. */
function insetTable(
  page: Page,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  flexible: number,
) {
  const inset = { ...page, width: page.width - LABELS.indent };
  return indented(page, table(inset, columns, rows, flexible), LABELS.indent);
}

function requirementLines(page: Page, { requirement, applicability }: Finding): Line[] {
  const values = requirement.values.map((value) => [
    [span(page, value.id)],
    [span(page, value.text)],
    [
      span(
        page,
        value.confirmed ? 'confirmed' : `unconfirmed (${value.basis})`,
        value.confirmed ? 'plain' : 'unsure',
      ),
    ],
  ]);
  const columns = [
    { heading: 'value', align: 'left' },
    { heading: 'asked', align: 'right' },
    { heading: 'basis', align: 'left' },
  ] as const;
  return [
    ...labelled(page, 'clause', clauseTitle(requirement.clause, requirement.title), LABELS),
    ...labelled(page, 'set', requirement.set, LABELS),
    ...labelled(page, 'asks', requirement.asks, LABELS),
    ...labelled(
      page,
      applicability.applies ? 'applies' : 'does not apply',
      applicability.reason,
      LABELS,
    ),
    ...(values.length === 0 ? [] : [BLANK, ...insetTable(page, columns, values, 2)]),
  ];
}

function amountLine(page: Page, label: string, lines: readonly string[]): Line[] {
  return labelled(page, label, lines.join(' / '), LABELS);
}

function resultLines(page: Page, finding: Finding, units: UnitSystem): Line[] {
  const { demand, capacity, margin, mode, frictionNeeded, leastFavourable } = finding;
  const amount = (label: string, value: Amount | null) =>
    value === null ? [] : amountLine(page, label, amountLines(value, units));
  return [
    ...amount('demand', demand),
    ...amount(finding.sense === 'at least' ? 'capacity' : 'limit', capacity),
    ...(margin === null ? [] : amountLine(page, 'margin', signedLines(margin, units))),
    ...(mode === null ? [] : labelled(page, 'how it fails', modeText(mode, units), LABELS)),
    ...(frictionNeeded === null
      ? []
      : labelled(page, 'friction', frictionText(frictionNeeded), LABELS)),
    ...labelled(page, 'worst case', proofText(finding.proof, finding.sense, units), LABELS),
    ...(leastFavourable === null
      ? []
      : labelled(
          page,
          'uneven floor',
          `${amountText(leastFavourable.capacity, units)}: ${leastFavourable.words}`,
          LABELS,
        )),
  ];
}

function settingLines(page: Page, rows: readonly (readonly [string, string])[]): Line[] {
  const columns = [
    { heading: 'set', align: 'left' },
    { heading: 'to', align: 'left' },
  ] as const;
  const cells = rows.map((row) => row.map((text) => [span(page, text)]));
  return rows.length === 0 ? [] : insetTable(page, columns, cells, 0);
}

function worstLines(page: Page, { finding, cart, units }: FindingSheet): Line[] {
  const { worst } = finding;
  if (worst === null) return [];
  const say = (label: string, text: string) => labelled(page, label, text, LABELS);
  return [
    ...paragraph(page, worst.words, LABELS.indent),
    BLANK,
    ...say('position', worst.position),
    ...(worst.direction === null ? [] : say('direction', headingText(worst.direction, units))),
    ...(worst.point === null ? [] : say('force acts at', pointText(worst.point, units))),
    ...say('mass', quantityText(worst.mass, 'mass', units)),
    ...say('centre of mass', pointText(worst.centreOfMass, units)),
    BLANK,
    ...settingLines(page, worstSettings(worst, cart, units)),
  ];
}

function standing(page: Page, castors: readonly CastorShare[], units: UnitSystem): Line[] {
  const columns = [
    { heading: 'castor', align: 'left' },
    { heading: 'lock', align: 'left' },
    { heading: 'contact x', align: 'right' },
    { heading: 'contact y', align: 'right' },
    { heading: 'trails', align: 'left' },
  ] as const;
  const along = (axis: 0 | 1) =>
    quantityCells(
      page,
      castors.map(({ contact }) => contact[axis]),
      'length',
      units,
    );
  const [x, y] = [along(0), along(1)];
  const rows = castors.map((castor, i) => [
    [span(page, castor.name)],
    [span(page, castor.lock)],
    x[i] ?? [],
    y[i] ?? [],
    [
      span(
        page,
        castor.swivel === null
          ? 'fixed'
          : headingText(castor.swivel, units === 'both' ? 'SI' : units),
      ),
    ],
  ]);
  return insetTable(page, columns, rows, 0);
}

function carrying(page: Page, castors: readonly CastorShare[], units: UnitSystem): Line[] {
  const columns = [
    { heading: 'castor', align: 'left' },
    { heading: 'load', align: 'right' },
    { heading: 'share', align: 'right' },
    { heading: 'takes', align: 'right' },
    { heading: 'can take', align: 'right' },
    { heading: 'used', align: 'right' },
  ] as const;
  const column = (values: readonly (number | null)[]) =>
    quantityCells(page, values, 'force', units);
  const taken = castors.map(({ force }) => (force === null ? null : Math.hypot(...force)));
  const loads = column(castors.map(({ load }) => load));
  const takes = column(taken);
  const limits = column(castors.map(({ limit }) => limit));
  const rows = castors.map((castor, i) => [
    [span(page, castor.name)],
    loads[i] ?? [],
    [span(page, percent(castor.share))],
    takes[i] ?? [],
    limits[i] ?? [],
    [span(page, usedText(taken[i] ?? null, castor.limit))],
  ]);
  return insetTable(page, columns, rows, 0);
}

function usedText(takes: number | null, limit: number | null): string {
  return takes === null || limit === null || limit === 0 ? '-' : percent(takes / limit);
}

function percent(ratio: number): string {
  return `${Math.round(ratio * 100)} %`;
}

function castorLines(page: Page, castors: readonly CastorShare[], units: UnitSystem): Line[] {
  if (castors.length === 0) return [];
  return [...standing(page, castors, units), BLANK, ...carrying(page, castors, units)];
}

function stepLines(page: Page, step: WorkingStep, index: number, units: UnitSystem): Line[] {
  const number = `${index + 1}`;
  const indent = LABELS.indent + 4;
  const value = amountText(step.value, units);
  return [
    ...(index === 0 ? [] : [BLANK]),
    ...labelled(page, number, step.text, { indent: LABELS.indent, label: 4 }),
    ...paragraph(page, step.formula, indent),
    ...(step.substituted === '' ? [] : paragraph(page, `= ${step.substituted}`, indent + 2)),
    ...paragraph(page, `= ${value}`, indent + 2, 'strong'),
  ];
}

function header(page: Page, { finding, cart }: FindingSheet): Line[] {
  return [
    ...spread(page, finding.title, 'strong', [verdictSpan(page, finding.verdict)]),
    ...paragraph(page, `${cart.name}, finding ${finding.id}`, 0, 'quiet'),
    BLANK,
    ...paragraph(page, finding.because),
  ];
}

export function findingSheet(page: Page, sheet: FindingSheet): Line[] {
  const { finding, units, cautions } = sheet;
  const list = (texts: readonly string[]) =>
    texts.flatMap((text) => item(page, text, LABELS.indent));
  const steps = finding.working.flatMap((step, i) => stepLines(page, step, i, units));
  const applies = finding.verdict !== 'not applicable';
  return [
    ...header(page, sheet),
    ...section(page, 'What is asked', requirementLines(page, finding)),
    ...section(page, 'Result', applies ? resultLines(page, finding, units) : []),
    ...section(page, 'Worst configuration', worstLines(page, sheet)),
    ...section(page, 'Castors at the capacity', castorLines(page, finding.castors, units)),
    ...section(page, 'Working', steps),
    ...section(page, 'Rests on', list(finding.restsOn)),
    ...section(page, 'Notes', list(finding.notes)),
    ...section(page, 'Cautions', list(cautions)),
  ];
}
