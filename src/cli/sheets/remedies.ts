/** The sheet of `standstill remedies`: what to change in a ranked list, what each does to every
 * finding, then each in detail, then the cautions. */

import { reserveText } from '../../analysis/index.js';
import type { Effect, NearMiss, RemediesReport, Remedy } from '../../remedies/index.js';
import {
  aboutRemedies,
  changesText,
  governsText,
  nowText,
  outcomeOf,
  phraseText,
  raisedText,
  reliesOn,
} from '../../remedies/index.js';
import type { UnitSystem } from '../../units/index.js';
import { markOf, toneOf } from '../marks.js';
import type { Line, Page, Span } from '../page.js';
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

export interface RemediesSheet {
  readonly report: RemediesReport;
  /** the cart file as the user named it */
  readonly file: string;
  readonly units: UnitSystem;
}

function outcomeSpan(page: Page, report: RemediesReport): Span {
  const { verdict, words } = outcomeOf(report);
  return { text: `${markOf(page, verdict)} ${words}`, tone: toneOf(verdict) };
}

function header(page: Page, { report, file }: RemediesSheet): Line[] {
  const { id, title } = report.requirementSet;
  return [
    ...spread(page, report.cart, 'strong', [outcomeSpan(page, report)]),
    ...paragraph(page, `${title} (${id})`),
    ...paragraph(page, file, 0, 'quiet'),
    ...paragraph(page, report.passes),
    ...paragraph(page, nowText(report)),
    ...report.notJudged.flatMap(({ title: what, reason }) =>
      paragraph(page, `Not judged, so left out: ${what}. ${reason}`, 0, 'unsure'),
    ),
  ];
}

const LIST: readonly Column[] = [
  { heading: '', align: 'right' },
  { heading: 'change', align: 'left' },
  { heading: 'by', align: 'left' },
  { heading: 'size', align: 'right' },
  { heading: 'thinnest', align: 'right' },
  { heading: 'proof', align: 'left' },
];

function proofSpan(page: Page, { proof }: Remedy): Span {
  const verdict = proof.kind === 'proven' ? 'holds' : 'not decided';
  const words = proof.kind === 'proven' ? 'proven' : 'not proven';
  return { text: `${markOf(page, verdict)} ${words}`, tone: toneOf(verdict) };
}

/** A pair takes a line of its own for each of the two. */
function wordsCell(page: Page, { changes }: Remedy, units: UnitSystem): Cell {
  return changes.map(({ words }, i) =>
    span(page, `${i === 0 ? '' : 'and '}${phraseText(words, units)}`),
  );
}

function rankedList(page: Page, { remedies, more }: RemediesReport, units: UnitSystem): Line[] {
  if (remedies.length === 0) return [];
  const rows = remedies.map((remedy, i): Cell[] => [
    [span(page, String(i + 1), 'strong')],
    wordsCell(page, remedy, units),
    [span(page, reliesOn(remedy.changes), 'quiet')],
    [span(page, remedy.size.toFixed(2))],
    [span(page, reserveText(remedy.governs?.reserve ?? null))],
    [proofSpan(page, remedy)],
  ]);
  const rest =
    more === 0
      ? []
      : paragraph(
          page,
          `${more} more pass${more === 1 ? 'es' : ''} as found and ${more === 1 ? 'was' : 'were'} not put to the proof: ask with --most ${remedies.length + more}.`,
          0,
          'quiet',
        );
  return [BLANK, ...table(page, LIST, rows, 1), ...rest];
}

/** Columns of remedies beside each other in the table of effects. */
function columnsThatFit(page: Page): number {
  return Math.max(1, Math.floor((page.width - NAMES - EFFECT) / EFFECT));
}
/** Longest id of a finding that is common, and a reserve with its mark and gap. */
const NAMES = 28;
const EFFECT = 9;

function effectCell(page: Page, effect: Effect | undefined): Cell {
  if (effect === undefined) return [span(page, '')];
  if (effect.became === 'no longer asked') return [span(page, 'gone', 'unsure')];
  if (effect.became === 'not asked') return [span(page, '-', 'quiet')];
  const text = reserveText(effect.after);
  if (effect.became === 'thinner') return [span(page, `< ${text}`, 'unsure')];
  if (effect.became === 'better') return [span(page, `> ${text}`, 'good')];
  if (effect.became === 'asked now') return [span(page, `new ${text}`, 'unsure')];
  return [span(page, text, 'quiet')];
}

