/**
 * Question: a cart stands in one pose. Where is everything, where does the line of what acts on it meet
 * the floor, over which lines may it tip, and what does each castor bear?
 *
 * Frame and signs: those of pose.ts; every place in m, every force in N in the frame that tilts with
 * the floor. Statics of docs/theory/support.md (Standing in one pose) and castor-loads.md: the mechanics
 * are the engine's.
 */

import type { Cart, Castor, Vec2, Vec3 } from '../document/index.js';
import type { MassModel, SupportEdge, SupportPolygon } from '../engine/index.js';
import {
  buildMassModel,
  castorLoadsAt,
  contactAt,
  contactPolygon,
  pointAt,
  STANDARD_GRAVITY,
  supportMargin,
} from '../engine/index.js';
import { wrapped } from './angle.js';
import { castorInputs, massStateOf, moverIndex } from './cart-model.js';
import { lineReached } from './holding-state.js';
import type { Pose } from './pose.js';
import { variablesOf } from './pose.js';
import { lineShares } from './tipping.js';

/** Where a mover has carried what stands on it: there = rotation x drawn + shift. */
export interface Placement {
  /** 3 x 3, row by row */
  readonly rotation: readonly number[];
  /** m */
  readonly shift: Vec3;
}

export interface PosedMass {
  readonly name: string;
  readonly kind: 'part' | 'load';
  /** kg; 0: a load that is absent */
  readonly mass: number;
  /** m */
  readonly at: Vec3;
  readonly on: string | null;
}

export interface PosedCastor {
  readonly name: string;
  /** m */
  readonly stem: Vec2;
  /** m */
  readonly contact: Vec2;
  /** rad in (-pi, pi], cart frame: the way its wheel rolls; of one that swivels the way behind which it
   * trails, opposite to its swivel angle */
  readonly rolls: number;
  readonly swivels: boolean;
  /** m */
  readonly wheelDiameter: number;
  readonly lock: 'none' | 'wheel' | 'directional' | 'total';
  /** N, normal to the floor, >= 0; 0: lifted, or taken away; null: the cart does not stand in this pose */
  readonly load: number | null;
}

/** An edge of the support polygon. */
export interface TippingLine {
  /** m, counter-clockwise round the support seen from above: the cart is to the left of from -> to */
  readonly from: Vec2;
  readonly to: Vec2;
  /** the castors at its ends, that at `from` first */
  readonly castors: readonly [string, string];
  /** m: of the centre of mass from the line, seen square to the floor and whatever acts on the cart;
   * positive inside */
  readonly distance: number;
  /** m: of the fall point from the line, positive inside; the same on the level with no force acting */
  readonly clearance: number;
  /** rad: incline at which the cart tips over it by its weight alone, downhill square to the line: its
   * tangent is distance / height of the centre of mass; negative: it has tipped on the level */
  readonly angle: number;
}

export interface PosedCart {
  /** by mover name; what stands on the base is where it is drawn */
  readonly placements: Readonly<Record<string, Placement>>;
  /** parts, then loads, in the order of the cart */
  readonly masses: readonly PosedMass[];
  /** kg */
  readonly mass: number;
  /** m */
  readonly centreOfMass: Vec3;
  /** m: where the line of the resultant of weight, push and press meets the floor plane (moments about it
   * in the floor plane are nothing). Weight alone: on the level below the centre of mass; on an incline
   * where the vertical through the centre of mass meets the floor, height x tan(angle) downhill of that */
  readonly fallPoint: Vec2;
  readonly castors: readonly PosedCastor[];
  /** contacts that span the support, counter-clockwise seen from above, m; none: they stand in a line */
  readonly support: readonly Vec2[];
  /** in the order of `support`, from each to the next */
  readonly lines: readonly TippingLine[];
  /** rad: incline at which the cart tips by its weight alone, downhill as in the pose; 0: it tips on the
   * level; null: the pose is level */
  readonly tipAngle: number | null;
  /** false: the fall point lies outside the support (by more than a micrometre) */
  readonly stands: boolean;
}

