/** The governing configuration of a holding finding, as the report shows it. */

import type { Vec2, Vec3 } from '../document/index.js';
import type {
  CastorInput,
  Contact,
  HoldingEvaluator,
  HoldingResult,
  LoadPath,
  SupportEdge,
  SupportPolygon,
} from '../engine/index.js';
import {
  canSwivel,
  castorLoadsAt,
  contactAt,
  contactPolygon,
  createEvaluator,
  leastFavourableSplit,
  settledContact,
} from '../engine/index.js';
import { wrapped } from './angle.js';
import type { CartModel, PlacedPosition } from './cart-model.js';
import { massStateOf } from './cart-model.js';
import type { Amount, CastorShare, FailureMode, Finding, WorstConfiguration } from './finding.js';
import type { Asked, Governing } from './holding-search.js';
import { pushedAt } from './horizontal-force.js';
import { configurationOf, edgeOf, tipsOver } from './tipping.js';
import { heading, listed } from './words.js';
import { amount } from './working.js';

export interface HoldingState {
  readonly placed: PlacedPosition;
  /** rad; null: a fixed castor */
  readonly swivels: readonly (number | null)[];
  /** how it goes at the first force at which it moves */
  readonly result: HoldingResult;
  readonly path: LoadPath;
  readonly mass: number;
  readonly centreOfMass: Vec3;
  /** N, asked in that configuration */
  readonly demand: number;
  readonly worst: WorstConfiguration;
}

export function stateOf(model: CartModel, asked: Asked, governing: Governing): HoldingState {
  const { placed, holding, worst, byTip } = governing;
  const variables = byTip ? tippingVariables(model, governing) : worst.found.variables;
  const evaluator = createEvaluator(holding.problem, 1);
  const { demand, point } = evaluator.evaluate(variables);
  const { result, path, swivels } = evaluator.describe(variables);
  const { mass, centreOfMass } = massStateOf(model, variables);
  const direction = directionOf(model, variables);
  const load = loadPathOf(path, direction);
  const at: Vec3 | null =
    asked.load.kind === 'push' ? [path.pointX, path.pointY, path.height] : null;
  return {
    placed,
    swivels,
    result,
    path: load,
    mass,
    centreOfMass,
    demand,
    worst: configurationOf(model, placed, variables, {
      swivels: swivelRecord(model, swivels),
      direction,
      point: at,
      mass,
      centreOfMass,
      action: actionWords(asked, direction, at, asked.pushedOn[point] ?? null),
    }),
  };
}

/** @param direction rad, of the force */
export function loadPathOf(
  path: ReturnType<HoldingEvaluator['describe']>['path'],
  direction: number,
): LoadPath {
  return {
    weight: path.weight,
    centre: [path.centreX, path.centreY],
    direction,
    point: [path.pointX, path.pointY],
    height: path.height,
  };
}

function actionWords(
  { load }: Asked,
  direction: number,
  at: Vec3 | null,
  on: string | null,
): string {
  if (load.kind === 'incline' || at === null) {
    return `locks on, downhill towards ${heading(direction)}`;
  }
  return `locks on, pushed ${pushedAt(on, at[2])} towards ${heading(direction)}`;
}

/** rad, of the force in a point of the holding problem */
export function directionOf({ mass }: CartModel, variables: Float64Array): number {
  return wrapped(variables[mass.variableCount] ?? 0);
}

/** rad, how the castors that a lock keeps from swivelling are turned in such a point; null: the
 * others, which trail behind the motion, and fixed ones */
export function lockedTurns(
  { castors, mass }: CartModel,
  variables: Float64Array,
): readonly (number | null)[] {
  return castors.map((castor, i) =>
    castor.fixedDirection === null && !canSwivel(castor)
      ? wrapped(variables[mass.variableCount + 1 + i] ?? 0)
      : null,
  );
}