function effectsBlock(page: Page, remedies: readonly Remedy[], first: number): Line[] {
  const [head] = remedies;
  if (head === undefined) return [];
  const asked = head.effects.filter(({ id }) =>
    remedies.some(({ effects }) =>
      effects.some((each) => each.id === id && each.became !== 'not asked'),
    ),
  );
  const columns: Column[] = [
    { heading: 'finding', align: 'left' },
    { heading: 'now', align: 'right' },
    ...remedies.map((_, i): Column => ({ heading: `with ${first + i}`, align: 'right' })),
  ];
  const rows = asked.map(({ id, before }): Cell[] => [
    [span(page, id)],
    [span(page, reserveText(before))],
    ...remedies.map(({ effects }) =>
      effectCell(
        page,
        effects.find((each) => each.id === id),
      ),
    ),
  ]);
  return table(page, columns, rows, 0);
}

function effects(page: Page, { remedies }: RemediesReport): Line[] {
  if (remedies.length === 0) return [];
  const size = columnsThatFit(page);
  const blocks: Line[] = [];
  for (let i = 0; i < remedies.length; i += size) {
    if (i > 0) blocks.push(BLANK);
    blocks.push(...effectsBlock(page, remedies.slice(i, i + size), i + 1));
  }
  return [
    ...paragraph(
      page,
      'Reserves at the low end of friction, as found. > better, < thinner than now, gone: no longer asked, new: asked only then.',
      0,
      'quiet',
    ),
    ...blocks,
  ];
}

const LABELS = { indent: 3, label: 12 };
const NUMBERED = { indent: 0, label: 3 };

function details(page: Page, { remedies }: RemediesReport, units: UnitSystem): Line[] {
  return remedies.flatMap((remedy, i) => {
    const { changes, proof, effects: all } = remedy;
    const say = (label: string, text: string) => labelled(page, label, text, LABELS);
    const gone = all.filter(({ became }) => became === 'no longer asked' || became === 'asked now');
    return [
      ...(i === 0 ? [] : [BLANK]),
      ...labelled(page, String(i + 1), changesText(changes, units), NUMBERED, 'strong'),
      ...governsText(remedy, units).flatMap((text) => say('then', text)),
      ...raisedText(remedy, units).flatMap((text) => say('proof', text)),
      ...gone.flatMap(({ title, became, reason }) =>
        say(became === 'asked now' ? 'new' : 'gone', `${title}: ${reason}`),
      ),
      ...(proof.kind === 'proven'
        ? []
        : proof.reasons.flatMap((text, n) => say(n === 0 ? 'not proven' : '', text))),
    ];
  });
}

/** What to know, once each, with the numbers of the remedies that it is about. */
function knowing(page: Page, { remedies, notes }: RemediesReport): Line[] {
  const about = aboutRemedies(remedies);
  const longest = Math.max(0, ...about.map(({ numbers }) => numbers.join(', ').length));
  // two columns after the longest label, and room for 'all'
  const columns = {
    indent: 0,
    label: about.length === 0 ? 2 : Math.min(16, Math.max(5, longest + 2)),
  };
  return [
    ...about.flatMap(({ note, numbers }) => labelled(page, numbers.join(', '), note, columns)),
    ...notes.flatMap((note) => labelled(page, about.length === 0 ? '-' : 'all', note, columns)),
  ];
}

function nearMisses(page: Page, { nearMisses: all }: RemediesReport, units: UnitSystem): Line[] {
  return all.flatMap((miss: NearMiss) => [
    ...item(page, changesText(miss.changes, units), 0),
    ...paragraph(page, `leaves ${miss.title} at ${reserveText(miss.reserve)}`, 2, 'quiet'),
  ]);
}

export function remediesSheet(page: Page, { report, file, units }: RemediesSheet): Line[] {
  return [
    ...header(page, { report, file, units }),
    ...rankedList(page, report, units),
    ...section(page, 'Nearest misses', nearMisses(page, report, units)),
    ...section(page, 'What each does to every finding', effects(page, report)),
    ...section(page, 'One by one', details(page, report, units)),
    ...section(page, 'What to know', knowing(page, report)),
    ...cautionLines(page, report.cautions),
    ...(report.remedies.length === 0
      ? []
      : [
          BLANK,
          ...paragraph(
            page,
            `Size: the amount as a share of what is within reach (castors changed of all castors), added up over the changes. One as a cart file: standstill remedies ${file} --apply N --into NEW.cart.yaml`,
            0,
            'quiet',
          ),
        ]),
  ];
}
