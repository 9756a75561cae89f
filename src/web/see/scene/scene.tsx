/** The cart in space, to scale, as it stands in the pose; what is held can be dragged. */

import './scene.css';
import type { KeyboardEvent, RefObject } from 'react';
import { useCallback, useEffect, useId, useRef, useState } from 'react';
import type { CartEdit, Vec3 } from '../../../document/index.js';
import { actionWords, massWords, standingWords } from '../../../figure/index.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import { PlanPanel } from '../plan-panel.js';
import type { Posed } from '../use-posed.js';
import { posedOf, usePosed } from '../use-posed.js';
import { drawerInSpace } from './can-draw.js';
import { wedgeOf } from './incline-drawing.js';
import type { Placed } from './place-edits.js';
import { placeEdits } from './place-edits.js';
import { ScaleOfView } from './scale-of-view.js';
import type { EyeHandle } from './scene-camera.js';
import type { Holds, SceneCanvasProps } from './scene-canvas.js';
import { SceneCanvas } from './scene-canvas.js';
import { leastLoadedWords, sceneLabels } from './scene-labels.js';
import type { OverlayHandle } from './scene-overlay.js';
import { SceneOverlay } from './scene-overlay.js';
import type { PointerScene, Readout } from './scene-pointer.js';
import { attachPointer, wayWords } from './scene-pointer.js';
import type { SceneSettings } from './scene-tools.js';
import { FIRST_SETTINGS, SceneTools } from './scene-tools.js';
import { wayOfArrow } from './scene-view.js';
import { shownFall } from './standing-drawing.js';
import { useGround } from './use-ground.js';

export function Scene() {
  const [drawer] = useState(drawerInSpace);
  const [problem, setProblem] = useState<'none' | 'missing' | 'lost'>(
    drawer === 'none' ? 'missing' : 'none',
  );
  const lose = useCallback(() => setProblem('lost'), []);
  const isThere = useWorkbench((s) => posedOf(s.shown, s.pose) !== null);
  if (problem !== 'none') {
    return <NoSpace problem={problem} again={() => setProblem('none')} />;
  }
  if (!isThere) return <p className="scene-empty kit-soft">There is no cart to draw yet.</p>;
  return <DrawnScene onLost={lose} isSmooth={drawer === 'graphics card'} />;
}

interface NoSpaceProps {
  readonly problem: 'missing' | 'lost';
  readonly again: () => void;
}

function NoSpace({ problem, again }: NoSpaceProps) {
  return (
    <div className="scene-none">
      <p role="status">
        {problem === 'missing'
          ? 'This browser cannot draw in space (WebGL 2 is missing or switched off). Here is the plan instead; every number is the same.'
          : 'The browser took the drawing in space away (its graphics were reset). Here is the plan instead.'}{' '}
        {problem === 'lost' && (
          <button type="button" className="kit-button" onClick={again}>
            Draw in space again
          </button>
        )}
      </p>
      <PlanPanel />
    </div>
  );
}

