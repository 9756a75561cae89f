/** The sheet of `standstill records log`: every entry, who wrote it, when and why. */

import type { KeptEntry, ProjectState } from '../../test-record/index.js';
import { subjectTitle } from '../../test-record/index.js';
import { localText } from '../local-time.js';
import type { Line, Page } from '../page.js';

import { paragraph, rule, span, spread, table } from '../sheet.js';
import { wordsOf } from './records.js';

export interface RecordLog {
  readonly state: ProjectState;
  readonly entries: readonly KeptEntry[];
}

const COLUMNS = [
  { heading: 'entry', align: 'right' },
  { heading: 'received', align: 'left' },
  { heading: 'who', align: 'left' },
  { heading: 'what', align: 'left' },
  { heading: 'why', align: 'left' },
  { heading: 'hash', align: 'left' },
] as const;

/** Of a hash: enough to see that it is another one. */
const HASH_SHOWN = 8;

export function recordLog(page: Page, { state, entries }: RecordLog): Line[] {
  const rows = entries.map(({ sequence, received, who, why, body, subject, id, hash }) => [
    [span(page, String(sequence))],
    [span(page, localText(received))],
    [span(page, who)],
    [span(page, `${subjectTitle(state, subject)} ${wordsOf(body.kind, subject === id)}`)],
    [span(page, why === '' ? '-' : why.replaceAll('\n', ' '))],
    [span(page, hash.slice(0, HASH_SHOWN), 'quiet')],
  ]);
  const count = `${entries.length} ${entries.length === 1 ? 'entry' : 'entries'}`;
  return [
    ...spread(page, subjectTitle(state, state.id), 'strong', [span(page, count)]),
    ...paragraph(page, `head ${state.head.sequence}:${state.head.hash}`, 0, 'quiet'),
    rule(page),
    ...table(page, COLUMNS, rows, 3),
  ];
}
