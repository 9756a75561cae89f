/** What is written into an elevation, and where. */

import type { Pose, TippingLine } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { Vec2 } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import type { ElevationFrom, ElevationLayout, ElevationScene } from './elevation-layout.js';
import { alongOf } from './elevation-layout.js';
import type { LabelWish, PlacedLabel } from './label-places.js';
import { boxesAlong, fewEnough, placeLabels } from './label-places.js';
import type { Box, Point } from './picture.js';
import { between, boxAround, squareAt } from './picture.js';
import { tipWords } from './pose-words.js';
import { carriedPoint } from './projected-outline.js';

/** An end of the picture over which the cart tips. */
export interface TipEnd {
  readonly line: TippingLine;
  /** m along the picture: the middle of the line */
  readonly at: number;
}

export function tipEnd(line: TippingLine, from: ElevationFrom): TipEnd {
  return { line, at: (alongOf(from, line.from) + alongOf(from, line.to)) / 2 };
}

/** px: length of the arrows of forces */
const PUSH_LENGTH = 48;

/** Where the arrow of a push starts. */
export function pushTail(
  push: NonNullable<Pose['push']>,
  layout: ElevationLayout,
  from: ElevationFrom,
) {
  const way: Vec2 = [Math.cos(push.direction), Math.sin(push.direction)];
  const back = (alongOf(from, way) * PUSH_LENGTH) / layout.view.pxPerMetre;
  return layout.flatToPicture([alongOf(from, push.point) - back, push.point[2]]);
}

/** Square to the floor, from above. */
export function pressTail(
  { point }: NonNullable<Pose['press']>,
  { view, toPicture }: ElevationLayout,
) {
  return toPicture([point[0], point[1], point[2] + PUSH_LENGTH / view.pxPerMetre]);
}

/** px: in a narrower picture the castors of a tipping line are left to the description. */
const NARROW = 480;

export function elevationLabels(
  scene: ElevationScene & { readonly units: UnitSystem },
  layout: ElevationLayout,
  ends: readonly TipEnd[],
): readonly PlacedLabel[] {
  const { posed, pose, units, from, cart, width } = scene;
  const centre = layout.toPicture(posed.centreOfMass);
  const wishes: readonly LabelWish[] = [
    { key: 'centre', lines: ['centre of mass'], at: centre, reach: 11, towards: 1.2 },
    ...ends.map(({ line, at }, i): LabelWish => {
      const foot = layout.flatToPicture([at, 0]);
      const words = tipWords(line, units);
      return {
        key: `tip ${i}`,
        lines: width < NARROW ? [words] : [words, `over ${line.castors.join(', ')}`],
        at: foot,
        reach: 12,
        towards: -Math.PI / 2 + (foot[0] < centre[0] ? -0.5 : 0.5),
        strong: true,
      };
    }),
    ...pushWish(pose, layout, units, from),
    ...pressWish(pose, layout, units),
    ...fewEnough(cart.handles).map(({ name, at, on }, i): LabelWish => {
      const grip = layout.toPicture(carriedPoint(at, on, posed.placements));
      const towards = grip[0] < centre[0] ? Math.PI : 0;
      return { key: `handle ${i}`, lines: [name], at: grip, reach: 8, towards };
    }),
  ];
  const field = { ...layout.field, top: layout.field.top + 18 };
  const grips = cart.handles.map(({ at, on }) => carriedPoint(at, on, posed.placements));
  const points = pose.push === null ? grips : [...grips, pose.push.point];
  const marks = points.map((point) => squareAt(layout.toPicture(point), 9));
  return placeLabels(wishes, field, [...marks, ...obstaclesOf(layout, centre, ends)]);
}

function pushWish(
  { push }: Pose,
  layout: ElevationLayout,
  units: UnitSystem,
  from: ElevationFrom,
): readonly LabelWish[] {
  if (push === null) return [];
  const head = layout.toPicture(push.point);
  const tail = pushTail(push, layout, from);
  const lines = [
    `push ${quantityText(push.force, 'force', units)}`,
    `${quantityText(push.point[2], 'length', units)} high`,
  ];
  const at = between(tail, head, 0.3);
  return [{ key: 'push', lines, at, reach: 9, towards: Math.PI / 2, strong: true }];
}

function pressWish(
  { press }: Pose,
  layout: ElevationLayout,
  units: UnitSystem,
): readonly LabelWish[] {
  if (press === null) return [];
  const lines = ['pressed down', quantityText(press.force, 'force', units)];
  const at = pressTail(press, layout);
  return [{ key: 'press', lines, at, reach: 6, towards: Math.PI / 2, strong: true }];
}

function obstaclesOf(
  { flatToPicture, fallPoint, wheels, reach, view }: ElevationLayout,
  centre: Point,
  ends: readonly TipEnd[],
): readonly Box[] {
  const rays = [...ends.map(({ at }) => at), ...(fallPoint === null ? [] : [fallPoint])];
  const step = 30 / view.pxPerMetre;
  return [
    squareAt(centre, 10),
    ...rays.flatMap((at) => boxesAlong(centre, flatToPicture([at, 0]), 3)),
    ...boxesAlong(flatToPicture([reach.from - step, 0]), flatToPicture([reach.to + step, 0]), 3),
    ...[reach.from - step, reach.to + step].flatMap((at) =>
      boxesAlong(flatToPicture([at, 0]), flatToPicture([at, reach.height]), 8),
    ),
    ...wheels.map(({ points }) => boxAround(points.map(flatToPicture))),
  ];
}