/** What follows the pose at every frame are its parts: this one changes only by its own choices. */
function DrawnScene({ onLost, isSmooth }: Pick<SceneCanvasProps, 'onLost' | 'isSmooth'>) {
  const cart = useWorkbench((s) => s.shown);
  const units = useWorkbench((s) => s.units);
  const subject = useWorkbench((s) => s.file?.name ?? '');
  const theme = useShownTheme();
  const store = useWorkbenchStore();
  const [settings, setSettings] = useState<SceneSettings>(FIRST_SETTINGS);
  const [selected, setSelected] = useState<Placed | null>(null);
  const [readout, setReadout] = useState<Readout | null>(null);
  const element = useRef<HTMLDivElement>(null);
  const eye = useRef<EyeHandle | null>(null);
  const overlay = useRef<OverlayHandle | null>(null);
  const holds = useRef<(() => Holds) | null>(null);
  const place = usePlacing(settings.mirrored);
  const words = useId();

  const scene = (): PointerScene | null => {
    const held = holds.current?.();
    const state = store.getState();
    const shown = posedOf(state.shown, state.pose);
    if (held === undefined || shown === null) return null;
    return { ...settings, ...shown, units, ...held };
  };
  const latest = useRef(scene);
  latest.current = scene;
  usePointer(element, latest, eye, setSelected, setReadout);

  const isKnown = selected !== null && settings.tool === `${selected.kind}s`;
  const chosen = isKnown ? selected : null;
  if (cart === null) return null;
  return (
    <div className="scene">
      <SceneTools
        cart={cart}
        settings={settings}
        setSettings={setSettings}
        selected={chosen}
        select={setSelected}
        eye={eye}
      />
      <div
        ref={element}
        className="scene-picture"
        role="application"
        // biome-ignore lint/a11y/noNoninteractiveTabindex: an application takes keys
        tabIndex={0}
        aria-label={`${cart.name} in space`}
        aria-describedby={words}
        onKeyDown={(event) => onKey(event, eye.current, chosen, place)}
        onKeyUp={(event) => {
          if (event.key.startsWith('Arrow') || event.key.startsWith('Page')) place.drop();
        }}
        onBlur={place.drop}
      >
        <SceneCanvas
          projection={settings.projection}
          showMasses={settings.masses}
          theme={theme}
          subject={subject}
          isSmooth={isSmooth}
          eye={eye}
          overlay={overlay}
          holds={holds}
          onLost={onLost}
        />
        <PosedOverlay chosen={chosen} overlay={overlay} eye={eye} settings={settings} />
        {readout !== null && (
          <output className="scene-readout" style={{ left: readout.x, top: readout.y }}>
            {readout.words}
          </output>
        )}
      </div>
      <p id={words} className="kit-hidden">
        <SceneWords />
      </p>
      <p className="kit-hidden" role="status">
        {place.said}
      </p>
    </div>
  );
}

interface PosedOverlayProps {
  readonly chosen: Placed | null;
  readonly overlay: RefObject<OverlayHandle | null>;
  readonly eye: RefObject<EyeHandle | null>;
  readonly settings: SceneSettings;
}

function PosedOverlay({ chosen, overlay, eye, settings }: PosedOverlayProps) {
  const shown = usePosed();
  const units = useWorkbench((s) => s.units);
  const ground = useGround(shown);
  useCatchUp(eye, shown);
  useEffect(() => {
    // words that no frame has put in their place yet
    if (chosen !== null) eye.current?.redraw();
  }, [eye, chosen]);
  if (shown === null || ground === null) return null;
  const { pose, posed } = shown;
  const { size, part, mesh } = ground;
  const wedge = wedgeOf(pose, part);
  const labels = sceneLabels({ posed, pose, units, size, wedge, selected: chosen });
  return (
    <>
      <SceneOverlay
        labels={labels}
        centreOfMass={posed.centreOfMass}
        foot={shownFall(posed, size)}
        handle={overlay}
      />
      <ScaleOfView
        mesh={mesh}
        units={units}
        projection={settings.projection}
        masses={settings.masses}
      />
    </>
  );
}

/** ms: nobody hears a description change at every frame of a drag. */
const SPOKEN_AFTER = 600;

function SceneWords() {
  const shown = usePosed();
  const units = useWorkbench((s) => s.units);
  const [settled, setSettled] = useState(shown);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(shown), SPOKEN_AFTER);
    return () => clearTimeout(timer);
  }, [shown]);
  if (settled === null) return '';
  const { pose, posed, cart } = settled;
  return [
    `${cart.name} in the position ${pose.position}.`,
    actionWords(pose, units),
    massWords(posed, units),
    posed.stands ? 'It stands.' : 'It tips.',
    standingWords(posed, units),
    leastLoadedWords(posed, units),
    'Arrow keys turn the view, plus and minus zoom; with a part or castor selected they move it by 1 mm, with Shift by 10 mm, Page Up and Page Down raise and lower a part.',
  ].join(' ');
}

function readTheme(): string {
  return document.documentElement.dataset.theme ?? 'light';
}

/** Light or dark, as the page shows it. */
function useShownTheme(): string {
  const [theme, setTheme] = useState(readTheme);
  useEffect(() => {
    const observer = new MutationObserver(() => setTheme(readTheme()));
    observer.observe(document.documentElement, { attributeFilter: ['data-theme'] });
    setTheme(readTheme());
    return () => observer.disconnect();
  }, []);
  return theme;
}

/** ms: nothing jumps while something is being dragged. */
const AT_REST = 400;

