/** What is doubtful about a weighing that could be reckoned. */

import { expanded, meanOf } from './uncertainty.js';
import type { WeighingModel } from './weighing-model.js';
import { SAME_ANGLE } from './weighing-model.js';
import type { ScaleReading, Tilt, WeighingInput, WeighingLine } from './weighing-record.js';

/** Standard deviations about the line over the stated ones; above 2 by chance in 1 of 400 sets of six. */
const ROUGH = 2;
/** Share of the load moved, where no uncertainty is stated to compare with. */
const ROUGH_SHARE = 0.05;
/** Share of the greatest load moved by which up and down may differ. */
const HYSTERESIS_SHARE = 0.1;

export function weighingRemarks(
  input: WeighingInput,
  model: WeighingModel,
  line: WeighingLine | null,
): readonly string[] {
  return [
    ...levelRemarks(input),
    ...unstatedRemark(input),
    ...(input.tilt !== null && line === null
      ? ['No tilts are recorded: the height is not measured.']
      : []),
    ...(line === null ? [] : tiltRemarks(input.tilt?.tilts ?? [], model, line)),
    ...headingRemark(input, model),
  ];
}

/** m: less is within what anybody knows of a wheel's radius */
const LEAST_OFF_AXLE = 0.001;

/** A wheel that leans sideways touches off its axle: at the height r cos^2(psi), psi off the slope
 * (docs/theory/measurement.md). */
function headingRemark(
  { contacts, tilt }: WeighingInput,
  { slopeHeading }: WeighingModel,
): readonly string[] {
  if (tilt === null || slopeHeading === null) return [];
  const { axisHeight, axisHeightU } = tilt;
  const allowed = Math.max(LEAST_OFF_AXLE, 2 * axisHeightU);
  const hangs = (castor: string) =>
    !tilt.lifted.includes(castor) && tilt.tilts.every(({ lower }) => shown(lower, castor) === 0);
  const off = contacts.flatMap(({ castor, rolls }) => {
    if (hangs(castor)) return [];
    const across = rolls === undefined ? 0 : Math.abs(Math.sin(rolls - slopeHeading));
    const below = axisHeight * across ** 2;
    return below > allowed ? [{ castor, below, angle: Math.asin(Math.min(1, across)) }] : [];
  });
  if (off.length === 0) return [];
  const most = Math.max(...off.map(({ below }) => below));
  const which = off.map(({ castor, angle }) => `'${castor}' by ${degrees(angle)}`).join(', ');
  return [
    `Wheels do not roll along the slope (${which}): tilted, they touch beside their axles, and the height is up to ${Math.ceil(1000 * most)} mm too great. Turn every castor along the slope, or tilt it the way that its wheels roll, and weigh again.`,
  ];
}

function levelRemarks({ contacts, level }: WeighingInput): readonly string[] {
  const lifting = contacts
    .filter(({ castor }) => level.repeats.some((one) => shown(one, castor) === 0))
    .map(
      ({ castor }) =>
        `Castor '${castor}' carried nothing in a level weighing: are its scale and the others at one height?`,
    );
  return [...lifting, ...repeatRemark(level.repeats)];
}

function repeatRemark(repeats: readonly (readonly ScaleReading[])[]): readonly string[] {
  if (repeats.length < 2) {
    return ['Weighed level once: how well it repeats is not known.'];
  }
  const { s } = meanOf(
    repeats.map((readings) => readings.reduce((sum, one) => sum + one.shown, 0)),
  );
  const stated = Math.max(
    ...repeats.map((readings) => readings.reduce((sum, one) => sum + one.u, 0)),
  );
  return stated > 0 && (s ?? 0) > stated
    ? [
        `The level weighings differ by more than the scales explain: standard deviation ${kg(s ?? 0)}, scales ${kg(stated)}.`,
      ]
    : [];
}

/** An uncertainty of 0 is one that nobody stated. */
function unstatedRemark({ contacts, level, tilt }: WeighingInput): readonly string[] {
  const scales = [...level.repeats, ...(tilt?.tilts.map((one) => one.lower) ?? [])].flat();
  const tilted = tilt !== null && tilt.tilts.length > 0 ? tilt : null;
  const unstated = [
    ...(scales.some((reading) => reading.u === 0) ? ['the scales'] : []),
    ...(contacts.some((contact) => contact.u === 0) ? ['the places of the castors'] : []),
    ...(tilted?.tilts.some((one) => one.u === 0) ? ['the angle'] : []),
    ...(tilted?.axisHeightU === 0 ? ['the height of the tilt axis'] : []),
  ];
  return unstated.length === 0
    ? []
    : [
        `No uncertainty is stated for ${unstated.join(', ')}: the result looks better than it is known.`,
      ];
}

