/**
 * What a screening says of a variant.
 *
 * A row depends on the study and the index alone: not on the variants screened before, nor on who
 * screens it. The searches start from the worst configurations of the study's own cart besides
 * random ones with a fixed seed, both the same for every variant.
 */

import type { ScreenEffort, ScreenedFinding, ScreenHints, Screening } from '../analysis/index.js';
import { cartSize, screenCart } from '../analysis/index.js';
import type { Study, VariantRow } from './study.js';
import { variantCart, variantOf } from './variant.js';

/** Beside the hints. The error this leaves is in docs/studies.md. */
export const VARIANT_EFFORT: ScreenEffort = { seed: 1, starts: 24, followed: 3 };

/** Of the findings that a row holds, in its order. */
export function findingIds({ requirementSet, only }: Study): readonly string[] {
  const ids = requirementSet.clauses.map(({ id }) => id);
  return only === null ? ids : ids.filter((id) => only.includes(id));
}

/** The worst configurations of the study's own cart: where every variant's searches start too. */
export function studyHints(study: Study): ScreenHints {
  try {
    return screenCart(study.cart, study.requirementSet, {
      friction: 'low',
      ...onlyOf(study),
    }).hints;
  } catch {
    // the cart as it is cannot be screened; its variants may
    return new Map();
  }
}

/** @throws RangeError when the study has no such variant */
export function evaluateVariant(
  study: Study,
  index: number,
  hints: ScreenHints = hintsOf(study),
): VariantRow {
  const variant = variantOf(study, index);
  const { cost } = variant;
  const blank = { index, mass: 0, width: 0, length: 0, cost };
  let sized: Pick<VariantRow, 'index' | 'mass' | 'width' | 'length' | 'cost'> = blank;
  try {
    const cart = variantCart(study, variant);
    sized = { ...blank, ...cartSize(cart) };
    const screening = screenCart(cart, study.requirementSet, {
      friction: 'low',
      effort: VARIANT_EFFORT,
      hints,
      ...onlyOf(study),
    });
    return { ...sized, ...judged(study, screening) };
  } catch (error) {
    // a fault of ours is no fault of the variant
    if (error instanceof TypeError || error instanceof ReferenceError) throw error;
    return { ...sized, ...faulty(study, error instanceof Error ? error.message : String(error)) };
  }
}

/** The rows of consecutive variants: `from` and so many from there. */
export function evaluateBlock(study: Study, from: number, count: number): readonly VariantRow[] {
  const hints = hintsOf(study);
  return Array.from({ length: count }, (_, i) => evaluateVariant(study, from + i, hints));
}

/** Computed once a study: the same whatever is asked first. */
const known = new WeakMap<Study, ScreenHints>();

function hintsOf(study: Study): ScreenHints {
  const hints = known.get(study) ?? studyHints(study);
  known.set(study, hints);
  return hints;
}

function onlyOf({ only }: Study): { readonly only?: readonly string[] } {
  return only === null ? {} : { only };
}

type Judged = Pick<VariantRow, 'reserve' | 'governs' | 'passes' | 'reserves' | 'fault'>;

function judged(study: Study, { findings }: Screening): Judged {
  const due = findings.filter(({ applies }) => applies);
  const unknown = due.find(({ reserve }) => reserve === null);
  if (unknown !== undefined) return faulty(study, `${unknown.id}: ${unknown.reason}`);
  const [first, ...others] = due;
  if (first === undefined) return faulty(study, 'no finding applies to this cart');
  const least = others.reduce((p, q) => (reserveOf(q) < reserveOf(p) ? q : p), first);
  const reserve = reserveOf(least);
  return {
    reserve,
    governs: least.id,
    passes: reserve >= 1 + study.margin,
    reserves: findings.map((each) => each.reserve),
    fault: null,
  };
}

function reserveOf({ id, reserve }: ScreenedFinding): number {
  if (reserve === null || Number.isNaN(reserve)) throw new Error(`${id}: reserve ${reserve}`);
  return reserve;
}

function faulty(study: Study, fault: string): Judged {
  const reserves = findingIds(study).map(() => null);
  return { reserve: null, governs: '', passes: false, reserves, fault };
}
