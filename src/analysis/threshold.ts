/** Does the cart get over a threshold, and does it tip when its wheels are stopped there? */

import type { Vec2 } from '../document/index.js';
import type { ThresholdRow, Tipping } from '../engine/index.js';
import { STANDARD_GRAVITY, worstSuddenStop, worstThreshold } from '../engine/index.js';
import type { Clause } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, requiredValue } from './answer.js';
import type { CartModel } from './cart-model.js';
import { overturningInput, positionsOf, worstOver } from './cart-model.js';
import type { Verdict, WorkingStep } from './finding.js';
import { travelDirection } from './propulsion.js';
import {
  ALWAYS_TIPS,
  configurationOf,
  distanceSteps,
  edgeOf,
  lineSwivels,
  provenBy,
  tipsOver,
} from './tipping.js';
import { heading, listed, quantity } from './words.js';
import { amount, si, step } from './working.js';

export function answerThreshold(model: CartModel, clause: Clause): Answer {
  const height = requiredValue(clause, 'step-height');
  const tolerance = requiredValue(clause, 'speed-tolerance');
  const fastest = requiredValue(clause, 'speed') + tolerance;
  const slowest = Math.max(0, requiredValue(clause, 'speed') - tolerance);
  const forward = travelDirection(model);
  const ahead: Vec2 = [Math.cos(forward), Math.sin(forward)];
  const travel: readonly Vec2[] = [ahead, [-ahead[0], -ahead[1]]];
  const positions = positionsOf(model, 'transport');
  const rows = positions.flatMap(({ domain }) =>
    worstThreshold(model.mass, domain, model.rolling, travel, height),
  );
  const blocked = rows.find(({ radius }) => radius <= height);
  if (blocked !== undefined) return stopped(model, clause, blocked, height);
  const worst = worstOver(positions, (placed) =>
    worstSuddenStop(overturningInput(model, placed), travel),
  );
  const { found, bound, placed } = worst;
  const edge = edgeOf(model, found);
  const held = decided('at least', fastest, found.capacity, bound);
  // A dead stop is the safe side: a wheel that rolls up the step is not stopped dead.
  const verdict = held === 'fails' && found.capacity > 0 ? 'not decided' : held;
  const direction = edge?.angle ?? null;
  return {
    ...BLANK_ANSWER,
    verdict,
    because: because(verdict, fastest, found),
    demand: amount(fastest, 'speed'),
    capacity: amount(found.capacity, 'speed'),
    margin: amount(found.capacity - fastest, 'speed'),
    mode: tipsOver(model, edge),
    worst:
      found.x === null
        ? null
        : configurationOf(model, placed, found.x, {
            swivels: lineSwivels(model, edge),
            direction,
            point: null,
            mass: found.mass,
            centreOfMass: found.centreOfMass,
            action: direction === null ? null : `moving towards ${heading(direction)} at the step`,
          }),
    proof: provenBy(
      worst,
      'speed',
      'wheels stopped dead, point mass: closed form for each tipping line, tangents of a concave function over masses and slides, branch and bound over turns',
    ),
    restsOn: [
      ...commonBasis(clause, model),
      'a point mass, wheels stopped dead at the step: the safe side',
    ],
    working: [...stopSteps(model, found, travel), ...climbSteps(model, worstRow(rows), height)],
    notes: [
      ...(edge === null && found.capacity === 0 ? [ALWAYS_TIPS] : []),
      ...climbNotes(model, rows, travel, slowest),
    ],
  };
}

function because(verdict: Verdict, fastest: number, found: Tipping): string {
  const speed = quantity(fastest, 'speed');
  if (found.x === null) return 'No speed tips it when its wheels are stopped.';
  const tips = `Its wheels stopped dead at the step, it tips from ${quantity(found.capacity, 'speed')}`;
  if (verdict === 'not decided') {
    return `${tips} where up to ${speed} is asked; whether they are stopped dead or roll up has to be tried.`;
  }
  return `${tips} where up to ${speed} is asked.`;
}