export function swivelRecord(
  { cart }: CartModel,
  swivels: readonly (number | null)[],
): Readonly<Record<string, number>> {
  const named = swivels.flatMap((angle, i): [string, number][] =>
    angle === null ? [] : [[cart.castors[i]?.name ?? '', angle]],
  );
  return Object.fromEntries(named);
}

/** The configuration of a tip as a point of the holding problem. */
function tippingVariables(model: CartModel, { tip }: Governing): Float64Array {
  const edge = edgeOf(model, tip);
  return Float64Array.from([
    ...(tip.x ?? new Float64Array(model.mass.variableCount)),
    edge?.angle ?? 0,
    ...model.stands.map((_, i) => edge?.swivels[i] ?? 0),
  ]);
}

/** A multiple of what is asked, in the unit of the clause: an angle or a force. */
export function asAmount({ load }: Asked, demand: number, ratio: number): Amount {
  if (load.kind === 'incline') return amount(Math.atan(ratio * Math.tan(load.angle)), 'angle');
  return amount(ratio * demand, 'force');
}

/** What a holding state says of the motion that starts. */
export type Motion = Pick<HoldingState, 'result' | 'path' | 'swivels'>;

/** m: a cart that turns about a point farther away than this slides, to the eye. */
const FAR = 20;

export function modeOf(
  model: CartModel,
  { tips }: Pick<Governing, 'tips'>,
  state: Motion,
  locked: boolean,
): FailureMode | null {
  const { result, path } = state;
  if (tips || result.kind !== 'slips')
    return tipsOver(model, tippingLine(model, state)?.edge ?? null);
  const { velocity, rotation } = result;
  const direction = Math.atan2(velocity[1], velocity[0]);
  if (!locked) return { kind: 'rolls', direction };
  const about = pivotOf(path, result);
  if (about === null) return { kind: 'slides', direction };
  return { kind: 'pivots', about, sense: rotation > 0 ? 1 : -1 };
}

export interface ReachedLine {
  readonly edge: SupportEdge;
  /** m, of the centre of mass inside the line */
  readonly distance: number;
  /** n.u: the share of the force square to the line */
  readonly facing: number;
}

/** The line the cart goes over, its castors standing as they do; null: they stand in a line. */
export function tippingLine(
  model: CartModel,
  { path, swivels }: Pick<HoldingState, 'path' | 'swivels'>,
): ReachedLine | null {
  const contacts = model.castors.map((castor, i) => contactAt(castor, swivels[i] ?? 0));
  return lineReached(contactPolygon(contacts), path.centre, path.direction);
}

/** The side of a support polygon that a load point leaves it over when it moves from `centre` (m) in a
 * direction (rad), or the farthest of those it is outside of already; null: there is no polygon. */
export function lineReached(
  polygon: SupportPolygon,
  centre: Vec2,
  direction: number,
): ReachedLine | null {
  if (polygon.kind === 'empty') return null;
  const [ux, uy] = [Math.cos(direction), Math.sin(direction)];
  const lines = polygon.edges.map((edge): ReachedLine => {
    const [nx, ny] = edge.normal;
    const distance = edge.offset - nx * centre[0] - ny * centre[1];
    return { edge, distance, facing: nx * ux + ny * uy };
  });
  const outside = lines.filter(({ distance }) => distance <= 0);
  if (outside.length > 0) return outside.reduce((p, q) => (q.distance < p.distance ? q : p));
  const reached = lines.filter(({ facing }) => facing > 0);
  return reached.reduce((p, q) => (q.distance / q.facing < p.distance / p.facing ? q : p));
}

/** Where it pivots; null: it slides. The point at rest: v + w x (c - p) = 0. */
export function pivotOf(path: LoadPath, { velocity, rotation }: HoldingResult): Vec2 | null {
  const away = Math.hypot(...velocity) / Math.abs(rotation);
  if (!(away < FAR)) return null;
  const [x, y] = path.point;
  return [x - velocity[1] / rotation, y + velocity[0] / rotation];
}

/** The castors at the first force at which it moves. On a ramp the forces are those of the level
 * problem times the cosine of its angle. */
