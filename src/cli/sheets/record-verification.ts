/** The sheet of `standstill records verify`: is everything as it was written? */

import type { ProjectSummary, RecordVerification } from '../../record-store/index.js';
import type { Line, Page, Span } from '../page.js';
import { BLANK, item, labelled, paragraph, rule, span, spread } from '../sheet.js';

export interface VerifiedProject extends RecordVerification {
  readonly project: ProjectSummary;
}

export interface VerificationSheet {
  readonly place: string;
  readonly verified: readonly VerifiedProject[];
}

export function isWhole({ chain, files }: RecordVerification): boolean {
  return chain.kind === 'whole' && files.broken.length === 0;
}

const LABELS = { indent: 2, label: 8 };

export function verificationSheet(page: Page, { place, verified }: VerificationSheet): Line[] {
  const broken = verified.filter((each) => !isWhole(each)).length;
  const count = `${verified.length} project${verified.length === 1 ? '' : 's'}`;
  const verdict = broken === 0 ? span(page, 'whole', 'good') : span(page, 'broken', 'bad');
  return [
    ...spread(page, `Test records verified: ${count}`, 'strong', [verdict]),
    ...paragraph(page, place, 0, 'quiet'),
    rule(page),
    ...verified.flatMap((each, i) => [...(i === 0 ? [] : [BLANK]), ...projectLines(page, each)]),
    BLANK,
    ...paragraph(
      page,
      'Note the heads down elsewhere: a whole record written anew is told only by a head that it does not have (--head).',
      0,
      'quiet',
    ),
  ];
}

function projectLines(page: Page, verified: VerifiedProject): Line[] {
  const { project, chain, files } = verified;
  return [
    ...spread(page, project.name, 'strong', [word(page, verified)]),
    ...(chain.kind === 'whole'
      ? [
          ...labelled(page, 'entries', `${chain.entries}, each as it was written`, LABELS),
          ...labelled(page, 'head', `${chain.entries}:${chain.head}`, LABELS),
        ]
      : labelled(
          page,
          'entries',
          `broken at entry ${chain.sequence}: ${chain.reason}`,
          LABELS,
          'bad',
        )),
    ...labelled(page, 'files', fileWords(verified), LABELS),
    ...files.broken.flatMap((hash) =>
      item(page, `${hash}: missing, or not what its hash says`, 4, 'bad'),
    ),
  ];
}

function word(page: Page, verified: VerifiedProject): Span {
  return isWhole(verified) ? span(page, 'whole', 'good') : span(page, 'broken', 'bad');
}

function fileWords({ files }: VerifiedProject): string {
  const { whole, broken } = files;
  if (whole + broken.length === 0) return 'none';
  return broken.length === 0 ? `${whole}, each whole` : `${whole} whole, ${broken.length} broken`;
}
