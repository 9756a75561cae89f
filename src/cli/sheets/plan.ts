/** The sheet of `standstill plan`: the runs in order with what changes and what is predicted, then each
 * in detail, the equipment, what is not tested, the cautions. */

import { clauseTitle } from '../../analysis/index.js';
import { rangeText } from '../../figure/index.js';
import { ruleWords } from '../../metrology/index.js';
import type { Equipment, TestPlan, TestRun } from '../../test-plan/index.js';
import { changesBetween, runWords } from '../../test-plan/index.js';
import type { UnitSystem } from '../../units/index.js';
import { markOf, toneOf } from '../marks.js';
import type { Line, Page, Span } from '../page.js';
import { amountLines, signedLines } from '../quantities.js';
import type { Cell, Column } from '../sheet.js';
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
import { quoted } from '../shell-words.js';

export interface PlanSheet {
  readonly plan: TestPlan;
  /** the cart file as the user named it */
  readonly file: string;
  readonly units: UnitSystem;
}

function countOf(count: number, one: string, many: string): string {
  return `${count} ${count === 1 ? one : many}`;
}

function header(page: Page, { plan, file }: PlanSheet): Line[] {
  const { id, title } = plan.requirementSet;
  const { planned, byClause } = plan.changes;
  return [
    ...spread(page, `Test plan: ${plan.cart}`, 'strong', [
      span(page, countOf(plan.runs.length, 'run', 'runs')),
    ]),
    ...paragraph(page, `${title} (${id})`),
    ...paragraph(page, file, 0, 'quiet'),
    ...paragraph(page, ruleWords(plan.rule)),
    ...paragraph(
      page,
      `Effort of the set-up changes: ${planned} in this order, ${byClause} clause by clause (counted as in docs/test-plan.md).`,
      0,
      'quiet',
    ),
  ];
}

/** Columns from which on there is room for what is asked beside what is predicted. */
const ROOMY = 100;

const LIST: readonly Column[] = [
  { heading: '', align: 'right' },
  { heading: 'run', align: 'left' },
  { heading: 'predicted', align: 'left' },
  { heading: 'at', align: 'right' },
  { heading: 'margin', align: 'right' },
];
const ASKED: Column = { heading: 'asked', align: 'right' };

function verdictSpan(page: Page, { prediction: { verdict } }: TestRun): Span {
  return { text: `${markOf(page, verdict)} ${verdict}`, tone: toneOf(verdict) };
}

function list(page: Page, { plan, units }: PlanSheet): Line[] {
  const roomy = page.width >= ROOMY;
  const rows = plan.runs.map((run, i): Cell[] => {
    const { capacity, demand, margin } = run.prediction;
    const cell = (lines: readonly string[]): Cell => lines.map((text) => span(page, text));
    return [
      [span(page, String(i + 1), 'strong')],
      [span(page, run.id), span(page, run.purpose, run.governs ? 'strong' : 'quiet')],
      [verdictSpan(page, run)],
      cell(capacity === null ? ['-'] : amountLines(capacity, units)),
      ...(roomy ? [cell(demand === null ? ['-'] : amountLines(demand, units))] : []),
      cell(margin === null ? ['-'] : signedLines(margin, units)),
    ];
  });
  const columns = roomy ? LIST.toSpliced(-1, 0, ASKED) : LIST;
  return rows.length === 0 ? paragraph(page, 'Nothing is tested.') : table(page, columns, rows, 1);
}

const DETAIL = { indent: 3, label: 12 };

function details(page: Page, { plan, units }: PlanSheet): Line[] {
  return plan.runs.flatMap((run, i) => {
    const words = runWords(run, units);
    const before = plan.runs[i - 1] ?? null;
    const say = (label: string, texts: readonly string[]): Line[] =>
      texts.flatMap((text, n) => labelled(page, n === 0 ? label : '', text, DETAIL));
    const changes = changesBetween(before, run, units);
    return [
      ...(i === 0 ? [] : [BLANK]),
      ...labelled(page, `${i + 1}`, `${clauseTitle(run.clause, run.title)}, ${run.purpose}`, {
        indent: 0,
        label: 3,
      }),
      ...paragraph(page, run.id, 3, 'quiet'),
      ...say(
        i === 0 ? 'set up' : 'changes',
        changes.length === 0 ? ['none'] : [changes.join('; ')],
      ),
      ...say('done', [`${words.loading}; ${run.repeats === 1 ? 'once' : `${run.repeats} times`}`]),
      ...say('predicted', [words.prediction]),
      ...say('passes', words.acceptance),
      ...say('caution', run.cautions),
    ];
  });
}

const INSTRUMENTS: readonly Column[] = [
  { heading: 'instrument', align: 'left' },
  { heading: 'range', align: 'left' },
  { heading: 'resolution', align: 'right' },
  { heading: 'U (k = 2)', align: 'right' },
];

/** Instruments with what they must be able to do; then what else has to be at hand. */
function equipment(page: Page, { plan, units }: PlanSheet): Line[] {
  const asked = plan.equipment.filter(({ uncertainty }) => uncertainty !== null);
  const others = plan.equipment.filter(({ uncertainty }) => uncertainty === null);
  const cell = (amount: Equipment['to']): Cell =>
    amount === null ? [] : amountLines(amount, units).map((text) => span(page, text));
  const rows = asked.map((each): Cell[] => [
    [span(page, each.name), span(page, each.why, 'quiet')],
    [span(page, rangeText(each, units))],
    cell(each.resolution),
    cell(each.uncertainty),
  ]);
  return [
    ...(rows.length === 0 ? [] : [...table(page, INSTRUMENTS, rows, 0), BLANK]),
    ...others.flatMap((each) => {
      const range = rangeText(each, units);
      return item(page, `${each.name}${range === '' ? '' : `, ${range}`}: ${each.why}`, 0);
    }),
  ];
}

function notTested(page: Page, { notTested: all }: TestPlan): Line[] {
  return all.flatMap(({ clause, title, reason }) =>
    item(page, `${clauseTitle(clause, title)}: ${reason}`, 0),
  );
}

export function planSheet(page: Page, sheet: PlanSheet): Line[] {
  const { plan, file } = sheet;
  return [
    ...header(page, sheet),
    BLANK,
    ...list(page, sheet),
    ...section(page, 'Equipment', equipment(page, sheet)),
    ...section(page, 'Run by run', details(page, sheet)),
    ...section(page, 'Not tested', notTested(page, plan)),
    ...cautionLines(page, plan.cautions),
    BLANK,
    ...paragraph(
      page,
      `Set-up cards, a page a run, to print: standstill plan ${quoted(file)} --cards CARDS.html`,
      0,
      'quiet',
    ),
  ];
}
