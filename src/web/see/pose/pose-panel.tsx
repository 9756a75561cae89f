/** The pose that the drawings show: position, movers, loads, castors, and what acts on the cart. */

import './pose-panel.css';
import type { ReactNode } from 'react';
import { useId, useState } from 'react';
import type { Finding, Pose, PosedCart } from '../../../analysis/index.js';
import {
  amountText,
  modeText,
  pointText,
  poseCart,
  quantityText,
  startPose,
} from '../../../analysis/index.js';
import type { Cart } from '../../../document/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { STANDARD_GRAVITY } from '../../../units/index.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import { usePosed } from '../use-posed.js';
import { PoseRow } from './pose-row.js';
import {
  commonSwivel,
  firstPushPoint,
  loadRange,
  moverRange,
  nearestMass,
  placeAt,
  pushPlaces,
  stopsWithin,
  wholeTurn,
  withAllSwivels,
  withLoad,
  withMover,
  withPushCarried,
  withSwivel,
} from './pose-values.js';
import { useWorstShown } from './use-worst-shown.js';

export function PosePanel() {
  const shown = usePosed();
  const [isOpen, setOpen] = useState(true);
  const id = useId();
  if (shown === null) return null;
  const { cart, pose, posed } = shown;
  return (
    <div className="pose-panel" data-closed={!isOpen || undefined}>
      <PoseHead cart={cart} pose={pose}>
        <button
          type="button"
          className="kit-button pose-head-rows"
          aria-expanded={isOpen}
          aria-controls={id}
          onClick={() => setOpen(!isOpen)}
        >
          {isOpen ? 'Hide sliders' : 'Show sliders'}
        </button>
      </PoseHead>
      <div className="pose-panel-scroll" id={id}>
        <WorstWords />
        {isOpen && (
          <div className="pose-panel-groups">
            <Movers cart={cart} pose={pose} posed={posed} />
            <Loads cart={cart} pose={pose} />
            <Castors cart={cart} pose={pose} />
            <Incline pose={pose} />
            <Push cart={cart} pose={pose} posed={posed} />
          </div>
        )}
      </div>
    </div>
  );
}

interface CartPose {
  readonly cart: Cart;
  readonly pose: Pose;
}

function usePut(): (pose: Pose) => void {
  const store = useWorkbenchStore();
  return (pose) => store.getState().setPose(pose);
}

function PoseHead({ cart, pose, children }: CartPose & { readonly children: ReactNode }) {
  const store = useWorkbenchStore();
  const put = usePut();
  const id = useWorkbench((s) => s.finding);
  const title = useWorkbench((s) => {
    const clause = s.set.clauses.find((each) => each.id === s.finding);
    return clause?.title ?? null;
  });
  const isReady = useWorkbench((s) => (id === null ? false : s.proven.has(id)));
  return (
    <div className="pose-head">
      <label className="pose-head-position">
        Position
        <select
          className="kit-select"
          value={pose.position}
          onChange={({ target }) =>
            put({ ...startPose(cart, target.value), incline: pose.incline })
          }
        >
          {cart.positions.map(({ name, kind }) => (
            <option key={name} value={name}>
              {name === kind ? name : `${name} (${kind})`}
            </option>
          ))}
        </select>
      </label>
      <button
        type="button"
        className="kit-button"
        onClick={() => put(startPose(cart, pose.position))}
      >
        As first shown
      </button>
      <button
        type="button"
        className="kit-button pose-head-worst"
        disabled={id === null || !isReady}
        title={title ?? 'Choose a finding first'}
        onClick={() => id !== null && store.getState().showWorst(id)}
      >
        {title === null ? 'Worst of the chosen finding' : `Worst of: ${title}`}
      </button>
      {children}
    </div>
  );
}

/** Why the pose is shown, when it is a worst one. */
function WorstWords() {
  const finding = useWorstShown();
  const units = useWorkbench((s) => s.units);
  return (
    <p className="pose-worst" role="status">
      {finding?.worst == null ? null : <Worst finding={finding} units={units} />}
    </p>
  );
}

function Worst({ finding, units }: { readonly finding: Finding; readonly units: UnitSystem }) {
  const { worst, capacity, mode, title } = finding;
  const gives =
    capacity === null || mode === null
      ? ''
      : ` it ${modeText(mode, units)} at ${amountText(capacity, units)}, which is shown.`;
  return (
    <>
      <strong>Worst of {title}:</strong>
      {gives} It stands so: {worst?.words}.
    </>
  );
}

interface GroupProps {
  readonly name: string;
  readonly children: ReactNode;
}

function Group({ name, children }: GroupProps) {
  return (
    <fieldset className="pose-group" aria-label={name}>
      {children}
    </fieldset>
  );
}

function Movers({ cart, pose, posed }: CartPose & { readonly posed: PosedCart }) {
  const put = usePut();
  if (cart.movers.length === 0) return null;
  return (
    <Group name="Movers">
      {cart.movers.map((mover) => {
        const range = moverRange(cart, pose.position, mover);
        return (
          <PoseRow
            key={mover.name}
            name={mover.name}
            dimension={mover.kind === 'slide' ? 'length' : 'angle'}
            value={pose.movers[mover.name] ?? 0}
            allowed={{ ...range, stops: stopsWithin(mover, range) }}
            onChange={(value) => {
              const moved = withMover(pose, mover.name, value);
              const after = pose.push === null ? posed : poseCart(cart, moved);
              put(withPushCarried(cart, moved, posed.placements, after.placements));
            }}
          />
        );
      })}
    </Group>
  );
}

