/** A configuration in words that an engineer can set up on a ramp. */

import type { Cart, Load, Position } from '../document/index.js';
import type { Dimension as UnitDimension } from '../units/index.js';
import { formatQuantity } from '../units/index.js';

/** Three figures: nobody sets a lift, an arm or a bag closer than that. */
const SET_DIGITS = 3;

export function quantity(value: number, dimension: UnitDimension, digits = 4): string {
  return value === Number.POSITIVE_INFINITY
    ? 'unlimited'
    : formatQuantity(value, dimension, 'SI', { digits });
}

/** A friction coefficient, upwards in the third place: a rounded one must still be enough. */
export function coefficient(value: number): string {
  return (Math.ceil(value * 1000 - 1e-9) / 1000).toFixed(2 + thirdPlace(value));
}

function thirdPlace(value: number): 0 | 1 {
  return Math.ceil(value * 1000 - 1e-9) % 10 === 0 ? 0 : 1;
}

export function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join('');
  return `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`;
}

const HEADINGS = [
  'the front',
  'the front left',
  'the left',
  'the rear left',
  'the rear',
  'the rear right',
  'the right',
  'the front right',
] as const;

/** Into (-180, 180] degrees, whole tenths. */
function degrees(direction: number): number {
  const inTenths = Math.round((direction * 1800) / Math.PI) / 10;
  const turned = inTenths - 360 * Math.ceil(inTenths / 360 - 0.5);
  return turned === 0 ? 0 : Number(turned.toFixed(1));
}

/** Which way an angle from forward towards left points: 'the rear left (135 deg)'. */
export function heading(direction: number): string {
  const angle = degrees(direction);
  const index = (Math.round(angle / 45) + HEADINGS.length) % HEADINGS.length;
  return `${HEADINGS[index]} (${angle} deg)`;
}

/** 'lift at 400 mm, arm turned 90 deg, left bag full, supplies absent' */
export function settingWords(cart: Cart, position: Position, x: ArrayLike<number>): string {
  const movers = cart.movers.map(({ name, kind }, i) => {
    const value = x[i] ?? 0;
    return kind === 'turn'
      ? `${name} turned ${quantity(value, 'angle', SET_DIGITS)}`
      : `${name} at ${quantity(value, 'length', SET_DIGITS)}`;
  });
  const loads = cart.loads.map((load, i) =>
    loadWords(load, position, x[cart.movers.length + i] ?? 0),
  );
  const all = [...movers, ...loads];
  return all.length === 0 ? 'as it stands' : all.join(', ');
}

/** kg: a load this near to its limit is at it, to rounding. */
const AT_LIMIT = 1e-9;

function loadWords(load: Load, position: Position, mass: number): string {
  const at = (limit: number) => Math.abs(mass - limit) <= AT_LIMIT;
  if (at(0)) {
    const neverThere = (position.loads[load.name]?.most ?? load.most) === 0;
    return `${load.name} ${load.kind === 'fluid' && !neverThere ? 'empty' : 'absent'}`;
  }
  const amount = quantity(mass, 'mass', SET_DIGITS);
  if (at(load.most)) return `${load.name} full (${amount})`;
  if (at(load.least)) return `${load.name} at its least (${amount})`;
  return `${load.name} ${amount}`;
}

/** rad: castors turned alike to this are named together; a castor is set by eye to some degrees. */
const ALIKE = 0.01;

/**
 * How the castors are turned: the angle is from the stem to where the wheel touches the floor.
 * 'front left castor turned to the rear left (135 deg)'.
 *
 * @param swivels rad by castor name
 */
export function castorWords(cart: Cart, swivels: Readonly<Record<string, number>>): string {
  const groups: { readonly angle: number; readonly names: string[] }[] = [];
  for (const [name, angle] of Object.entries(swivels)) {
    const group = groups.find((each) => 1 - Math.cos(each.angle - angle) < ALIKE ** 2 / 2);
    if (group === undefined) groups.push({ angle, names: [name] });
    else group.names.push(name);
  }
  const swivelling = cart.castors.filter(({ fixedDirection }) => fixedDirection === null).length;
  return groups
    .map(({ angle, names }) => {
      const all = names.length === swivelling && swivelling > 1;
      const who = all ? 'all castors' : `${listed(names)} castor${names.length > 1 ? 's' : ''}`;
      const swivel = all && swivelling < cart.castors.length ? 'all swivelling castors' : who;
      return `${swivel} turned to ${heading(angle)}`;
    })
    .join(', ');
}

/** One sentence: position, setting, castors, then what is done to the cart. */
export function configurationWords(
  cart: Cart,
  position: Position,
  x: ArrayLike<number>,
  swivels: Readonly<Record<string, number>>,
  action: string | null,
): string {
  const castors = castorWords(cart, swivels);
  const set = [`${position.name}: ${settingWords(cart, position, x)}`, castors];
  return [set.filter((part) => part !== '').join(', '), action]
    .filter((part) => part !== null)
    .join('; ');
}
