/** A pointer takes hold of what is drawn in space and moves it: the pose by its movers, the cart by the
 * places of its parts and castors. Knows no React. */

import type { InstancedMesh, Intersection, Object3D } from 'three';
import { Raycaster, Vector2, Vector3 } from 'three';
import type { Pose, PosedCart, PosedMass } from '../../../analysis/index.js';
import { quantityText } from '../../../analysis/index.js';
import type { Cart, CartEdit, Mover, Vec3 } from '../../../document/index.js';
import type { UnitSystem } from '../../../units/index.js';
import type { ValueRange } from '../pose/pose-values.js';
import { moverRange, nearestAllowed, stopsWithin, withMover } from '../pose/pose-values.js';
import { GRIPS } from './castors-drawing.js';
import type { Axis, Ray } from './drag-on-axis.js';
import { aboutAxis, alongAxis, axisOf, carriersOf, onPlane, unwound } from './drag-on-axis.js';
import type { Placed } from './place-edits.js';
import { placeEdits } from './place-edits.js';
import type { Eye } from './solids.js';

export type Tool = 'movers' | 'parts' | 'castors';

export interface Readout {
  readonly words: string;
  /** px, in the drawing */
  readonly x: number;
  readonly y: number;
}

/** What the pointer works on, as it is at the moment. */
export interface PointerScene {
  readonly tool: Tool;
  /** the mover that is dragged where it carries what is held; null: the nearest */
  readonly mover: string | null;
  readonly mirrored: boolean;
  readonly cart: Cart;
  readonly pose: Pose;
  readonly posed: PosedCart;
  readonly units: UnitSystem;
  readonly camera: Eye;
  /** px, of the picture */
  readonly room: { readonly width: number; readonly height: number };
  /** the cart's frame in the picture */
  readonly frame: Object3D;
  readonly bodies: readonly Object3D[];
  readonly masses: readonly InstancedMesh[];
  readonly castors: readonly Object3D[];
}

export interface PointerActions {
  readonly scene: () => PointerScene | null;
  readonly hold: (held: boolean) => void;
  readonly setPose: (pose: Pose) => void;
  readonly drag: (edits: readonly CartEdit[]) => void;
  readonly edit: (words: string, edits: readonly CartEdit[]) => void;
  readonly select: (what: Placed | null) => void;
  readonly say: (readout: Readout | null) => void;
}

interface Held {
  /** m, cart frame */
  readonly at: Vec3;
  readonly what:
    | { readonly kind: 'carried'; readonly on: string | null }
    | { readonly kind: 'placed'; readonly placed: Placed };
}

interface Drag {
  /** @returns what to say of it */
  readonly move: (ray: Ray, upright: boolean) => string;
  readonly drop: () => void;
  readonly cancel: () => void;
}

/** @returns takes the listeners away again */
export function attachPointer(element: HTMLElement, actions: PointerActions): () => void {
  const caster = new Raycaster();
  caster.layers.enable(GRIPS);
  let drag: Drag | null = null;
  let latest: PointerEvent | null = null;
  let frame = 0;

  function aim(event: PointerEvent, scene: PointerScene): Vector2 {
    const { left, top, width, height } = element.getBoundingClientRect();
    const x = (2 * (event.clientX - left)) / width - 1;
    const y = 1 - (2 * (event.clientY - top)) / height;
    caster.setFromCamera(new Vector2(x, y), scene.camera);
    return new Vector2(event.clientX - left, event.clientY - top);
  }

  function begin(event: PointerEvent): void {
    const scene = actions.scene();
    if (scene === null || event.button !== 0 || drag !== null) return;
    if (!(event.target instanceof HTMLCanvasElement)) return;
    const at = aim(event, scene);
    const held = pick(caster, scene, at);
    if (held === null) return;
    const begun = dragOf(held, scene, actions, event.shiftKey);
    if (begun === null) return;
    if (begun.kind === 'held fast') {
      actions.say(readoutAt(element, event, begun.words));
      return;
    }
    drag = begun.drag;
    latest = null;
    actions.hold(true);
    element.setPointerCapture(event.pointerId);
  }

  function follow(event: PointerEvent): void {
    if (drag === null) {
      point(event);
      return;
    }
    latest = event;
    // once a frame: a mouse tells its place more often
    if (frame === 0) frame = requestAnimationFrame(move);
  }

  function move(): void {
    frame = 0;
    const scene = actions.scene();
    if (drag === null || latest === null || scene === null) return;
    aim(latest, scene);
    const words = drag.move(rayIn(caster, scene.frame), latest.shiftKey);
    actions.say(readoutAt(element, latest, words));
  }

  function point(event: PointerEvent): void {
    const scene = actions.scene();
    if (scene === null || event.buttons !== 0) return;
    const isOver = event.target instanceof HTMLCanvasElement && isHeld(event, scene);
    element.style.cursor = isOver ? 'grab' : '';
  }

  function isHeld(event: PointerEvent, scene: PointerScene): boolean {
    const at = aim(event, scene);
    return pick(caster, scene, at) !== null;
  }

  function end(event: PointerEvent, isDropped: boolean): void {
    actions.say(null);
    if (drag === null) return;
    if (frame !== 0) {
      cancelAnimationFrame(frame);
      latest = event;
      if (isDropped) move();
      frame = 0;
    }
    const ended = drag;
    drag = null;
    actions.hold(false);
    actions.say(null);
    if (isDropped) ended.drop();
    else ended.cancel();
  }

  const drop = (event: PointerEvent): void => end(event, true);
  const lose = (event: PointerEvent): void => end(event, false);
  const onKey = (event: KeyboardEvent): void => {
    if (event.key !== 'Escape' || drag === null) return;
    event.stopPropagation();
    const ended = drag;
    drag = null;
    cancelAnimationFrame(frame);
    frame = 0;
    actions.hold(false);
    actions.say(null);
    ended.cancel();
  };
  // before the controls that turn the view, which sit on the canvas
  element.addEventListener('pointerdown', begin, { capture: true });
  element.addEventListener('pointermove', follow);
  element.addEventListener('pointerup', drop);
  element.addEventListener('pointercancel', lose);
  addEventListener('keydown', onKey, { capture: true });
  return () => {
    cancelAnimationFrame(frame);
    drag?.cancel();
    element.removeEventListener('pointerdown', begin, { capture: true });
    element.removeEventListener('pointermove', follow);
    element.removeEventListener('pointerup', drop);
    element.removeEventListener('pointercancel', lose);
    removeEventListener('keydown', onKey, { capture: true });
  };
}

