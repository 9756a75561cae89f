/** How far the quick judgement of a trial is off a fresh search, on an example cart with everything
 * uncertain, and more so than usual. */

import { drawerOf, streamOf } from '../../src/chance/index.js';
import type { Cart, Uncertainty } from '../../src/document/index.js';
import type { RequirementSet } from '../../src/requirements/index.js';
import { inputsOf } from '../../src/tolerances/index.js';
import { judgeOf } from '../../src/tolerances/judge.js';

const RECTANGULAR = { distribution: 'rectangular' } as const;
const share = (tolerance: number) => ({ tolerance, relative: true, ...RECTANGULAR });
const amount = (tolerance: number) => ({ tolerance, relative: false, ...RECTANGULAR });

const WIDE: Uncertainty = {
  trail: amount(0.002),
  'castor places': amount(0.003),
  'wheel diameter': amount(0.001),
  'swivel moment': share(0.3),
  'rolling length': share(0.2),
  'brake torque': share(0.2),
  stiffness: share(0.2),
  'ramp angle': amount(0.002),
  'floor slope': amount(0.003),
  'push force': amount(1),
  'push height': amount(0.005),
};

/** Masses to 3 %, places to 10 mm, and everything in the section `uncertainty`. */
export function widelyUncertain(cart: Cart): Cart {
  const parts = cart.parts.map((part) => ({
    ...part,
    massTolerance: 0.03 * part.mass,
    atTolerance: 0.01,
  }));
  return { ...cart, parts, uncertainty: WIDE };
}

export interface QuickTrials {
  /** relative difference of every finite reserve of every trial, quick over fresh, less one */
  readonly differences: readonly number[];
  /** ms a trial, quick and fresh */
  readonly quick: number;
  readonly fresh: number;
}

/**
 * @param variants drawn carts whose worst configurations are known beforehand
 * @param clock ms
 */
export function quickTrials(
  cart: Cart,
  set: RequirementSet,
  variants: number,
  trials: number,
  seed: number,
  clock: () => number,
): QuickTrials {
  const inputs = inputsOf(cart, set);
  const drawers = inputs.map(({ name, spread, limits }) =>
    drawerOf(spread, streamOf(seed, name), limits),
  );
  const row = () => Float64Array.from(drawers, (drawer) => drawer.next());
  const rows = (count: number) => Array.from({ length: count }, row);
  const judge = judgeOf(cart, set, inputs, rows(variants), seed);
  const drawn = rows(trials);
  const timed = <T>(work: () => T): readonly [T, number] => {
    const start = clock();
    const result = work();
    return [result, (clock() - start) / trials];
  };
  const [fast, quick] = timed(() => drawn.map(judge.judge));
  const [slow, fresh] = timed(() => drawn.map(judge.afresh));
  const differences = fast.flatMap((judged, k) =>
    judged.flatMap((each, i) => {
      const [p, q] = [each?.reserve ?? null, slow[k]?.[i]?.reserve ?? null];
      return p === null || q === null || !Number.isFinite(p) ? [] : [p / q - 1];
    }),
  );
  return { differences, quick, fresh };
}
