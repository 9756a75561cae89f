/** Does the cart tip when someone steps, sits or leans on one of its surfaces? */

import type { Surface, Vec2, Vec3 } from '../document/index.js';
import type { DownPoint, Tipping } from '../engine/index.js';
import { pointAt, STANDARD_GRAVITY, worstDownwardForce } from '../engine/index.js';
import type { CartFacts, Clause } from '../requirements/index.js';
import { surfacesAsked } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, optionalValue, requiredValue } from './answer.js';
import { rectangle } from './cart-facts.js';
import type { CartModel } from './cart-model.js';
import { moverIndex, overturningInput, positionsOf, worstOver } from './cart-model.js';
import type { WorkingStep } from './finding.js';
import type { Named } from './force-points.js';
import {
  ALWAYS_TIPS,
  configurationOf,
  distanceSteps,
  edgeOf,
  lineShares,
  lineSwivels,
  provenBy,
  tipsOver,
} from './tipping.js';
import { listed, quantity } from './words.js';
import { amount, si, step, weightStep } from './working.js';

export function answerDownwardForce(model: CartModel, clause: Clause, facts: CartFacts): Answer {
  const asked = requiredValue(clause, 'force');
  const greatest = requiredValue(clause, 'greatest-height');
  const names = new Set(surfacesAsked(clause, facts).map(({ name }) => name));
  const surfaces = model.cart.surfaces.filter(({ name }) => names.has(name));
  const points = surfaces.flatMap((surface) => loadedPoints(model, clause, surface));
  const places = points.map(({ point }) => point);
  const worst = worstOver(positionsOf(model, 'all'), (placed) =>
    worstDownwardForce(overturningInput(model, placed), places, greatest),
  );
  const { found, bound, placed } = worst;
  const edge = edgeOf(model, found);
  const target = points[found.point] ?? null;
  const at = found.x === null || target === null ? null : placeOf(model, found.x, target.point);
  const verdict = decided('at least', asked, found.capacity, bound);
  return {
    ...BLANK_ANSWER,
    verdict,
    because: because(verdict, asked, found, bound, names),
    demand: amount(asked, 'force'),
    capacity: amount(found.capacity, 'force'),
    margin: amount(found.capacity - asked, 'force'),
    mode: tipsOver(model, edge),
    castors: at === null ? [] : downShares(model, found, at),
    worst:
      found.x === null
        ? null
        : configurationOf(model, placed, found.x, {
            swivels: lineSwivels(model, edge),
            direction: null,
            point: at,
            mass: found.mass,
            centreOfMass: found.centreOfMass,
            action: at === null ? null : `pressed down on ${target?.on} at ${pointWords(at)}`,
          }),
    proof: provenBy(worst, 'force', DOWN_METHOD),
    restsOn: commonBasis(clause, model),
    working: at === null ? [] : downSteps(model, found, at),
    notes: [
      ...(edge === null && found.capacity === 0 ? [ALWAYS_TIPS] : []),
      ...(found.x === null
        ? [
            'Every place the force can stand at is inside the tipping lines: it presses the cart down.',
          ]
        : []),
      ...patchNotes(clause, surfaces),
    ],
  };
}

const DOWN_METHOD =
  'closed form over castor angles and corners of the surface, linear functionals of the moments over masses and slides, branch and bound over turns';

function because(
  verdict: string,
  asked: number,
  found: Tipping,
  bound: number,
  names: ReadonlySet<string>,
): string {
  if (found.x === null) {
    return `No downward force on ${listed([...names])} tips it: it always stands inside the tipping lines.`;
  }
  const tips = `It tips at ${quantity(found.capacity, 'force')} where ${quantity(asked, 'force')} is asked`;
  if (verdict !== 'not decided') return `${tips}.`;
  return `${tips}, but only ${quantity(bound, 'force')} is proven: the two lie on either side of what is asked.`;
}

function pointWords([x, y]: Vec3): string {
  return `x ${quantity(x, 'length')}, y ${quantity(y, 'length')}`;
}

