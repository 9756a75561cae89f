import type { ReactElement } from 'react';
import type { PosedCastor } from '../analysis/index.js';
import type { Vec3 } from '../document/index.js';
import { figureStyle } from './figure-style.js';
import type { Point } from './picture.js';
import { angleTo, away, between, distanceOf, pathAround, pathThrough, px } from './picture.js';
import { wheelOutline } from './projected-outline.js';
import type { View } from './view.js';

/** What each kind of lock is called beside its castor. */
export const LOCK_WORDS: Readonly<Record<PosedCastor['lock'], string>> = {
  none: 'no lock',
  wheel: 'wheel lock',
  directional: 'swivel lock',
  total: 'total lock',
};

interface CastorPlanProps {
  readonly castor: PosedCastor;
  readonly view: View;
  /** true: taken away; only where it stood is drawn */
  readonly missing?: boolean;
}

/**
 * A castor from above: its wheel at true size, the circle that the contact can reach, the trail from
 * stem to contact. Locks by shape: a locked wheel has bars across its tread, a locked swivel a square
 * about its stem.
 */
export function CastorPlan({ castor, view, missing = false }: CastorPlanProps): ReactElement {
  const stem = view.toPicture(castor.stem);
  const contact = view.toPicture(castor.contact);
  const wheel = wheelOutline(castor, fromAbove).map(view.toPicture);
  const trail = distanceOf(stem, contact);
  if (missing) return <path {...figureStyle.dashed} d={pathAround(wheel)} />;
  return (
    <g className="fig-castor" data-castor-lock={castor.lock}>
      {castor.swivels && trail > 0.5 ? (
        <circle {...figureStyle.ring} cx={px(stem[0])} cy={px(stem[1])} r={px(trail)} />
      ) : null}
      <path {...figureStyle.open} d={pathAround(wheel)} />
      {hasWheelLock(castor) ? <WheelBars castor={castor} view={view} /> : null}
      <path {...figureStyle.ink} d={pathThrough([stem, contact])} />
      <Stem at={stem} castor={castor} />
      <circle {...figureStyle.solid} cx={px(contact[0])} cy={px(contact[1])} r={1.75} />
    </g>
  );
}

function fromAbove([x, y]: Vec3): readonly [number, number] {
  return [x, y];
}

function hasWheelLock({ lock }: PosedCastor): boolean {
  return lock === 'wheel' || lock === 'total';
}

function WheelBars({ castor, view }: CastorPlanProps): ReactElement {
  const middle = view.toPicture(castor.contact);
  const half = 0.14 * castor.wheelDiameter * view.pxPerMetre;
  const along = 0.5 * castor.wheelDiameter * view.pxPerMetre;
  const bars = [-0.85, -0.6, 0.6, 0.85].map((share) => {
    const at = away(middle, castor.rolls, share * along);
    const across = castor.rolls + Math.PI / 2;
    return pathThrough([away(at, across, -half), away(at, across, half)]);
  });
  return <path {...figureStyle.ink} d={bars.join('')} />;
}

function Stem({ at, castor }: { readonly at: Point; readonly castor: PosedCastor }): ReactElement {
  const { lock, swivels } = castor;
  const half = 4;
  if (!swivels) return <path {...figureStyle.ink} d={cross(at, 3)} />;
  return lock === 'directional' || lock === 'total' ? (
    <rect {...figureStyle.solid} x={px(at[0] - half)} y={px(at[1] - half)} width={8} height={8} />
  ) : (
    <circle {...figureStyle.open} cx={px(at[0])} cy={px(at[1])} r={3.25} />
  );
}

function cross([x, y]: Point, half: number): string {
  return `${pathThrough([
    [x - half, y],
    [x + half, y],
  ])}${pathThrough([
    [x, y - half],
    [x, y + half],
  ])}`;
}

/** The mark of a centre of mass: a circle of four quarters, two of them filled. */
export function CentreOfMassMark({ at }: { readonly at: Point }): ReactElement {
  const [x, y] = [px(at[0]), px(at[1])];
  const r = 7;
  return (
    <g className="fig-centre-of-mass">
      <circle {...figureStyle.open} cx={x} cy={y} r={r} />
      <path
        {...figureStyle.solid}
        d={`M${x} ${y}V${px(y - r)}A${r} ${r} 0 0 1 ${px(x + r)} ${y}Z`}
      />
      <path
        {...figureStyle.solid}
        d={`M${x} ${y}V${px(y + r)}A${r} ${r} 0 0 1 ${px(x - r)} ${y}Z`}
      />
    </g>
  );
}

/** Where the fall line meets the floor: a cross in a ring. */
export function FallPointMark({ at }: { readonly at: Point }): ReactElement {
  return (
    <g className="fig-fall-point">
      <circle {...figureStyle.accent} cx={px(at[0])} cy={px(at[1])} r={4.5} />
      <path {...figureStyle.accent} d={cross(at, 8)} />
    </g>
  );
}

/** A force down on the cart: the point of an arrow seen from its tail. */
export function PressMark({ at }: { readonly at: Point }): ReactElement {
  return (
    <g className="fig-press">
      <circle {...figureStyle.accent} cx={px(at[0])} cy={px(at[1])} r={8} />
      <path {...figureStyle.accent} d={crossIn(at, 8)} />
    </g>
  );
}

/** A cross of two diameters. */
export function crossIn(at: Point, radius: number): string {
  return [1, 3]
    .map((i) => (i * Math.PI) / 4)
    .map((angle) => pathThrough([away(at, angle, radius), away(at, angle, -radius)]))
    .join('');
}

/** A grip of a handle: two posts and a bar. */
export function HandleMark({ at }: { readonly at: Point }): ReactElement {
  const [x, y] = [px(at[0]), px(at[1])];
  return (
    <g className="fig-handle">
      <rect {...figureStyle.open} x={px(x - 2.5)} y={px(y - 8)} width={5} height={16} rx={2.5} />
      <path {...figureStyle.thin} d={`M${px(x - 2.5)} ${y}H${px(x + 2.5)}`} />
    </g>
  );
}

/** The foot of the shortest way from a point to a line. */
export function footOn(line: readonly [Point, Point], point: Point): Point {
  const [p, q] = line;
  const length = distanceOf(p, q);
  if (length === 0) return p;
  const along = distanceOf(p, point) * Math.cos(angleTo(p, q) - angleTo(p, point));
  return between(p, q, along / length);
}
