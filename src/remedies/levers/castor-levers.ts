/** Levers on where the castors stand and what they bring: spacing, wheel diameter, trail, tread. */

import type { Cart, CartEdit, Castor, Vec2 } from '../../document/index.js';
import type { Lever } from '../lever.js';
import { grid, length, leverOf, ratio, tidy } from '../lever.js';
import type { Reaches } from '../reaches.js';
import { STEPS } from '../reaches.js';
import type { Phrase } from '../remedy.js';

export function castorLevers(cart: Cart, reaches: Reaches): readonly Lever[] {
  return [
    ...spacingLevers(cart, reaches),
    ...wheelLevers(cart, reaches),
    ...trailLevers(cart, reaches),
    ...frictionLevers(cart, reaches),
  ];
}

/** m: stems this near to one line have no spacing across it to widen. */
const NO_SPACING = 0.01;

const BASE_FOLLOWS =
  'The base has to reach the new stems. Its own mass, its cover and the outline stay as they are in this reckoning.';

/** Stretched about the middle of the stems, so that each keeps its share of the way out. */
function spacingLevers(cart: Cart, { spacing, spacingOut }: Reaches): readonly Lever[] {
  const stems = cart.castors.map(({ at }) => at);
  const middle = meanOf(stems);
  const spread = ([0, 1] as const).map((axis) => spreadOf(stems.map((at) => at[axis])));
  const [along = 0, across = 0] = spread;
  const outermost = Math.max(...stems.map(([x, y]) => Math.hypot(x - middle[0], y - middle[1])));
  const stretched = (fx: number, fy: number): readonly CartEdit[] =>
    cart.castors.map(({ name, at: [x, y] }) => ({
      kind: 'castor place',
      castor: name,
      at: [tidy(middle[0] + fx * (x - middle[0])), tidy(middle[1] + fy * (y - middle[1]))],
    }));
  const lever = (
    way: string,
    now: number,
    reach: number,
    edits: (x: number) => readonly CartEdit[],
    words: (x: number) => Phrase,
  ) =>
    now < NO_SPACING
      ? []
      : leverOf({
          id: `castor spacing: ${way}`,
          kind: 'castor spacing',
          dimension: 'length',
          amounts: grid(reach, STEPS.length),
          edits,
          words,
          notes: [BASE_FOLLOWS],
        });
  return [
    ...lever(
      'wider',
      across,
      spacing,
      (x) => stretched(1, 1 + x / across),
      (x) => ['castors wider apart: ', length(across + x), ' instead of ', length(across)],
    ),
    ...lever(
      'longer',
      along,
      spacing,
      (x) => stretched(1 + x / along, 1),
      (x) => [
        'castors further apart lengthwise: ',
        length(along + x),
        ' instead of ',
        length(along),
      ],
    ),
    ...lever(
      'further out',
      outermost,
      spacingOut,
      (x) => stretched(1 + x / outermost, 1 + x / outermost),
      (x) => [
        'castors further out all round: ',
        length(outermost + x),
        ' from their middle instead of ',
        length(outermost),
      ],
    ),
  ];
}

function meanOf(points: readonly Vec2[]): Vec2 {
  const sum = points.reduce<Vec2>(([x, y], p) => [x + p[0], y + p[1]], [0, 0]);
  return [sum[0] / points.length, sum[1] / points.length];
}

function spreadOf(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values);
}

/** What a castor brings with it, some of it changed. */
function becomes(castor: Castor, changes: Partial<Castor>): CartEdit {
  const { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread } = {
    ...castor,
    ...changes,
  };
  return {
    kind: 'castor kind',
    castor: castor.name,
    becomes: { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread },
  };
}

/** '125 mm instead of 100 mm', or 'each by 25 mm' where they differ. */
function insteadOf(now: readonly number[], change: number): Phrase {
  const [first = 0] = now;
  return spreadOf(now) < STEPS.length / 2
    ? [length(tidy(first + change)), ' instead of ', length(first)]
    : ['each by ', length(Math.abs(change))];
}

