/** What a change does to every other finding. */

import type { Finding } from '../analysis/index.js';
import { foundReserve, provenReserve, withAlternative } from '../analysis/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { Effect } from './remedy.js';
import type { Outlook } from './screener.js';

/** Share of a reserve below which two searches differ by themselves. */
const AS_BEFORE = 0.005;

export function effectsOf(
  base: Outlook,
  findings: readonly Finding[],
  set: RequirementSet,
): readonly Effect[] {
  const before = new Map(base.findings.map((each) => [each.id, each]));
  return findings.map((finding): Effect => {
    const was = before.get(finding.id);
    const { applies, reason } = finding.applicability;
    const reserves = {
      before: was?.applies === true ? was.reserve : null,
      after: applies ? withAlternative(findings, set, finding, foundReserve) : null,
      proven: applies ? withAlternative(findings, set, finding, provenReserve) : null,
    };
    const became = becameOf(was?.applies === true, finding, reserves.before, reserves.after);
    return { id: finding.id, title: finding.title, ...reserves, became, reason };
  });
}

function becameOf(
  applied: boolean,
  { applicability: { applies } }: Finding,
  before: number | null,
  after: number | null,
): Effect['became'] {
  if (!applied) return applies ? 'asked now' : 'not asked';
  if (!applies) return 'no longer asked';
  if (before === null || after === null || before === after) return 'as before';
  if (Math.abs(after - before) <= AS_BEFORE * before) return 'as before';
  return after < before ? 'thinner' : 'better';
}
