/** A holding rose in sentences. */

import type { HoldingRay, HoldingRose } from '../analysis/index.js';
import { amountText, headingText, modeText, quantityText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { fallsShort, runsOf } from './rose-layout.js';

/** 'left (90 deg): asked 94.1 N, holds 62 N, then it slides left (90 deg)' */
export function rayWords(rose: HoldingRose, ray: HoldingRay, units: UnitSystem): string {
  const where = headingText(ray.direction, units);
  const asked = `asked ${quantityText(ray.demand, 'force', units)}`;
  const holds = `holds ${heldText(rose, ray, units)}`;
  if (ray.mode === null) return `${where}: ${asked}, ${holds}; its castors give no support`;
  const then = Number.isFinite(ray.capacity) ? `, then it ${modeText(ray.mode, units)}` : '';
  return `${where}: ${asked}, ${holds}${then}`;
}

/** The force, and for an incline the angle that the finding states. */
function heldText(rose: HoldingRose, ray: HoldingRay, units: UnitSystem): string {
  const force = quantityText(ray.capacity, 'force', units);
  const { stated } = ray;
  if (rose.load === 'push' || stated.dimension === 'force') return force;
  return `${force}, ${amountText(stated, units)}`;
}

/** One sentence: how many of the directions fall short, and which they are. */
export function shortfallWords({ rays, load }: HoldingRose, units: UnitSystem): string {
  const short = rays.filter(fallsShort).length;
  const what = load === 'push' ? 'pushed' : 'with downhill';
  if (short === 0) return `It holds what is asked in all ${rays.length} directions.`;
  if (short === rays.length) return `It fails in all ${rays.length} directions.`;
  const ranges = runsOf(rays, (ray) => String(fallsShort(ray)))
    .filter(({ from }) => fallsShort(rays[from] as HoldingRay))
    .map(({ from, count }) => {
      const [first, last] = [rays[from], rays[(from + count - 1) % rays.length]];
      const start = headingText(first?.direction ?? 0, units);
      return count === 1 ? start : `${start} to ${headingText(last?.direction ?? 0, units)}`;
    });
  return `It fails ${what} in ${short} of ${rays.length} directions: ${ranges.join('; ')}.`;
}
