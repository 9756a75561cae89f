/** What a cart is: masses, centres of mass and castor loads of every position. */

import type { Cart, Vec3 } from '../document/index.js';
import type { CastorLoad } from '../engine/index.js';
import {
  greatestCentre,
  greatestFunctional,
  STANDARD_GRAVITY,
  worstCastorLoads,
} from '../engine/index.js';
import { figure } from './answer.js';
import { greatestHeight } from './cart-facts.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf, modelOf } from './cart-model.js';
import { CAUTIONS } from './cautions.js';
import type {
  AssumedInput,
  CartDescription,
  CastorLoadRange,
  MassState,
  PositionDescription,
} from './description.js';
import { swivelRecord } from './holding-state.js';
import { castorWords, settingWords } from './words.js';

export function describeCart(cart: Cart): CartDescription {
  const model = modelOf(cart);
  return {
    cart: cart.name,
    description: cart.description,
    mobility: cart.mobility,
    parts: cart.parts.length,
    movers: cart.movers.length,
    loads: cart.loads.length,
    bareMass: cart.parts.reduce((sum, { mass }) => sum + mass, 0),
    greatestHeight: greatestHeight(model),
    positions: model.positions.map((placed) => describePosition(model, placed)),
    assumed: assumedInputs(cart),
    cautions: CAUTIONS,
  };
}

const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

function describePosition(model: CartModel, placed: PlacedPosition): PositionDescription {
  const { domain, position } = placed;
  const state = (x: Float64Array): MassState => {
    const { mass, centreOfMass } = massStateOf(model, x);
    const words = settingWords(model.cart, position, x);
    return { mass, weight: mass * STANDARD_GRAVITY, centreOfMass, words };
  };
  const heaviest = greatestFunctional(model.mass, domain, 1, [0, 0, 0]);
  const lightest = greatestFunctional(model.mass, domain, -1, [0, 0, 0]);
  const most = AXES.map((axis) => greatestCentre(model.mass, domain, axis));
  const least = AXES.map(([x, y, z]) => greatestCentre(model.mass, domain, [-x, -y, -z]));
  const searches = [heaviest, lightest, ...most, ...least];
  const at = (found: typeof heaviest | undefined) => state((found ?? heaviest).x);
  const bound = (found: typeof least, sign: 1 | -1): Vec3 => [
    sign * (found[0]?.bound ?? 0),
    sign * (found[1]?.bound ?? 0),
    sign * (found[2]?.bound ?? 0),
  ];
  return {
    name: position.name,
    kind: position.kind,
    lightest: at(lightest),
    heaviest: at(heaviest),
    lowest: at(least[2]),
    highest: at(most[2]),
    centreOfMassRange: { least: bound(least, -1), most: bound(most, 1) },
    castors: castorRanges(model, placed),
    proven: searches.every(({ status }) => status === 'closed'),
  };
}

function castorRanges(model: CartModel, placed: PlacedPosition): readonly CastorLoadRange[] {
  const { most, least } = worstCastorLoads(model.mass, placed.domain, model.stands);
  const words = (load: CastorLoad | undefined): string => {
    if (load === undefined) return '';
    const castors = castorWords(model.cart, swivelRecord(model, load.swivels));
    const setting = settingWords(model.cart, placed.position, load.x);
    return castors === '' ? setting : `${setting}, ${castors}`;
  };
  return model.cart.castors.map(
    ({ name, rating }, i): CastorLoadRange => ({
      name,
      least: least[i]?.value ?? 0,
      leastWords: words(least[i]),
      most: most[i]?.value ?? 0,
      mostWords: words(most[i]),
      rating: rating === null ? null : rating * STANDARD_GRAVITY,
    }),
  );
}

function assumedInputs(cart: Cart): readonly AssumedInput[] {
  const frictions = cart.floor.friction
    .filter(({ basis }) => basis === 'assumed')
    .map(
      ({ tread, value, tolerance }): AssumedInput => ({
        what: `friction of ${tread} on ${cart.floor.name}`,
        taken:
          tolerance > 0
            ? `${figure(value)}, ${figure(value - tolerance)} to ${figure(value + tolerance)}`
            : figure(value),
        basis: 'assumed: not measured',
      }),
    );
  const brakes = cart.castors
    .filter(
      ({ lock, brakeTorque }) => (lock === 'wheel' || lock === 'total') && brakeTorque === null,
    )
    .map(({ name }) => name);
  const unrated = cart.castors.filter(({ rating }) => rating === null).map(({ name }) => name);
  return [
    ...frictions,
    ...some(brakes, 'brakes of', 'outlast the tread', 'as the cart file states'),
    ...some(unrated, 'ratings of', 'none', 'not stated'),
  ];
}

function some(
  names: readonly string[],
  what: string,
  taken: string,
  basis: string,
): readonly AssumedInput[] {
  return names.length === 0 ? [] : [{ what: `${what} ${names.join(', ')}`, taken, basis }];
}