/**
 * The cart in the pose. Values outside of ranges and between stops are taken as they are (a mover may
 * be shown on its way).
 *
 * @throws RangeError when the pose names what the cart does not have, lacks what it has, or a number
 *   cannot be
 */
export function poseCart(cart: Cart, pose: Pose): PosedCart {
  const x = variablesOf(cart, pose);
  const model = buildMassModel(cart);
  const { mass, centreOfMass } = massStateOf({ mass: model }, x);
  const { fallPoint, normal } = resultant(pose, STANDARD_GRAVITY * mass, centreOfMass);
  const contacts = contactsOf(cart, pose);
  const stood = standing(cart, pose, contacts);
  const polygon = contactPolygon(stood.contacts);
  const clearance = supportMargin(polygon, fallPoint);
  const loads = loadsOn(stood, polygon, normal, fallPoint, clearance);
  return {
    placements: placementsOf(cart, model, x),
    masses: massesOf(cart, pose, model, x),
    mass,
    centreOfMass,
    fallPoint,
    castors: cart.castors.map((castor, i) => ({
      name: castor.name,
      stem: castor.at,
      contact: contacts[i] as Vec2,
      rolls: rollsOf(castor, pose),
      swivels: castor.fixedDirection === null,
      wheelDiameter: castor.wheelDiameter,
      lock: castor.lock,
      load: loads === null ? null : (loads.get(castor) ?? 0),
    })),
    support: polygon.kind === 'empty' ? [] : polygon.vertices,
    lines:
      polygon.kind === 'empty'
        ? []
        : polygon.edges.map((edge) => tippingLineOf(stood.castors, edge, centreOfMass, fallPoint)),
    tipAngle: tipAngleOf(pose, polygon, centreOfMass),
    stands: clearance >= -RIM,
  };
}

/** m: a fall point nearer to a tipping line than a micrometre is on it; far below any drawing. */
const RIM = 1e-6;

/** Sum of weight (`weight`, N, tilted by the incline), push and press: the part square to the floor, N,
 * and the point of the floor about which they have no moment along it. */
function resultant({ incline, push, press }: Pose, weight: number, [cx, cy, cz]: Vec3) {
  const angle = incline?.angle ?? 0;
  const down = weight * Math.cos(angle);
  const pressed = press?.force ?? 0;
  const normal = down + pressed;
  const slope = weight * Math.sin(angle) * cz;
  const downhill = incline?.downhill ?? 0;
  const lever = (push?.force ?? 0) * (push?.point[2] ?? 0);
  const way = push?.direction ?? 0;
  const [px, py] = press?.point ?? [0, 0];
  const x = down * cx + slope * Math.cos(downhill) + lever * Math.cos(way) + pressed * px;
  const y = down * cy + slope * Math.sin(downhill) + lever * Math.sin(way) + pressed * py;
  return { normal, fallPoint: [x / normal, y / normal] as Vec2 };
}

function contactsOf(cart: Cart, { swivels }: Pose): readonly Vec2[] {
  return castorInputs(cart, 'nominal').map((castor, i) => {
    const name = cart.castors[i]?.name ?? '';
    return contactAt(castor, castor.fixedDirection ?? (swivels[name] as number));
  });
}

/** The castors that are there. */
interface Standing {
  readonly castors: readonly Castor[];
  readonly contacts: readonly Vec2[];
}

function standing({ castors }: Cart, { without }: Pose, contacts: readonly Vec2[]): Standing {
  if (without === null) return { castors, contacts };
  const there = (i: number): boolean => castors[i]?.name !== without;
  return {
    castors: castors.filter((_, i) => there(i)),
    contacts: contacts.filter((_, i) => there(i)),
  };
}

/** N by castor; null: the cart does not stand. On a tipping line its two outermost castors share
 * everything by the lever rule. */
