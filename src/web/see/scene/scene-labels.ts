/** What is written into the drawing in space, and where it belongs. */

import type { Pose, PosedCart } from '../../../analysis/index.js';
import { headingText, quantityText } from '../../../analysis/index.js';
import type { Vec3 } from '../../../document/index.js';
import { loadWords, nearestLine, tipWords } from '../../../figure/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { STANDARD_GRAVITY } from '../../../units/index.js';
import type { Dimensions } from './floor-drawing.js';
import { dimensionsOf } from './floor-drawing.js';
import type { Wedge } from './incline-drawing.js';
import { weightEnd } from './incline-drawing.js';
import type { Placed } from './place-edits.js';
import type { Size } from './standing-drawing.js';
import { pressArrow, pushArrow } from './standing-drawing.js';

export interface SceneLabel {
  readonly key: string;
  /** the first is set stronger */
  readonly lines: readonly string[];
  /** m, cart frame */
  readonly at: Vec3;
  /** px to keep from it */
  readonly reach: number;
  /** a bar of this share of the weight under the words; null: none */
  readonly share: number | null;
  readonly kind: 'castor' | 'mass' | 'line' | 'acting' | 'size' | 'selected';
}

export interface LabelInput {
  readonly posed: PosedCart;
  readonly pose: Pose;
  readonly units: UnitSystem;
  readonly size: Size;
  readonly wedge: Wedge | null;
  readonly selected: Placed | null;
}

/** Most important first: the later give way to the earlier. */
export function sceneLabels(input: LabelInput): readonly SceneLabel[] {
  return [
    ...actingLabels(input),
    massLabel(input),
    ...castorLabels(input),
    ...lineLabels(input),
    ...selectedLabels(input),
    ...sizeLabels(dimensionsOf(input.posed), input.units),
  ];
}

function actingLabels({ posed, pose, units, size, wedge }: LabelInput): readonly SceneLabel[] {
  const { push, press, incline } = pose;
  const labels: SceneLabel[] = [];
  if (push !== null) {
    const lines = [`push ${force(push.force, units)}`, ...headingLines(push.direction, units)];
    labels.push(label('acting', 'push', lines, pushArrow(pose, size).tail, 8));
  }
  if (press !== null) {
    const lines = [`pressed down ${force(press.force, units)}`];
    labels.push(label('acting', 'press', lines, pressArrow(pose, size).tail, 8));
  }
  if (incline !== null && wedge !== null) {
    const lines = [
      `incline ${quantityText(incline.angle, 'angle', units)}`,
      ...headingLines(incline.downhill, units).map((line, i) =>
        i === 0 ? `downhill ${line}` : line,
      ),
    ];
    labels.push(label('acting', 'incline', lines, middleOf(wedge.low, wedge.high), 8));
  }
  const lines = [`weight ${force(posed.mass * STANDARD_GRAVITY, units)}`];
  labels.push(label('acting', 'weight', lines, weightEnd(posed, pose, size), 6));
  return labels;
}

function massLabel({ posed, units }: LabelInput): SceneLabel {
  const { mass, centreOfMass } = posed;
  const lines = [
    quantityText(mass, 'mass', units),
    `${quantityText(centreOfMass[2], 'length', units)} up`,
  ];
  return label('mass', 'centre of mass', lines, centreOfMass, 13);
}

function castorLabels({ posed, pose, units }: LabelInput): readonly SceneLabel[] {
  const total = posed.castors.reduce((sum, { load }) => sum + (load ?? 0), 0);
  return posed.castors.map((castor) => {
    const { name, contact, load, wheelDiameter } = castor;
    const at: Vec3 = [contact[0], contact[1], wheelDiameter / 2];
    return {
      ...label('castor', `castor ${name}`, [name, loadWords(castor, pose, units)], at, 20),
      share: load === null || total === 0 ? null : load / total,
    };
  });
}

function lineLabels({ posed, units }: LabelInput): readonly SceneLabel[] {
  const nearest = nearestLine(posed);
  if (nearest === null) return [];
  const { from, to, clearance } = nearest;
  const far = quantityText(Math.abs(clearance), 'length', units);
  const lines = [tipWords(nearest, units), clearance < 0 ? `${far} outside` : `${far} inside`];
  const middle: Vec3 = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2, 0];
  return [label('line', 'tipping line', lines, middle, 10)];
}

function selectedLabels({ posed, selected, units }: LabelInput): readonly SceneLabel[] {
  if (selected === null) return [];
  if (selected.kind === 'castor') {
    const castor = posed.castors.find(({ name }) => name === selected.name);
    if (castor === undefined) return [];
    const [x, y] = castor.stem;
    const at: Vec3 = [x, y, castor.wheelDiameter];
    return [label('selected', 'selected', [`selected: ${selected.name}`], at, 22)];
  }
  const mass = posed.masses.find(({ name }) => name === selected.name);
  if (mass === undefined) return [];
  const lines = [`selected: ${selected.name}`, quantityText(mass.mass, 'mass', units)];
  return [label('selected', 'selected', lines, mass.at, 16)];
}

function sizeLabels({ wheelbase, track }: Dimensions, units: UnitSystem): readonly SceneLabel[] {
  return [
    label('size', 'wheelbase', [quantityText(wheelbase.length, 'length', units)], wheelbase.at, 4),
    label('size', 'track', [quantityText(track.length, 'length', units)], track.at, 4),
  ].filter((_, i) => (i === 0 ? wheelbase : track).length > 0.01);
}

/** The way in a word, and its angle. */
function headingLines(direction: number, units: UnitSystem): readonly string[] {
  const [word = '', angle = ''] = headingText(direction, units).split(' (');
  return [word, angle.replace(')', '')];
}

function middleOf(a: Vec3, b: Vec3): Vec3 {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
}

function label(
  kind: SceneLabel['kind'],
  key: string,
  lines: readonly string[],
  at: Vec3,
  reach: number,
): SceneLabel {
  return { kind, key, lines, at, reach, share: null };
}

function force(newtons: number, units: UnitSystem): string {
  return quantityText(newtons, 'force', units);
}

/** The castor that bears least: the first to lift. */
export function leastLoadedWords({ castors }: PosedCart, units: UnitSystem): string {
  const loaded = castors.flatMap(({ name, load }) => (load === null ? [] : [{ name, load }]));
  const [first, ...others] = loaded;
  if (first === undefined) return 'It tips, so what its castors bear is not known.';
  const least = others.reduce((best, each) => (each.load < best.load ? each : best), first);
  return least.load === 0
    ? `The castor ${least.name} is lifted.`
    : `The castor ${least.name} bears least: ${force(least.load, units)}.`;
}
