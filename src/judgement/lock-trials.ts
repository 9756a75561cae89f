/**
 * Question: at one set-up, which other layout of the locks would hold?
 *
 * The same locks on other castors (as many), more of them, and the same castors with locks that keep them
 * from swivelling as well. Each has to hold in the direction of the run and in the opposite one: two locks
 * on the other side would only turn the failure round. All other directions and configurations are for a
 * check of the whole cart.
 */

import { wrapped } from '../analysis/index.js';
import type { Cart, CartEdit, Castor } from '../document/index.js';
import { editCart } from '../document/index.js';
import type { RequirementSet } from '../requirements/index.js';
import type { TestRun } from '../test-plan/index.js';
import { capacityOf } from './predicted.js';

export interface LockTrial {
  readonly kind: 'moved' | 'more' | 'total';
  /** castors that have a lock then */
  readonly castors: readonly string[];
  /** rad or N, the less of the two ways; Infinity: nothing moves it */
  readonly capacity: number;
  readonly edits: readonly CartEdit[];
}

/** Layouts tried: of six castors every pair and every three. */
const MOST_LAYOUTS = 40;

/** Those that hold what is asked, the fewest locks first. @param demand rad or N */
export function lockTrials(
  cart: Cart,
  set: RequirementSet,
  run: TestRun,
  demand: number,
): readonly LockTrial[] {
  const locked = cart.castors.filter(holdsWheel);
  const pattern = locked[0];
  if (pattern === undefined) return [];
  const ways = [capacityOf(set, run), capacityOf(set, reversed(run))];
  const capacity = (changed: Cart): number => Math.min(...ways.map((way) => way(changed)));
  return layoutsOf(cart, locked.length)
    .slice(0, MOST_LAYOUTS)
    .map(({ kind, castors }): LockTrial => {
      const edits = editsFor(cart, castors, kind === 'total' ? 'total' : pattern.lock, pattern);
      return { kind, castors, edits, capacity: capacity(editCart(cart, edits)) };
    })
    .filter((trial) => trial.edits.length > 0 && trial.capacity >= demand)
    .sort((a, b) => a.castors.length - b.castors.length || b.capacity - a.capacity);
}

/** The same set-up, loaded the opposite way. */
function reversed(run: TestRun): TestRun {
  const { loading, pose } = run;
  if (loading.kind === 'incline') {
    const downhill = wrapped(loading.downhill + Math.PI);
    const incline = { angle: loading.angle, downhill };
    return { ...run, loading: { ...loading, downhill }, pose: { ...pose, incline } };
  }
  if (loading.kind !== 'push') return run;
  const direction = wrapped(loading.direction + Math.PI);
  const push = pose.push === null ? null : { ...pose.push, direction };
  return { ...run, loading: { ...loading, direction }, pose: { ...pose, push } };
}

const holdsWheel = ({ lock }: Castor): boolean => lock === 'wheel' || lock === 'total';

interface Layout {
  readonly kind: LockTrial['kind'];
  readonly castors: readonly string[];
}

function layoutsOf({ castors }: Cart, count: number): readonly Layout[] {
  const names = castors.map(({ name }) => name);
  const now = castors.filter(holdsWheel).map(({ name }) => name);
  const total: Layout[] = castors.some(({ lock }) => lock === 'wheel')
    ? [{ kind: 'total', castors: now }]
    : [];
  const moved = choices(names, count).map((each): Layout => ({ kind: 'moved', castors: each }));
  const more = now.length < names.length ? [{ kind: 'more' as const, castors: names }] : [];
  return [...total, ...more, ...moved];
}

/** Every choice of so many names, in order. */
function choices(names: readonly string[], count: number): readonly (readonly string[])[] {
  if (count === 0) return [[]];
  return names.flatMap((name, i) =>
    choices(names.slice(i + 1), count - 1).map((rest) => [name, ...rest]),
  );
}

/** Castors that keep the lock they have are left alone; one that loses it has none, a directional lock
 * without a brake stays. */
function editsFor(
  { castors }: Cart,
  names: readonly string[],
  lock: Castor['lock'],
  pattern: Castor,
): readonly CartEdit[] {
  return castors.flatMap((castor): CartEdit[] => {
    const wanted = names.includes(castor.name);
    const kept = holdsWheel(castor) ? 'none' : castor.lock;
    const becomes = wanted ? lock : kept;
    if (becomes === castor.lock) return [];
    const { brakeTorque } = holdsWheel(castor) ? castor : pattern;
    return [
      {
        kind: 'castor lock',
        castor: castor.name,
        lock: becomes,
        brakeTorque: wanted ? brakeTorque : null,
        lockDirections: becomes === 'none' || becomes === 'wheel' ? null : castor.lockDirections,
      },
    ];
  });
}
