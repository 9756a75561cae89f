/** The example carts on paper: figures of their files, and the formulas of the worked page. Nothing of
 * the program is used here. */

import type { PivotPush, Point, SettledCastor } from '../reference/pivot-force.js';

const G = 9.80665; // m/s^2
const DEGREE = Math.PI / 180;

/** Mass and place of each part of the telehealth cart, m and kg, as its file has them. */
const TELEHEALTH = {
  base: [
    [24, 0, 0, 0.095],
    [2.2, 0, 0, 0.06],
    [2.4, -0.06, 0, 0.15],
    [5.2, 0, 0, 0.33],
    [0.8, 0.15, 0, 0.42],
  ],
  lift: [
    [6.5, -0.02, 0, 0.56],
    [3.2, -0.09, 0, 0.54],
    [0.9, -0.24, 0, 0.6],
  ],
  arm: [
    [2.1, 0.1, 0, 0.8],
    [4.6, 0.22, 0, 0.96],
    [0.4, 0.21, 0, 1.14],
  ],
} as const;

export interface Body {
  readonly mass: number;
  readonly centre: readonly [number, number, number];
}

/** @param lift m; @param arm deg; @param supplies kg in the basket */
export function telehealth(lift: number, arm: number, supplies: number): Body {
  const [cos, sin] = [Math.cos(arm * DEGREE), Math.sin(arm * DEGREE)];
  const all: (readonly number[])[] = [
    ...TELEHEALTH.base,
    ...TELEHEALTH.lift.map(([m, x, y, z]) => [m, x, y, z + lift]),
    ...TELEHEALTH.arm.map(([m, x, , z]) => [m, x * cos, x * sin, z + lift]),
    [supplies, 0.15, 0, 0.46],
  ];
  const mass = all.reduce((total, part) => total + (part[0] ?? 0), 0);
  const moment = (axis: number) =>
    all.reduce((total, part) => total + (part[0] ?? 0) * (part[axis] ?? 0), 0) / mass;
  return { mass, centre: [moment(1), moment(2), moment(3)] };
}

/** front left, front right, rear left, rear right */
const STEMS: readonly Point[] = [
  [0.32, 0.3],
  [0.32, -0.3],
  [-0.32, 0.3],
  [-0.32, -0.3],
];

/** A braked castor that trails takes mu N at its stem; a free one rolls or swivels: the less of
 * N b / r (b 2.2 mm, r 50 mm) and M / t (0.3 N m, 32 mm). */
export function telehealthCastors(braked: readonly number[], mu: number): SettledCastor[] {
  return STEMS.map((stem, i) => ({
    stem,
    trail: 0.032,
    limit: braked.includes(i)
      ? (load) => mu * load
      : (load) => Math.min(mu * load, (load * 2.2) / 50, 0.3 / 0.032),
  }));
}

export interface PivotCase {
  readonly braked: readonly number[];
  readonly mu: number;
  readonly lift: number;
  /** deg */
  readonly arm: number;
  readonly supplies: number;
  /** deg */
  readonly direction: number;
  readonly pivot: number;
  /** deg */
  readonly pivotAngle: number;
  readonly sense: 1 | -1;
}

/** Pushed at the edge of the worktop's middle, 620 mm up when the lift is down. */
export function telehealthPush(given: PivotCase): PivotPush {
  const { mass, centre } = telehealth(given.lift, given.arm, given.supplies);
  return {
    weight: mass * G,
    centre: [centre[0], centre[1]],
    point: [-0.035, 0],
    height: 0.62 + given.lift,
    direction: given.direction * DEGREE,
    pivot: given.pivot,
    pivotAngle: given.pivotAngle * DEGREE,
    sense: given.sense,
  };
}

/** N asked: 15 % of the weight, at most 150 N. */
export function pushAsked(mass: number): number {
  return Math.min(0.15 * mass * G, 150);
}

