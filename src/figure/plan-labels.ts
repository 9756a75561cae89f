/** What is written into a plan view, and where. */

import type { PosedCart, PosedCastor, TippingLine } from '../analysis/index.js';
import { quantityText } from '../analysis/index.js';
import type { Vec2 } from '../document/index.js';
import type { UnitSystem } from '../units/index.js';
import { LOCK_WORDS } from './castor-plan.js';
import type { LabelWish, PlacedLabel } from './label-places.js';
import { boxesAlong, fewEnough, placeLabels } from './label-places.js';
import type { Box, Point } from './picture.js';
import { angleTo, between, isInside, squareAt } from './picture.js';
import type { PlanLayout, PlanScene } from './plan-layout.js';
import { loadWords, tipWords } from './pose-words.js';
import { carriedPoint } from './projected-outline.js';

/** Of more castors than this, or in a narrower picture (px), labels would hide the drawing: the locks
 * are left to the shapes, and only the nearest tipping line is labelled. */
const CROWDED = 8;
const NARROW = 480;

function isCrowded({ posed, width }: PlanScene): boolean {
  return posed.castors.length > CROWDED || width < NARROW;
}

interface LabelScene extends PlanScene {
  readonly units: UnitSystem;
  readonly nearest: TippingLine | null;
  /** px: taken already */
  readonly taken: readonly Box[];
  /** px; null: no push */
  readonly push: { readonly tail: Point; readonly head: Point } | null;
}

export function planLabels(scene: LabelScene, layout: PlanLayout): readonly PlacedLabel[] {
  const wishes = [
    ...centreWishes(scene, layout),
    ...pushWishes(scene),
    ...pressWishes(scene, layout),
    ...fewEnough(scene.posed.castors).map((castor, i) => castorWish(scene, layout, castor, i)),
    ...lineWishes(scene, layout),
    ...handleWishes(scene, layout),
  ];
  const box = { ...layout.field, bottom: layout.field.bottom - 2 };
  return placeLabels(wishes, box, [...scene.taken, ...obstacles(scene, layout)]);
}

function centreWishes({ posed, units }: LabelScene, layout: PlanLayout): readonly LabelWish[] {
  const [x, y, z] = posed.centreOfMass;
  const at = layout.view.toPicture([x, y]);
  const fall = layout.view.toPicture(posed.fallPoint);
  const apart = Math.hypot(fall[0] - at[0], fall[1] - at[1]) > 14;
  const opposite = apart ? angleTo(fall, at) : 0.6;
  const own: LabelWish = {
    key: 'centre of mass',
    lines: ['centre of mass', `${quantityText(z, 'length', units)} high`],
    at,
    reach: 10,
    towards: opposite,
  };
  if (!apart || !layout.fallPointShown) return [own];
  const words = posed.stands ? 'falls here' : 'falls outside';
  return [
    own,
    { key: 'fall', lines: [words], at: fall, reach: 10, towards: angleTo(at, fall), strong: true },
  ];
}

function pushWishes({ push, pose, units }: LabelScene): readonly LabelWish[] {
  if (push === null || pose.push === null) return [];
  const force = `push ${quantityText(pose.push.force, 'force', units)}`;
  const height = `${quantityText(pose.push.point[2], 'length', units)} high`;
  const at = between(push.tail, push.head, 0.25);
  const towards = angleTo(push.head, push.tail);
  return [{ key: 'push', lines: [force, height], at, reach: 10, towards, strong: true }];
}

function pressWishes({ pose: { press }, units }: LabelScene, { view }: PlanLayout) {
  if (press === null) return [];
  const lines = ['pressed down', quantityText(press.force, 'force', units)];
  const at = view.toPicture([press.point[0], press.point[1]]);
  return [{ key: 'press', lines, at, reach: 12, towards: 0.8, strong: true }];
}

function castorWish(
  scene: LabelScene,
  { view }: PlanLayout,
  castor: PosedCastor,
  index: number,
): LabelWish {
  const { posed, pose, units } = scene;
  const at = view.toPicture(castor.contact);
  const middle = view.toPicture(middleOf(posed.castors));
  const load = loadWords(castor, pose, units);
  const lock = LOCK_WORDS[castor.lock];
  const full = units === 'both' ? [castor.name, lock, load] : [castor.name, `${lock}, ${load}`];
  const lines = isCrowded(scene) ? [castor.name, load] : full;
  const reach = 0.36 * castor.wheelDiameter * view.pxPerMetre + 6;
  // rather above or under than beside: labels are wider than high
  const towards = Math.atan2(1.6 * (middle[1] - at[1]), at[0] - middle[0]);
  return { key: `castor ${index}`, lines, at, reach, towards, strong: true };
}

function middleOf(castors: PosedCart['castors']): Vec2 {
  const sum = (i: 0 | 1) => castors.reduce((total, { stem }) => total + stem[i], 0);
  return [sum(0) / castors.length, sum(1) / castors.length];
}

function lineWishes(scene: LabelScene, { view }: PlanLayout): readonly LabelWish[] {
  const { posed, units, nearest } = scene;
  const lines = posed.lines.filter((line) => !isCrowded(scene) || line === nearest);
  return [...lines]
    .sort((p, q) => p.distance - q.distance)
    .map((line): LabelWish => {
      const [p, q] = [view.toPicture(line.from), view.toPicture(line.to)];
      const distance = quantityText(line.distance, 'length', units);
      return {
        key: `line ${line.castors.join('\n')}`,
        lines: [distance, tipWords(line, units)],
        at: between(p, q, 0.5),
        reach: 5,
        // counter-clockwise support: outside is to the right of the way along
        towards: angleTo(p, q) - Math.PI / 2,
        strong: line === nearest,
      };
    });
}

function handleWishes({ cart, posed }: LabelScene, { view }: PlanLayout): readonly LabelWish[] {
  const middle = view.toPicture(middleOf(posed.castors));
  return fewEnough(cart.handles).map(({ name, at, on }, i): LabelWish => {
    const [x, y] = carriedPoint(at, on, posed.placements);
    const grip = view.toPicture([x, y]);
    return {
      key: `handle ${i}`,
      lines: [name],
      at: grip,
      reach: 9,
      towards: angleTo(middle, grip),
    };
  });
}

function obstacles({ posed, push, cart }: LabelScene, layout: PlanLayout): readonly Box[] {
  const { view, field } = layout;
  const castors = posed.castors.flatMap(({ contact, stem, wheelDiameter }) => [
    squareAt(view.toPicture(contact), 0.4 * wheelDiameter * view.pxPerMetre),
    squareAt(view.toPicture(stem), 5),
  ]);
  const lines = posed.lines.flatMap(({ from, to }) =>
    boxesAlong(view.toPicture(from), view.toPicture(to)),
  );
  const [x, y] = posed.centreOfMass;
  const marks = [view.toPicture([x, y]), view.toPicture(posed.fallPoint)]
    .filter((at) => isInside(at, field))
    .map((at) => squareAt(at, 9));
  const handles = cart.handles.map(({ at, on }) => {
    const [hx, hy] = carriedPoint(at, on, posed.placements);
    return squareAt(view.toPicture([hx, hy]), 8);
  });
  const arrow = push === null ? [] : boxesAlong(push.tail, push.head, 3);
  return [...castors, ...lines, ...marks, ...handles, ...arrow];
}
