/** Tipping in the words of a finding: the line, the castors on it, how they are turned. */

import type { Vec2, Vec3 } from '../document/index.js';
import type { SupportEdge, Tipping } from '../engine/index.js';
import type { CartModel, PlacedPosition, Worst } from './cart-model.js';
import type { CastorShare, Dimension, FailureMode, Proof, WorstConfiguration } from './finding.js';
import { configurationWords } from './words.js';
import { amount, lineSteps } from './working.js';

export function edgeOf({ support }: CartModel, tipping: Tipping): SupportEdge | null {
  return support.kind === 'polygon' ? (support.edges[tipping.edge] ?? null) : null;
}

export function tipsOver({ cart }: CartModel, edge: SupportEdge | null): FailureMode | null {
  if (edge === null) return null;
  const castors = edge.castors.map((i) => cart.castors[i]?.name ?? '');
  return { kind: 'tips', castors, line: edge.line };
}

/** rad by name, of the castors on the line that swivel */
export function lineSwivels(
  { cart }: CartModel,
  edge: SupportEdge | null,
): Readonly<Record<string, number>> {
  const turned = (edge?.onLine ?? []).flatMap((i): [string, number][] => {
    const angle = edge?.swivels[i] ?? null;
    return angle === null ? [] : [[cart.castors[i]?.name ?? '', angle]];
  });
  return Object.fromEntries(turned);
}

/** What a configuration vector says, as records by name. */
export function configurationOf(
  { cart }: CartModel,
  { position }: PlacedPosition,
  x: ArrayLike<number>,
  what: {
    readonly swivels: Readonly<Record<string, number>>;
    readonly direction: number | null;
    readonly point: Vec3 | null;
    readonly mass: number;
    readonly centreOfMass: Vec3;
    /** what is done to the cart, in words */
    readonly action: string | null;
  },
): WorstConfiguration {
  const { action, ...rest } = what;
  return {
    position: position.name,
    movers: Object.fromEntries(cart.movers.map(({ name }, i) => [name, x[i] ?? 0])),
    loads: Object.fromEntries(
      cart.loads.map(({ name }, i) => [name, x[cart.movers.length + i] ?? 0]),
    ),
    ...rest,
    words: configurationWords(cart, position, x, what.swivels, action),
  };
}

/**
 * The two outermost castors of the tipping line share everything by the lever rule, the others carry
 * nothing.
 *
 * @param loadPoint where the line of action meets the floor line, m; only its place along counts
 * @param total N, normal to the floor
 */
export function lineShares(
  { cart }: { readonly cart: Pick<CartModel['cart'], 'castors'> },
  edge: SupportEdge | null,
  loadPoint: Vec2,
  total: number,
): readonly CastorShare[] {
  if (edge === null) return [];
  const along = ([x, y]: Vec2): number => edge.normal[0] * y - edge.normal[1] * x;
  const [first, last] = edge.castors;
  const from = along(edge.contacts[first] as Vec2);
  const to = along(edge.contacts[last] as Vec2);
  const towards = Math.min(1, Math.max(0, (along(loadPoint) - from) / (to - from)));
  return cart.castors.map((castor, i): CastorShare => {
    const share = i === first ? 1 - towards : i === last ? towards : 0;
    return {
      name: castor.name,
      contact: edge.contacts[i] as Vec2,
      swivel: edge.swivels[i] ?? null,
      lock: castor.lock,
      load: share * total,
      share,
      force: null,
      limit: null,
    };
  });
}

/** Steps up to the distance of the centre of mass inside the line. */
export function distanceSteps(
  { cart, stands }: CartModel,
  edge: SupportEdge,
  centre: ArrayLike<number>,
): ReturnType<typeof lineSteps> {
  const [index] = edge.castors;
  const stand = stands[index] ?? { stem: [0, 0] as Vec2, trail: 0 };
  return lineSteps(edge, { name: cart.castors[index]?.name ?? '', ...stand }, centre);
}

/** Of a search over positions whose capacity is in one unit. */
export function provenBy(
  worst: Worst<Tipping>,
  dimension: Dimension,
  method: string,
  scale = 1,
): Proof {
  const { found, bound, boxes, closed } = worst;
  const unlimited = !Number.isFinite(found.capacity);
  const scaled = unlimited ? bound : scale * bound;
  return {
    kind: 'proven',
    bound: amount(scaled, dimension),
    gap: amount(
      unlimited && !Number.isFinite(bound) ? 0 : Math.max(0, scale * found.capacity - scaled),
      dimension,
    ),
    method: closed ? method : `${method}; ended at its limit of boxes`,
    boxes,
  };
}

export const ALWAYS_TIPS =
  'The castors leave no area that is supported whichever way they turn: turned badly, the cart tips on the level.';
