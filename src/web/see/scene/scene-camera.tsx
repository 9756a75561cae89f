/** The eye of the drawing in space: parallel or perspective, turned and moved by pointer and keys. */

import { useThree } from '@react-three/fiber';
import type { RefObject } from 'react';
import { useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import { OrthographicCamera, PerspectiveCamera, Vector3 } from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import type { Vec3 } from '../../../document/index.js';
import type { Projection, ViewFrom } from './scene-view.js';
import { fitParallel, pictureRim, VIEW_DIRECTIONS } from './scene-view.js';
import type { Eye } from './solids.js';

export interface EyeHandle {
  readonly look: (from: ViewFrom) => void;
  readonly fit: () => void;
  /** fits if something of the cart is out of the picture */
  readonly catchUp: () => void;
  /** rad about the upright, and over the top */
  readonly turn: (about: number, over: number) => void;
  readonly zoom: (times: number) => void;
  /** unit vectors of the picture */
  readonly axes: () => { readonly right: Vec3; readonly up: Vec3 };
  readonly hold: (held: boolean) => void;
  readonly redraw: () => void;
}

interface EyeProps {
  readonly projection: Projection;
  /** m, in the picture's upright frame: what has to be seen */
  readonly seen: () => readonly Vec3[];
  /** another one: it is looked at afresh */
  readonly subject: string;
  readonly handle: RefObject<EyeHandle | null>;
}

/** deg: of a long lens, for little distortion */
const FIELD = 24;
/** m from what is looked at to the eye of a parallel projection: beyond every cart */
const FAR_OFF = 30;

/** What the eyes share, so that another projection shows the same. */
interface Look {
  target: Vec3;
  /** from the target to the eye, unit vector */
  direction: Vec3;
  pxPerMetre: number;
}

export function SceneEye({ projection, seen, subject, handle }: EyeProps): null {
  const gl = useThree((state) => state.gl);
  const size = useThree((state) => state.size);
  const set = useThree((state) => state.set);
  const invalidate = useThree((state) => state.invalidate);
  const look = useRef<Look>({
    target: [0, 0, 0.4],
    direction: VIEW_DIRECTIONS['three-quarter'],
    pxPerMetre: 300,
  });
  const eye = useMemo(() => makeEye(projection), [projection]);
  const sized = useRef(size);
  sized.current = size;
  const looked = useRef('');
  const own = useRef(false);

  useLayoutEffect(() => {
    set({ camera: eye as never });
    const controls = new OrbitControls(eye, gl.domElement);
    controls.enableDamping = false;
    controls.zoomToCursor = true;
    const apply = (): void => {
      applyLook(eye, look.current, sized.current);
      controls.target.set(...look.current.target);
      controls.update();
      invalidate();
    };
    controls.addEventListener('start', () => {
      own.current = true;
    });
    controls.addEventListener('change', () => {
      look.current = lookOf(eye, controls.target, sized.current);
      invalidate();
    });
    handle.current = makeHandle(eye, controls, look, sized, seen, apply, own, invalidate);
    apply();
    return () => {
      handle.current = null;
      controls.dispose();
    };
  }, [eye, gl, set, invalidate, handle, seen]);

  useEffect(() => {
    if (size.width < 2) return;
    applySize(eye, size);
    // until somebody looks their own way, the cart fills the picture
    if (looked.current !== subject) own.current = false;
    looked.current = subject;
    if (!own.current) handle.current?.fit();
    invalidate();
  }, [eye, size, subject, handle, invalidate]);
  return null;
}

function makeEye(projection: Projection): Eye {
  const eye =
    projection === 'parallel'
      ? new OrthographicCamera(-1, 1, 1, -1, 0.1, 2 * FAR_OFF)
      : new PerspectiveCamera(FIELD, 1, 0.05, 2 * FAR_OFF);
  eye.up.set(0, 0, 1);
  // sized here, not by the canvas
  (eye as { manual?: boolean }).manual = true;
  return eye;
}

interface Size {
  readonly width: number;
  readonly height: number;
}

function applySize(eye: Eye, { width, height }: Size): void {
  if (eye instanceof PerspectiveCamera) eye.aspect = width / height;
  else {
    eye.left = -width / 2;
    eye.right = width / 2;
    eye.top = height / 2;
    eye.bottom = -height / 2;
  }
  eye.updateProjectionMatrix();
}

const HALF_FIELD = Math.tan((FIELD * Math.PI) / 360);

function applyLook(eye: Eye, { target, direction, pxPerMetre }: Look, size: Size): void {
  const isFlat = eye instanceof OrthographicCamera;
  const distance = isFlat ? FAR_OFF : size.height / (2 * HALF_FIELD * pxPerMetre);
  if (isFlat) eye.zoom = pxPerMetre;
  eye.position
    .set(...direction)
    .multiplyScalar(distance)
    .add(new Vector3(...target));
  applySize(eye, size);
}

function lookOf(eye: Eye, target: Vector3, size: Size): Look {
  const away = eye.position.clone().sub(target);
  const pxPerMetre =
    eye instanceof OrthographicCamera
      ? eye.zoom
      : size.height / (2 * HALF_FIELD * Math.max(1e-6, away.length()));
  return { target: target.toArray(), direction: away.normalize().toArray(), pxPerMetre };
}

function makeHandle(
  eye: Eye,
  controls: OrbitControls,
  look: { current: Look },
  size: { current: Size },
  seen: () => readonly Vec3[],
  apply: () => void,
  own: { current: boolean },
  redraw: () => void,
): EyeHandle {
  const axes = () => {
    eye.updateMatrixWorld();
    const right = new Vector3().setFromMatrixColumn(eye.matrixWorld, 0);
    const up = new Vector3().setFromMatrixColumn(eye.matrixWorld, 1);
    return { right: right.toArray() as Vec3, up: up.toArray() as Vec3 };
  };
  const fitAll = (): void => {
    const { right, up } = axes();
    const { pxPerMetre, middle } = fitParallel(
      seen(),
      right,
      up,
      size.current,
      pictureRim(size.current.height),
    );
    // what is nearer to the eye is larger in a perspective
    const margin = eye instanceof PerspectiveCamera ? 0.9 : 1;
    look.current = { ...look.current, target: middle, pxPerMetre: pxPerMetre * margin };
    apply();
  };
  const isOut = (): boolean => {
    eye.updateMatrixWorld();
    return seen().some((each) => {
      const { x, y } = new Vector3(...each).project(eye);
      return Math.abs(x) > 1 || Math.abs(y) > 1;
    });
  };
  return {
    axes,
    redraw,
    fit() {
      own.current = false;
      fitAll();
    },
    catchUp() {
      if (!own.current && isOut()) fitAll();
    },
    look(from) {
      own.current = false;
      look.current = { ...look.current, direction: VIEW_DIRECTIONS[from] };
      apply();
      fitAll();
    },
    turn(about, over) {
      own.current = true;
      const direction = new Vector3(...look.current.direction);
      const level = Math.hypot(direction.x, direction.y);
      const height = Math.atan2(direction.z, level) + over;
      const limited = Math.max(-1.55, Math.min(1.55, height));
      const heading = Math.atan2(direction.y, direction.x) + about;
      const flat = Math.cos(limited);
      look.current = {
        ...look.current,
        direction: [flat * Math.cos(heading), flat * Math.sin(heading), Math.sin(limited)],
      };
      apply();
    },
    zoom(times) {
      own.current = true;
      look.current = { ...look.current, pxPerMetre: look.current.pxPerMetre * times };
      apply();
    },
    hold(held) {
      controls.enabled = !held;
    },
  };
}
