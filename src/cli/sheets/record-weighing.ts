/** The sheet of `standstill records weigh`: the sample against its cart file, and every prediction redone. */

import type { Dimension } from '../../analysis/index.js';
import { CAUTIONS, quantityText } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import type { Difference, Reconciliation } from '../../judgement/index.js';
import type { FrictionResult, WeighingResult } from '../../metrology/index.js';
import { differenceTexts, expanded, measuredText, measuredTexts } from '../../metrology/index.js';
import type { Prediction, TestRun } from '../../test-plan/index.js';
import type {
  FrictionBody,
  ProjectState,
  RecordState,
  SampleBody,
  WeighingBody,
} from '../../test-record/index.js';
import { recordTitle, subjectTitle } from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { localText } from '../local-time.js';
import { verdictSpan } from '../marks.js';
import type { Line, Page } from '../page.js';
import { amountLines } from '../quantities.js';
import { shortId } from '../record-names.js';
import type { Cell } from '../sheet.js';
import {
  cautionLines,
  item,
  labelled,
  paragraph,
  quantityCells,
  rule,
  section,
  span,
  spread,
  table,
} from '../sheet.js';

export interface Weighed {
  readonly record: RecordState<WeighingBody>;
  readonly result: WeighingResult;
  readonly reconciliation: Reconciliation;
}

export interface FrictionTest {
  readonly tread: string;
  readonly record: RecordState<FrictionBody>;
  readonly result: FrictionResult;
}

export interface PredictedAgain {
  /** as planned, with its prediction of then */
  readonly run: TestRun;
  /** for the cart as measured */
  readonly prediction: Prediction;
}

export interface WeighingSheet {
  readonly state: ProjectState;
  readonly sample: RecordState<SampleBody>;
  readonly cart: Cart;
  /** null: it was not weighed */
  readonly weighed: Weighed | null;
  readonly frictions: readonly FrictionTest[];
  readonly again: readonly PredictedAgain[];
  readonly units: UnitSystem;
}

const LABELS = { indent: 2, label: 12 };

export function weighingSheet(page: Page, sheet: WeighingSheet): Line[] {
  const { state, sample, weighed } = sheet;
  const { name, cart } = sample.content;
  return [
    ...spread(page, `${recordTitle(state, sample)}: ${name}`, 'strong', [fitSpan(page, weighed)]),
    rule(page),
    ...labelled(page, 'built to', subjectTitle(state, cart), LABELS),
    ...(weighed === null
      ? labelled(page, 'weighed', 'not yet', LABELS)
      : labelled(page, 'weighed', whenWords(weighed.record), LABELS)),
    ...(weighed === null ? [] : weighedLines(page, weighed, sheet.units)),
    ...section(page, 'Friction', frictionLines(page, sheet)),
    ...section(page, 'Predictions for the cart as measured', againLines(page, sheet)),
    ...cautionLines(page, CAUTIONS),
  ];
}

function fitSpan(page: Page, weighed: Weighed | null) {
  if (weighed === null) return span(page, 'not weighed', 'quiet');
  return weighed.reconciliation.fits
    ? span(page, 'fits the cart file', 'good')
    : span(page, 'does not fit the cart file', 'bad');
}

function whenWords({ content, subject }: RecordState<WeighingBody | FrictionBody>): string {
  return `${localText(content.taken)} by ${content.operator}, record ${shortId(subject)}`;
}

function weighedLines(page: Page, { result, reconciliation }: Weighed, units: UnitSystem): Line[] {
  const { differences, parts, remarks } = reconciliation;
  return [
    ...section(page, 'Weighed', [
      ...differenceTable(page, differences, units),
      ...paragraph(
        page,
        'Frame of the cart file; height above the floor. |En| above 1: they disagree.',
        0,
        'quiet',
      ),
    ]),
    ...section(page, 'Tilts', tiltLines(page, result, units)),
    ...section(
      page,
      'Masses of the parts, adjusted within their tolerances',
      partTable(page, parts, units),
    ),
    ...section(
      page,
      'Remarks',
      [...new Set([...result.remarks, ...remarks])].flatMap((remark) => item(page, remark, 0)),
    ),
  ];
}

const DIFFERENCE_COLUMNS = [
  { heading: '', align: 'left' },
  { heading: 'cart file', align: 'right' },
  { heading: 'measured (95.45 %)', align: 'right' },
  { heading: 'difference', align: 'right' },
  { heading: '|En|', align: 'right' },
  { heading: 'left when adjusted', align: 'right' },
] as const;

