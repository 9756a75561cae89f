/** How the drawing in space is looked at, and what a drag in it moves. */

import type { RefObject } from 'react';
import { useId } from 'react';
import type { Cart } from '../../../document/index.js';
import type { Placed } from './place-edits.js';
import { pairOf } from './place-edits.js';
import type { EyeHandle } from './scene-camera.js';
import type { Tool } from './scene-pointer.js';
import type { Projection, ViewFrom } from './scene-view.js';

export interface SceneSettings {
  readonly tool: Tool;
  /** null: the nearest that can move */
  readonly mover: string | null;
  readonly mirrored: boolean;
  readonly masses: boolean;
  readonly projection: Projection;
}

export const FIRST_SETTINGS: SceneSettings = {
  tool: 'movers',
  mover: null,
  mirrored: true,
  masses: true,
  projection: 'parallel',
};

interface SceneToolsProps {
  readonly cart: Cart;
  readonly settings: SceneSettings;
  readonly setSettings: (settings: SceneSettings) => void;
  readonly selected: Placed | null;
  readonly select: (what: Placed | null) => void;
  readonly eye: RefObject<EyeHandle | null>;
}

const VIEWS: readonly { readonly from: ViewFrom; readonly words: string }[] = [
  { from: 'three-quarter', words: 'Three-quarter' },
  { from: 'front', words: 'Front' },
  { from: 'side', words: 'Side' },
  { from: 'above', words: 'Above' },
];

const TOOLS: readonly { readonly tool: Tool; readonly words: string }[] = [
  { tool: 'movers', words: 'Movers' },
  { tool: 'parts', words: 'Parts' },
  { tool: 'castors', words: 'Castors' },
];

export function SceneTools(props: SceneToolsProps) {
  const { settings, setSettings, eye } = props;
  return (
    <div className="scene-tools">
      <fieldset className="scene-tools-group" aria-label="Look from">
        {VIEWS.map(({ from, words }) => (
          <button
            key={from}
            type="button"
            className="kit-button"
            onClick={() => eye.current?.look(from)}
          >
            {words}
          </button>
        ))}
        <button type="button" className="kit-button" onClick={() => eye.current?.fit()}>
          Fit
        </button>
      </fieldset>
      <label className="scene-tools-check">
        <input
          type="checkbox"
          checked={settings.projection === 'perspective'}
          onChange={({ target }) =>
            setSettings({ ...settings, projection: target.checked ? 'perspective' : 'parallel' })
          }
        />
        Perspective
      </label>
      <label
        className="scene-tools-check"
        title="Each part and load as a ball of steel of its mass, where its centre of mass is"
      >
        <input
          type="checkbox"
          checked={settings.masses}
          onChange={({ target }) => setSettings({ ...settings, masses: target.checked })}
        />
        Masses
      </label>
      <fieldset className="scene-tools-group" aria-label="A drag moves">
        <span className="kit-soft" aria-hidden="true">
          Drag
        </span>
        {TOOLS.map(({ tool, words }) => (
          <button
            key={tool}
            type="button"
            className="kit-button"
            aria-pressed={settings.tool === tool}
            onClick={() =>
              setSettings({ ...settings, tool, masses: settings.masses || tool === 'parts' })
            }
          >
            {words}
          </button>
        ))}
      </fieldset>
      <ToolChoice {...props} />
    </div>
  );
}

function ToolChoice(props: SceneToolsProps) {
  const { tool } = props.settings;
  if (tool === 'movers') return <MoverChoice {...props} />;
  return <PlacedChoice {...props} kind={tool === 'parts' ? 'part' : 'castor'} />;
}

function MoverChoice({ cart, settings, setSettings }: SceneToolsProps) {
  const id = useId();
  if (cart.movers.length === 0) return <span className="kit-soft">nothing moves</span>;
  return (
    <span className="scene-tools-choice">
      <label htmlFor={id} className="kit-hidden">
        Mover that is dragged
      </label>
      <select
        id={id}
        className="kit-select"
        title="Hold Shift for the mover that carries the nearest"
        value={settings.mover ?? ''}
        onChange={({ target }) =>
          setSettings({ ...settings, mover: target.value === '' ? null : target.value })
        }
      >
        <option value="">the nearest mover</option>
        {cart.movers.map(({ name }) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
      </select>
    </span>
  );
}

function PlacedChoice(props: SceneToolsProps & { readonly kind: Placed['kind'] }) {
  const { cart, settings, setSettings, selected, select, kind } = props;
  const id = useId();
  const names = (kind === 'part' ? cart.parts : cart.castors).map(({ name }) => name);
  const castor = cart.castors.find(({ name }) => name === selected?.name);
  const pair = kind === 'castor' && castor !== undefined ? pairOf(cart.castors, castor) : null;
  return (
    <span className="scene-tools-choice">
      <label htmlFor={id} className="kit-hidden">
        {kind === 'part' ? 'Selected part' : 'Selected castor'}
      </label>
      <select
        id={id}
        className="kit-select"
        title={
          kind === 'part'
            ? 'Drag level; hold Shift to drag up or down. Keys: arrows, Page Up and Page Down'
            : 'Drag over the floor. Keys: arrows'
        }
        value={selected?.name ?? ''}
        onChange={({ target }) => select(target.value === '' ? null : { kind, name: target.value })}
      >
        <option value="">no {kind} selected</option>
        {names.map((name) => (
          <option key={name} value={name}>
            {name}
          </option>
        ))}
      </select>
      {kind === 'castor' && (
        <label className="scene-tools-check" title="The castor opposite moves as its mirror image">
          <input
            type="checkbox"
            checked={settings.mirrored}
            onChange={({ target }) => setSettings({ ...settings, mirrored: target.checked })}
          />
          Mirror
          {pair !== null && <span className="scene-tools-pair">{pair.name}</span>}
        </label>
      )}
    </span>
  );
}