function Loads({ cart, pose }: CartPose) {
  const put = usePut();
  if (cart.loads.length === 0) return null;
  return (
    <Group name="Loads">
      {cart.loads.map((load) => {
        const range = loadRange(cart, pose.position, load);
        return (
          <PoseRow
            key={load.name}
            name={load.name}
            dimension="mass"
            value={pose.loads[load.name] ?? 0}
            allowed={{ ...range, stops: null, orNothing: range.mayBeAbsent }}
            onChange={(mass) => put(withLoad(pose, load.name, nearestMass(mass, range)))}
          />
        );
      })}
    </Group>
  );
}

const ANY_TURN = { from: -Math.PI, to: Math.PI, stops: null } as const;

function Castors({ cart, pose }: CartPose) {
  const put = usePut();
  const [each, setEach] = useState(false);
  const swivelling = cart.castors.filter(({ fixedDirection }) => fixedDirection === null);
  if (swivelling.length === 0) return null;
  const common = commonSwivel(pose);
  return (
    <Group name="Castors">
      <PoseRow
        name="castors to"
        mixed={common === null}
        dimension="angle"
        value={wholeTurn(common ?? 0)}
        allowed={ANY_TURN}
        onChange={(angle) => put(withAllSwivels(pose, angle))}
      />
      <div className="pose-group-buttons">
        <button
          type="button"
          className="kit-button"
          onClick={() => put({ ...pose, swivels: startPose(cart, pose.position).swivels })}
        >
          Castors trailing
        </button>
        <button
          type="button"
          className="kit-button"
          aria-expanded={each}
          onClick={() => setEach(!each)}
        >
          Each castor
        </button>
        {pose.without !== null && (
          <button
            type="button"
            className="kit-button"
            onClick={() => put({ ...pose, without: null })}
          >
            Put {pose.without} back
          </button>
        )}
      </div>
      {each &&
        swivelling.map(({ name }) => (
          <PoseRow
            key={name}
            name={name}
            dimension="angle"
            value={wholeTurn(pose.swivels[name] ?? 0)}
            allowed={ANY_TURN}
            onChange={(angle) => put(withSwivel(pose, name, angle))}
          />
        ))}
    </Group>
  );
}

/** rad: a slider over the inclines that are asked; a field takes steeper ones. */
const SLIDER_INCLINE = { from: 0, to: (20 * Math.PI) / 180 };
const ANY_INCLINE = { from: 0, to: (89 * Math.PI) / 180, stops: null } as const;

function Incline({ pose }: { readonly pose: Pose }) {
  const put = usePut();
  const { angle, downhill } = pose.incline ?? { angle: 0, downhill: 0 };
  return (
    <Group name="Incline">
      <PoseRow
        name="incline"
        dimension="angle"
        value={angle}
        allowed={ANY_INCLINE}
        slider={{ from: 0, to: Math.max(SLIDER_INCLINE.to, angle) }}
        onChange={(next) => put({ ...pose, incline: { angle: next, downhill } })}
      />
      <PoseRow
        name="downhill to"
        dimension="angle"
        value={wholeTurn(downhill)}
        allowed={ANY_TURN}
        onChange={(next) => put({ ...pose, incline: { angle, downhill: next } })}
      />
    </Group>
  );
}

function Push({ cart, pose, posed }: CartPose & { readonly posed: PosedCart }) {
  const put = usePut();
  const units = useWorkbench((s) => s.units);
  const { push } = pose;
  const now = push ?? {
    point: firstPushPoint(cart, posed.placements),
    direction: 0,
    force: 0,
  };
  const change = (next: Partial<NonNullable<Pose['push']>>): void =>
    put({ ...pose, push: { ...now, ...next } });
  // half of the weight is more than any clause asks
  const most = Math.max(50, Math.ceil((posed.mass * STANDARD_GRAVITY) / 20) * 10, now.force);
  const places = pushPlaces(cart, posed.placements);
  const there = placeAt(places, now.point);
  return (
    <Group name="Push">
      <PoseRow
        name="push"
        dimension="force"
        value={now.force}
        allowed={{ from: 0, to: Math.max(5000, most), stops: null }}
        slider={{ from: 0, to: most }}
        onChange={(force) => (force === 0 ? put({ ...pose, push: null }) : change({ force }))}
      />
      <PoseRow
        name="push to"
        dimension="angle"
        value={wholeTurn(now.direction)}
        allowed={ANY_TURN}
        onChange={(direction) => change({ direction })}
      />
      <label className="pose-push-at">
        <span>push at</span>
        <select
          className="kit-select"
          aria-label="Push at"
          value={there?.name ?? ''}
          onChange={({ target }) => {
            const chosen = places.find(({ name }) => name === target.value);
            if (chosen !== undefined) change({ point: chosen.at });
          }}
        >
          {there === null && <option value="">{pointText(now.point, units)}</option>}
          {places.map(({ name, at }) => (
            <option key={name} value={name}>
              top of {name}, {quantityText(at[2], 'length', units)} up
            </option>
          ))}
        </select>
      </label>
      {pose.press !== null && (
        <p className="pose-press">
          pressed down {quantityText(pose.press.force, 'force', units)}{' '}
          <button
            type="button"
            className="kit-button"
            onClick={() => put({ ...pose, press: null })}
          >
            Take it off
          </button>
        </p>
      )}
    </Group>
  );
}