function differenceTable(
  page: Page,
  differences: readonly Difference[],
  units: UnitSystem,
): Line[] {
  const rows = differences.map((each): Cell[] => {
    const dimension: Dimension = each.quantity === 'mass' ? 'mass' : 'length';
    const lines = (texts: readonly string[]) => texts.map((text) => span(page, text));
    const { U } = expanded(each.measured);
    const signed = (value: number) => lines(differenceTexts(value, U, dimension, units));
    return [
      [span(page, each.quantity)],
      lines(measuredTexts(each.model, dimension, units)),
      lines(measuredTexts(each.measured, dimension, units)),
      signed(each.difference),
      [span(page, Number.isFinite(each.normalised) ? each.normalised.toFixed(2) : '∞')],
      signed(each.left),
    ];
  });
  return table(page, DIFFERENCE_COLUMNS, rows, 1);
}

function tiltLines(page: Page, { line, height }: WeighingResult, units: UnitSystem): Line[] {
  if (line === null || height === null) return [];
  const { points, slope, upDown, base } = line;
  return [
    ...labelled(
      page,
      'line',
      `${points.length} tilts, ${measuredText(slope, 'mass', units)} for each 1 of tan(tilt), rows ${quantityText(base, 'length', units)} apart`,
      LABELS,
    ),
    ...labelled(page, 'height', measuredText(height, 'length', units), LABELS),
    ...(upDown === null
      ? []
      : labelled(page, 'up and down', `${quantityText(upDown, 'mass', units)} apart`, LABELS)),
  ];
}

const PART_COLUMNS = [
  { heading: 'part', align: 'left' },
  { heading: 'stated', align: 'right' },
  { heading: 'tolerance', align: 'right' },
  { heading: 'adjusted', align: 'right' },
  { heading: '', align: 'left' },
] as const;

function partTable(page: Page, parts: Reconciliation['parts'], units: UnitSystem): Line[] {
  const shown = parts.filter(({ tolerance }) => tolerance > 0);
  if (shown.length === 0) {
    return paragraph(page, 'No part has a tolerance in the cart file, so none is adjusted.');
  }
  const cells = (values: readonly number[]) => quantityCells(page, values, 'mass', units);
  const stated = cells(shown.map((part) => part.stated));
  const tolerances = cells(shown.map((part) => part.tolerance));
  const adjusted = cells(shown.map((part) => part.adjusted));
  const rows = shown.map(({ name, atLimit }, i): Cell[] => [
    [span(page, name)],
    stated[i] ?? [],
    tolerances[i] ?? [],
    adjusted[i] ?? [],
    [span(page, atLimit ? 'at the end of its tolerance' : '', 'unsure')],
  ]);
  return table(page, PART_COLUMNS, rows, 0);
}

function frictionLines(page: Page, { frictions, cart }: WeighingSheet): Line[] {
  return frictions.flatMap(({ tread, record, result }) => {
    const stated = cart.floor.friction.find((each) => each.tread === tread);
    const file = stated === undefined ? '' : `; cart file ${stated.value} ± ${stated.tolerance}`;
    return [
      ...labelled(
        page,
        tread,
        `${measuredText(result.coefficient, 'ratio', 'SI')} (95.45 %), ${result.each.length} readings${file}`,
        LABELS,
      ),
      ...labelled(page, '', `${record.content.floor}, ${whenWords(record)}`, LABELS, 'quiet'),
      ...result.remarks.flatMap((remark) => labelled(page, '', remark, LABELS, 'quiet')),
    ];
  });
}

const AGAIN_COLUMNS = [
  { heading: 'run', align: 'left' },
  { heading: 'limit', align: 'right' },
  { heading: 'as planned', align: 'right' },
  { heading: 'as measured', align: 'right' },
  { heading: '', align: 'left' },
] as const;

function againLines(page: Page, { again, units }: WeighingSheet): Line[] {
  if (again.length === 0) return paragraph(page, 'There is no plan for this revision yet.');
  const rows = again.map(({ run, prediction }): Cell[] => {
    const amount = (value: Prediction['capacity']): Cell =>
      value === null
        ? [span(page, '-', 'quiet')]
        : amountLines(value, units).map((text) => span(page, text));
    return [
      [span(page, run.id)],
      amount(prediction.demand),
      amount(run.prediction.capacity),
      amount(prediction.capacity),
      [verdictSpan(page, prediction.verdict)],
    ];
  });
  return table(page, AGAIN_COLUMNS, rows, 4);
}
