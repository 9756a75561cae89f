/** What drawings in space are made of: lines of a pen's width, faces of paper, cylinders with the
 * outline that a draughtsman would give them. */

import type { BufferGeometry, Material, OrthographicCamera, PerspectiveCamera } from 'three';
import {
  BufferAttribute,
  ConeGeometry,
  EdgesGeometry,
  Group,
  Matrix4,
  Mesh,
  Object3D,
  Quaternion,
  Vector3,
} from 'three';
import type { LineMaterial } from 'three/examples/jsm/lines/LineMaterial.js';
import { LineSegments2 } from 'three/examples/jsm/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/examples/jsm/lines/LineSegmentsGeometry.js';
import type { Vec3 } from '../../../document/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import { outlineAngles } from './scene-view.js';

export type Eye = PerspectiveCamera | OrthographicCamera;

/** @param points two to each line, m */
export function lines(
  points: readonly Vec3[],
  material: LineMaterial,
  layer: number,
): LineSegments2 {
  const geometry = new LineSegmentsGeometry();
  geometry.setPositions(points.flat());
  return drawn(geometry, material, layer);
}

export function edgesOf(
  geometry: BufferGeometry,
  material: LineMaterial,
  layer: number,
): LineSegments2 {
  const edges = new EdgesGeometry(geometry, SHARP);
  const made = new LineSegmentsGeometry().fromEdgesGeometry(edges);
  edges.dispose();
  return drawn(made, material, layer);
}

/** deg: facets of a cylinder meet at less, its rims at more. */
const SHARP = 30;

function drawn(geometry: LineSegmentsGeometry, material: LineMaterial, layer: number) {
  const made = new LineSegments2(geometry, material);
  if (material.dashed) made.computeLineDistances();
  made.renderOrder = layer;
  // lines are not picked
  made.raycast = () => {};
  return made;
}

/** The same lines in another place or pen share one geometry. */
export function sameLines(from: LineSegments2, material: LineMaterial, layer: number) {
  return drawn(from.geometry, material, layer);
}

/** A circle on the floor about the origin, as lines. */
export function circle(radius: number): readonly Vec3[] {
  const at = (i: number): Vec3 => {
    const angle = (2 * Math.PI * i) / CIRCLE;
    return [radius * Math.cos(angle), radius * Math.sin(angle), 0];
  };
  return Array.from({ length: CIRCLE }, (_, i) => [at(i), at(i + 1)]).flat();
}

const CIRCLE = 32;

/** Light from above and a little from ahead: a factor of the paper's colour, by vertex. */
export function toned(geometry: BufferGeometry): BufferGeometry {
  const normal = geometry.getAttribute('normal');
  const tones = new Float32Array(normal.count * 3);
  for (let i = 0; i < normal.count; i++) {
    const tone = 0.93 + 0.07 * normal.getZ(i) - 0.03 * normal.getY(i) ** 2;
    tones.fill(tone, 3 * i, 3 * i + 3);
  }
  geometry.setAttribute('color', new BufferAttribute(tones, 3));
  return geometry;
}

export function face(geometry: BufferGeometry, material: Material, layer: number): Mesh {
  const made = new Mesh(geometry, material);
  made.renderOrder = layer;
  return made;
}

/** A straight line whose ends are set without making it anew. */
export function movableLine(material: LineMaterial, layer: number): LineSegments2 {
  const line = lines(
    [
      [0, 0, 0],
      [1, 0, 0],
    ],
    material,
    layer,
  );
  line.matrixAutoUpdate = false;
  line.frustumCulled = false;
  return line;
}

const X_AXIS = new Vector3(1, 0, 0);
const from3 = new Vector3();
const way3 = new Vector3();
const scale3 = new Vector3();
const turn = new Quaternion();

export function setLine(line: LineSegments2, from: Vec3, to: Vec3): void {
  from3.set(...from);
  way3.set(...to).sub(from3);
  const length = way3.length();
  line.visible = length > 1e-6;
  if (!line.visible) return;
  turn.setFromUnitVectors(X_AXIS, way3.divideScalar(length));
  line.matrix.compose(from3, turn, scale3.set(length, 1, 1));
  line.matrixWorldNeedsUpdate = true;
  const { material } = line;
  if (material.dashed) stretchDashes(line, length);
}

