/** How much the cart holds in each direction, against what is asked, and which way it goes. */

import './rose-panel.css';
import { useRef, useState } from 'react';
import type { HoldingRose } from '../../analysis/index.js';
import { headingText, modeText, quantityText } from '../../analysis/index.js';
import { HoldingRoseFigure, rayWords, shortfallWords } from '../../figure/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import type { CastorsStand } from './holding-findings.js';
import { fallsShort, heldText, holdingChoice, holdingClauses } from './holding-findings.js';
import type { Room } from './use-room.js';
import { useRoom } from './use-room.js';
import { useRose } from './use-rose.js';

const STANDS: readonly CastorsStand[] = ['as posed', 'turned the worst way'];

export function RosePanel() {
  const set = useWorkbench((s) => s.set);
  const chosen = useWorkbench((s) => s.finding);
  const [here, setHere] = useState<string | null>(null);
  const [castors, setCastors] = useState<CastorsStand>('as posed');
  const [marked, setMarked] = useState<number | null>(null);
  const clauses = holdingClauses(set);
  const clause = holdingChoice(clauses, chosen, here);
  const { state, busy } = useRose(clause?.id ?? null, castors);
  const element = useRef<HTMLDivElement>(null);
  const room = useRoom(element);
  return (
    <div className="rose-panel">
      <div className="rose-panel-choice">
        <label>
          Finding
          <select
            className="kit-select"
            value={clause?.id ?? ''}
            onChange={({ target }) => setHere(target.value)}
          >
            {clauses.map(({ id, title }) => (
              <option key={id} value={id}>
                {title}
              </option>
            ))}
          </select>
        </label>
        <fieldset className="rose-panel-stands" aria-label="Castors">
          <span className="kit-soft" aria-hidden="true">
            Castors
          </span>
          {STANDS.map((each) => (
            <button
              key={each}
              type="button"
              className="kit-button"
              aria-pressed={castors === each}
              onClick={() => setCastors(each)}
            >
              {each}
            </button>
          ))}
        </fieldset>
        {busy && <span className="kit-soft">computing...</span>}
      </div>
      <div ref={element} className="rose-panel-sheet">
        {clause === null && (
          <p className="kit-soft">The requirement set asks for no holding with the locks on.</p>
        )}
        {state?.kind === 'none' && <p role="status">{state.words}</p>}
        {state?.kind === 'rose' && room !== null && (
          <Rose rose={state.rose} room={room} marked={marked} setMarked={setMarked} />
        )}
      </div>
    </div>
  );
}

interface RoseProps {
  readonly rose: HoldingRose;
  readonly room: Room;
  readonly marked: number | null;
  readonly setMarked: (ray: number) => void;
}

/** px */
const WIDEST = 620;
/** px: what is told beside the figure takes at least so much, else it goes under it */
const TOLD = 250;
/** px that the figure's words take under the rose */
const UNDER = 90;

function Rose({ rose, room, marked, setMarked }: RoseProps) {
  const units = useWorkbench((s) => s.units);
  const highlight = Math.min(marked ?? rose.least, rose.rays.length - 1);
  const ray = rose.rays[highlight];
  const width = Math.max(360, Math.min(WIDEST, room.width, room.height - UNDER));
  const isBeside = room.width - width >= TOLD;
  return (
    <>
      <div className={isBeside ? 'rose-panel-pair' : 'rose-panel-stack'}>
        <HoldingRoseFigure rose={rose} units={units} width={width} highlight={highlight} />
        <div className="rose-panel-told">
          <label className="rose-panel-direction">
            Direction told of
            <input
              type="range"
              min={0}
              max={rose.rays.length - 1}
              step={1}
              value={highlight}
              aria-valuetext={ray === undefined ? '' : rayWords(rose, ray, units)}
              onChange={({ target }) => setMarked(target.valueAsNumber)}
            />
            <button type="button" className="kit-button" onClick={() => setMarked(rose.least)}>
              The worst
            </button>
          </label>
          {ray !== undefined && <p>{rayWords(rose, ray, units)}.</p>}
          <p>{shortfallWords(rose, units)}</p>
        </div>
      </div>
      <RoseTable rose={rose} />
    </>
  );
}

function RoseTable({ rose }: { readonly rose: HoldingRose }) {
  const units = useWorkbench((s) => s.units);
  const [open, setOpen] = useState(false);
  return (
    <details
      className="rose-panel-table"
      onToggle={({ currentTarget }) => setOpen(currentTarget.open)}
    >
      <summary>The same as a table, {rose.rays.length} directions</summary>
      {open && (
        <table>
          <thead>
            <tr>
              <th scope="col">{rose.load === 'push' ? 'Pushed to' : 'Downhill to'}</th>
              <th scope="col">Asked</th>
              <th scope="col">Holds</th>
              <th scope="col">Enough</th>
              <th scope="col">Then it</th>
            </tr>
          </thead>
          <tbody>
            {rose.rays.map((ray) => (
              <tr key={ray.direction}>
                <th scope="row">{headingText(ray.direction, units)}</th>
                <td>{quantityText(ray.demand, 'force', units)}</td>
                <td>{heldText(rose, ray, units)}</td>
                <td>{fallsShort(ray) ? 'no' : 'yes'}</td>
                <td>{ray.mode === null ? 'supports nothing' : modeText(ray.mode, units)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </details>
  );
}
