/** Parts of a remedy in words, used by the command line and the page. */

import type { Amount, Verdict } from '../analysis/index.js';
import { amountText, modeText, reserveText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import type { Change, Phrase, Reliance, RemediesReport, Remedy } from './remedy.js';

export function phraseText(phrase: Phrase, units: UnitSystem): string {
  return phrase.map((part) => (typeof part === 'string' ? part : amountText(part, units))).join('');
}

export function changesText(changes: readonly Change[], units: UnitSystem): string {
  return changes.map(({ words }) => phraseText(words, units)).join('; and ');
}

/** Who sees to all of them: one change that is left to the user leaves the remedy to the user. */
export function reliesOn(changes: readonly Change[]): Reliance {
  return changes.some((change) => change.relies === 'user') ? 'user' : 'design';
}

/** Where the proof asked for more than what passes as found. */
export function raisedText({ changes, foundFrom }: Remedy, units: UnitSystem): string[] {
  const raised = changes.some(({ amount }, i) => amount.value > (foundFrom[i]?.value ?? 0));
  if (!raised) return [];
  // a layout changes so many castors: a bare number would not say so
  const words = (amount: Amount, i: number): string =>
    changes[i]?.kind === 'lock layout'
      ? `${amount.value} ${amount.value === 1 ? 'castor' : 'castors'}`
      : amountText(amount, units);
  const amounts = foundFrom.map(words);
  const now = changes.map(({ amount }, i) => words(amount, i));
  return [
    `closes at a change of ${now.join(' and ')}; as found, ${amounts.join(' and ')} would do`,
  ];
}

/** What a search came to, as the verdict that its words are marked with. */
export function outcomeOf(report: RemediesReport): {
  readonly verdict: Verdict;
  readonly words: string;
} {
  const { outcome, remedies } = report;
  const proven = remedies.filter(({ proof }) => proof.kind === 'proven').length;
  switch (outcome) {
    case 'nothing needed':
      return { verdict: 'holds', words: 'nothing needed' };
    case 'remedies':
      return {
        verdict: 'holds',
        words: proven === 1 ? '1 remedy proven' : `${proven} remedies proven`,
      };
    case 'not proven':
      return {
        verdict: 'not decided',
        words: isNothingAsked(report) ? 'nothing judged' : 'passes as found, not proven',
      };
    case 'none':
      return { verdict: 'fails', words: 'no remedy found' };
  }
}

/** No clause applies to the cart, or none that does can be judged. */
function isNothingAsked({ outcome, governs, remedies }: RemediesReport): boolean {
  return outcome === 'not proven' && governs === null && remedies.length === 0;
}

/** How the cart stands as it is. */
export function nowText(report: RemediesReport): string {
  const { short, governs, asItIs, outcome } = report;
  if (short.length > 0) {
    const list = short.map(({ title, reserve }) => `${title} ${reserveText(reserve)}`).join('; ');
    return `Short of it now: ${list}.`;
  }
  if (isNothingAsked(report)) {
    return 'Nothing that could be judged is asked of this cart, so nothing is shown.';
  }
  if (governs === null) return 'As it is the cart reaches it: every reserve is without limit.';
  const reaches =
    outcome === 'nothing needed'
      ? 'As it is the cart reaches it. '
      : asItIs === null
        ? ''
        : 'As it is the cart reaches it as found, not proven; below is what would let the proof close. ';
  const lead = `${reaches}Thinnest`;
  return `${lead}: ${governs.title}, reserve ${reserveText(governs.reserve)}. ${governs.because}`;
}

/** What would give way next; nothing where every reserve is without limit. */
export function governsText({ governs }: Remedy, units: UnitSystem): string[] {
  if (governs === null) return [];
  const how = governs.mode === null ? '' : `: it ${modeText(governs.mode, units)}`;
  return [`${governs.title} governs with ${reserveText(governs.reserve)}${how}`];
}

export interface AboutRemedies {
  readonly note: string;
  /** numbers of the remedies that it is about, counted from 1 */
  readonly numbers: readonly number[];
}

/** What is to be known about single remedies, each once. */
export function aboutRemedies(remedies: readonly Remedy[]): readonly AboutRemedies[] {
  const about = new Map<string, Set<number>>();
  remedies.forEach(({ changes }, i) => {
    for (const note of changes.flatMap((each) => each.notes)) {
      const numbers = about.get(note) ?? new Set<number>();
      numbers.add(i + 1);
      about.set(note, numbers);
    }
  });
  return [...about].map(([note, numbers]) => ({ note, numbers: [...numbers] }));
}
