/** The verdict over all findings, with how sure it is: what the rows of the findings come to, in two short
 * lines. */

import type { Verdict } from '../../analysis/index.js';
import type { Overall } from '../findings/finding-rows.js';
import type { Workbench } from '../store/state.js';

export interface OverallWords {
  /** null: nothing is judged, or not all is known yet */
  readonly verdict: Verdict | null;
  /** the verdict's word where it is certain, else what is known so far */
  readonly head: string;
  readonly detail: string;
  /** worth telling to somebody who cannot see it */
  readonly isSettled: boolean;
}

type Judged = Pick<Workbench, 'cart' | 'reading' | 'setProblem' | 'live' | 'proven' | 'provenUpTo'>;

/** @param overall what the rows of the findings come to */
export function overallWords(overall: Overall, state: Judged): OverallWords {
  if (state.cart === null) return notJudged('The file has mistakes: see Describe.');
  if (state.setProblem !== null) return notJudged('Choose a requirement set.');
  const known = judged(overall, state);
  if (state.reading.cart !== null) return known;
  return { ...known, detail: `${known.detail}; as before the mistake`, isSettled: false };
}

function notJudged(detail: string): OverallWords {
  return { verdict: null, head: 'not judged', detail, isSettled: true };
}

function judged(overall: Overall, { live, proven, provenUpTo }: Judged): OverallWords {
  const { verdict, all, count, open } = overall;
  if (all === 0) return notJudged('No clause of the set applies to this cart.');
  if (verdict === null) return running(overall, live !== null || proven.size > 0, provenUpTo);
  const of = `${count} of ${all} ${all === 1 ? 'finding' : 'findings'}`;
  // what fails fails, whatever the others come to
  if (open > 0) return { verdict, head: verdict, detail: `${of}, proof running`, isSettled: false };
  const detail =
    verdict === 'holds' ? `${all === 1 ? 'the one finding' : `all ${all} findings`}, proven` : of;
  return { verdict, head: verdict, detail, isSettled: true };
}

function running(
  { all, open, short }: Overall,
  isBegun: boolean,
  upTo: Judged['provenUpTo'],
): OverallWords {
  const by = { verdict: null, isSettled: false } as const;
  if (!isBegun) return { ...by, head: 'judging', detail: 'the first findings' };
  if (upTo !== null) {
    return { ...by, head: 'proof running', detail: `still open: ${open} of ${all} findings` };
  }
  const detail = 'found, proof running';
  if (short === 0) return { ...by, head: 'none falls short', detail };
  const verb = short === 1 ? 'falls' : 'fall';
  return { ...by, head: `${short} of ${all} ${verb} short`, detail };
}
