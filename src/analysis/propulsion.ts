/** What force starts the cart, and what keeps it going? */

import { castorLoadsAt, propulsion, STANDARD_GRAVITY, worstPropulsion } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import { wrapped } from './angle.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, requiredValue } from './answer.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf, positionsOf, worstOver } from './cart-model.js';
import type { CastorShare, WorkingStep } from './finding.js';
import { configurationOf } from './tipping.js';
import { quantity } from './words.js';
import { amount, si, step, weightStep } from './working.js';

/** Castors trail when the cart is moved; a fixed castor gives the way. */
export function travelDirection({ cart }: Pick<CartModel, 'cart'>): number {
  return cart.castors.find(({ fixedDirection }) => fixedDirection !== null)?.fixedDirection ?? 0;
}

function rolled(model: CartModel, placed: PlacedPosition) {
  const { heaviest, limit } = worstPropulsion(model.mass, placed.domain, model.rolling);
  const state = massStateOf(model, heaviest.x);
  const direction = travelDirection(model);
  const contacts = model.stands.map(
    ({ stem, trail }) =>
      [stem[0] - trail * Math.cos(direction), stem[1] - trail * Math.sin(direction)] as const,
  );
  const [x, y] = state.centreOfMass;
  const weight = STANDARD_GRAVITY * state.mass;
  const loads =
    castorLoadsAt(model.stands, contacts, weight, [x, y]) ??
    model.stands.map(() => weight / model.stands.length);
  const force = propulsion(model.rolling, loads);
  const status = heaviest.status;
  return {
    // least margin first: the search over positions takes the least capacity
    capacity: -force.start,
    bound: -limit.start,
    boxes: heaviest.boxes,
    status,
    heaviest,
    state,
    contacts,
    loads,
    force,
  };
}

export function answerPropulsion(model: CartModel, clause: Clause): Answer {
  const limit = requiredValue(clause, 'force-limit');
  const worst = worstOver(positionsOf(model, 'transport'), (placed) => rolled(model, placed));
  const { heaviest, state, contacts, loads, force } = worst.found;
  const bound = -worst.bound;
  const verdict = decided('at most', limit, force.start, bound);
  const direction = travelDirection(model);
  const swivels = Object.fromEntries(
    model.cart.castors
      .filter(({ fixedDirection }) => fixedDirection === null)
      .map(({ name }) => [name, wrapped(direction + Math.PI)]),
  );
  return {
    ...BLANK_ANSWER,
    verdict,
    because: `Starting it takes ${quantity(force.start, 'force')} and moving it on ${quantity(force.sustained, 'force')}, where ${quantity(limit, 'force')} is allowed${verdict === 'not decided' ? `; up to ${quantity(bound, 'force')} is possible on an uneven floor` : ''}.`,
    sense: 'at most',
    demand: amount(force.start, 'force'),
    capacity: amount(limit, 'force'),
    margin: amount(limit - force.start, 'force'),
    mode: { kind: 'rolls', direction },
    castors: model.cart.castors.map(
      (castor, i): CastorShare => ({
        name: castor.name,
        contact: contacts[i] ?? castor.at,
        swivel: swivels[castor.name] ?? null,
        lock: 'none',
        load: loads[i] ?? 0,
        share: (loads[i] ?? 0) / (STANDARD_GRAVITY * state.mass),
        force: null,
        limit: force.castors[i]?.start ?? null,
      }),
    ),
    worst: configurationOf(model, worst.placed, heaviest.x, {
      swivels,
      direction,
      point: null,
      mass: state.mass,
      centreOfMass: [...state.centreOfMass],
      action: 'locks off, every castor turned the worst way for the start',
    }),
    proof: {
      kind: 'proven',
      bound: amount(bound, 'force'),
      gap: amount(Math.max(0, bound - force.start), 'force'),
      method: 'greatest mass by a linear functional, then every split of the weight in closed form',
      boxes: worst.boxes,
    },
    restsOn: [
      ...commonBasis(clause, model),
      'rolling resistance lengths and swivel moments: as the cart file states, on a hard flat floor',
    ],
    working: propulsionSteps(model, state.mass, loads, force),
    notes: [
      `Castors at the start stand the worst way; once they trail ${quantity(force.sustained, 'force')} keeps it going. Inertia is not part of it: start slowly.`,
      'Forces hold on a level floor, castors sound and free of hair and thread.',
    ],
  };
}

function propulsionSteps(
  model: CartModel,
  mass: number,
  loads: readonly number[],
  force: ReturnType<typeof propulsion>,
): readonly WorkingStep[] {
  const terms = model.rolling.map(({ rollingLength, radius }, i) => {
    return `${si(loads[i] ?? 0, 'N')} * ${si(rollingLength, 'm')} / ${si(radius, 'm')}`;
  });
  const corners = model.rolling.map(({ swivelMoment, trail }, i) => {
    const rolling = si(force.castors[i]?.sustained ?? 0, 'N');
    if (trail === 0) return rolling;
    return `hypot(${rolling}, ${si(swivelMoment, 'N m')} / ${si(trail, 'm')})`;
  });
  return [
    weightStep(mass),
    step(
      'force that keeps it going: each castor rolls with its load times b over r',
      'F = Σ N b / r',
      terms.join(' + '),
      force.sustained,
      'force',
    ),
    step(
      'force that starts it: each castor rolls and swivels at once, the worst way it can stand',
      'F_start = Σ hypot(N b / r, M_s / t)',
      corners.join(' + '),
      force.start,
      'force',
    ),
  ];
}
