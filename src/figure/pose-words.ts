/** A posed cart in sentences: what a drawing shows, for who does not see it. */

import type { Pose, PosedCart, PosedCastor, TippingLine } from '../analysis/index.js';
import { headingText, pointText, quantityText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { LOCK_WORDS } from './castor-plan.js';

/** Castors named in a description; a cart with more is told in numbers. */
const MOST_NAMED = 12;

/** What stands under or pushes on the cart; on the level with no push, that. */
export function actionWords({ incline, push, press, without }: Pose, units: UnitSystem): string {
  const slope =
    incline === null || incline.angle === 0
      ? 'On the level'
      : `On an incline of ${quantityText(incline.angle, 'angle', units)}, downhill ${headingText(incline.downhill, units)}`;
  const pressed =
    press === null
      ? ''
      : `, pressed down with ${quantityText(press.force, 'force', units)} at ${pointText(press.point, units)}`;
  const left = without === null ? '' : `, ${without} taken away`;
  if (push === null) return `${slope}${pressed}${left}.`;
  return `${slope}${pressed}${left}, pushed with ${quantityText(push.force, 'force', units)} towards ${headingText(push.direction, units)} at ${pointText(push.point, units)}.`;
}

export function massWords({ mass, centreOfMass }: PosedCart, units: UnitSystem): string {
  return `Mass ${quantityText(mass, 'mass', units)}, centre of mass at ${pointText(centreOfMass, units)}.`;
}

/** The line that the fall point is nearest to, or furthest beyond; of none, null. */
export function nearestLine({ lines }: PosedCart): TippingLine | null {
  return lines.reduce<TippingLine | null>(
    (least, line) => (least === null || line.clearance < least.clearance ? line : least),
    null,
  );
}

export function standingWords(posed: PosedCart, units: UnitSystem): string {
  const fall = `The fall line meets the floor at ${pointText(posed.fallPoint, units)}`;
  const line = nearestLine(posed);
  if (line === null) return `${fall}. It has no support to stand on.`;
  const over = `the line through ${line.castors.join(' and ')}`;
  return posed.stands
    ? `${fall}, ${quantityText(line.clearance, 'length', units)} inside ${over}. ${sentenceOf(tipWords(line, units))}.`
    : `${fall}, ${quantityText(-line.clearance, 'length', units)} outside ${over}: it tips.`;
}

function sentenceOf(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** 'tips at 14.6 deg'; of a line that is passed already, so. */
export function tipWords({ angle }: TippingLine, units: UnitSystem): string {
  return angle < 0 ? 'tipped on the level' : `tips at ${quantityText(angle, 'angle', units)}`;
}

/** '176 N'; a castor in the air is lifted, and of a cart that has tipped nothing is known. */
export function loadWords({ load, name }: PosedCastor, pose: Pose, units: UnitSystem): string {
  if (name === pose.without) return 'taken away';
  if (load === null) return 'load not known';
  return load === 0 ? 'lifted' : quantityText(load, 'force', units);
}

export function castorsWords({ castors }: PosedCart, pose: Pose, units: UnitSystem): string {
  const named = castors
    .slice(0, MOST_NAMED)
    .map(
      (castor) => `${castor.name}: ${LOCK_WORDS[castor.lock]}, ${loadWords(castor, pose, units)}`,
    );
  const more = castors.length - named.length;
  return `Castors: ${named.join('; ')}${more > 0 ? `; and ${more} more` : ''}.`;
}

/** m: the stems' extent forward and across. */
export function stemExtent({ castors }: PosedCart): {
  readonly wheelbase: number;
  readonly track: number;
} {
  const x = castors.map(({ stem }) => stem[0]);
  const y = castors.map(({ stem }) => stem[1]);
  return {
    wheelbase: Math.max(...x) - Math.min(...x),
    track: Math.max(...y) - Math.min(...y),
  };
}
