/**
 * What is changed on and about the cart from one run to the next, and what effort that counts for.
 *
 * The weights are common practice, no source: what one person does by hand counts 1 (a mover set, a
 * castor turned, the locks on or off, a stop laid down or taken away), loads that are lifted or filled 2,
 * the ramp set to another angle 2, the cart turned round on it 2, a floor covering laid or taken up 3, the
 * cart brought from the floor onto the ramp or back 4, a castor taken off or put back 6.
 */

import type { Loading, TestRun } from './test-run.js';

export type SetUpChange =
  | { readonly kind: 'ground'; readonly to: 'floor' | 'ramp' }
  | { readonly kind: 'covering' /** null: bare */; readonly to: string | null }
  | { readonly kind: 'incline' /** rad */; readonly to: number }
  | { readonly kind: 'heading' /** rad */; readonly downhill: number }
  | { readonly kind: 'mover'; readonly name: string; readonly to: number }
  | { readonly kind: 'load'; readonly name: string; readonly to: number }
  | {
      readonly kind: 'castor';
      readonly name: string /** null: let go */;
      readonly to: number | null;
    }
  | { readonly kind: 'locks'; readonly on: readonly string[]; readonly off: readonly string[] }
  | { readonly kind: 'stop'; readonly there: boolean }
  | { readonly kind: 'castor off'; readonly name: string }
  | { readonly kind: 'castor back'; readonly name: string };

const EFFORT: Readonly<Record<SetUpChange['kind'], number>> = {
  ground: 4,
  covering: 3,
  incline: 2,
  heading: 2,
  mover: 1,
  load: 2,
  castor: 1,
  locks: 1,
  stop: 1,
  'castor off': 6,
  'castor back': 6,
};

type State = Pick<TestRun, 'setUp' | 'loading' | 'pose'>;

/** @param before null: nothing is set up yet, so that everything is named */
export function setUpChanges(before: State | null, after: State): readonly SetUpChange[] {
  return [
    ...groundChanges(before, after),
    ...valueChanges('mover', before?.setUp.movers, after.setUp.movers),
    ...valueChanges('load', before?.setUp.loads, after.setUp.loads),
    ...removalChanges(before, after),
    ...castorChanges(before, after),
    ...lockChanges(before, after),
    ...stopChange(before, after),
  ];
}

export function effortOf(before: State | null, after: State): number {
  return setUpChanges(before, after).reduce((sum, { kind }) => sum + EFFORT[kind], 0);
}

/** rad: an incline, a heading on the ramp and a castor that differ by less are left as they are. A castor
 * is set by eye to some degrees. */
const SAME_INCLINE = 0.001;
const SAME_HEADING = 0.02;
const SAME_TURN = 0.05;

function off(p: number, q: number): number {
  return Math.abs(Math.atan2(Math.sin(p - q), Math.cos(p - q)));
}

function groundChanges(before: State | null, { loading, setUp }: State): readonly SetUpChange[] {
  const was = before?.loading ?? null;
  const ground = groundOf(loading);
  const moved = was === null || groundOf(was) !== ground;
  const same = (before?.setUp.covering ?? null) === setUp.covering;
  const changes: SetUpChange[] = [];
  if (moved) changes.push({ kind: 'ground', to: ground });
  // a covering that is on the floor is not on the ramp
  if (!same || (moved && setUp.covering !== null)) {
    changes.push({ kind: 'covering', to: setUp.covering });
  }
  if (loading.kind !== 'incline') return changes;
  const ramp = was?.kind === 'incline' ? was : null;
  if (ramp === null || off(ramp.angle, loading.angle) > SAME_INCLINE) {
    changes.push({ kind: 'incline', to: loading.angle });
  }
  if (ramp === null || off(ramp.downhill, loading.downhill) > SAME_HEADING) {
    changes.push({ kind: 'heading', downhill: loading.downhill });
  }
  return changes;
}

function groundOf({ kind }: Loading): 'floor' | 'ramp' {
  return kind === 'incline' ? 'ramp' : 'floor';
}

/** m, rad or kg: less than anybody sets */
const SAME_VALUE = 1e-4;

function valueChanges(
  kind: 'mover' | 'load',
  before: Readonly<Record<string, number>> | undefined,
  after: Readonly<Record<string, number>>,
): readonly SetUpChange[] {
  return Object.entries(after).flatMap(([name, to]): SetUpChange[] => {
    const was = before?.[name];
    return was !== undefined && Math.abs(was - to) <= SAME_VALUE ? [] : [{ kind, name, to }];
  });
}

function castorChanges(before: State | null, { setUp, pose }: State): readonly SetUpChange[] {
  return setUp.castors.flatMap(({ name, swivel }): SetUpChange[] => {
    if (swivel === null || name === pose.without) return [];
    const was = before?.setUp.castors.find((each) => each.name === name)?.swivel ?? null;
    return was !== null && off(was, swivel) <= SAME_TURN
      ? []
      : [{ kind: 'castor', name, to: swivel }];
  });
}

function lockChanges(before: State | null, { setUp }: State): readonly SetUpChange[] {
  const changed = setUp.castors.filter(({ name, locked, lock }) => {
    const was = before?.setUp.castors.find((each) => each.name === name)?.locked ?? null;
    return lock !== 'none' && was !== locked;
  });
  if (changed.length === 0) return [];
  const names = (on: boolean): string[] =>
    changed.filter(({ locked }) => locked === on).map(({ name }) => name);
  return [{ kind: 'locks', on: names(true), off: names(false) }];
}

/** A low stop at the castors: under pushes that are to tip it, and below a cart that is to tip on a ramp. */
export function hasStop({ loading }: Pick<TestRun, 'loading'>): boolean {
  return (loading.kind === 'push' || loading.kind === 'incline') && loading.stop;
}

function stopChange(before: State | null, after: State): readonly SetUpChange[] {
  const there = hasStop(after);
  return there === (before !== null && hasStop(before)) ? [] : [{ kind: 'stop', there }];
}

function removalChanges(before: State | null, { pose }: State): readonly SetUpChange[] {
  const was = before?.pose.without ?? null;
  if (was === pose.without) return [];
  return [
    ...(was === null ? [] : [{ kind: 'castor back', name: was } as const]),
    ...(pose.without === null ? [] : [{ kind: 'castor off', name: pose.without } as const]),
  ];
}