export function sharesOf(
  model: CartModel,
  asked: Asked,
  { result, path, swivels }: HoldingState,
): readonly CastorShare[] {
  const level = cosineOf(asked, result.force, path.weight);
  const total = result.normals.reduce((sum, load) => sum + load, 0);
  return model.cart.castors.map((castor, i): CastorShare => {
    const load = result.normals[i] ?? 0;
    const [fx, fy] = result.grips[i] ?? [0, 0];
    return {
      name: castor.name,
      contact: contactAt(castorOf(model, i), swivels[i] ?? 0),
      swivel: swivels[i] ?? null,
      lock: castor.lock,
      load: level * load,
      share: total > 0 ? load / total : 0,
      force: [level * fx, level * fy],
      limit: level * (result.limits[i] ?? 0),
    };
  });
}

function cosineOf({ load }: Asked, force: number, weight: number): number {
  return load.kind === 'incline' ? 1 / Math.hypot(1, force / weight) : 1;
}

function castorOf({ castors }: CartModel, i: number): CastorInput {
  return castors[i] as CastorInput;
}

/** Where the castor's horizontal force acts on the cart: the stem of one that has been pulled round. */
export function gripPoint(model: CartModel, i: number, swivel: number | null): Vec2 {
  return settledContact(castorOf(model, i), swivel ?? 0).grip;
}

export function leastFavourableOf(
  model: CartModel,
  asked: Asked,
  castors: readonly CastorInput[],
  { result, path, swivels }: HoldingState,
): Finding['leastFavourable'] {
  if (!(result.force > 0) || !Number.isFinite(result.force)) return null;
  const steep = 1 / cosineOf(asked, result.force, path.weight);
  const contacts = castors.map((castor, i) =>
    steepened(settledContact(castor, swivels[i] ?? 0), steep),
  );
  const { force, carrying } = leastFavourableSplit(contacts, path, result.force);
  const capacity =
    asked.load.kind === 'incline'
      ? amount(Math.atan(force / path.weight), 'angle')
      : amount(force, 'force');
  if (carrying === null) {
    return { capacity, words: 'no other split of the weight among the castors is worse' };
  }
  const names = listed(carrying.map((i) => model.cart.castors[i]?.name ?? ''));
  return { capacity, words: `carried by ${names} alone` };
}

/** Limits that do not grow with the load are worth 1 / cos of the angle on a ramp. */
function steepened(contact: Contact, by: number): Contact {
  const { reachFixed, ...rest } = contact;
  return {
    ...rest,
    ...(reachFixed === undefined ? {} : { reachFixed: reachFixed * by }),
    alongFixed: contact.alongFixed * by,
    acrossFixed: contact.acrossFixed * by,
  };
}

/** m: how far the cart leans at the height of the force while every castor stays pressed; null: one
 * lifts, and then it is no small lean. */
export function leanOf(model: CartModel, { result, path, swivels }: HoldingState): number | null {
  const contacts = model.castors.map((castor, i) => contactAt(castor, swivels[i] ?? 0));
  const rest = castorLoadsAt(model.stands, contacts, path.weight, path.centre);
  if (rest === null || [...rest, ...result.normals].some((load) => load <= 0)) return null;
  const u = [Math.cos(path.direction), Math.sin(path.direction)] as const;
  const along = contacts.map(([x, y]) => x * u[0] + y * u[1]);
  const stiffness = model.castors.map((castor) => castor.stiffness);
  // Slope along u as if the springs' principal axes lay along and across it: enough for "about".
  const total = stiffness.reduce((sum, k) => sum + k, 0);
  const middle = along.reduce((sum, a, i) => sum + (stiffness[i] ?? 0) * a, 0) / total;
  const spread = along.reduce((sum, a, i) => sum + (stiffness[i] ?? 0) * (a - middle) ** 2, 0);
  const moment = along.reduce(
    (sum, a, i) => sum + ((result.normals[i] ?? 0) - (rest[i] ?? 0)) * (a - middle),
    0,
  );
  return Math.abs((moment / spread) * path.height);
}
