/** Plan and elevation of the cart as it stands in the pose, to scale. */

import './plan-panel.css';
import { useRef, useState } from 'react';
import type { ElevationFrom } from '../../figure/index.js';
import { ElevationView, PlanView } from '../../figure/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { Posed } from './use-posed.js';
import { usePosed } from './use-posed.js';
import type { Room } from './use-room.js';
import { useRoom } from './use-room.js';

const SIDES: readonly { readonly from: ElevationFrom; readonly words: string }[] = [
  { from: 'side', words: 'From the side' },
  { from: 'front', words: 'From the front' },
];

export function PlanPanel() {
  const shown = usePosed();
  const element = useRef<HTMLDivElement>(null);
  const room = useRoom(element);
  const [from, setFrom] = useState<ElevationFrom>('side');
  const [isPlan, setPlan] = useState(true);
  const isBeside = room !== null && room.width >= 2 * LEAST_WIDTH;
  const only = isBeside ? null : isPlan ? 'plan' : from;
  return (
    <div className="plan-panel">
      <fieldset className="plan-panel-choice" aria-label={isBeside ? 'Elevation' : 'View'}>
        {!isBeside && (
          <button
            type="button"
            className="kit-button"
            aria-pressed={isPlan}
            onClick={() => setPlan(true)}
          >
            Plan
          </button>
        )}
        {SIDES.map((each) => (
          <button
            key={each.from}
            type="button"
            className="kit-button"
            aria-pressed={from === each.from && only !== 'plan'}
            onClick={() => {
              setFrom(each.from);
              setPlan(false);
            }}
          >
            {each.words}
          </button>
        ))}
      </fieldset>
      <section
        ref={element}
        className="plan-panel-sheets"
        aria-label="Plan and elevation"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls is scrolled by keys too
        tabIndex={0}
      >
        {shown === null && <p className="kit-soft">There is no cart to draw yet.</p>}
        {shown !== null && room !== null && (
          <Sheets shown={shown} from={from} only={only} room={room} />
        )}
      </section>
    </div>
  );
}

interface SheetsProps {
  readonly shown: Posed;
  readonly from: ElevationFrom;
  /** null: both are shown, side by side */
  readonly only: 'plan' | ElevationFrom | null;
  readonly room: Room;
}

/** px: narrower than this each, one drawing is shown at a time. */
const LEAST_WIDTH = 330;
const LEAST_HEIGHT = 320;

function Sheets({ shown, from, only, room }: SheetsProps) {
  const units = useWorkbench((s) => s.units);
  const width = Math.max(320, only === null ? Math.floor((room.width - 2) / 2) : room.width);
  const height = Math.max(LEAST_HEIGHT, room.height - 4);
  const { cart, pose, posed } = shown;
  const common = { cart, pose, posed, units, width, height };
  return (
    <div className="plan-panel-pair">
      {(only === null || only === 'plan') && (
        <PlanView {...common} title={`Plan: ${pose.position}`} />
      )}
      {only !== 'plan' && (
        <ElevationView {...common} from={from} title={`From the ${from}: ${pose.position}`} />
      )}
    </div>
  );
}
