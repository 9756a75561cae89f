/**
 * Question: at which least step of a lever does the score reach 1?
 *
 * The score need not rise with the amount (a heavier cart holds more and pushes harder), so the whole
 * reach is looked over first. Between the last look that fails and the first that passes the step is
 * then closed in on: the step found passes and the one before it fails. A passing stretch that lies
 * whole between two looks can be missed, unless the best look leads to it.
 */

/** score at step k; 1 passes */
export type StepScore = (k: number) => number;

export type LeastStep =
  | { readonly kind: 'passes'; readonly k: number; readonly score: number }
  /** no step looked at passes; the best of them */
  | { readonly kind: 'falls short'; readonly k: number; readonly score: number };

/** Shares of the reach that are looked at: close together at the start, where the answer should be. */
const LOOKS = [1 / 32, 1 / 16, 1 / 8, 1 / 4, 3 / 8, 1 / 2, 3 / 4, 1];

/**
 * @param count steps, at least 1
 * @param looks shares of the reach to look at first, rising, the last 1
 */
export function leastStep(
  count: number,
  scoreOf: StepScore,
  looks: readonly number[] = LOOKS,
): LeastStep {
  const known = new Map<number, number>();
  const score = (k: number): number => {
    const value = known.get(k) ?? scoreOf(k);
    known.set(k, value);
    return value;
  };
  const steps = [...new Set(looks.map((share) => Math.max(1, Math.round(share * count))))];
  const first = steps.find((k) => score(k) >= 1) ?? climb(steps, score);
  if (first === null) {
    const k = [...known.keys()].reduce((p, q) => (score(q) > score(p) ? q : p));
    return { kind: 'falls short', k, score: score(k) };
  }
  const before = Math.max(0, ...[...known.keys()].filter((k) => k < first && score(k) < 1));
  const k = closeIn(before, first, score);
  return { kind: 'passes', k, score: score(k) };
}

/** Halvings of the steps beside the best look. */
const CLIMBS = 4;

/** Where no look passes, the best of them may stand beside a peak that does. */
function climb(steps: readonly number[], score: StepScore): number | null {
  let best = steps.reduce((p, q) => (score(q) > score(p) ? q : p));
  const at = steps.indexOf(best);
  let below = steps[at - 1] ?? 0;
  let above = steps[at + 1] ?? best;
  for (let i = 0; i < CLIMBS; i++) {
    const [low, high] = [Math.round((below + best) / 2), Math.round((best + above) / 2)];
    const next = [low, high]
      .filter((k) => k >= 1)
      .reduce((p, q) => (score(q) > score(p) ? q : p), best);
    if (score(next) >= 1) return next;
    if (next < best) above = best;
    else if (next > best) below = best;
    else [below, above] = [low, high];
    best = next;
  }
  return null;
}

/** The step that passes next to one that fails, between the two; step 0 is the cart as it is. */
function closeIn(fails: number, passesAt: number, score: StepScore): number {
  let low = fails;
  let high = passesAt;
  let bisect = false;
  while (high - low > 1) {
    const middle = (low + high) / 2;
    const guess = bisect || low === 0 ? middle : crossing(low, high, score);
    const k = Math.min(high - 1, Math.max(low + 1, Math.round(guess)));
    if (score(k) >= 1) high = k;
    else low = k;
    // by turns: a straight guess may creep along one side of a bent curve
    bisect = !bisect;
  }
  return high;
}

/** Where the straight line between the two scores is 1. */
function crossing(low: number, high: number, score: StepScore): number {
  const [below, above] = [score(low), score(high)];
  return low + ((1 - below) / (above - below)) * (high - low);
}