/** Dashes keep their length however long the line is. */
function stretchDashes(line: LineSegments2, length: number): void {
  const { data } = line.geometry.attributes.instanceDistanceStart as unknown as {
    readonly data: { readonly array: Float32Array; needsUpdate: boolean };
  };
  data.array[0] = 0;
  data.array[1] = length;
  data.needsUpdate = true;
}

export interface Arrow {
  readonly root: Group;
  /** m; a length of nothing hides it */
  readonly set: (tail: Vec3, head: Vec3) => void;
  readonly dispose: () => void;
}

/** @param headLength m */
export function arrow(pen: LineMaterial, paper: Material, headLength: number): Arrow {
  const root = new Group();
  const shaft = movableLine(pen, LAYER.marks);
  const geometry = new ConeGeometry(headLength * 0.3, headLength, 20);
  // its point at the origin, along x
  geometry.translate(0, -headLength / 2, 0).rotateZ(-Math.PI / 2);
  const head = face(geometry, paper, LAYER.marks);
  head.raycast = () => {};
  root.add(shaft, head);
  return {
    root,
    set(tail, point) {
      setLine(shaft, tail, point);
      root.visible = shaft.visible;
      if (!root.visible) return;
      head.position.set(...point);
      head.quaternion.setFromUnitVectors(
        X_AXIS,
        way3
          .set(...point)
          .sub(from3.set(...tail))
          .normalize(),
      );
      // the shaft ends within the head
      const share = 1 - Math.min(0.9, (headLength * 0.6) / from3.distanceTo(head.position));
      setLine(shaft, tail, [
        tail[0] + share * (point[0] - tail[0]),
        tail[1] + share * (point[1] - tail[1]),
        tail[2] + share * (point[2] - tail[2]),
      ]);
    },
    dispose() {
      geometry.dispose();
      shaft.geometry.dispose();
    },
  };
}

/** A cylinder's two straight outlines, which go round it with the eye. */
export interface Outline {
  readonly holder: Object3D;
  readonly radius: number;
  readonly sides: readonly [Object3D, Object3D];
}

/**
 * Outlines of an upright cylinder that stands on the origin.
 * @param pens pen and layer of each pair of lines, such as one for where they are seen and one behind
 */
export function cylinderOutline(
  radius: number,
  height: number,
  pens: readonly (readonly [LineMaterial, number])[],
): { readonly outline: Outline; readonly dispose: () => void } {
  const holder = new Group();
  const sides = [new Object3D(), new Object3D()] as const;
  const made = pens.flatMap(([pen, layer]) =>
    sides.map((side) => {
      const line = lines(
        [
          [radius, 0, 0],
          [radius, 0, height],
        ],
        pen,
        layer,
      );
      side.add(line);
      return line;
    }),
  );
  holder.add(...sides);
  return {
    outline: { holder, radius, sides },
    dispose() {
      for (const { geometry } of made) geometry.dispose();
    },
  };
}

const inverse = new Matrix4();
const eye3 = new Vector3();

/** Turns the outlines to where they are seen from the eye. */
export function turnOutlines(outlines: readonly Outline[], camera: Eye): void {
  const isPerspective = 'isPerspectiveCamera' in camera;
  for (const { holder, radius, sides } of outlines) {
    inverse.copy(holder.matrixWorld).invert();
    if (isPerspective) eye3.setFromMatrixPosition(camera.matrixWorld).applyMatrix4(inverse);
    else eye3.set(0, 0, 1).transformDirection(camera.matrixWorld).transformDirection(inverse);
    const angles = outlineAngles([eye3.x, eye3.y], radius, isPerspective);
    holder.visible = angles !== null;
    sides.forEach((side, i) => {
      side.rotation.z = angles?.[i] ?? 0;
      side.updateMatrixWorld();
    });
  }
}

export function setPlacement(object: Object3D, rotation: readonly number[], [x, y, z]: Vec3): void {
  const r = (i: number): number => rotation[i] ?? 0;
  object.matrix.set(r(0), r(1), r(2), x, r(3), r(4), r(5), y, r(6), r(7), r(8), z, 0, 0, 0, 1);
  object.matrixWorldNeedsUpdate = true;
}

/** Frees the geometries under an object; pens and papers are shared and stay. */
export function disposeUnder(root: Object3D): void {
  root.traverse((each) => {
    const { geometry } = each as Partial<Mesh>;
    geometry?.dispose();
  });
}

export type { Ink };
