import type { ContactPoint, ScaleReading, Tilt, WeighingInput } from '../../src/metrology/index.js';
import { tiltedLoads } from '../reference/tilted-loads.js';

/** A cart whose mass and centre of mass are known, on scales. */
export interface KnownCart {
  /** kg */
  readonly mass: number;
  /** m */
  readonly centre: readonly [number, number, number];
  /** m */
  readonly radius: number;
  readonly castors: readonly { readonly name: string; readonly at: readonly [number, number] }[];
  readonly lifted: readonly string[];
}

export interface Uncertainties {
  readonly scale: number;
  readonly place: number;
  readonly angle: number;
  readonly axis: number;
}

export const degrees = Math.PI / 180;

/** Invented: a telehealth cart on four castors, 0.50 by 0.44 m. */
export const FOUR_CASTORS: KnownCart = {
  mass: 61.4,
  centre: [0.021, -0.013, 0.82],
  radius: 0.05,
  castors: [
    { name: 'front left', at: [0.25, 0.22] },
    { name: 'front right', at: [0.25, -0.22] },
    { name: 'rear left', at: [-0.25, 0.22] },
    { name: 'rear right', at: [-0.25, -0.22] },
  ],
  lifted: ['front left', 'front right'],
};

/** Readings as statics gives them, without any error. @param drag kg of force that rolling takes */
export function weighingOf(
  cart: KnownCart,
  tilts: readonly (readonly [number, 'up' | 'down'])[],
  u: Uncertainties,
  drag = 0,
): WeighingInput {
  const lower = cart.castors.map(({ name }) => !cart.lifted.includes(name));
  const readings = (angle: number, kept: (i: number) => boolean, pull = 0): ScaleReading[] =>
    tiltedLoads(cart, lower, angle, pull)
      .map((shown, i) => ({ castor: cart.castors[i]?.name ?? '', shown, u: u.scale }))
      .filter((_, i) => kept(i));
  return {
    contacts: cart.castors.map(({ name, at }): ContactPoint => ({ castor: name, at, u: u.place })),
    level: { repeats: [readings(0, () => true)] },
    tilt: {
      lifted: cart.lifted,
      axisHeight: cart.radius,
      axisHeightU: u.axis,
      tilts: tilts.map(
        ([angle, way]): Tilt => ({
          angle: angle * degrees,
          u: u.angle,
          way,
          lower: readings(angle * degrees, (i) => lower[i] ?? false, way === 'up' ? drag : -drag),
        }),
      ),
    },
  };
}
