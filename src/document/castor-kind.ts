import type { Castor } from './cart.js';
import { isSame, isSameOrNull } from './short-number.js';

/** What a castor brings with it, wherever it stands: a row of a catalogue. SI units as in `Castor`. */
export type CastorKind = Pick<
  Castor,
  'wheelDiameter' | 'trail' | 'swivelMoment' | 'rollingLength' | 'rating' | 'stiffness' | 'tread'
>;

export function castorKind(castor: CastorKind): CastorKind {
  const { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread } = castor;
  return { wheelDiameter, trail, swivelMoment, rollingLength, rating, stiffness, tread };
}

/** Equal as far as a file could tell. */
export function isSameKind(a: CastorKind, b: CastorKind): boolean {
  return (
    isSame(a.wheelDiameter, b.wheelDiameter) &&
    isSame(a.trail, b.trail) &&
    isSame(a.swivelMoment, b.swivelMoment) &&
    isSame(a.rollingLength, b.rollingLength) &&
    isSame(a.stiffness, b.stiffness) &&
    isSameOrNull(a.rating, b.rating) &&
    a.tread === b.tread
  );
}
