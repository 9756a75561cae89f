/** A verdict as word and shape; the tone only repeats what both say. */

import type { Verdict } from '../analysis/index.js';
import type { Decision } from '../metrology/index.js';
import type { Page, Span, Tone } from './page.js';

interface Mark {
  readonly shape: string;
  readonly ascii: string;
  readonly tone: Tone;
}

const MARKS: Readonly<Record<Verdict, Mark>> = {
  holds: { shape: '■', ascii: '[=]', tone: 'good' },
  fails: { shape: '▲', ascii: '/!\\', tone: 'bad' },
  'depends on friction': { shape: '◆', ascii: '<?>', tone: 'unsure' },
  'not decided': { shape: '○', ascii: '( )', tone: 'unsure' },
  'not applicable': { shape: '·', ascii: ' . ', tone: 'quiet' },
};

export function markOf(page: Page, verdict: Verdict): string {
  const { shape, ascii } = MARKS[verdict];
  return page.unicode ? shape : ascii;
}

export function toneOf(verdict: Verdict): Tone {
  return MARKS[verdict].tone;
}

/** Shape and word in one span: '▲ fails'. */
export function verdictSpan(page: Page, verdict: Verdict): Span {
  return { text: `${markOf(page, verdict)} ${verdict}`, tone: toneOf(verdict) };
}

/** The same shapes for what was measured. */
const OF_DECISION: Readonly<Record<Decision | 'not done', Verdict>> = {
  pass: 'holds',
  fail: 'fails',
  'not decided': 'not decided',
  'not done': 'not applicable',
};

/** '▲ fail': a decision from measurements, in a word that no prediction has. */
export function decisionSpan(page: Page, decision: Decision | 'not done'): Span {
  const verdict = OF_DECISION[decision];
  return { text: `${markOf(page, verdict)} ${decision}`, tone: toneOf(verdict) };
}