function readoutAt(element: HTMLElement, event: PointerEvent, words: string): Readout {
  const { left, top } = element.getBoundingClientRect();
  return { words, x: event.clientX - left, y: event.clientY - top };
}

/** The pointer's ray in the cart's frame. */
function rayIn(caster: Raycaster, frame: Object3D): Ray {
  const inverse = frame.matrixWorld.clone().invert();
  const origin = caster.ray.origin.clone().applyMatrix4(inverse);
  const direction = caster.ray.direction.clone().transformDirection(inverse);
  return { origin: origin.toArray(), direction: direction.toArray() };
}

/** @param at px, in the drawing */
function pick(caster: Raycaster, scene: PointerScene, at: Vector2): Held | null {
  const inverse = scene.frame.matrixWorld.clone().invert();
  const here = (point: Vector3): Vec3 => point.clone().applyMatrix4(inverse).toArray();
  if (scene.tool === 'castors') {
    const [hit] = caster.intersectObjects([...scene.castors], false);
    if (hit === undefined) return null;
    const name = String(hit.object.userData.castor);
    return { at: here(hit.point), what: { kind: 'placed', placed: { kind: 'castor', name } } };
  }
  const balls = caster.intersectObjects([...scene.masses], false);
  if (scene.tool === 'parts') {
    const hit = balls.find((each) => massOf(each)?.kind === 'part');
    const mass = (hit && massOf(hit)) ?? partBeside(at, scene);
    if (mass === null) return null;
    return { at: mass.at, what: { kind: 'placed', placed: { kind: 'part', name: mass.name } } };
  }
  const carried = caster
    .intersectObjects([...scene.bodies], false)
    .filter(({ object }) => object.userData.on !== null);
  const [hit] = [...carried, ...balls.filter((each) => (massOf(each)?.on ?? null) !== null)].sort(
    (a, b) => a.distance - b.distance,
  );
  if (hit === undefined) return null;
  const on = (massOf(hit)?.on ?? hit.object.userData.on ?? null) as string | null;
  return { at: here(hit.point), what: { kind: 'carried', on } };
}

/** px: a ball that is smaller than a finger is taken hold of beside it. */
const NEAR = 12;

function partBeside(at: Vector2, { posed, frame, camera, room }: PointerScene): PosedMass | null {
  let best: PosedMass | null = null;
  let least = NEAR;
  for (const mass of posed.masses) {
    const seen = new Vector3(...mass.at).applyMatrix4(frame.matrixWorld).project(camera);
    const x = ((seen.x + 1) / 2) * room.width;
    const y = ((1 - seen.y) / 2) * room.height;
    const away = Math.hypot(x - at.x, y - at.y);
    if (mass.kind !== 'part' || away > least) continue;
    best = mass;
    least = away;
  }
  return best;
}

function massOf(hit: Intersection): PosedMass | undefined {
  const masses = hit.object.userData.masses as readonly PosedMass[] | undefined;
  return masses?.[hit.instanceId ?? -1];
}

type Begun =
  | { readonly kind: 'drag'; readonly drag: Drag }
  | { readonly kind: 'held fast'; readonly words: string };

function dragOf(
  { what, at }: Held,
  scene: PointerScene,
  actions: PointerActions,
  outer: boolean,
): Begun | null {
  if (what.kind === 'placed') {
    actions.select(what.placed);
    return { kind: 'drag', drag: placeDrag(what.placed, at, scene, actions) };
  }
  const carriers = carriersOf(scene.cart.movers, what.on);
  const mover = chosenMover(carriers, scene, outer);
  if (mover === null) return null;
  const range = moverRange(scene.cart, scene.pose.position, mover);
  if (range.from === range.to) {
    const words = `${mover.name} is held at ${valueText(mover, range.from, scene.units)} in the position ${scene.pose.position}`;
    return { kind: 'held fast', words };
  }
  return { kind: 'drag', drag: moverDrag(mover, range, at, scene, actions) };
}