const place = new Float64Array(3);

function placeOf({ mass }: CartModel, x: Float64Array, { mover, at }: DownPoint): Vec3 {
  pointAt(mass, x, mover, at, place);
  return [place[0] as number, place[1] as number, place[2] as number];
}

/** The middle of the loaded area, as near to the edges of the surface as the area fits, both ways
 * round; in the middle of the surface where it does not fit. */
function loadedPoints(
  { cart }: CartModel,
  clause: Clause,
  { name, kind, on, from, to, height }: Surface,
): readonly Named<DownPoint>[] {
  const length = requiredValue(clause, 'patch-length');
  const narrow = kind === 'foothold' ? optionalValue(clause, 'foothold-patch-width') : null;
  const width = narrow ?? requiredValue(clause, 'patch-width');
  const mover = moverIndex(cart, on);
  const ways =
    length === width
      ? [[length, width]]
      : [
          [length, width],
          [width, length],
        ];
  const corners = ways.flatMap(([along, across]) =>
    rectangle(...shrunk(from, to, along ?? 0, across ?? 0)),
  );
  return corners.map(([x, y]) => ({ on: name, point: { mover, at: [x, y, height] as Vec3 } }));
}

function shrunk(from: Vec2, to: Vec2, along: number, across: number): readonly [Vec2, Vec2] {
  const [x0, x1] = narrowed(from[0], to[0], along);
  const [y0, y1] = narrowed(from[1], to[1], across);
  return [
    [x0, y0],
    [x1, y1],
  ];
}

function narrowed(p: number, q: number, by: number): readonly [number, number] {
  const [low, high] = [Math.min(p, q), Math.max(p, q)];
  const middle = 0.5 * (low + high);
  return [Math.min(middle, low + by / 2), Math.max(middle, high - by / 2)];
}

function downShares(model: CartModel, { mass, centreOfMass, capacity, edge }: Tipping, at: Vec3) {
  const weight = STANDARD_GRAVITY * mass;
  const total = weight + capacity;
  const loadPoint: Vec2 = [
    (weight * centreOfMass[0] + capacity * at[0]) / total,
    (weight * centreOfMass[1] + capacity * at[1]) / total,
  ];
  const line = model.support.kind === 'polygon' ? (model.support.edges[edge] ?? null) : null;
  return lineShares(model, line, loadPoint, total);
}

function downSteps(model: CartModel, found: Tipping, at: Vec3): readonly WorkingStep[] {
  const edge = edgeOf(model, found);
  if (edge === null) return [];
  const weight = STANDARD_GRAVITY * found.mass;
  const { steps, distance } = distanceSteps(model, edge, found.centreOfMass);
  const beyond = edge.normal[0] * at[0] + edge.normal[1] * at[1] - edge.offset;
  return [
    ...steps,
    weightStep(found.mass),
    step(
      'distance of the force beyond the tipping line',
      'l = n_x x_p + n_y y_p - e',
      `${si(edge.normal[0], '')} * ${si(at[0], 'm')} + ${si(edge.normal[1], '')} * ${si(at[1], 'm')} - ${si(edge.offset, 'm')}`,
      beyond,
      'length',
    ),
    step(
      'downward force that tips',
      'P = W d / l',
      `${si(weight, 'N')} * ${si(Math.max(0, distance), 'm')} / ${si(beyond, 'm')}`,
      (weight * Math.max(0, distance)) / beyond,
      'force',
    ),
  ];
}

function patchNotes(clause: Clause, surfaces: readonly Surface[]): readonly string[] {
  const length = requiredValue(clause, 'patch-length');
  if (length === 0) return ['The force stands at the very edge of the surface.'];
  const small = surfaces.filter(({ from, to }) =>
    [0, 1].every((axis) => Math.abs((to[axis] ?? 0) - (from[axis] ?? 0)) < length),
  );
  return small.map(
    ({ name }) =>
      `${name} is smaller than the area of ${quantity(length, 'length')}: the force stands in its middle that way.`,
  );
}