/** A wheel does not get over a step as high as its axle. */
function stopped(model: CartModel, clause: Clause, row: ThresholdRow, height: number): Answer {
  const names = row.castors.map((i) => model.cart.castors[i]?.name ?? '');
  return {
    ...BLANK_ANSWER,
    verdict: 'fails',
    because: `A step of ${quantity(height, 'length')} is as high as the axle of ${listed(names)} (${quantity(row.radius, 'length')}) or higher: the wheels cannot climb it.`,
    demand: amount(height, 'length'),
    capacity: amount(row.radius, 'length'),
    margin: amount(row.radius - height, 'length'),
    mode: { kind: 'stops', what: `${listed(names)} at the step` },
    proof: {
      kind: 'proven',
      bound: amount(row.radius, 'length'),
      gap: amount(0, 'length'),
      method: 'closed form',
      boxes: 0,
    },
    restsOn: commonBasis(clause, model),
  };
}

/** The row that is hardest to lift. */
function worstRow(rows: readonly ThresholdRow[]): ThresholdRow | null {
  return rows.reduce<ThresholdRow | null>(
    (worst, row) => (worst === null || row.climb.force > worst.climb.force ? row : worst),
    null,
  );
}

function stopSteps(
  model: CartModel,
  found: Tipping,
  travel: readonly Vec2[],
): readonly WorkingStep[] {
  const edge = edgeOf(model, found);
  if (edge === null) return [];
  const { steps, distance } = distanceSteps(model, edge, found.centreOfMass);
  const height = found.centreOfMass[2];
  if (distance <= 0 || height <= 0) return steps;
  const [nx, ny] = edge.normal;
  const facing = Math.max(...travel.map(([x, y]) => nx * x + ny * y));
  const radius = Math.hypot(distance, height);
  const speed = (Math.sqrt(2 * STANDARD_GRAVITY * (radius - height)) * radius) / (height * facing);
  return [
    ...steps,
    step(
      'distance of the centre of mass from the tipping line, z its height',
      'R = sqrt(d^2 + z^2)',
      `sqrt(${si(distance, 'm')}^2 + ${si(height, 'm')}^2)`,
      radius,
      'length',
    ),
    step(
      'speed whose momentum about the line lifts the centre of mass over it; n.u is the share of it square to the line',
      'v = sqrt(2 g d^2 / (R + z)) R / (z n.u)',
      `sqrt(2 * ${si(STANDARD_GRAVITY, 'm/s2')} * ${si(distance, 'm')}^2 / (${si(radius, 'm')} + ${si(height, 'm')})) * ${si(radius, 'm')} / (${si(height, 'm')} * ${si(facing, '')})`,
      speed,
      'speed',
    ),
  ];
}

function climbSteps(
  { cart }: CartModel,
  row: ThresholdRow | null,
  height: number,
): readonly WorkingStep[] {
  if (row === null) return [];
  const names = listed(row.castors.map((i) => cart.castors[i]?.name ?? ''));
  const load = STANDARD_GRAVITY * row.climb.onRow;
  return [
    step(
      `force at the axle that lifts ${names} onto the step from rest, their load N at its most`,
      'F = N sqrt(2 r h - h^2) / (r - h)',
      `${si(load, 'N')} * sqrt(2 * ${si(row.radius, 'm')} * ${si(height, 'm')} - ${si(height, 'm')}^2) / (${si(row.radius, 'm')} - ${si(height, 'm')})`,
      row.climb.force,
      'force',
    ),
  ];
}

function climbNotes(
  { cart }: CartModel,
  rows: readonly ThresholdRow[],
  travel: readonly Vec2[],
  slowest: number,
): readonly string[] {
  const notes = ['Driven forward and backward, castors trailing, locks off.'];
  const slow = rows.reduce<ThresholdRow | null>(
    (worst, row) => (worst === null || row.impact.bound > worst.impact.bound ? row : worst),
    null,
  );
  const hard = worstRow(rows);
  if (slow !== null) {
    const alone = slow.impact.bound <= slowest;
    const speed = quantity(slow.impact.bound, 'speed');
    notes.push(
      alone
        ? `Every row of wheels rolls up the step by its own speed from ${speed} on, below the least of ${quantity(slowest, 'speed')} asked.`
        : `The wheels roll up the step by their own speed only from ${speed} on; at ${quantity(slowest, 'speed')} it has to be pushed over.`,
    );
  }
  if (hard !== null) {
    const names = listed(hard.castors.map((i) => cart.castors[i]?.name ?? ''));
    const u = travel[hard.travel] ?? [1, 0];
    notes.push(
      `From rest it takes ${quantity(hard.climb.force, 'force')} at the axle to lift ${names}, moving towards ${heading(Math.atan2(u[1], u[0]))}.`,
    );
  }
  return notes;
}
