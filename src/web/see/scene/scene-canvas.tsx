/** The drawing in space itself: what three.js draws, and when. */

import { Canvas, useFrame, useThree } from '@react-three/fiber';
import type { RefObject } from 'react';
import { memo, useCallback, useEffect, useLayoutEffect, useMemo, useRef } from 'react';
import type { Group, InstancedMesh, Object3D } from 'three';
import { Color, Vector3 } from 'three';
import type { Pose } from '../../../analysis/index.js';
import type { Vec3 } from '../../../document/index.js';
import type { Posed } from '../use-posed.js';
import { usePosed } from '../use-posed.js';
import type { BodiesDrawing } from './bodies-drawing.js';
import { drawBodies } from './bodies-drawing.js';
import type { CastorsDrawing } from './castors-drawing.js';
import { castorsKey, drawCastors } from './castors-drawing.js';
import { drawDimensions, drawGrid } from './floor-drawing.js';
import { drawIncline, tiltOf } from './incline-drawing.js';
import { createInk, readColours } from './ink.js';
import { drawMasses } from './masses-drawing.js';
import type { EyeHandle } from './scene-camera.js';
import { SceneEye } from './scene-camera.js';
import type { OverlayHandle } from './scene-overlay.js';
import { OverlayFollower } from './scene-overlay.js';
import type { Projection } from './scene-view.js';
import { drawnPoints } from './scene-view.js';
import type { Eye } from './solids.js';
import { turnOutlines } from './solids.js';
import { drawStanding } from './standing-drawing.js';
import type { Ground } from './use-ground.js';
import { useGround } from './use-ground.js';

/** What a pointer may take hold of. */
export interface Holds {
  readonly camera: Eye;
  readonly room: { readonly width: number; readonly height: number };
  readonly frame: Object3D;
  readonly bodies: readonly Object3D[];
  readonly masses: readonly InstancedMesh[];
  readonly castors: readonly Object3D[];
}

export interface SceneCanvasProps {
  readonly projection: Projection;
  readonly showMasses: boolean;
  /** of the page: another one, other colours */
  readonly theme: string;
  readonly subject: string;
  /** smooth edges, and as many pixels as the screen has */
  readonly isSmooth: boolean;
  readonly eye: RefObject<EyeHandle | null>;
  readonly overlay: RefObject<OverlayHandle | null>;
  readonly holds: RefObject<(() => Holds) | null>;
  readonly onLost: () => void;
}

/** More pixels than twice the page's are not seen in lines. */
const DENSITY: [number, number] = [1, 2];

/** Made once: only what is in it follows the pose. */
export const SceneCanvas = memo(function SceneCanvas(props: SceneCanvasProps) {
  return (
    <Canvas
      flat
      frameloop="demand"
      dpr={props.isSmooth ? DENSITY : 1}
      gl={{ antialias: props.isSmooth }}
      className="scene-canvas"
      aria-hidden="true"
    >
      <LossWatch onLost={props.onLost} />
      <PosedDrawing {...props} />
    </Canvas>
  );
});

/** Taken away while it is looked at: a canvas that is left is taken away too, and nobody is told. */
function LossWatch({ onLost }: Pick<SceneCanvasProps, 'onLost'>): null {
  const gl = useThree((state) => state.gl);
  useEffect(() => {
    const { domElement } = gl;
    const lose = (event: Event): void => {
      event.preventDefault();
      onLost();
    };
    domElement.addEventListener('webglcontextlost', lose);
    return () => domElement.removeEventListener('webglcontextlost', lose);
  }, [gl, onLost]);
  return null;
}

function PosedDrawing(props: SceneCanvasProps) {
  const shown = usePosed();
  const ground = useGround(shown);
  if (shown === null || ground === null) return null;
  return <Drawing {...props} {...shown} {...ground} />;
}