const WHEEL_NOTES = [
  'Everything above the castors moves with the wheels by half the change; trail, rolling length, brake torque and rating stay.',
  'A brake of the same torque holds less on a larger wheel and more on a smaller one.',
];

function wheelLevers(cart: Cart, { wheelLarger, wheelSmaller }: Reaches): readonly Lever[] {
  const now = cart.castors.map(({ wheelDiameter }) => wheelDiameter);
  const edits = (change: number): readonly CartEdit[] => [
    ...cart.castors.map((castor) =>
      becomes(castor, { wheelDiameter: tidy(castor.wheelDiameter + change) }),
    ),
    { kind: 'raise', by: tidy(change / 2) },
  ];
  const shared = { kind: 'wheel diameter', dimension: 'length', notes: WHEEL_NOTES } as const;
  return [
    ...leverOf({
      ...shared,
      id: 'wheel diameter: larger',
      amounts: grid(wheelLarger, STEPS.length),
      edits,
      words: (x) => ['larger wheels: ', ...insteadOf(now, x)],
    }),
    ...leverOf({
      ...shared,
      id: 'wheel diameter: smaller',
      amounts: grid(wheelSmaller * Math.min(...now), STEPS.length),
      edits: (x) => edits(-x),
      words: (x) => ['smaller wheels: ', ...insteadOf(now, -x)],
    }),
  ];
}

function trailLevers(cart: Cart, { trailShorter, trailLonger }: Reaches): readonly Lever[] {
  const swivelling = cart.castors.filter(({ fixedDirection }) => fixedDirection === null);
  const now = swivelling.map(({ trail }) => trail);
  if (now.length === 0) return [];
  const least = Math.min(...now);
  const edits = (change: number) =>
    swivelling.map((castor) => becomes(castor, { trail: tidy(castor.trail + change) }));
  const shared = { kind: 'trail', dimension: 'length' } as const;
  return [
    ...leverOf({
      ...shared,
      id: 'trail: shorter',
      amounts: grid(trailShorter * least, STEPS.length),
      edits: (x) => edits(-x),
      words: (x) => ['shorter trail: ', ...insteadOf(now, -x)],
      notes: ['A castor with less trail swivels less willingly and shimmies sooner.'],
    }),
    ...leverOf({
      ...shared,
      id: 'trail: longer',
      amounts: grid(trailLonger * least, STEPS.length),
      edits,
      words: (x) => ['longer trail: ', ...insteadOf(now, x)],
      notes: ['A castor with more trail lets the cart pivot further before it holds.'],
    }),
  ];
}

/** One lever for all treads together, and one for each where there are several. */
function frictionLevers(cart: Cart, { friction }: Reaches): readonly Lever[] {
  const used = new Set(cart.castors.map(({ tread }) => tread));
  const treads = cart.floor.friction.filter(({ tread }) => used.has(tread));
  const groups = treads.length > 1 ? [treads, ...treads.map((each) => [each])] : [treads];
  return groups.flatMap((group) => {
    const low = Math.min(...group.map(({ value, tolerance }) => value - tolerance));
    const names = group.map(({ tread }) => tread).join(' and ');
    return leverOf({
      id: `tread friction: ${names}`,
      kind: 'tread friction',
      dimension: 'ratio',
      amounts: grid(friction - low, STEPS.friction),
      edits: (x) =>
        group.map(({ tread, value, tolerance }) => ({
          kind: 'friction',
          tread,
          value: tidy(value + x),
          tolerance,
          basis: 'assumed',
        })),
      words: (x) => [
        `more grip of ${names}: `,
        ratio(tidy(low + x)),
        ' at the low end instead of ',
        ratio(tidy(low)),
      ],
      notes: [
        'Another tread, or a measurement that shows this much on the floors of use; until then it is assumed.',
      ],
    });
  });
}
