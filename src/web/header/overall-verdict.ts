/** The verdict over all findings, with how sure it is. */

import type { ScreenedFinding, Verdict } from '../../analysis/index.js';
import type { Workbench } from '../store/state.js';

export interface Overall {
  /** null: nothing is judged, or not all is known yet */
  readonly verdict: Verdict | null;
  /** the verdict's word where it is certain, else what is known so far */
  readonly head: string;
  readonly detail: string;
  /** worth telling to somebody who cannot see it */
  readonly isSettled: boolean;
}

type Judged = Pick<Workbench, 'cart' | 'reading' | 'setProblem' | 'live' | 'proven' | 'provenUpTo'>;

const WORST_FIRST: readonly Verdict[] = ['fails', 'not decided', 'depends on friction', 'holds'];

export function overallVerdict(state: Judged): Overall {
  if (state.cart === null) return notJudged('The file has mistakes: see Describe.');
  if (state.setProblem !== null) return notJudged('Choose a requirement set.');
  const known = judged(state);
  if (state.reading.cart !== null) return known;
  return { ...known, detail: `${known.detail}; as before the mistake`, isSettled: false };
}

function notJudged(detail: string): Overall {
  return { verdict: null, head: 'not judged', detail, isSettled: true };
}

function judged({ live, proven, provenUpTo }: Judged): Overall {
  const asked = [...proven.values()]
    .map(({ finding }) => finding)
    .filter(({ applicability }) => applicability.applies);
  const found = live?.findings.filter(({ applies }) => applies) ?? [];
  const all = provenUpTo === null ? Math.max(found.length, asked.length) : asked.length;
  const verdict = WORST_FIRST.find((each) => asked.some((finding) => finding.verdict === each));
  const count = asked.filter((finding) => finding.verdict === verdict).length;
  const of = `${count} of ${all} findings`;
  // what fails fails, whatever the others come to
  if (verdict === 'fails' && provenUpTo === null) {
    const detail = found.length === 0 ? `${count} so far, proof running` : `${of}, proof running`;
    return { verdict, head: verdict, detail, isSettled: false };
  }
  if (provenUpTo === null) return running(found);
  if (verdict === undefined) return notJudged('No clause of the set applies to this cart.');
  if (verdict === 'not decided' && provenUpTo === 'quick') {
    return { ...RUNNING, head: 'proof running', detail: `still open: ${of}` };
  }
  const detail = verdict === 'holds' ? `all ${all} findings, proven` : of;
  return { verdict, head: verdict, detail, isSettled: true };
}

const RUNNING = { verdict: null, isSettled: false } as const;

function running(found: readonly ScreenedFinding[]): Overall {
  if (found.length === 0) return { ...RUNNING, head: 'judging', detail: 'the first findings' };
  const short = found.filter(({ reserve }) => reserve !== null && reserve < 1).length;
  const detail = 'found, proof running';
  if (short === 0) return { ...RUNNING, head: 'none falls short', detail };
  const verb = short === 1 ? 'falls' : 'fall';
  return { ...RUNNING, head: `${short} of ${found.length} ${verb} short`, detail };
}