function Drawing(props: SceneCanvasProps & Posed & Ground) {
  const { cart, pose, posed, size, mesh, part, projection, showMasses, theme } = props;
  const { eye, overlay, holds, subject } = props;
  const invalidate = useThree((state) => state.invalidate);
  const frame = useRef<Group>(null);
  const ink = useDisposed(createInk, []);
  useColours(ink, theme);

  const bodies = useDisposed(
    () =>
      drawBodies({ outline: cart.outline, surfaces: cart.surfaces, handles: cart.handles }, ink),
    [cart.outline, cart.surfaces, cart.handles, ink],
  );
  const kinds = castorsKey(cart.castors);
  const castors = useDisposed(() => drawCastors(cart.castors, ink), [kinds, ink]);
  const masses = useDisposed(
    () => drawMasses(cart.parts.length, cart.loads.length, ink),
    [cart.parts.length, cart.loads.length, ink],
  );
  const grid = useDisposed(() => drawGrid(part, mesh, ink), [part, mesh, ink]);
  const dimensions = useDisposed(() => drawDimensions(ink), [ink]);
  const standing = useDisposed(
    () => drawStanding(cart.castors.length, size, ink),
    [cart.castors.length, size, ink],
  );
  const incline = useDisposed(() => drawIncline(size, ink), [size, ink]);

  useLayoutEffect(() => {
    bodies.pose(posed);
    castors.pose(posed);
    masses.pose(posed);
    dimensions.pose(posed);
    standing.pose(posed, pose);
    incline.pose(posed, pose, part);
    tilt(frame.current, pose);
    invalidate();
  });

  const seen = useCallback((): readonly Vec3[] => {
    const points = drawnPoints(latest.current.cart, latest.current.posed);
    const { current } = frame;
    if (current === null) return points;
    current.updateMatrixWorld();
    return points.map((p) => new Vector3(...p).applyMatrix4(current.matrixWorld).toArray() as Vec3);
  }, []);
  const latest = useRef({ cart, posed });
  latest.current = { cart, posed };

  useHolds(holds, frame, bodies, castors, masses.held);
  return (
    <>
      <SceneEye projection={projection} seen={seen} subject={subject} handle={eye} />
      <group ref={frame}>
        <primitive object={grid.root} />
        <primitive object={dimensions.root} />
        <primitive object={standing.root} />
        <primitive object={incline.root} />
        <primitive object={castors.root} />
        {showMasses && <primitive object={masses.root} />}
        <primitive object={bodies.root} />
      </group>
      <Outlines bodies={bodies} castors={castors} />
      <OverlayFollower overlay={overlay} frame={frame} />
    </>
  );
}

/** Made anew when what it is made from changes, and the last one freed. */
function useDisposed<T extends { readonly dispose: () => void }>(
  make: () => T,
  from: readonly unknown[],
): T {
  // biome-ignore lint/correctness/useExhaustiveDependencies: handed in
  const made = useMemo(make, from);
  const invalidate = useThree((state) => state.invalidate);
  useEffect(() => {
    invalidate();
    return () => made.dispose();
  }, [made, invalidate]);
  return made;
}

function useColours(ink: ReturnType<typeof createInk>, theme: string): void {
  const gl = useThree((state) => state.gl);
  const invalidate = useThree((state) => state.invalidate);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the theme changes what is read
  useLayoutEffect(() => {
    const colours = readColours(gl.domElement);
    ink.recolour(colours);
    gl.setClearColor(new Color(colours.sheet || '#ffffff'), 1);
    invalidate();
  }, [ink, gl, invalidate, theme]);
}

function tilt(frame: Group | null, pose: Pose): void {
  if (frame === null) return;
  const { axis, angle } = tiltOf(pose);
  frame.quaternion.setFromAxisAngle(new Vector3(...axis), angle);
}

interface OutlinesProps {
  readonly bodies: BodiesDrawing;
  readonly castors: CastorsDrawing;
}

function Outlines({ bodies, castors }: OutlinesProps): null {
  useFrame(({ camera, scene }) => {
    camera.updateMatrixWorld();
    scene.updateMatrixWorld();
    turnOutlines(bodies.outlines, camera as Eye);
    turnOutlines(castors.outlines, camera as Eye);
  });
  return null;
}

function useHolds(
  holds: SceneCanvasProps['holds'],
  frame: RefObject<Group | null>,
  bodies: BodiesDrawing,
  castors: CastorsDrawing,
  masses: readonly InstancedMesh[],
): void {
  const get = useThree((state) => state.get);
  useLayoutEffect(() => {
    holds.current = () => ({
      camera: get().camera as Eye,
      room: get().size,
      frame: frame.current as Object3D,
      bodies: bodies.held,
      masses,
      castors: castors.held,
    });
    return () => {
      holds.current = null;
    };
  }, [holds, frame, bodies, castors, masses, get]);
}
