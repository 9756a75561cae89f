/** The working of a holding finding: the force asked, the grips, the balance of moments. */

import type { CastorInput } from '../engine/index.js';
import { contactAt } from '../engine/index.js';
import type { CartModel } from './cart-model.js';
import type { WorkingStep } from './finding.js';
import type { Asked, Governing } from './holding-search.js';
import type { HoldingState } from './holding-state.js';
import { gripPoint, pivotOf, tippingLine } from './holding-state.js';
import { deg, demandStep, lineSteps, si, step, weightStep } from './working.js';

export function holdingSteps(
  model: CartModel,
  asked: Asked,
  governing: Governing,
  state: HoldingState,
  castors: readonly CastorInput[],
): readonly WorkingStep[] {
  const { weight } = state.path;
  const first = [weightStep(state.mass), askedStep(asked, weight, state.demand)];
  if (governing.tips || state.result.kind !== 'slips') {
    return [...first, ...tipSteps(model, asked, state)];
  }
  const force = state.result.force;
  const balance = [...gripSteps(model, state, castors), balanceStep(model, state)];
  if (asked.load.kind === 'push') return [...first, ...balance];
  return [
    ...first,
    ...balance,
    step(
      'incline at which it moves',
      'θ = atan(F / W)',
      `atan(${si(force, 'N')} / ${si(weight, 'N')})`,
      Math.atan(force / weight),
      'angle',
    ),
  ];
}

function askedStep({ load }: Asked, weight: number, demand: number): WorkingStep {
  if (load.kind === 'push') return demandStep({ ...load, weight });
  return step(
    'force on a level floor that the incline asked is worth (all forces over cos θ)',
    'F_asked = W tan(θ)',
    `${si(weight, 'N')} * tan(${deg(load.angle)})`,
    demand,
    'force',
  );
}

/** Share by which a limit may differ from friction times load and still be it. */
const SAME = 1e-6;

/** What each castor whose tread gives way can hold. */
function gripSteps(
  { cart }: CartModel,
  { result }: HoldingState,
  castors: readonly CastorInput[],
): readonly WorkingStep[] {
  return cart.castors.flatMap(({ name, lock }, i): readonly WorkingStep[] => {
    const { friction } = castors[i] as CastorInput;
    const load = result.normals[i] ?? 0;
    const limit = result.limits[i] ?? 0;
    if (lock === 'none' || Math.abs(limit - friction * load) > SAME * limit) return [];
    return [
      step(
        `grip of ${name}: friction times its load at that force`,
        'f = μ N',
        `${si(friction, '')} * ${si(load, 'N')}`,
        limit,
        'force',
      ),
    ];
  });
}

/** m: a castor nearer to the point of rotation is that point, as nearly as the solution places it. */
const AT_PIVOT = 1e-4;

/** In the motion it moves off with, every castor resists along its own way with the most it can:
 * moments about the point it pivots about, or forces along a slide. */
function balanceStep(model: CartModel, { result, path, swivels }: HoldingState): WorkingStep {
  const pivot = pivotOf(path, result);
  const [px, py] = path.point;
  const { velocity, rotation } = result;
  if (pivot === null) {
    const terms = result.limits.map((limit, i) => {
      const [gx, gy] = gripPoint(model, i, swivels[i] ?? null);
      const speed = Math.hypot(
        velocity[0] - rotation * (gy - py),
        velocity[1] + rotation * (gx - px),
      );
      return { limit, speed };
    });
    return step(
      'force at which it slides: what each castor resists with, times how fast it moves against the point that is pushed',
      'F = Σ f_i v_i / v',
      terms.map(({ limit, speed }) => `${si(limit, 'N')} * ${si(speed, '')}`).join(' + '),
      terms.reduce((sum, { limit, speed }) => sum + limit * speed, 0),
      'force',
    );
  }
  const arm = 1 / Math.abs(rotation);
  const terms = result.limits.map((limit, i) => {
    const [gx, gy] = gripPoint(model, i, swivels[i] ?? null);
    const radius = Math.hypot(gx - pivot[0], gy - pivot[1]);
    return { limit, radius: radius < AT_PIVOT ? 0 : radius };
  });
  const moments = terms.map(({ limit, radius }) => `${si(limit, 'N')} * ${si(radius, 'm')}`);
  return step(
    'force at which it pivots: moments about that point, ρ the distance of each castor from it, a that of the line of the force',
    'F = Σ f_i ρ_i / a',
    `(${moments.join(' + ')}) / ${si(arm, 'm')}`,
    terms.reduce((sum, { limit, radius }) => sum + limit * radius, 0) / arm,
    'force',
  );
}

function tipSteps(model: CartModel, { load }: Asked, state: HoldingState): readonly WorkingStep[] {
  const line = tippingLine(model, state);
  if (line === null) return [];
  const { path, swivels } = state;
  const { edge, facing } = line;
  const [index] = edge.castors;
  const castor = model.castors[index] as CastorInput;
  const stem = contactAt(castor, swivels[index] ?? 0);
  const name = model.cart.castors[index]?.name ?? '';
  const { steps, distance } = lineSteps(edge, { name, stem, trail: 0 }, path.centre);
  const inside = Math.max(0, distance);
  if (!(path.height > 0) || !(facing > 0)) return steps;
  if (load.kind === 'incline') {
    return [
      ...steps,
      step(
        'incline at which it tips, z the height of the centre of mass, n.u the share of the slope square to the line',
        'θ = atan(d / (z n.u))',
        `atan(${si(inside, 'm')} / (${si(path.height, 'm')} * ${si(facing, '')}))`,
        Math.atan(inside / (path.height * facing)),
        'angle',
      ),
    ];
  }
  return [
    ...steps,
    step(
      'level force that tips, h its height, n.u its share square to the line',
      'F = W d / (h n.u)',
      `${si(path.weight, 'N')} * ${si(inside, 'm')} / (${si(path.height, 'm')} * ${si(facing, '')})`,
      (path.weight * inside) / (path.height * facing),
      'force',
    ),
  ];
}
