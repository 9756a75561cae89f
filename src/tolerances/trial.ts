/** One drawn cart and the test it is put to. */

import type { Body, Cart, Castor, Vec2, Vec3 } from '../document/index.js';
import { editCart } from '../document/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import type { Input, TestCondition } from './inputs.js';

export interface Trial {
  readonly cart: Cart;
  readonly set: RequirementSet;
  /** rad: the ramp is steeper than asked by so much */
  readonly ramp: number;
  /** rad, steepest slope of the floor of a push test; its sign does not count */
  readonly slope: number;
  /** N: the push is stronger than asked by so much */
  readonly force: number;
}

/**
 * The cart and the test with an offset added to every input. Friction is then known: its tolerance is
 * zero.
 *
 * @param offsets SI, one for each input
 */
export function trialOf(
  cart: Cart,
  set: RequirementSet,
  inputs: readonly Input[],
  offsets: ArrayLike<number>,
): Trial {
  const parts = [...cart.parts];
  const loads = [...cart.loads];
  const castors = [...cart.castors];
  const friction = cart.floor.friction.map((entry) => ({ ...entry, tolerance: 0 }));
  const test: Record<TestCondition, number> = {
    'ramp angle': 0,
    'floor slope': 0,
    'push force': 0,
    'push height': 0,
  };
  let rise = 0;
  inputs.forEach(({ change }, i) => {
    const offset = offsets[i] ?? 0;
    switch (change.kind) {
      case 'part mass':
        replace(parts, change.part, (part) => ({ ...part, mass: part.mass + offset }));
        break;
      case 'part place':
        replace(parts, change.part, (part) => ({
          ...part,
          at: moved(part.at, change.axis, offset),
        }));
        break;
      case 'load place':
        replace(loads, change.load, (load) => ({
          ...load,
          at: moved(load.at, change.axis, offset),
        }));
        break;
      case 'friction':
        replace(friction, change.entry, (entry) => ({ ...entry, value: entry.value + offset }));
        break;
      case 'castor place':
        replace(castors, change.castor, (castor) => ({
          ...castor,
          at: shifted(castor.at, change.axis, offset),
        }));
        break;
      case 'castor property':
        for (const index of change.castors) {
          replace(castors, index, (castor) => withProperty(castor, change.property, offset));
        }
        // A wheel carries the cart at its radius. Where only some wheels are off, the cart rises by
        // the mean; that it then leans a little is left out.
        if (change.property === 'wheelDiameter') {
          rise += (0.5 * offset * change.castors.length) / cart.castors.length;
        }
        break;
      case 'test':
        test[change.condition] = offset;
        break;
    }
  });
  const drawn = { ...cart, parts, loads, castors, floor: { ...cart.floor, friction } };
  const height = test['push height'];
  return {
    cart: pushedHigher(rise === 0 ? drawn : editCart(drawn, [{ kind: 'raise', by: rise }]), height),
    set: height === 0 ? set : askedHigher(set, height),
    ramp: test['ramp angle'],
    slope: test['floor slope'],
    force: test['push force'],
  };
}

function replace<T>(list: T[], index: number, change: (item: T) => T): void {
  const item = list[index];
  if (item === undefined) throw new Error(`trialOf: nothing at ${index} of ${list.length}`);
  list[index] = change(item);
}

function moved(at: Vec3, axis: 0 | 1 | 2, offset: number): Vec3 {
  const [x, y, z] = at;
  return axis === 0 ? [x + offset, y, z] : axis === 1 ? [x, y + offset, z] : [x, y, z + offset];
}

function shifted([x, y]: Vec2, axis: 0 | 1, offset: number): Vec2 {
  return axis === 0 ? [x + offset, y] : [x, y + offset];
}

function withProperty(castor: Castor, property: keyof Castor, offset: number): Castor {
  return { ...castor, [property]: Number(castor[property]) + offset };
}

/** Is the height at which a person pushes the top of the outline, then the outline is taken higher; is
 * it the height of the clause, then that is. Which of the two counts stays as it is. */
function pushedHigher(cart: Cart, by: number): Cart {
  if (by === 0) return cart;
  return { ...cart, outline: cart.outline.map((body) => taller(body, by)) };
}

function taller(body: Body, by: number): Body {
  const { shape } = body;
  return shape.kind === 'box'
    ? { ...body, shape: { ...shape, to: moved(shape.to, 2, by) } }
    : { ...body, shape: { ...shape, height: shape.height + by } };
}

const PUSHES: ReadonlySet<Clause['question']['kind']> = new Set([
  'horizontal force',
  'combined force',
  'holding against push',
]);

export function isPush({ question }: Clause): boolean {
  return PUSHES.has(question.kind);
}

/** Heights of pushes rise with the outline, and so do heights that decide whether a clause is asked:
 * the cart itself has not grown. */
function askedHigher(set: RequirementSet, by: number): RequirementSet {
  return {
    ...set,
    clauses: set.clauses.map((clause) => ({
      ...clause,
      conditions: clause.conditions.map((condition) =>
        condition.kind === 'height at least'
          ? { ...condition, height: condition.height + by }
          : condition,
      ),
      values: isPush(clause)
        ? clause.values.map((value) =>
            value.id === 'greatest-height' ? { ...value, value: value.value + by } : value,
          )
        : clause.values,
    })),
  };
}
