/** Whether a clause is asked of a cart, and why: a sentence with the numbers that decide. */

import type { Applicability, CartFacts, Clause, Condition } from './requirement-set.js';

type Surface = CartFacts['surfaces'][number];
type Marking = CartFacts['markings'][number];

/**
 * Every condition of the clause must hold. The reason names all of them when the clause applies, and
 * those that fail when it does not.
 *
 * @throws RangeError when a mass or height of the facts is not finite
 */
export function applicability(clause: Clause, facts: CartFacts): Applicability {
  const { greatestMass, greatestHeight } = facts;
  if (!Number.isFinite(greatestMass) || !Number.isFinite(greatestHeight)) {
    throw new RangeError(
      `applicability(${clause.id}): mass ${greatestMass}, height ${greatestHeight}`,
    );
  }
  const judged = clause.conditions.map((condition) => judge(condition, facts));
  const failing = judged.filter((each) => !each.holds);
  if (failing.length > 0) return { applies: false, reason: asSentence(failing) };
  if (judged.length === 0) return { applies: true, reason: 'It is asked of every cart.' };
  return { applies: true, reason: asSentence(judged) };
}

/**
 * The surfaces of the cart that a clause puts a force on: of the kinds it asks about, no higher than
 * it says, not signed against. None when the clause asks about no surface.
 */
export function surfacesAsked(clause: Clause, facts: CartFacts): readonly Surface[] {
  const asked = clause.conditions.filter((each) => each.kind === 'has surface');
  return facts.surfaces.filter((surface) =>
    asked.some((condition) => surfaceVerdict(surface, condition, facts).holds),
  );
}

interface Judgement {
  readonly holds: boolean;
  /** a clause of a sentence: 'the cart is mobile' */
  readonly words: string;
}

function asSentence(judged: readonly Judgement[]): string {
  const text = judged.map((each) => each.words).join('; ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

function judge(condition: Condition, facts: CartFacts): Judgement {
  switch (condition.kind) {
    case 'mobile':
      return said(facts.mobile, 'the cart is mobile', 'the cart is stationary');
    case 'has castors':
      return counted(facts.castors, 'castor', 'the cart stands on');
    case 'mass at least':
      return atLeast('its greatest mass', facts.greatestMass, condition.mass, 'kg');
    case 'mass above':
      return above('its greatest mass', facts.greatestMass, condition.mass, 'kg');
    case 'height at least':
      return atLeast('its greatest height', facts.greatestHeight, condition.height, 'm');
    case 'has surface':
      return surfaces(condition, facts);
    case 'may be pushed':
      return said(
        !facts.markings.includes('no pushing'),
        'no sign forbids pushing',
        'it is signed against pushing (ISO 7010 P017)',
      );
    case 'has locks':
      return counted(facts.locks, 'castor lock', 'the cart has');
    case 'has lifting handles':
      return counted(
        facts.liftingHandles,
        'handle for lifting',
        'the cart has',
        'handles for lifting',
      );
  }
}

function said(holds: boolean, yes: string, no: string): Judgement {
  return { holds, words: holds ? yes : no };
}

function counted(count: number, one: string, before: string, many = `${one}s`): Judgement {
  const what = count === 0 ? `no ${one}` : `${count} ${count === 1 ? one : many}`;
  return { holds: count > 0, words: `${before} ${what}` };
}

// Sums of masses in kg and of lengths in m carry rounding of some 1e-15 of their size; parts that
// add up to exactly 25 kg on paper must count as 25 kg. 1e-9 is far above the one and, at 25
// micrograms, far below what anyone weighs.
const ROUNDING = 1e-9;

function isEqual(value: number, threshold: number): boolean {
  return Math.abs(value - threshold) <= ROUNDING * Math.abs(threshold);
}

function atLeast(what: string, value: number, threshold: number, unit: string): Judgement {
  const holds = value >= threshold || isEqual(value, threshold);
  const relation = holds ? 'is at least' : 'is below';
  return { holds, words: compared(what, value, relation, threshold, unit) };
}

function above(what: string, value: number, threshold: number, unit: string): Judgement {
  const holds = value > threshold && !isEqual(value, threshold);
  const relation = holds ? 'is above' : 'is not above';
  return { holds, words: compared(what, value, relation, threshold, unit) };
}

function compared(
  what: string,
  value: number,
  relation: string,
  threshold: number,
  unit: string,
): string {
  const [shown, limit] = toldApart(value, threshold);
  return `${what}, ${shown} ${unit}, ${relation} ${limit} ${unit}`;
}

/** Both in four digits, or in as many more as it takes to tell them apart. */
function toldApart(value: number, threshold: number): readonly [string, string] {
  if (isEqual(value, threshold)) return [numberText(threshold, 4), numberText(threshold, 4)];
  for (let digits = 4; digits < 12; digits += 1) {
    const texts = [numberText(value, digits), numberText(threshold, digits)] as const;
    if (texts[0] !== texts[1]) return texts;
  }
  return [numberText(value, 12), numberText(threshold, 12)];
}

function numberText(value: number, digits: number): string {
  return String(Number(value.toPrecision(digits)));
}

type SurfaceCondition = Extract<Condition, { readonly kind: 'has surface' }>;

/** The sign that takes a surface out, ISO 7010. */
const SIGN_AGAINST: Readonly<
  Record<Surface['kind'], { readonly marking: Marking; readonly words: string } | null>
> = {
  foothold: { marking: 'no stepping', words: 'signed against stepping (ISO 7010 P019)' },
  seat: { marking: 'no sitting', words: 'signed against sitting (ISO 7010 P018)' },
  'work surface': null,
};

function surfaces(condition: SurfaceCondition, facts: CartFacts): Judgement {
  const verdicts = facts.surfaces
    .filter((surface) => condition.surfaces.includes(surface.kind))
    .map((surface) => surfaceVerdict(surface, condition, facts));
  if (verdicts.length === 0) {
    return { holds: false, words: `the cart has no ${condition.surfaces.join(' or ')}` };
  }
  const asked = verdicts.filter((each) => each.holds);
  const told = asked.length > 0 ? asked : verdicts;
  return { holds: asked.length > 0, words: told.map((each) => each.words).join(', ') };
}

function surfaceVerdict(
  surface: Surface,
  condition: SurfaceCondition,
  facts: CartFacts,
): Judgement {
  const name = `the ${surface.kind} "${surface.name}"`;
  const { greatestHeight } = condition;
  if (!condition.surfaces.includes(surface.kind)) {
    return { holds: false, words: `${name} is no ${condition.surfaces.join(' or ')}` };
  }
  const sign = SIGN_AGAINST[surface.kind];
  if (sign !== null && facts.markings.includes(sign.marking)) {
    return { holds: false, words: `${name} is ${sign.words}` };
  }
  const holds = surface.height <= greatestHeight || isEqual(surface.height, greatestHeight);
  const [height, limit] = toldApart(surface.height, greatestHeight);
  const relation = holds ? 'no higher than' : 'higher than';
  return { holds, words: `${name}, ${height} m above the floor, is ${relation} ${limit} m` };
}
