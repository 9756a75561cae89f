/** The worker that keeps up with a drag: every finding as found, in milliseconds. */

import { expose } from 'comlink';
import type { ScreenedFinding, ScreenHints } from '../../analysis/index.js';
import { holdingRose, pinnedAt, screenCart } from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import { editCart } from '../../document/index.js';
import type { RequirementSet } from '../../requirements/index.js';
import type { ScreeningWorker } from './messages.js';

/** What the last searches came to. */
interface Track {
  /** ends of the last search: good starts for a cart that has changed a little */
  hints: ScreenHints | null;
  /** frames of a drag since */
  frames: number;
}

const ofCart: Track = { hints: null, frames: 0 };
const ofPose: Track = { hints: null, frames: 0 };
let key = '';
let last: {
  readonly ticket: number;
  readonly atRest: boolean;
  readonly findings: readonly ScreenedFinding[];
} | null = null;

/** Starts are worth nothing for another structure: hints are variables in its order. */
function structureOf(cart: {
  readonly movers: readonly { readonly name: string }[];
  readonly loads: readonly { readonly name: string }[];
  readonly castors: readonly { readonly name: string }[];
  readonly positions: readonly { readonly name: string }[];
}): string {
  return [cart.movers, cart.loads, cart.castors, cart.positions]
    .map((list) => list.map(({ name }) => name).join('\n'))
    .join('\n\n');
}

/** With starts from before, a few new ones keep a drag from following a worst that is none any more. */
const FOLLOW = { seed: 1, starts: 6, followed: 1 };
/** The worst configurations of a moment ago, judged anew: a few milliseconds. */
const AGAIN = { seed: 1, starts: 0, followed: 0 };
/** A drag searches anew every so many frames. */
const SEARCH_EVERY = 6;

/** The friction that the proof is made at, so that what is found and what is proven go together. */
const AS_PROVEN = { friction: 'as stated' } as const;

/** How much time there is. */
type Pace = 'drag' | 'change' | 'rest';

function screened(
  track: Track,
  cart: Cart,
  set: RequirementSet,
  pace: Pace,
): readonly ScreenedFinding[] {
  const { hints } = track;
  const judgesAgain = hints !== null && pace === 'drag' && track.frames < SEARCH_EVERY;
  track.frames = judgesAgain ? track.frames + 1 : 0;
  const effort = judgesAgain ? AGAIN : FOLLOW;
  const found = screenCart(cart, set, {
    ...AS_PROVEN,
    ...(hints === null ? {} : { hints }),
    ...(hints === null || pace === 'rest' ? {} : { effort }),
  });
  // what was only judged again keeps the other ends of the search
  if (!judgesAgain) track.hints = found.hints;
  return found.findings;
}

/** The worst of the whole cart are good starts for a pose, which may be one of them. */
function withThoseOfCart(hints: ScreenHints | null): ScreenHints | null {
  if (ofCart.hints === null) return hints;
  const both = new Map(ofCart.hints);
  for (const [id, ends] of hints ?? []) both.set(id, [...ends, ...(both.get(id) ?? [])]);
  return both;
}

const worker: ScreeningWorker = {
  screen({ ticket, cart, edits, set, pose }, atRest) {
    const began = performance.now();
    const isDragged = edits.length > 0;
    const changed = isDragged ? editCart(cart, edits) : cart;
    const structure = `${set.id}\n\n${structureOf(changed)}`;
    if (structure !== key) {
      ofCart.hints = null;
      ofPose.hints = null;
      key = structure;
    }
    // another pose of the same cart
    const isSame = last !== null && last.ticket === ticket;
    const pace = atRest ? 'rest' : isDragged ? 'drag' : 'change';
    if (last === null || !isSame || (atRest && !last.atRest)) {
      const findings = screened(ofCart, changed, set, pace);
      last = { ticket, atRest, findings };
    }
    const { findings } = last;
    if (atRest) ofPose.hints = withThoseOfCart(ofPose.hints);
    const posePace = isSame && !atRest ? 'drag' : pace;
    const atPose = pose === null ? null : screened(ofPose, pinnedAt(changed, pose), set, posePace);
    return { ticket, findings, atPose, took: performance.now() - began };
  },
  rose({ cart, edits, set, pose }, finding, castors) {
    if (pose === null) return null;
    const changed = edits.length === 0 ? cart : editCart(cart, edits);
    return holdingRose(changed, set, finding, pose, { castors });
  },
};

expose(worker);
