/** Sizes and plan views of both, each as first shown or in the worst configuration of a finding. */

import { useMemo } from 'react';
import type { Pose } from '../../analysis/index.js';
import {
  cartHeight,
  cartSize,
  poseCart,
  poseOfWorst,
  quantityText,
  startPose,
} from '../../analysis/index.js';
import type { Cart } from '../../document/index.js';
import { PlanView } from '../../figure/index.js';
import type { UnitSystem } from '../../units/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { Side } from './side.js';

export interface ComparedPlansProps {
  readonly a: Side;
  readonly b: Side;
  /** whose worst is drawn; null: as the cart is first shown */
  readonly finding: string | null;
  readonly onFinding: (finding: string | null) => void;
}

export function ComparedPlans({ a, b, finding, onFinding }: ComparedPlansProps) {
  const rows = [...(a.rows ?? []), ...(b.rows ?? [])].filter(({ asked }) => asked);
  const choices = [...new Map(rows.map(({ id, title }) => [id, title]))];
  return (
    <section className="compared-plans">
      <h2>Drawn beside each other</h2>
      <label className="compared-plans-choice">
        <span>Drawn</span>
        <select
          className="kit-select"
          value={finding ?? ''}
          onChange={(event) => onFinding(event.target.value === '' ? null : event.target.value)}
        >
          <option value="">as first shown, in use</option>
          {choices.map(([id, title]) => (
            <option key={id} value={id}>
              worst of: {title}
            </option>
          ))}
        </select>
      </label>
      <div className="compared-plans-both">
        <SidePlan side={a} finding={finding} />
        <SidePlan side={b} finding={finding} />
      </div>
    </section>
  );
}

function SidePlan({ side, finding }: { readonly side: Side; readonly finding: string | null }) {
  const units = useWorkbench((s) => s.units);
  const { letter, name, cart } = side;
  const { pose, words } = useMemo(() => poseOf(side, finding), [side, finding]);
  const posed = useMemo(() => (pose === null ? null : poseCart(cart, pose)), [cart, pose]);
  const sizes = useMemo(() => sizesOf(cart, units), [cart, units]);
  return (
    <div className="compared-plan">
      <h3>
        {letter}: {name}
      </h3>
      <dl className="compared-sizes">
        {sizes.map(([label, text]) => (
          <div key={label}>
            <dt>{label}</dt>
            <dd>{text}</dd>
          </div>
        ))}
      </dl>
      {pose !== null && posed !== null && (
        <PlanView
          {...{ cart, pose, posed, units }}
          width={560}
          height={430}
          title={`${letter}: ${name}`}
        />
      )}
      <p className="kit-soft">{words}</p>
    </div>
  );
}

function poseOf({ cart, set, findings }: Side, id: string | null) {
  const found = id === null ? undefined : findings.get(id);
  const worst = found === undefined ? null : poseOfWorst(cart, set, found);
  if (worst !== null) return { pose: worst, words: found?.worst?.words ?? '' };
  const words =
    id === null ? '' : 'No worst configuration of this finding is known here: as first shown.';
  return { pose: firstPose(cart), words };
}

function firstPose(cart: Cart): Pose | null {
  const use = cart.positions.find(({ kind }) => kind === 'use') ?? cart.positions[0];
  return use === undefined ? null : startPose(cart, use.name);
}

function sizesOf(cart: Cart, units: UnitSystem): readonly (readonly [string, string])[] {
  const { mass, width, length } = cartSize(cart);
  const height = cartHeight(cart);
  const show = (value: number): string => quantityText(value, 'length', units);
  const extent = (axis: 0 | 1): number => {
    const all = cart.castors.map(({ at }) => at[axis]);
    return Math.max(...all) - Math.min(...all);
  };
  return [
    ['mass, all loads in', quantityText(mass, 'mass', units)],
    ['greatest height', height === null ? 'no outline given' : show(height)],
    ['width and length', `${show(width)}, ${show(length)}`],
    ['castor stems, track and wheelbase', `${show(extent(1))}, ${show(extent(0))}`],
  ];
}