/** A cart that has grown out of the picture is brought back into it. */
function useCatchUp(eye: { readonly current: EyeHandle | null }, shown: Posed | null): void {
  // biome-ignore lint/correctness/useExhaustiveDependencies: every other pose begins anew
  useEffect(() => {
    const timer = setTimeout(() => eye.current?.catchUp(), AT_REST);
    return () => clearTimeout(timer);
  }, [eye, shown]);
}

function usePointer(
  element: { readonly current: HTMLDivElement | null },
  scene: { readonly current: () => PointerScene | null },
  eye: { readonly current: EyeHandle | null },
  select: (what: Placed | null) => void,
  say: (readout: Readout | null) => void,
): void {
  const store = useWorkbenchStore();
  useEffect(() => {
    if (element.current === null) return;
    return attachPointer(element.current, {
      scene: () => scene.current(),
      hold: (held) => eye.current?.hold(held),
      setPose: (pose) => store.getState().setPose(pose),
      drag: (edits) => store.getState().drag(edits),
      edit: (words, edits) => store.getState().edit(words, edits),
      select,
      say,
    });
  }, [element, scene, eye, select, say, store]);
}

interface Placing {
  readonly move: (what: Placed, way: Vec3) => void;
  readonly drop: () => void;
  readonly cancel: () => void;
  readonly said: string;
}

/** Keys pressed one after another or held down make one change, put into the cart when let go. */
function usePlacing(mirrored: boolean): Placing {
  const store = useWorkbenchStore();
  const units = useWorkbench((s) => s.units);
  const [said, setSaid] = useState('');
  const going = useRef<{
    readonly what: Placed;
    readonly from: Pick<Posed, 'cart' | 'posed'>;
    readonly way: Vec3;
    readonly edits: readonly CartEdit[];
  } | null>(null);
  return {
    said,
    move(what, by) {
      const before = going.current;
      const { shown, pose } = store.getState();
      const from = before?.from ?? posedOf(shown, pose);
      if (from === null) return;
      const way = (before?.way ?? [0, 0, 0]).map((value, i) => value + (by[i] ?? 0));
      const edits = placeEdits(from.cart, from.posed, what, way as unknown as Vec3, mirrored);
      going.current = { what, from, way: way as unknown as Vec3, edits };
      store.getState().drag(edits);
    },
    drop() {
      const done = going.current;
      going.current = null;
      if (done === null) return;
      if (done.edits.length === 0) store.getState().drag([]);
      else if (store.getState().edit(`place of ${done.what.name}`, done.edits)) {
        setSaid(`${done.what.name} is now at ${wayWords(done.edits, units)}.`);
      }
    },
    cancel() {
      going.current = null;
      store.getState().drag([]);
    },
  };
}

/** rad that a key turns the view by */
const TURN = Math.PI / 24;
/** m */
const STEP = 0.001;
const LONG_STEP = 0.01;

function onKey(
  event: KeyboardEvent,
  eye: EyeHandle | null,
  selected: Placed | null,
  place: Placing,
): void {
  if (event.ctrlKey || event.metaKey || event.altKey || eye === null) return;
  const { key } = event;
  if (key === 'Escape') {
    place.cancel();
    return;
  }
  if (key === '+' || key === '=') eye.zoom(1.15);
  else if (key === '-') eye.zoom(1 / 1.15);
  else if (key === '0') eye.fit();
  else if (selected !== null && movePlaced(event, eye, selected, place)) {
    // done
  } else if (isArrow(key)) {
    const [about, over] = ARROW_TURNS[key];
    eye.turn(about * TURN, over * TURN);
  } else return;
  event.preventDefault();
}

function movePlaced(
  { key, shiftKey }: KeyboardEvent,
  eye: EyeHandle,
  what: Placed,
  place: Placing,
): boolean {
  const step = shiftKey ? LONG_STEP : STEP;
  if (isArrow(key)) {
    const { right, up } = eye.axes();
    const [x, y] = wayOfArrow(key, right, up);
    place.move(what, [x * step, y * step, 0]);
    return true;
  }
  if (what.kind === 'castor' || (key !== 'PageUp' && key !== 'PageDown')) return false;
  place.move(what, [0, 0, key === 'PageUp' ? step : -step]);
  return true;
}

const ARROW_TURNS = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
} as const;

function isArrow(key: string): key is keyof typeof ARROW_TURNS {
  return Object.hasOwn(ARROW_TURNS, key);
}
