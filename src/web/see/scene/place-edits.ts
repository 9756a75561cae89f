/** Edits that put a part or a castor elsewhere, as a drag or an arrow key asks. */

import type { PosedCart } from '../../../analysis/index.js';
import type { Cart, CartEdit, Castor, Vec2, Vec3 } from '../../../document/index.js';
import { turnedBack } from './drag-on-axis.js';

export type Placed = { readonly kind: 'part' | 'castor'; readonly name: string };

/** m: what a drag sets is written in whole millimetres. */
const GRID = 0.001;

/** m: a castor this near to the mirror image of another is its pair. */
const PAIRED = 0.0015;

/**
 * @param way m, cart frame: how far it is carried from where it stands in `cart`
 * @param mirrored a castor's pair on the other side moves as its mirror image
 * @returns none: nothing of the name, or it stays where it is
 */
export function placeEdits(
  cart: Cart,
  posed: PosedCart,
  what: Placed,
  way: Vec3,
  mirrored: boolean,
): readonly CartEdit[] {
  if (what.kind === 'part') return partEdits(cart, posed, what.name, way);
  const castor = cart.castors.find(({ name }) => name === what.name);
  if (castor === undefined) return [];
  const at = movedOnFloor(castor.at, way);
  if (at === castor.at) return [];
  const own: CartEdit = { kind: 'castor place', castor: castor.name, at };
  const pair = mirrored ? pairOf(cart.castors, castor) : null;
  if (pair === null) return [own];
  const other: Vec2 = [at[0], 0 - at[1]];
  return [own, { kind: 'castor place', castor: pair.name, at: other }];
}

function partEdits(cart: Cart, posed: PosedCart, name: string, way: Vec3): readonly CartEdit[] {
  const part = cart.parts.find((each) => each.name === name);
  if (part === undefined) return [];
  // the file states places with every mover at zero
  const own = turnedBack(way, part.on === null ? undefined : posed.placements[part.on]);
  const at: Vec3 = [
    moved(part.at[0], own[0]),
    moved(part.at[1], own[1]),
    moved(part.at[2], own[2]),
  ];
  if (at.every((value, i) => value === part.at[i])) return [];
  return [{ kind: 'part place', part: name, at }];
}

function movedOnFloor(at: Vec2, way: Vec3): Vec2 {
  const to: Vec2 = [moved(at[0], way[0]), moved(at[1], way[1])];
  return to[0] === at[0] && to[1] === at[1] ? at : to;
}

/** A coordinate that hardly moves stays as it was typed. */
function moved(from: number, by: number): number {
  if (Math.abs(by) < GRID / 2) return from;
  // divided, not multiplied: 0.305 and not 0.30500000000000005
  return Math.round((from + by) / GRID) / Math.round(1 / GRID);
}

/** The castor on the other side of the cart's middle plane; null: none stands there. */
export function pairOf(castors: readonly Castor[], castor: Castor): Castor | null {
  const [x, y] = castor.at;
  if (Math.abs(y) <= PAIRED) return null;
  const isPair = ({ at }: Castor): boolean =>
    Math.abs(at[0] - x) <= PAIRED && Math.abs(at[1] + y) <= PAIRED;
  return castors.find((each) => each !== castor && isPair(each)) ?? null;
}