function loadsOn(
  { castors, contacts }: Standing,
  polygon: SupportPolygon,
  normal: number,
  fallPoint: Vec2,
  clearance: number,
): ReadonlyMap<Castor, number> | null {
  if (polygon.kind === 'empty' || clearance < -RIM) return null;
  const stands = castors.map(({ at, trail, stiffness }) => ({ stem: at, trail, stiffness }));
  const loads =
    castorLoadsAt(stands, contacts, normal, fallPoint) ??
    lineShares({ cart: { castors } }, nearestLine(polygon.edges, fallPoint), fallPoint, normal).map(
      ({ load }) => load,
    );
  return new Map(castors.map((castor, i) => [castor, loads[i] ?? 0]));
}

function nearestLine(edges: readonly SupportEdge[], at: Vec2): SupportEdge {
  return edges.reduce((p, q) => (insideOf(q, at) < insideOf(p, at) ? q : p));
}

/** m, positive inside */
function insideOf({ normal, offset }: SupportEdge, at: ArrayLike<number>): number {
  return offset - normal[0] * (at[0] ?? 0) - normal[1] * (at[1] ?? 0);
}

function tippingLineOf(
  castors: readonly Castor[],
  edge: SupportEdge,
  centre: Vec3,
  fallPoint: Vec2,
): TippingLine {
  const distance = insideOf(edge, centre);
  const [first, last] = edge.castors;
  return {
    from: edge.line[0],
    to: edge.line[1],
    castors: [castors[first]?.name ?? '', castors[last]?.name ?? ''],
    distance,
    clearance: insideOf(edge, fallPoint),
    angle: Math.atan2(distance, Math.max(0, centre[2])),
  };
}

/** Downhill at an angle to the line only the share of the slope square to it counts. */
function tipAngleOf(
  { incline }: Pose,
  polygon: SupportPolygon,
  [x, y, z]: Vec3,
): PosedCart['tipAngle'] {
  if (incline === null) return null;
  const line = lineReached(polygon, [x, y], incline.downhill);
  if (line === null || line.distance <= 0) return 0;
  return Math.atan2(line.distance, Math.max(0, z) * line.facing);
}

function rollsOf({ name, fixedDirection }: Castor, { swivels }: Pose): number {
  return wrapped(fixedDirection ?? (swivels[name] as number) + Math.PI);
}

function placementsOf(cart: Cart, model: MassModel, x: Float64Array): PosedCart['placements'] {
  const moved = movedBy(model, x);
  const placement = (mover: number): Placement => {
    const shift = moved(mover, [0, 0, 0]);
    const columns = AXES.map((axis) =>
      moved(mover, axis).map((at, i) => at - (shift[i] as number)),
    );
    const rotation = [0, 1, 2].flatMap((row) => columns.map((column) => column[row] as number));
    return { rotation, shift };
  };
  return Object.fromEntries(cart.movers.map(({ name }, mover) => [name, placement(mover)]));
}

/** m; ends of the axes: what becomes of them less what becomes of the origin are the columns of the
 * rotation. */
const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

function massesOf(
  cart: Cart,
  { loads }: Pose,
  model: MassModel,
  x: Float64Array,
): readonly PosedMass[] {
  const moved = movedBy(model, x);
  const indices = new Map(cart.movers.map(({ name }) => [name, moverIndex(cart, name)]));
  const place = (on: string | null, at: Vec3): Vec3 =>
    on === null ? at : moved(indices.get(on) ?? -1, at);
  return [
    ...cart.parts.map(
      ({ name, mass, at, on }): PosedMass => ({ name, kind: 'part', mass, at: place(on, at), on }),
    ),
    ...cart.loads.map(
      ({ name, at, on }): PosedMass => ({
        name,
        kind: 'load',
        mass: loads[name] as number,
        at: place(on, at),
        on,
      }),
    ),
  ];
}

function movedBy(model: MassModel, x: Float64Array) {
  const out = new Float64Array(3);
  return (mover: number, at: Vec3): Vec3 => {
    pointAt(model, x, mover, at, out);
    return [out[0] as number, out[1] as number, out[2] as number];
  };
}
