/** The sheets of `standstill records list` and `show`: projects, one project, one record. */

import type { Verdict } from '../../analysis/index.js';
import { CAUTIONS } from '../../analysis/index.js';
import type { FailureChain, PlanOverview, ProjectOverview } from '../../judgement/index.js';
import { ruleWords } from '../../metrology/index.js';
import type { ProjectSummary } from '../../record-store/index.js';
import type { ProjectState, RecordState } from '../../test-record/index.js';
import {
  isExpired,
  recordOf,
  recordsOf,
  recordTitle,
  subjectTitle,
} from '../../test-record/index.js';
import type { UnitSystem } from '../../units/index.js';
import { SHEETS } from '../data-sheet-shapes.js';
import { dataSheetLines } from '../data-sheet-writing.js';
import { localText } from '../local-time.js';
import { decisionSpan, verdictSpan } from '../marks.js';
import type { Line, Page, Span } from '../page.js';
import { amountLines } from '../quantities.js';
import { shortId } from '../record-names.js';
import type { Cell } from '../sheet.js';
import {
  BLANK,
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
import { wrapText } from '../text-width.js';

const LABELS = { indent: 2, label: 12 };

export interface ProjectList {
  readonly place: string;
  readonly projects: readonly ProjectSummary[];
}

export function projectListSheet(page: Page, { place, projects }: ProjectList): Line[] {
  const count = `${projects.length} project${projects.length === 1 ? '' : 's'}`;
  const rows = projects.map(({ name, customer, entries, changed, id }) => [
    [span(page, name, 'strong')],
    [span(page, customer === '' ? '-' : customer)],
    [span(page, String(entries))],
    [span(page, localText(changed))],
    [span(page, shortId(id), 'quiet')],
  ]);
  return [
    ...spread(page, 'Test records', 'strong', [span(page, count)]),
    ...paragraph(page, place, 0, 'quiet'),
    rule(page),
    ...(rows.length === 0 ? [] : table(page, PROJECT_COLUMNS, rows, 0)),
  ];
}

const PROJECT_COLUMNS = [
  { heading: 'project', align: 'left' },
  { heading: 'customer', align: 'left' },
  { heading: 'entries', align: 'right' },
  { heading: 'changed', align: 'left' },
  { heading: 'id', align: 'left' },
] as const;

export interface ProjectSheet {
  readonly place: string;
  readonly state: ProjectState;
  readonly overview: ProjectOverview;
  /** ISO 8601 date: instruments past it are due */
  readonly today: string;
  readonly units: UnitSystem;
}

export function projectSheet(page: Page, sheet: ProjectSheet): Line[] {
  const { state, overview, place } = sheet;
  const { plans } = overview;
  const newest = plans.findLast(({ plan }) => !plan.withdrawn);
  const content = recordOf(state, 'project', state.id)?.content;
  return [
    ...spread(page, content?.name ?? state.id, 'strong', [
      newest === undefined
        ? span(page, 'no plan yet', 'quiet')
        : decisionSpan(page, newest.decision),
    ]),
    ...paragraph(page, place, 0, 'quiet'),
    ...paragraph(page, `head ${state.head.sequence}:${state.head.hash}`, 0, 'quiet'),
    rule(page),
    ...(content?.customer ? labelled(page, 'customer', content.customer, LABELS) : []),
    ...labelled(page, 'id', state.id, LABELS),
    ...(newest === undefined
      ? []
      : labelled(
          page,
          'verdict',
          `measured, by the newest plan: ${newest.plan.content.name}`,
          LABELS,
        )),
    ...notesLines(page, content?.notes ?? ''),
    ...section(page, 'Revisions of the cart', revisionLines(page, state)),
    ...plans.flatMap((plan) => planLines(page, plan, sheet)),
    ...section(page, 'Samples', sampleLines(page, state)),
    ...section(page, 'Instruments', instrumentTable(page, sheet)),
    ...section(
      page,
      'Failures',
      overview.chains.flatMap((chain) => chainLines(page, chain, sheet)),
    ),
    ...section(page, 'Notes', noteLines(page, state)),
    ...cautionLines(page, CAUTIONS),
  ];
}

function notesLines(page: Page, notes: string): Line[] {
  return notes === '' ? [] : labelled(page, 'notes', notes.replaceAll('\n', ' '), LABELS);
}

/** What happened to a record, where anything did: reviewed, corrected, withdrawn. */
function marksOf({ reviewedAt, corrections, withdrawn }: RecordState): string {
  const marks = [
    ...(reviewedAt === null ? [] : ['reviewed']),
    ...(corrections === 0
      ? []
      : [`corrected ${corrections === 1 ? 'once' : `${corrections} times`}`]),
    ...(withdrawn ? ['withdrawn'] : []),
  ];
  return marks.length === 0 ? '' : ` (${marks.join(', ')})`;
}

function revisionLines(page: Page, state: ProjectState): Line[] {
  return recordsOf(state, 'cart').flatMap((record) => {
    const { revision, file, follows, change, because } = record.content;
    const from = follows === null ? '' : ` from ${subjectTitle(state, follows)}`;
    const led = because.map((subject) => subjectTitle(state, subject)).join(', ');
    const [first] = record.entries;
    return [
      ...labelled(page, revision, `${file}${from}${marksOf(record)}`, LABELS, 'strong'),
      ...(change === '' ? [] : labelled(page, '', change, LABELS)),
      ...(led === '' ? [] : labelled(page, '', `because of ${led}`, LABELS)),
      ...(first === undefined
        ? []
        : labelled(
            page,
            '',
            `${first.who}, ${localText(first.at)}, ${shortId(record.subject)}`,
            LABELS,
            'quiet',
          )),
    ];
  });
}

function planLines(page: Page, overview: PlanOverview, { state, units }: ProjectSheet): Line[] {
  const { plan, counts, decision } = overview;
  const { name, cart, plan: content } = plan.content;
  const set = content.requirementSet;
  const counted = (['pass', 'fail', 'not decided', 'not done'] as const)
    .filter((each) => counts[each] > 0)
    .map((each) => `${counts[each]} ${each}`)
    .join(', ');
  return [
    BLANK,
    ...spread(page, `Plan: ${name}${marksOf(plan)}`, 'strong', [decisionSpan(page, decision)]),
    rule(page),
    ...labelled(page, 'cart', subjectTitle(state, cart), LABELS),
    ...labelled(page, 'asked by', set.title, LABELS),
    ...labelled(page, 'rule', ruleWords(content.rule), LABELS),
    ...labelled(page, 'runs', counted === '' ? 'none' : counted, LABELS),
    ...labelled(page, 'record', shortId(plan.subject), LABELS, 'quiet'),
    ...(overview.runs.length === 0 ? [] : [BLANK]),
    ...runTable(page, overview, units),
  ];
}

const RUN_COLUMNS = [
  { heading: 'run', align: 'left' },
  { heading: 'predicted', align: 'left' },
  { heading: 'at', align: 'right' },
  { heading: 'limit', align: 'right' },
  { heading: 'measured', align: 'left' },
] as const;

/** Narrower than this the ids of runs would break: 'depends on friction' does instead. */
const ROOM_FOR_VERDICTS = 100;
const NARROW_VERDICT = 12;

function verdictCell(page: Page, verdict: Verdict): Cell {
  const whole = verdictSpan(page, verdict);
  if (page.width >= ROOM_FOR_VERDICTS) return [whole];
  return wrapText(whole.text, NARROW_VERDICT).map((text) => ({ ...whole, text }));
}

function runTable(page: Page, { runs }: PlanOverview, units: UnitSystem): Line[] {
  if (runs.length === 0) return [];
  const rows = runs.map(({ run, done, decision }): Cell[] => {
    const { verdict, capacity, demand } = run.prediction;
    const amount = (value: typeof capacity): Span[] =>
      value === null
        ? [span(page, '-', 'quiet')]
        : amountLines(value, units).map((text) => span(page, text));
    return [
      [span(page, run.id)],
      verdictCell(page, verdict),
      amount(capacity),
      amount(demand),
      [
        decisionSpan(page, decision),
        ...done.map(({ record }) => span(page, shortId(record.subject), 'quiet')),
      ],
    ];
  });
  return table(page, RUN_COLUMNS, rows, 1);
}

function sampleLines(page: Page, state: ProjectState): Line[] {
  return recordsOf(state, 'sample').flatMap((record) => {
    const { name, serial, cart, condition } = record.content;
    const measured = [...recordsOf(state, 'weighing'), ...recordsOf(state, 'friction')].filter(
      ({ content, withdrawn }) => content.sample === record.subject && !withdrawn,
    );
    const kinds = measured.map(({ content, subject }) =>
      content.kind === 'weighing'
        ? `weighed (${shortId(subject)})`
        : `friction of ${content.tread} (${shortId(subject)})`,
    );
    return [
      ...labelled(
        page,
        serial || '-',
        `${name}, built to ${subjectTitle(state, cart)}${marksOf(record)}`,
        LABELS,
      ),
      ...(condition === '' ? [] : labelled(page, '', condition.replaceAll('\n', ' '), LABELS)),
      ...(kinds.length === 0 ? [] : labelled(page, '', kinds.join(', '), LABELS)),
      ...labelled(page, '', shortId(record.subject), LABELS, 'quiet'),
    ];
  });
}

const INSTRUMENT_COLUMNS = [
  { heading: 'instrument', align: 'left' },
  { heading: 'name', align: 'left' },
  { heading: 'serial', align: 'left' },
  { heading: 'uncertainty', align: 'right' },
  { heading: 'certificate', align: 'left' },
  { heading: 'due', align: 'left' },
] as const;

function instrumentTable(page: Page, { state, today }: ProjectSheet): Line[] {
  const rows = recordsOf(state, 'instrument').map((record): Cell[] => {
    const { instrument, name, serial, certificate, due, uncertainty, coverage } = record.content;
    const expired = isExpired(due, today);
    const text = (value: string | null) => [
      span(page, value === null || value === '' ? '-' : value),
    ];
    return [
      text(instrument),
      text(`${name}${marksOf(record)}`),
      text(serial),
      text(uncertainty === null ? null : `${uncertainty} (k = ${coverage})`),
      text(certificate),
      expired ? [span(page, due ?? '-'), span(page, 'expired', 'bad')] : text(due),
    ];
  });
  return rows.length === 0 ? [] : table(page, INSTRUMENT_COLUMNS, rows, 1);
}

/** A failure, what was made of it, and whether it is mended. */
function chainLines(page: Page, chain: FailureChain, { state }: ProjectSheet): Line[] {
  const { failure, diagnoses, revisions, retests, closed } = chain;
  const end = closed ? decisionSpan(page, 'pass') : span(page, 'open', 'unsure');
  const diagnosed = diagnoses.map((subject) => recordOf(state, 'diagnosis', subject)?.content);
  return [
    ...spread(page, `${subjectTitle(state, failure)}, ${shortId(failure)}`, 'plain', [end]),
    ...diagnosed.flatMap((content) =>
      content === undefined
        ? []
        : [
            ...labelled(page, 'diagnosis', content.mechanism.replaceAll('\n', ' '), LABELS),
            ...(content.chosen === '' ? [] : labelled(page, 'chosen', content.chosen, LABELS)),
          ],
    ),
    ...revisions.flatMap((subject) =>
      labelled(
        page,
        'change',
        `${subjectTitle(state, subject)}: ${recordOf(state, 'cart', subject)?.content.change ?? ''}`,
        LABELS,
      ),
    ),
    ...retests.flatMap(({ record, decision, isOnLaterRevision }) =>
      labelled(
        page,
        'retest',
        `${subjectTitle(state, record)}, ${shortId(record)}: ${decision}${isOnLaterRevision ? '' : ' (not on a later revision)'}`,
        LABELS,
      ),
    ),
  ];
}

function noteLines(page: Page, state: ProjectState): Line[] {
  return recordsOf(state, 'note').flatMap((record) => {
    const { about, text } = record.content;
    const on = about === null ? '' : `on ${subjectTitle(state, about)}: `;
    return item(page, `${on}${text.replaceAll('\n', ' ')}${marksOf(record)}`, 0);
  });
}

export interface RecordSheet {
  readonly state: ProjectState;
  readonly record: RecordState;
}

/** A record as it stands, in the words of its data sheet, and its entries. */
export function recordSheet(page: Page, { state, record }: RecordSheet): Line[] {
  const { content, kind, subject, entries } = record;
  const title = `${recordTitle(state, record)}${marksOf(record)}`;
  const fields =
    content.kind === 'plan'
      ? planFacts(page, state, content)
      : dataSheetLines(state, SHEETS[content.kind].fields, { ...content }).flatMap((line) =>
          paragraph(page, line, 0),
        );
  return [
    ...spread(page, title, 'strong', [span(page, kind, 'quiet')]),
    ...paragraph(page, subject, 0, 'quiet'),
    rule(page),
    ...fields,
    ...section(
      page,
      'Entries',
      entries.flatMap(({ sequence, who, at, why, body, id }) =>
        labelled(
          page,
          String(sequence),
          `${localText(at)} ${who}: ${wordsOf(body.kind, entries[0]?.id === id)}${why === '' ? '' : `, ${why}`}`,
          LABELS,
        ),
      ),
    ),
    ...cautionLines(page, CAUTIONS),
  ];
}

/** What an entry did to its record. */
export function wordsOf(kind: string, isFirst: boolean): string {
  if (kind === 'review') return 'reviewed';
  if (kind === 'withdrawal') return 'withdrawn';
  return isFirst ? 'begun' : 'corrected';
}

function planFacts(
  page: Page,
  state: ProjectState,
  { cart, plan, program }: Extract<RecordState['content'], { readonly kind: 'plan' }>,
): Line[] {
  return [
    ...labelled(page, 'cart', subjectTitle(state, cart), LABELS),
    ...labelled(page, 'asked by', plan.requirementSet.title, LABELS),
    ...labelled(page, 'rule', ruleWords(plan.rule), LABELS),
    ...labelled(page, 'made by', `standstill ${program}`, LABELS),
    ...section(
      page,
      'Runs in their order',
      plan.runs.flatMap(({ id, title, purpose }) => item(page, `${id}: ${title}, ${purpose}`, 0)),
    ),
    ...section(
      page,
      'Not tested',
      plan.notTested.flatMap(({ title, reason }) => item(page, `${title}: ${reason}`, 0)),
    ),
    ...section(
      page,
      'Equipment',
      plan.equipment.flatMap(({ name, why }) => item(page, `${name}: ${why}`, 0)),
    ),
  ];
}
