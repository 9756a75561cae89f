/** The cart with one castor left out of account: do the ratings of the others bear the weight, does
 * it stand without the castor that carries most? */

import type { Tipping } from '../engine/index.js';
import {
  castorLoadsAt,
  greatestFunctional,
  STANDARD_GRAVITY,
  supportMargin,
  supportPolygon,
  worstLoadPoint,
} from '../engine/index.js';
import type { Clause, Question } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided } from './answer.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf, positionsOf } from './cart-model.js';
import type { PlacedLoads } from './castor-load.js';
import type { WorkingStep } from './finding.js';
import { configurationOf } from './tipping.js';
import { listed, quantity } from './words.js';
import { amount, si, step } from './working.js';

type CastorMissing = Extract<Question, { readonly kind: 'castor missing' }>;

export function answerCastorMissing(
  model: CartModel,
  clause: Clause,
  question: CastorMissing,
  loads: readonly PlacedLoads[],
): Answer {
  return question.test === 'ratings'
    ? answerRatings(model, clause)
    : answerBalance(model, clause, loads);
}

function heaviestOf(model: CartModel) {
  return positionsOf(model, 'all')
    .map((placed) => ({ placed, ...greatestFunctional(model.mass, placed.domain, 1, [0, 0, 0]) }))
    .reduce((p, q) => (q.value > p.value ? q : p));
}

function answerRatings(model: CartModel, clause: Clause): Answer {
  const { castors } = model.cart;
  const heaviest = heaviestOf(model);
  const { mass, centreOfMass } = massStateOf(model, heaviest.x);
  const unrated = castors.filter(({ rating }) => rating === null).map(({ name }) => name);
  const ratings = castors.map(({ rating }) => rating ?? 0);
  const strongest = Math.max(...ratings);
  const others = ratings.reduce((sum, rating) => sum + rating, 0) - strongest;
  const known = unrated.length === 0;
  const counted = `all castors but one are rated for ${quantity(others, 'mass')}`;
  const missing = `the rating of ${listed(unrated)} is not stated`;
  // the least sum is without the castor of the highest rating
  const shown = castors.length - 1;
  const left = ratings.toSorted((a, b) => a - b).slice(0, shown);
  return {
    ...BLANK_ANSWER,
    verdict: known ? decided('at least', heaviest.bound, others, others) : 'not decided',
    because: known
      ? `At its heaviest the cart is ${quantity(mass, 'mass')}; ${counted}.`
      : `At its heaviest the cart is ${quantity(mass, 'mass')}; ${missing}.`,
    demand: amount(mass, 'mass'),
    capacity: known ? amount(others, 'mass') : null,
    margin: known ? amount(others - mass, 'mass') : null,
    mode: { kind: 'overloads', what: `the ${shown} castors that are left` },
    worst: configurationOf(model, heaviest.placed, heaviest.x, {
      swivels: {},
      direction: null,
      point: null,
      mass,
      centreOfMass,
      action: 'any one castor hanging free',
    }),
    proof: known
      ? {
          kind: 'proven',
          bound: amount(others, 'mass'),
          gap: amount(0, 'mass'),
          method: 'closed form: the sum of the ratings less the highest',
          boxes: heaviest.boxes,
        }
      : { kind: 'none', reason: missing },
    restsOn: [
      ...commonBasis(clause, model),
      ...unrated.map((name) => `rating of ${name}: not stated`),
    ],
    working: known
      ? [
          step(
            'ratings of all castors but the strongest',
            'Σ R - max R',
            left.map((rating) => si(rating, 'kg')).join(' + '),
            others,
            'mass',
          ),
        ]
      : [],
    notes: ['The castors that are left are taken to share the weight as they can bear it.'],
  };
}

/** The cart without one castor. */
interface Removed {
  readonly castor: number;
  readonly placed: PlacedPosition;
  readonly tipping: Tipping;
  /** m, distance inside the polygon that is left, in configuration x */
  readonly margin: number;
  readonly x: Float64Array;
  /** whether that castor carries most there */
  readonly carriesMost: boolean;
}

