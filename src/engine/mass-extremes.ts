/**
 * Question: how great can a linear function of mass and first moments become over a domain, and how
 * far can the centre of mass go in a direction?
 *
 * Symbols: M mass, m first moments of the cart (kg, kg m) in a configuration; a M + b.m the function.
 */

import type { Vec3 } from '../kernel/index.js';
import type { Least, SearchLimits, Way } from './configuration-search.js';
import { DEFAULT_LIMITS, leastOver } from './configuration-search.js';
import type { ConfigurationDomain } from './domain.js';
import { rootBox } from './domain.js';
import { functionalLower } from './mass-bounds.js';
import type { MassModel } from './mass-model.js';
import { curvedVariables, momentsAt } from './mass-model.js';

/** The greatest value found, with its proof. */
export interface Greatest {
  readonly value: number;
  /** the configuration that has it */
  readonly x: Float64Array;
  /** no configuration is above this */
  readonly bound: number;
  /** bound - value, >= 0 */
  readonly gap: number;
  readonly boxes: number;
  readonly status: 'closed' | 'budget';
}

const moments = new Float64Array(4);

/**
 * Greatest a M + b.m over a domain.
 *
 * @param a unit of the result per kg
 * @param b the same per kg m
 */
export function greatestFunctional(
  model: MassModel,
  domain: ConfigurationDomain,
  a: number,
  b: Vec3,
  limits: SearchLimits = DEFAULT_LIMITS,
): Greatest {
  const [bx, by, bz] = b;
  const { lo, hi } = rootBox(domain);
  const way: Way = {
    floor: functionalLower(model, lo, hi, -a, -bx, -by, -bz),
    valueAt: (x) => {
      momentsAt(model, x, moments);
      const [mass, mx, my, mz] = moments as unknown as readonly [number, number, number, number];
      return -(a * mass + bx * mx + by * my + bz * mz);
    },
    marginOver: (low, high) => {
      const least = functionalLower(model, low, high, -a, -bx, -by, -bz);
      return (r) => least - r;
    },
  };
  return negated(leastOver(domain, [way], curvedVariables(model), limits));
}

/**
 * Greatest coordinate of the centre of mass in a direction, b.m / M, m.
 *
 * @param direction unit vector
 * @param limits gaps in m
 * @throws Error when the mass can be zero
 */
export function greatestCentre(
  model: MassModel,
  domain: ConfigurationDomain,
  direction: Vec3,
  limits: SearchLimits = CENTRE_LIMITS,
): Greatest {
  const [bx, by, bz] = direction;
  const { lo, hi } = rootBox(domain);
  const least = functionalLower(model, lo, hi, 1, 0, 0, 0);
  if (!(least > 0)) throw new Error(`mass extremes: the mass can be as little as ${least}`);
  const way: Way = {
    floor: Math.min(0, functionalLower(model, lo, hi, 0, -bx, -by, -bz) / least),
    valueAt: (x) => {
      momentsAt(model, x, moments);
      const [mass, mx, my, mz] = moments as unknown as readonly [number, number, number, number];
      return -(bx * mx + by * my + bz * mz) / mass;
    },
    marginOver: (low, high) => (r) => functionalLower(model, low, high, -r, -bx, -by, -bz),
  };
  return negated(leastOver(domain, [way], curvedVariables(model), limits));
}

/** A tenth of a micrometre, whatever the coordinate: it may be about 0. */
const CENTRE_LIMITS: SearchLimits = { ...DEFAULT_LIMITS, relativeGap: 0, absoluteGap: 1e-7 };

function negated(least: Least): Greatest {
  if (least.x === null) throw new Error('mass extremes: no configuration has a finite value');
  const { value, bound, gap, boxes, status, x } = least;
  return { value: -value, bound: -bound, gap, boxes, status, x };
}
