/** A cart of known masses put on scales, level and tilted: the record that comes of it. */

import type { Pose } from '../../src/analysis/index.js';
import { poseCart } from '../../src/analysis/index.js';
import type { Cart } from '../../src/document/index.js';
import type { WeighingBody } from '../../src/test-record/index.js';
import { tiltedLoads } from '../reference/tilted-loads.js';

export interface Shown {
  readonly castor: string;
  /** kg */
  readonly load: number;
}

export interface WeighingWishes {
  readonly pose: Pose;
  readonly lifted: readonly string[];
  /** m: radius of the wheels, which roll on level scales */
  readonly radius: number;
  /** deg */
  readonly angles: readonly (readonly [number, 'up' | 'down'])[];
  /** how a scale shows a load; default: to 1e-9 kg */
  readonly show: (shown: Shown) => string;
  /** by mover and castor, as typed */
  readonly movers: Readonly<Record<string, string>>;
  readonly swivels: Readonly<Record<string, string>>;
  readonly loads: Readonly<Record<string, string>>;
  readonly position: string;
}

const BACK = '180 deg';

const USUAL: WeighingWishes = {
  pose: {
    position: 'in use',
    movers: {},
    loads: {},
    swivels: {
      'front left': Math.PI,
      'front right': Math.PI,
      'rear left': Math.PI,
      'rear right': Math.PI,
    },
    incline: null,
    push: null,
    press: null,
    without: null,
  },
  lifted: ['front left', 'front right'],
  radius: 0.0625,
  angles: [
    [4, 'up'],
    [8, 'up'],
    [12, 'up'],
    [8, 'down'],
    [4, 'down'],
  ],
  show: ({ load }) => `${load.toFixed(9)} kg`,
  movers: {},
  loads: {},
  swivels: { 'front left': BACK, 'front right': BACK, 'rear left': BACK, 'rear right': BACK },
  position: 'in use',
};

/** The record of weighing a cart whose masses are these, on one scale moved about. */
export function weighedAs(truth: Cart, wishes: Partial<WeighingWishes> = {}): WeighingBody {
  const { pose, lifted, radius, angles, show, ...typed } = { ...USUAL, ...wishes };
  const posed = poseCart(truth, pose);
  const castors = posed.castors.map(({ name, contact }) => ({ name, at: contact }));
  const cart = { mass: posed.mass, centre: posed.centreOfMass, radius, castors, lifted };
  const lower = castors.map(({ name }) => !lifted.includes(name));
  const shown = (angle: number, kept: (i: number) => boolean) =>
    tiltedLoads(cart, lower, (angle * Math.PI) / 180)
      .map((load, i) => ({ castor: castors[i]?.name ?? '', load }))
      .filter((_, i) => kept(i))
      .map((each) => ({ castor: each.castor, shown: show(each) }));
  return {
    kind: 'weighing',
    sample: 'sample',
    ...typed,
    scales: [{ instrument: 'scale', despite: null, castors: castors.map(({ name }) => name) }],
    contactUncertainty: '1 mm',
    repeats: [shown(0, () => true)],
    tilt: {
      inclinometer: { instrument: 'level', despite: null },
      lifted,
      axisHeight: `${radius * 1000} mm`,
      axisHeightUncertainty: '0.5 mm',
      tilts: angles.map(([angle, way]) => ({
        angle: `${angle} deg`,
        way,
        lower: shown(angle, (i) => lower[i] ?? false),
      })),
    },
    taken: '2026-11-25T09:00:00.000Z',
    operator: 'Mara Quist',
    temperature: null,
    photos: [],
    notes: '',
  };
}
