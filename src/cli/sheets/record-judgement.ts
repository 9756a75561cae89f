/** The sheet of `standstill records judge`: what was measured, against what is asked and predicted. */

import type { Dimension } from '../../analysis/index.js';
import { CAUTIONS } from '../../analysis/index.js';
import type {
  Agreement,
  CommonCause,
  CriterionJudgement,
  JudgedRecord,
  PlanOverview,
} from '../../judgement/index.js';
import { measuredTexts, ruleWords } from '../../metrology/index.js';
import type { TestRun } from '../../test-plan/index.js';
import type { ProjectState } from '../../test-record/index.js';
import { recordOf, subjectTitle } from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { decisionSpan } from '../marks.js';
import type { Line, Page } from '../page.js';
import { amountLines } from '../quantities.js';
import { together } from '../reading-remarks.js';
import { shortId } from '../record-names.js';
import type { Cell } from '../sheet.js';
import {
  cautionLines,
  item,
  labelled,
  paragraph,
  rule,
  section,
  span,
  spread,
  table,
} from '../sheet.js';

export interface ComparedRun {
  readonly run: TestRun;
  readonly agreement: Agreement;
}

export interface JudgementSheet {
  readonly state: ProjectState;
  readonly overview: PlanOverview;
  readonly compared: readonly ComparedRun[];
  readonly inAll: CommonCause;
  readonly units: UnitSystem;
}

const LABELS = { indent: 2, label: 10 };

export function judgementSheet(page: Page, sheet: JudgementSheet): Line[] {
  const { state, overview } = sheet;
  const { plan, runs, counts, decision } = overview;
  const done = runs.length - counts['not done'];
  const project = recordOf(state, 'project', state.id)?.content.name ?? '';
  return [
    ...spread(page, `${project}: ${plan.content.name}`, 'strong', [decisionSpan(page, decision)]),
    rule(page),
    ...labelled(page, 'cart', subjectTitle(state, plan.content.cart), LABELS),
    ...labelled(page, 'asked by', plan.content.plan.requirementSet.title, LABELS),
    ...labelled(page, 'rule', ruleWords(plan.content.plan.rule), LABELS),
    ...labelled(page, 'runs', `${done} of ${runs.length} done`, LABELS),
    ...section(page, 'Measured', decisionTable(page, sheet)),
    ...section(
      page,
      'Why',
      runs.flatMap(({ done: all }) => whyLines(page, all.at(-1), sheet)),
    ),
    ...section(page, 'Predicted and measured', agreementLines(page, sheet)),
    ...cautionLines(page, CAUTIONS),
  ];
}

const DECISION_COLUMNS = [
  { heading: 'run', align: 'left' },
  { heading: 'criterion', align: 'left' },
  { heading: 'asked', align: 'right' },
  { heading: 'measured (95.45 %)', align: 'right' },
  { heading: 'risk', align: 'right' },
  { heading: 'decision', align: 'left' },
] as const;

function decisionTable(page: Page, { overview, units }: JudgementSheet): Line[] {
  const rows = overview.runs.flatMap(({ run, done }) => {
    const criteria = done.at(-1)?.judgement.criteria ?? [];
    return criteria.map((criterion, i): Cell[] => [
      [span(page, i === 0 ? run.id : '')],
      ...criterionCells(page, criterion, units),
    ]);
  });
  if (rows.length === 0) return paragraph(page, 'Nothing was recorded yet.');
  return [
    ...table(page, DECISION_COLUMNS, rows, 0),
    ...paragraph(page, 'risk: chance that the decision is wrong, as measured', 0, 'quiet'),
  ];
}

function criterionCells(
  page: Page,
  { criterion, decision, measured, dimension, conformity }: CriterionJudgement,
  units: UnitSystem,
): Cell[] {
  const dash: Cell = [span(page, '-', 'quiet')];
  const lines = (texts: readonly string[]): Cell => texts.map((text) => span(page, text));
  const sense = criterion.sense === 'at least' ? '≥' : '≤';
  return [
    lines([criterion.id]),
    criterion.limit === null
      ? dash
      : lines(amountLines(criterion.limit, units).map((text) => `${sense} ${text}`)),
    measured === null || dimension === null
      ? dash
      : lines(measuredTexts(measured, dimension, units)),
    conformity?.risk === null || conformity === null ? dash : lines([chance(conformity.risk)]),
    [decisionSpan(page, decision)],
  ];
}

/** Two figures; below a ten-thousandth nobody could tell. */
export function chance(risk: number): string {
  if (risk < 1e-4) return '< 0.01 %';
  return `${Number((risk * 100).toPrecision(2))} %`;
}

function whyLines(page: Page, last: JudgedRecord | undefined, { state }: JudgementSheet): Line[] {
  if (last === undefined) return [];
  const { record, judgement } = last;
  const sample = subjectTitle(state, record.content.sample);
  return [
    ...spread(
      page,
      `${record.content.run}, ${sample}, record ${shortId(record.subject)}`,
      'plain',
      [decisionSpan(page, judgement.decision)],
    ),
    ...judgement.criteria.flatMap(({ because }) => item(page, because, 2)),
    ...together(judgement.remarks).flatMap((remark) => item(page, remark, 2, 'quiet')),
  ];
}

const AGREEMENT_COLUMNS = [
  { heading: 'run', align: 'left' },
  { heading: 'predicted', align: 'right' },
  { heading: 'measured', align: 'right' },
  { heading: '|En|', align: 'right' },
  { heading: 'they', align: 'left' },
] as const;

function agreementLines(page: Page, { compared, inAll, units }: JudgementSheet): Line[] {
  if (compared.length === 0) return [];
  const rows = compared.map(({ run, agreement }): Cell[] => {
    const dimension: Dimension = run.prediction.capacity?.dimension ?? 'ratio';
    const { predicted, measured, isBound, normalised, says } = agreement;
    const bound = isBound ? '≥ ' : '';
    return [
      [span(page, run.id)],
      measuredTexts(predicted, dimension, units).map((text) => span(page, text)),
      measuredTexts(measured, dimension, units).map((text) => span(page, bound + text)),
      [span(page, Number.isFinite(normalised) ? normalised.toFixed(2) : '∞')],
      [span(page, says, says === 'agree' ? 'good' : 'unsure')],
    ];
  });
  const causes = compared.flatMap(({ run, agreement }) =>
    [...agreement.causes.map(({ words }) => words), ...agreement.remarks].flatMap((words) =>
      item(page, `${run.id}: ${words}`, 0),
    ),
  );
  return [
    ...table(page, AGREEMENT_COLUMNS, rows, 0),
    ...(causes.length === 0 ? [] : [[], ...causes]),
    [],
    ...paragraph(page, `In all: ${inAll.words}`),
    ...paragraph(
      page,
      '|En|: difference over the expanded uncertainties together; up to 1 they agree (ISO/IEC 17043).',
      0,
      'quiet',
    ),
  ];
}
