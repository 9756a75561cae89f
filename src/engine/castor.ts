/**
 * Question: which friction set does a castor bring to the holding problem, given how it is turned
 * and what its lock does?
 *
 * A castor that can swivel passes no moment about its stem (but its small swivel moment), so it
 * holds across its wheel only what that moment gives over the trail. Two views follow:
 *   instant  the castor exactly as it is turned now;
 *   settled  after a castor that is free to swivel has been pulled round: its wheel then lies along
 *            the pull, so it resists in every direction alike, through its stem, with what its
 *            wheel lock holds. The requirement counts movement after this pivoting, so the settled
 *            view decides whether the cart holds; the instant view says when pivoting begins.
 *
 * Symbols: s stem, t trail, psi swivel angle (from the stem to the contact), r wheel radius, T brake
 * torque, b rolling length, M_s swivel moment, mu friction coefficient, N normal force.
 */

import type { Vec2 } from '../kernel/index.js';
import type { Contact, PackedContacts } from './holding.js';

export interface CastorInput {
  /** stem on the floor plane, m (fixed castor: its contact) */
  readonly at: Vec2;
  /** m, > 0 */
  readonly wheelDiameter: number;
  /** m, >= 0 */
  readonly trail: number;
  /** rad, rolling direction of a castor that does not swivel; null: it swivels */
  readonly fixedDirection: number | null;
  /** what its lock does, the locks being on */
  readonly lock: 'none' | 'wheel' | 'directional' | 'total';
  /** N m; null: the brake outlasts the tread's grip */
  readonly brakeTorque: number | null;
  /** rad, the swivel angles at which a directional or total lock engages; null: any */
  readonly lockDirections: readonly number[] | null;
  /** N m, >= 0 */
  readonly swivelMoment: number;
  /** m, >= 0 */
  readonly rollingLength: number;
  /** N/m, > 0 */
  readonly stiffness: number;
  /** friction coefficient of its tread on the floor */
  readonly friction: number;
}

/** N the wheel lock holds along the wheel, Infinity: more than the tread. */
export function brakeForce(castor: CastorInput): number {
  if (castor.brakeTorque === null) return Number.POSITIVE_INFINITY;
  return castor.brakeTorque / (0.5 * castor.wheelDiameter);
}

/** Rolling resistance over normal force, b / r. */
export function rollingRatio(castor: CastorInput): number {
  return castor.rollingLength / (0.5 * castor.wheelDiameter);
}

export function isWheelLocked(castor: CastorInput): boolean {
  return castor.lock === 'wheel' || castor.lock === 'total';
}

/** true: it can turn about its stem with the locks on */
export function canSwivel(castor: CastorInput): boolean {
  return castor.fixedDirection === null && (castor.lock === 'none' || castor.lock === 'wheel');
}

/** Where the wheel touches the floor at a swivel angle. */
export function contactAt(castor: CastorInput, swivel: number): Vec2 {
  if (castor.fixedDirection !== null) return castor.at;
  return [
    castor.at[0] + castor.trail * Math.cos(swivel),
    castor.at[1] + castor.trail * Math.sin(swivel),
  ];
}

/** The castor exactly as it is turned (limits of the table in docs/theory/holding.md). */
export function instantContact(castor: CastorInput, swivel: number): Contact {
  const contact = contactAt(castor, swivel);
  const rolls = !isWheelLocked(castor);
  const across =
    canSwivel(castor) && castor.trail > 0
      ? castor.swivelMoment / castor.trail
      : Number.POSITIVE_INFINITY;
  return {
    contact,
    grip: contact,
    direction: castor.fixedDirection ?? swivel,
    friction: castor.friction,
    alongFixed: rolls ? 0 : brakeForce(castor),
    alongPerNormal: rolls ? rollingRatio(castor) : 0,
    acrossFixed: across,
    acrossPerNormal: 0,
    stiffness: castor.stiffness,
  };
}

/** The least resistance of a free castor whichever way it is turned: along its wheel it rolls, across
 * it swivels, and the cart will find the easier. */
function freeReach(castor: CastorInput): number {
  return castor.trail > 0 ? castor.swivelMoment / castor.trail : Number.POSITIVE_INFINITY;
}

/** The castor after those that can swivel have been pulled round. */
export function settledContact(castor: CastorInput, swivel: number): Contact {
  if (!canSwivel(castor)) return instantContact(castor, swivel);
  const locked = castor.lock === 'wheel';
  return {
    contact: contactAt(castor, swivel),
    grip: castor.at,
    direction: 0,
    friction: locked ? castor.friction : Math.min(castor.friction, rollingRatio(castor)),
    reachFixed: locked ? brakeForce(castor) : freeReach(castor),
    rolling: !locked,
    alongFixed: Number.POSITIVE_INFINITY,
    alongPerNormal: 0,
    acrossFixed: Number.POSITIVE_INFINITY,
    acrossPerNormal: 0,
    stiffness: castor.stiffness,
  };
}

/** What does not depend on the swivel angle, once for many configurations. `factor` scales every
 * tread's friction, `fixedFactor` every limit that does not grow with the normal force. */
export function packSettled(
  castors: readonly CastorInput[],
  factor: number,
  fixedFactor: number,
  out: PackedContacts,
): void {
  out.count = castors.length;
  castors.forEach((castor, i) => {
    const c = settledContact(castor, 0);
    out.stiffness[i] = c.stiffness;
    out.friction[i] = c.friction * (c.rolling === true ? 1 : factor);
    out.rolling[i] = c.rolling === true ? 1 : 0;
    out.reachFixed[i] = (c.reachFixed ?? Number.POSITIVE_INFINITY) * fixedFactor;
    out.alongFixed[i] = c.alongFixed * fixedFactor;
    out.alongPerNormal[i] = c.alongPerNormal;
    out.acrossFixed[i] = c.acrossFixed * fixedFactor;
    out.acrossPerNormal[i] = c.acrossPerNormal;
  });
}

/** Places the contacts for given swivel angles (one a castor; of no meaning for a fixed one). */
export function placeSettled(
  castors: readonly CastorInput[],
  swivels: Float64Array,
  offset: number,
  out: PackedContacts,
): void {
  for (let i = 0; i < castors.length; i++) {
    const castor = castors[i] as CastorInput;
    const fixed = castor.fixedDirection !== null;
    const angle = castor.fixedDirection ?? (swivels[offset + i] as number);
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const t = fixed ? 0 : castor.trail;
    const x = castor.at[0] + t * c;
    const y = castor.at[1] + t * s;
    const free = canSwivel(castor);
    out.x[i] = x;
    out.y[i] = y;
    out.gripX[i] = free ? castor.at[0] : x;
    out.gripY[i] = free ? castor.at[1] : y;
    out.cos[i] = c;
    out.sin[i] = s;
  }
}