/** The one chosen by name, else the nearest that can move here; held with Shift, the next outer one. */
function chosenMover(
  carriers: readonly Mover[],
  { mover, cart, pose }: PointerScene,
  outer: boolean,
): Mover | null {
  const named = carriers.find(({ name }) => name === mover);
  if (named !== undefined) return named;
  const free = carriers.filter((each) => {
    const { from, to } = moverRange(cart, pose.position, each);
    return from < to;
  });
  return (outer ? free[1] : undefined) ?? free[0] ?? carriers[0] ?? null;
}

function moverDrag(
  mover: Mover,
  range: ValueRange,
  at: Vec3,
  { pose, posed, cart, units }: PointerScene,
  { setPose, scene }: PointerActions,
): Drag {
  const axis: Axis = axisOf(mover, posed.placements);
  const begun = pose.movers[mover.name] ?? 0;
  const stops = stopsWithin(mover, range);
  const ends = `${valueText(mover, range.from, units)} to ${valueText(mover, range.to, units)}`;
  let by = 0;
  let value = begun;
  return {
    move(ray) {
      const moved =
        mover.kind === 'slide'
          ? alongAxis(ray, { point: at, along: axis.along })
          : aboutAxis(ray, axis, at);
      if (moved !== null) by = mover.kind === 'slide' ? moved : unwound(moved, by);
      value = nearestAllowed(rounded(begun + by, mover), range, stops);
      const now = scene()?.pose ?? pose;
      if (now.movers[mover.name] !== value) setPose(withMover(now, mover.name, value));
      const stopped = stops === null ? '' : `, ${stops.length} stops`;
      return `${mover.name} ${valueText(mover, value, units)} (${ends}${stopped})`;
    },
    drop: () => {},
    cancel() {
      const now = scene()?.pose ?? pose;
      if (cart.movers.includes(mover)) setPose(withMover(now, mover.name, begun));
    },
  };
}

/** m, rad: nobody sets a lift or an arm closer than to a millimetre or half a degree. */
const GRAIN = { slide: 0.001, turn: Math.PI / 360 } as const;

function rounded(value: number, { kind }: Mover): number {
  return Math.round(value / GRAIN[kind]) * GRAIN[kind];
}

function valueText({ kind }: Mover, value: number, units: UnitSystem): string {
  return quantityText(value, kind === 'slide' ? 'length' : 'angle', units);
}

const UP: Vec3 = [0, 0, 1];

function placeDrag(
  placed: Placed,
  at: Vec3,
  { cart, posed, mirrored, units }: PointerScene,
  { drag, edit }: PointerActions,
): Drag {
  let edits: readonly CartEdit[] = [];
  let way: Vec3 = [0, 0, 0];
  // where Shift was pressed or let go: the other way of moving goes on from there
  let base: { readonly upright: boolean; readonly way: Vec3; readonly from: Vec3 } = {
    upright: false,
    way,
    from: at,
  };
  return {
    move(ray, shift) {
      const upright = shift && placed.kind === 'part';
      if (upright !== base.upright) base = { upright, way, from: plus(at, way) };
      const moved = upright ? upwards(ray, base.from) : level(ray, base.from);
      if (moved !== null) way = plus(base.way, moved);
      edits = placeEdits(cart, posed, placed, way, mirrored);
      drag(edits);
      return `${placed.name}: ${wayWords(edits, units)}`;
    },
    drop() {
      if (edits.length > 0) edit(`place of ${placed.name}`, edits);
      else drag([]);
    },
    cancel: () => drag([]),
  };
}

function upwards(ray: Ray, from: Vec3): Vec3 | null {
  const up = alongAxis(ray, { point: from, along: UP });
  return up === null ? null : [0, 0, up];
}

function level(ray: Ray, from: Vec3): Vec3 | null {
  const hit = onPlane(ray, from, UP);
  if (hit !== null) return [hit[0] - from[0], hit[1] - from[1], 0];
  // seen from the side: along the line of the floor that runs most across the picture
  const { direction } = ray;
  const along: Vec3 = Math.abs(direction[0]) > Math.abs(direction[1]) ? [0, 1, 0] : [1, 0, 0];
  const way = alongAxis(ray, { point: from, along });
  return way === null ? null : [along[0] * way, along[1] * way, 0];
}

function plus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

export function wayWords(edits: readonly CartEdit[], units: UnitSystem): string {
  const [edit] = edits;
  if (edit?.kind !== 'part place' && edit?.kind !== 'castor place') return 'where it was';
  const axes = ['x', 'y', 'z'];
  return edit.at.map((value, i) => `${axes[i]} ${quantityText(value, 'length', units)}`).join(', ');
}
