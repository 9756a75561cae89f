/** At what incline does the cart tip, over every heading, castor angle and configuration? */

import type { Tipping } from '../engine/index.js';
import { STANDARD_GRAVITY } from '../engine/index.js';
import type { Clause, Question } from '../requirements/index.js';
import type { Answer } from './answer.js';
import { BLANK_ANSWER, commonBasis, decided, optionalValue, requiredValue } from './answer.js';
import type { CartModel, Worst } from './cart-model.js';
import { positionsOf, worstOver } from './cart-model.js';
import type { WorkingStep } from './finding.js';
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
import { heading, quantity } from './words.js';
import { amount, si, step } from './working.js';

type Overbalance = Extract<Question, { readonly kind: 'overbalance' }>;

export const INCLINE_METHOD =
  'closed form over headings and castor angles, linear functionals of the moments over masses and slides, branch and bound over turns';

export function answerOverbalance(model: CartModel, clause: Clause, question: Overbalance): Answer {
  const worst = worstOver(positionsOf(model, question.positions), model.inclineTip);
  const asked = requiredValue(clause, 'incline');
  const { found, bound, placed } = worst;
  const edge = edgeOf(model, found);
  const verdict = decided('at least', asked, found.capacity, bound);
  const direction = edge?.angle ?? null;
  return {
    ...BLANK_ANSWER,
    verdict,
    because: because(verdict, asked, worst),
    demand: amount(asked, 'angle'),
    capacity: amount(found.capacity, 'angle'),
    margin: amount(found.capacity - asked, 'angle'),
    mode: tipsOver(model, edge),
    castors: lineShares(
      model,
      edge,
      [found.centreOfMass[0], found.centreOfMass[1]],
      STANDARD_GRAVITY * found.mass * Math.cos(found.capacity),
    ),
    worst:
      found.x === null
        ? null
        : configurationOf(model, placed, found.x, {
            swivels: lineSwivels(model, edge),
            direction,
            point: null,
            mass: found.mass,
            centreOfMass: found.centreOfMass,
            action: direction === null ? null : `downhill towards ${heading(direction)}`,
          }),
    proof: provenBy(worst, 'angle', INCLINE_METHOD),
    restsOn: commonBasis(clause, model),
    working: inclineSteps(model, found),
    notes: [...(edge === null ? [ALWAYS_TIPS] : []), ...markNote(clause, worst)],
  };
}

function because(verdict: string, asked: number, { found, bound }: Worst<Tipping>): string {
  const tips = `It tips at ${quantity(found.capacity, 'angle')} where ${quantity(asked, 'angle')} is asked`;
  if (verdict !== 'not decided') return `${tips}.`;
  return `${tips}, but only ${quantity(bound, 'angle')} is proven: the two lie on either side of what is asked.`;
}

/** Steps from the tipping line to the angle. */
export function inclineSteps(model: CartModel, found: Tipping): readonly WorkingStep[] {
  const edge = edgeOf(model, found);
  if (edge === null) return [];
  const height = found.centreOfMass[2];
  const { steps, distance } = distanceSteps(model, edge, found.centreOfMass);
  if (height <= 0) return steps;
  const inside = Math.max(0, distance);
  return [
    ...steps,
    step(
      'angle at which the centre of mass, z above the floor, stands over the tipping line',
      'θ = atan(d / z)',
      `atan(${si(inside, 'm')} / ${si(height, 'm')})`,
      Math.atan(inside / height),
      'angle',
    ),
  ];
}

/** A cart that stands what is asked but not the mark incline needs a marking. */
function markNote(clause: Clause, { found, bound }: Worst<Tipping>): readonly string[] {
  const mark = optionalValue(clause, 'mark-incline');
  if (mark === null) return [];
  const angle = quantity(mark, 'angle');
  if (bound >= mark) return [`It does not tip at ${angle} either: no marking is due.`];
  if (found.capacity < mark) {
    return [
      `It would tip at ${angle} (it tips at ${quantity(found.capacity, 'angle')}): a marking is due.`,
    ];
  }
  return [`Whether it tips at ${angle} is not decided: take a marking as due.`];
}
