/** Working steps: the governing number in lines that a reviewer can redo by hand. */

import type { Vec2 } from '../document/index.js';
import type { SupportEdge } from '../engine/index.js';
import { STANDARD_GRAVITY } from '../engine/index.js';
import type { Amount, Dimension, WorkingStep } from './finding.js';

export function amount(value: number, dimension: Dimension): Amount {
  return { value, dimension };
}

/** Six figures: differences of two of them still carry four. */
const DIGITS = 6;

/** What rounding leaves of a zero, in any SI unit used here. */
const NOISE = 1e-12;

/** A number with its SI unit, to be put into a formula: '0.156 m', '(-0.156 m)'. */
export function si(value: number, unit: string): string {
  const rounded = Math.abs(value) < NOISE ? 0 : Number(value.toPrecision(DIGITS));
  const digits = String(rounded).replace(/e\+?/, ' * 10^');
  const text = unit === '' ? digits : `${digits} ${unit}`;
  return rounded < 0 || digits.includes('^') ? `(${text})` : text;
}

/** An angle in degrees inside a formula: tan(10 deg). */
export function deg(angle: number): string {
  return si((angle * 180) / Math.PI, 'deg');
}

export function step(
  text: string,
  formula: string,
  substituted: string,
  value: number,
  dimension: Dimension,
): WorkingStep {
  return { text, formula, substituted, value: amount(value, dimension) };
}

export function weightStep(mass: number): WorkingStep {
  return step(
    'weight in the worst configuration',
    'W = M g',
    `${si(mass, 'kg')} * ${si(STANDARD_GRAVITY, 'm/s2')}`,
    mass * STANDARD_GRAVITY,
    'force',
  );
}

/** The tipping line, and how far inside it the centre of mass is: e, then d = e - n.c. */
export function lineSteps(
  edge: SupportEdge,
  castor: { readonly name: string; readonly stem: Vec2; readonly trail: number },
  centre: ArrayLike<number>,
): { readonly steps: readonly WorkingStep[]; readonly distance: number } {
  const [nx, ny] = edge.normal;
  const [cx, cy] = [centre[0] ?? 0, centre[1] ?? 0];
  const distance = edge.offset - nx * cx - ny * cy;
  const { stem, trail } = castor;
  const normal = [si(nx, ''), si(ny, '')] as const;
  const turned = trail > 0 ? ', turned inward by its trail t' : '';
  return {
    distance,
    steps: [
      step(
        `tipping line: how far out castor ${castor.name} reaches${turned}; n is the direction square to the line`,
        trail > 0 ? 'e = n_x x_s + n_y y_s - t' : 'e = n_x x_s + n_y y_s',
        `${normal[0]} * ${si(stem[0], 'm')} + ${normal[1]} * ${si(stem[1], 'm')}${trail > 0 ? ` - ${si(trail, 'm')}` : ''}`,
        edge.offset,
        'length',
      ),
      step(
        'distance of the centre of mass inside the tipping line',
        'd = e - n_x x - n_y y',
        `${si(edge.offset, 'm')} - ${normal[0]} * ${si(cx, 'm')} - ${normal[1]} * ${si(cy, 'm')}`,
        distance,
        'length',
      ),
    ],
  };
}

/** The force asked: a share of the weight, at most a cap. */
export function demandStep(rule: {
  readonly fraction: number;
  readonly cap: number;
  readonly weight: number;
}): WorkingStep {
  const { fraction, cap, weight } = rule;
  return step(
    'force asked in this configuration',
    'F_asked = min(share W, cap)',
    `min(${si(fraction, '')} * ${si(weight, 'N')}, ${si(cap, 'N')})`,
    Math.min(fraction * weight, cap),
    'force',
  );
}