function tiltRemarks(
  tilts: readonly Tilt[],
  model: WeighingModel,
  line: WeighingLine,
): readonly string[] {
  return [
    ...angleRemark(model),
    ...wayRemark(tilts),
    ...scatterRemark(model, line),
    ...interceptRemark(model, line),
    ...hysteresisRemark(line),
    ...senseRemark(line),
  ];
}

function angleRemark({ angles, free }: WeighingModel): readonly string[] {
  const count = angles === 1 ? 'One tilt angle' : 'Two tilt angles';
  return free
    ? []
    : [
        `${count} only, where ISO 10392 asks for three or more: the line is drawn through the level weighing, and an error of the zero of the angle is not seen.`,
      ];
}

function wayRemark(tilts: readonly Tilt[]): readonly string[] {
  const ways = new Set(tilts.map((tilt) => tilt.way));
  if (ways.size < 2) {
    const [way] = ways;
    return [
      `Tilted ${way} only, where ISO 10392 asks for up and down: what friction of the castors does to the height does not cancel.`,
    ];
  }
  const top = Math.max(...tilts.map((tilt) => tilt.angle));
  // the turning point is often read once
  const lonely = tilts.filter(
    (tilt) =>
      top - tilt.angle > SAME_ANGLE &&
      !tilts.some(
        (other) => other.way !== tilt.way && Math.abs(other.angle - tilt.angle) <= SAME_ANGLE,
      ),
  );
  return lonely.length === 0
    ? []
    : [
        `${lonely.map((tilt) => `${degrees(tilt.angle)} ${tilt.way}`).join(', ')}: not read the other way too; what friction of the castors does to the height may not cancel.`,
      ];
}

function scatterRemark(
  { outputs, weighted }: WeighingModel,
  line: WeighingLine,
): readonly string[] {
  const scatter = outputs.tilt?.line.scatter ?? null;
  const most = Math.max(...line.points.map((point) => Math.abs(point.y)));
  if (scatter === null) {
    return ['One tilt only: how well the tilts repeat is not known.'];
  }
  const rough = weighted ? scatter > ROUGH ** 2 : Math.sqrt(scatter) > ROUGH_SHARE * most;
  const worst = Math.max(...line.points.map((point) => Math.abs(point.residual)));
  return rough
    ? [
        `The tilts do not lie on a line: up to ${kg(worst)} off it${weighted ? `, ${Math.sqrt(scatter).toFixed(1)} times what scales and angle explain` : ''}.`,
      ]
    : [];
}

function interceptRemark({ outputs, free }: WeighingModel, line: WeighingLine): readonly string[] {
  const { U } = expanded(line.intercept);
  const off = Math.abs(line.intercept.value);
  // what rounding makes is none
  return free && off > U && off > 1e-9 * outputs.mass
    ? [
        `The line misses the level weighing by ${kg(line.intercept.value)}, expanded uncertainty ${kg(U)}: is the zero of the angle right, and did a castor turn or a load shift between?`,
      ]
    : [];
}

function hysteresisRemark({ points, upDown }: WeighingLine): readonly string[] {
  const most = Math.max(...points.map((point) => Math.abs(point.y)));
  return upDown !== null && Math.abs(upDown) > HYSTERESIS_SHARE * most
    ? [
        `Up and down differ by ${kg(upDown)}: let the castors of one end roll freely, and keep all from swivelling.`,
      ]
    : [];
}

function senseRemark({ slope }: WeighingLine): readonly string[] {
  return slope.value <= 0
    ? [
        'The lower castors lost load: the centre of mass is no higher than the axles. Are the readings those of the castors that were not lifted?',
      ]
    : [];
}

function shown(readings: readonly ScaleReading[], castor: string): number | null {
  return readings.find((reading) => reading.castor === castor)?.shown ?? null;
}

function kg(value: number): string {
  return `${Number(value.toPrecision(3))} kg`;
}

function degrees(angle: number): string {
  return `${Number(((angle * 180) / Math.PI).toPrecision(3))} deg`;
}