/**
 * The fluid stand, pushed 1.5 m up between the front and the front right castor: reserve of tipping.
 * Its lines are at R cos 36 deg - t from the middle; with the front bag, the right bag and the pump
 * the centre of mass is e beyond the middle, square to the line. W cancels.
 *
 * @param R m, radius of the castors' circle
 */
export function fluidStandTips(R: number): { readonly e: number; readonly reserve: number } {
  const [c, s] = [Math.cos(36 * DEGREE), Math.cos(54 * DEGREE)];
  const mass = 8.6 + 1.2 + 1.9 + 1.3 + 3 + 3 + 3;
  const e = (3 * 0.13 * c + 3 * 0.13 * s + 3 * 0.08 * c) / mass;
  return { e, reserve: (R * c - 0.025 - e) / (0.15 * 1.5) };
}

export const FLUID_STAND_RADIUS = 0.315;

/** Radius at which the reserve is `wanted`. */
export function fluidStandRadius(wanted: number): number {
  const { e } = fluidStandTips(FLUID_STAND_RADIUS);
  return (wanted * 0.15 * 1.5 + 0.025 + e) / Math.cos(36 * DEGREE);
}

const INCH = 0.0254;

/** The lamp stand, pushed at the top of its post with the arm against a line: R / 2 - t from the
 * middle. */
export const LAMP = {
  radius: 12.5 * INCH,
  trail: 0.75 * INCH,
  height: 32 * INCH,
  /** m: how far the arm carries the centre of mass out */
  offset: ((2.2 * 4 + 3.5 * 16 - 5.5 * 9) / 35.2) * INCH,
} as const;

export function lampReserve(radius: number, trail: number, offset: number): number {
  return (radius / 2 - trail - offset) / (0.15 * LAMP.height);
}

/** m the lamp head goes back for the offset to be `offset` */
export function lampHeadBack(offset: number): number {
  const moment = (offset / INCH) * 35.2;
  return (16 - (moment - 2.2 * 4 + 5.5 * 9) / 3.5) * INCH;
}

/**
 * The scanner cart pushed back at 1.05 m, drawers shut, nothing in it: the front castors, turned
 * forward, take mu N and lose load; the rear ones roll.
 *   F = mu Nf + beta (W - Nf),  Nf = (g sum m (x + 0.33) - 1.05 F) / span
 */
export function scannerForce(given: {
  readonly mu?: number;
  readonly ballast?: number;
  /** m by which the spacing grows, half in front and half behind */
  readonly longer?: number;
}): number {
  const { mu = 0.61, ballast = 0, longer = 0 } = given;
  const beta = 2.2 / 62.5;
  const rear = 0.33 + longer / 2;
  const span = 0.33 + longer / 2 + 0.038 + rear;
  const parts: readonly (readonly [number, number])[] = [
    [30, 0],
    [36, -0.11],
    [4, 0],
    [17, -0.04],
    [16.5, -0.03],
    [2.4, 0.02],
    [2.4, 0.02],
    [3.1, 0.02],
    [ballast, 0.33],
  ];
  const weight = G * parts.reduce((total, [m]) => total + m, 0);
  const about = G * parts.reduce((total, [m, x]) => total + m * (x + rear), 0);
  const a = (mu - beta) / span;
  return (a * about + beta * weight) / (1 + 1.05 * a);
}

/** N asked of the scanner cart: the cap, since 15 % of its weight is more. */
export const SCANNER_ASKED = 150;

/** Least of 1, 2, ... steps at which `reserve` reaches `wanted`. */
export function firstStep(reserve: (steps: number) => number, wanted: number): number {
  for (let k = 0; k <= 10_000; k++) if (reserve(k) >= wanted - 1e-12) return k;
  throw new Error('firstStep: none');
}

/**
 * The kit trolley lifted by two grips 0.62 m apart, four times its share each: the tray, with what is
 * on it, is out to one side.
 *
 * @param load kg on the whole trolley; @param tray kg that the tray carries out; @param out m
 */
export function kitTrolleyGrip(load: number, tray: number, out: number): number {
  return 4 * load * G * (0.5 + (tray * out) / load / 0.62);
}
