/** How a cart is made ready for a run: what the pose leaves to be said of castors, locks and floor. */

import type { Pose } from '../analysis/index.js';
import { optionalValue, wrapped } from '../analysis/index.js';
import type { Cart, Castor } from '../document/index.js';
import type { Clause } from '../requirements/index.js';
import type { Loading, SetUp } from './test-run.js';

export function setUpOf(cart: Cart, clause: Clause, pose: Pose, loading: Loading): SetUp {
  const locksOn = hasLocksOn(loading);
  const covering = coveringWords(clause);
  return {
    position: pose.position,
    movers: pose.movers,
    turning: cart.movers.filter(({ kind }) => kind === 'turn').map(({ name }) => name),
    loads: pose.loads,
    castors: cart.castors.map((castor) => {
      const swivel = isFree(castor, clause, loading) ? null : (pose.swivels[castor.name] ?? null);
      return {
        name: castor.name,
        lock: castor.lock,
        locked: locksOn && castor.lock !== 'none' && engages(castor, swivel),
        swivel,
      };
    }),
    floor: floorWords(covering, loading),
    covering,
  };
}

/** A weight at rest on scales, a cart that is moved: locks off. */
export function hasLocksOn(loading: Loading): boolean {
  switch (loading.kind) {
    case 'incline':
    case 'push':
      return loading.locksOn;
    case 'press':
      return true;
    case 'weighing':
      return loading.removed;
    case 'propulsion':
    case 'threshold':
    case 'lifting':
      return false;
  }
}

/** A castor that trails of itself, or whose way plays no part, is not set. */
function isFree(
  { fixedDirection, lock }: Castor,
  { question }: Clause,
  { kind }: Loading,
): boolean {
  if (fixedDirection !== null || kind === 'threshold' || kind === 'lifting') return true;
  const holds = question.kind === 'holding on incline' || question.kind === 'holding against push';
  return holds && lock === 'none';
}

/** rad: a lock with notches takes a castor that is this near to one. */
const NOTCH = 0.02;

function engages({ lock, lockDirections }: Castor, swivel: number | null): boolean {
  if (lock === 'wheel' || lockDirections === null || swivel === null) return true;
  return lockDirections.some((angle) => Math.abs(wrapped(angle - swivel)) <= NOTCH);
}

function floorWords(covering: string | null, { kind }: Loading): string {
  const ground = kind === 'incline' ? 'hard flat ramp' : 'hard level floor';
  return covering === null ? ground : `${covering} on a ${ground}`;
}

/** 'vinyl 2 mm to 4 mm'; null: the clause names none */
function coveringWords(clause: Clause): string | null {
  const most = textOf(clause, 'floor-covering-most');
  if (most === null) return null;
  const least = textOf(clause, 'floor-covering-least');
  return least === null ? `vinyl up to ${most}` : `vinyl ${least} to ${most}`;
}

function textOf(clause: Clause, id: string): string | null {
  if (optionalValue(clause, id) === null) return null;
  return clause.values.find((value) => value.id === id)?.text ?? null;
}
