/** Do the handles that the cart is lifted by bear the multiple of its weight? */

import type { HandleLoad, HandleLoads } from '../engine/index.js';
import { STANDARD_GRAVITY, worstHandleLoads } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, optionalValue, requiredValue } from './answer.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf, moverIndex, positionsOf } from './cart-model.js';
import type { WorkingStep } from './finding.js';
import { configurationOf } from './tipping.js';
import { listed, quantity } from './words.js';
import { amount, si, step, weightStep } from './working.js';

interface Lifted {
  readonly placed: PlacedPosition;
  readonly loads: HandleLoads;
  readonly handle: number;
  readonly load: HandleLoad;
  /** N; null: not stated */
  readonly rating: number | null;
}

export function answerHandles(model: CartModel, clause: Clause): Answer {
  const factor = requiredValue(clause, 'factor');
  const all = liftedBy(model, factor);
  const rated = all.filter(({ rating }) => rating !== null);
  const unrated = [...new Set(all.filter((each) => each.rating === null).map(nameOf(model)))];
  const pool = rated.length > 0 ? rated : all;
  const worst = pool.reduce((p, q) => (use(q) > use(p) ? q : p));
  const bound = Math.max(
    ...all.filter(({ handle }) => handle === worst.handle).map(({ load }) => load.bound),
  );
  const own =
    worst.rating === null
      ? 'not decided'
      : pool
          .map(({ load, rating }) => decided('at most', rating ?? 0, load.force, load.bound))
          .reduce(worse);
  const verdict = own !== 'fails' && unrated.length > 0 ? 'not decided' : own;
  const capacity = worst.rating === null ? null : amount(worst.rating, 'force');
  const state = massStateOf(model, worst.load.x);
  return {
    ...BLANK_ANSWER,
    verdict,
    because: because(model, worst, factor, unrated),
    sense: 'at most',
    demand: amount(worst.load.force, 'force'),
    capacity,
    margin: worst.rating === null ? null : amount(worst.rating - worst.load.force, 'force'),
    mode: { kind: 'overloads', what: nameOf(model)(worst) },
    worst: configurationOf(model, worst.placed, worst.load.x, {
      swivels: {},
      direction: null,
      point: null,
      ...state,
      action: `lifted by ${listed(lifting(model).map(({ name }) => name))}`,
    }),
    proof: {
      kind: 'proven',
      bound: amount(bound, 'force'),
      gap: amount(Math.max(0, bound - worst.load.force), 'force'),
      method: 'shares of the handles are linear functionals of the moments, searched with a bound',
      boxes: all.reduce((sum, { load }) => sum + load.boxes, 0),
    },
    restsOn: [
      ...commonBasis(clause, model),
      ...unrated.map((name) => `what ${name} bears: not stated`),
    ],
    working: handleSteps(state.mass, factor, worst),
    notes: [RULES[worst.loads.rule], ...howLong(clause), ...pressedDown(model, all)],
  };
}

const RULES: Readonly<Record<HandleLoads['rule'], string>> = {
  'one handle': 'One handle carries all.',
  lever: 'Two handles share by the lever rule.',
  'equal springs': 'The handles share as equal springs under a rigid cart do.',
  'each bears all':
    'A mover shifts a handle sideways: each is taken to bear everything, the safe side.',
};

function lifting({ cart }: CartModel) {
  return cart.handles.filter(({ kind }) => kind === 'lifting');
}

function nameOf(model: CartModel) {
  return ({ handle }: Lifted): string => lifting(model)[handle]?.name ?? '';
}

function liftedBy(model: CartModel, factor: number): readonly Lifted[] {
  const handles = lifting(model);
  const points = handles.map(({ on, at }) => ({ mover: moverIndex(model.cart, on), at }));
  return positionsOf(model, 'all').flatMap((placed) => {
    const loads = worstHandleLoads(model.mass, placed.domain, points, factor);
    return loads.handles.map(
      (load, handle): Lifted => ({
        placed,
        loads,
        handle,
        load,
        rating: handles[handle]?.rating ?? null,
      }),
    );
  });
}

function use({ load, rating }: Lifted): number {
  return rating === null ? load.force : load.force / rating;
}

type Decision = ReturnType<typeof decided>;
const ORDER: readonly Decision[] = ['holds', 'not decided', 'fails'];

function worse(p: Decision, q: Decision): Decision {
  return ORDER.indexOf(q) > ORDER.indexOf(p) ? q : p;
}

function because(
  model: CartModel,
  worst: Lifted,
  factor: number,
  unrated: readonly string[],
): string {
  const force = quantity(worst.load.force, 'force');
  const name = nameOf(model)(worst);
  const missing = `what ${listed(unrated)} bears is not stated`;
  if (worst.rating === null)
    return `The ${name} has to bear ${force} (${factor} times its share of the weight); ${missing}.`;
  const bears = `The ${name} has to bear ${force} (${factor} times its share of the weight) and is shown to bear ${quantity(worst.rating, 'force')}`;
  return unrated.length > 0 ? `${bears}; ${missing}.` : `${bears}.`;
}

function howLong(clause: Clause): readonly string[] {
  const grip = optionalValue(clause, 'grip-width');
  const time = optionalValue(clause, 'duration');
  if (grip === null || time === null) return [];
  return [
    `The force is spread over ${quantity(grip, 'length')} of grip for ${quantity(time, 'time')}.`,
  ];
}

function pressedDown(model: CartModel, all: readonly Lifted[]): readonly string[] {
  const names = new Set(all.filter(({ load }) => load.least < 0).map(nameOf(model)));
  if (names.size === 0) return [];
  return [
    `The centre of mass can be outside the handles: ${listed([...names])} would have to be held down.`,
  ];
}

function handleSteps(mass: number, factor: number, worst: Lifted): readonly WorkingStep[] {
  const weight = STANDARD_GRAVITY * mass;
  const share = worst.load.force / (factor * weight);
  return [
    weightStep(mass),
    step(
      'force the handle has to bear: the factor times its share of the weight',
      'F = factor share W',
      `${si(factor, '')} * ${si(share, '')} * ${si(weight, 'N')}`,
      worst.load.force,
      'force',
    ),
  ];
}