function answerBalance(model: CartModel, clause: Clause, loads: readonly PlacedLoads[]): Answer {
  const all = loads.flatMap((each) => removals(model, each));
  const certain = all.filter(({ carriesMost }) => carriesMost);
  const pool = certain.length > 0 ? certain : all;
  const worst = pool.reduce((p, q) => (q.margin < p.margin ? q : p));
  const bound = Math.min(...all.map(({ tipping }) => tipping.bound));
  const { mass, centreOfMass } = massStateOf(model, worst.x);
  const decision = decided('at least', 0, worst.margin, bound);
  const verdict = decision === 'fails' && !worst.carriesMost ? 'not decided' : decision;
  const name = model.cart.castors[worst.castor]?.name ?? '';
  const finite = Number.isFinite(worst.margin);
  const outside = quantity(Math.abs(worst.margin), 'length');
  const because = !finite
    ? `Without ${name} the castors leave no area that is always supported: the cart tips.`
    : worst.margin < 0
      ? `Without ${name}, which carries most, the centre of mass is ${outside} outside the castors that are left: the cart tips.`
      : `Without ${name}, which carries most, the centre of mass stays ${outside} inside the castors that are left.`;
  return {
    ...BLANK_ANSWER,
    verdict,
    because:
      verdict === 'not decided'
        ? `${because} That the castor that carries most is never one without which it tips is not proven.`
        : because,
    demand: amount(0, 'length'),
    capacity: finite ? amount(worst.margin, 'length') : null,
    margin: finite ? amount(worst.margin, 'length') : null,
    mode: worst.margin < 0 && finite ? tippingMode(model, worst) : null,
    worst: configurationOf(model, worst.placed, worst.x, {
      swivels: {},
      direction: null,
      point: null,
      mass,
      centreOfMass,
      action: `${name} castor taken away, the others turned the worst way`,
    }),
    proof: Number.isFinite(bound)
      ? {
          kind: 'proven',
          bound: amount(bound, 'length'),
          gap: amount(finite ? Math.max(0, worst.margin - bound) : 0, 'length'),
          method:
            'closed form over castor angles, every castor that may carry most taken away in turn, branch and bound over configurations',
          boxes: all.reduce((sum, { tipping }) => sum + tipping.boxes, 0),
        }
      : {
          kind: 'none',
          reason: 'the castors that are left support no area whichever way they turn',
        },
    restsOn: commonBasis(clause, model),
    working: balanceSteps(model, worst),
  };
}

/** What is always supported without one castor, whichever way the others turn. */
export function polygonWithout({ stands }: Pick<CartModel, 'stands'>, castor: number) {
  return supportPolygon(stands.filter((_, i) => i !== castor));
}

/** Every castor that may be the most loaded: the most loaded one carries at least the mean. */
function removals(model: CartModel, { placed, loads }: PlacedLoads): readonly Removed[] {
  const lightest = -greatestFunctional(model.mass, placed.domain, -1, [0, 0, 0]).bound;
  const mean = (STANDARD_GRAVITY * lightest) / model.stands.length;
  return loads.most.flatMap((load, castor): readonly Removed[] => {
    if (load.bound < mean) return [];
    const support = polygonWithout(model, castor);
    const tipping = worstLoadPoint({ model: model.mass, domain: placed.domain, support });
    const tried = [tipping.x, load.x].flatMap((x) => (x === null ? [] : [x]));
    return tried.map((x): Removed => {
      const [cx, cy] = massStateOf(model, x).centreOfMass;
      const margin = supportMargin(support, [cx, cy]);
      return { castor, placed, tipping, x, margin, carriesMost: carriesMost(model, x, castor) };
    });
  });
}

/** Share by which two loads may differ and count as alike, to rounding. */
const ALIKE = 1e-9;

function carriesMost(model: CartModel, x: Float64Array, castor: number): boolean {
  const { mass, centreOfMass } = massStateOf(model, x);
  const stems = model.stands.map(({ stem }) => stem);
  const weight = STANDARD_GRAVITY * mass;
  const loads = castorLoadsAt(model.stands, stems, weight, [centreOfMass[0], centreOfMass[1]]);
  if (loads === null) return true;
  return (loads[castor] ?? 0) >= (1 - ALIKE) * Math.max(...loads);
}

function nearestEdge(model: CartModel, { castor, x }: Removed) {
  const support = polygonWithout(model, castor);
  if (support.kind === 'empty') return null;
  const [cx, cy] = massStateOf(model, x).centreOfMass;
  const distance = (edge: (typeof support.edges)[number]): number =>
    edge.offset - edge.normal[0] * cx - edge.normal[1] * cy;
  return support.edges.reduce((p, q) => (distance(q) < distance(p) ? q : p));
}

function tippingMode(model: CartModel, removed: Removed) {
  const edge = nearestEdge(model, removed);
  if (edge === null) return null;
  const left = model.cart.castors.filter((_, i) => i !== removed.castor);
  const castors = edge.castors.map((i) => left[i]?.name ?? '');
  return { kind: 'tips', castors, line: edge.line } as const;
}

function balanceSteps(model: CartModel, removed: Removed): readonly WorkingStep[] {
  const edge = nearestEdge(model, removed);
  if (edge === null) return [];
  const [cx, cy] = massStateOf(model, removed.x).centreOfMass;
  return [
    step(
      'distance of the centre of mass inside the line of the castors that are left',
      'd = e - n_x x - n_y y',
      `${si(edge.offset, 'm')} - ${si(edge.normal[0], '')} * ${si(cx, 'm')} - ${si(edge.normal[1], '')} * ${si(cy, 'm')}`,
      removed.margin,
      'length',
    ),
  ];
}
