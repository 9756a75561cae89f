/** The outline of the cart, its surfaces and handles, carried by their movers. */

import type { Object3D } from 'three';
import { BoxGeometry, CylinderGeometry, Group } from 'three';
import type { PosedCart } from '../../../analysis/index.js';
import type { Body, Cart, Handle, Surface } from '../../../document/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import type { Outline } from './solids.js';
import {
  circle,
  cylinderOutline,
  disposeUnder,
  edgesOf,
  face,
  lines,
  sameLines,
  setPlacement,
  toned,
} from './solids.js';

export interface BodiesDrawing {
  readonly root: Group;
  readonly outlines: readonly Outline[];
  /** faces that a pointer can take hold of, each with `userData.on`, the mover that carries it */
  readonly held: readonly Object3D[];
  readonly pose: (posed: PosedCart) => void;
  readonly dispose: () => void;
}

type Outlined = Pick<Cart, 'outline' | 'surfaces' | 'handles'>;

export function drawBodies({ outline, surfaces, handles }: Outlined, ink: Ink): BodiesDrawing {
  const root = new Group();
  const carriers = new Map<string | null, Group>();
  const outlines: Outline[] = [];
  const held: Object3D[] = [];
  const carrierOf = (on: string | null): Group => {
    const there = carriers.get(on);
    if (there !== undefined) return there;
    const carrier = new Group();
    carrier.matrixAutoUpdate = false;
    root.add(carrier);
    carriers.set(on, carrier);
    return carrier;
  };
  for (const body of outline) carrierOf(body.on).add(drawBody(body, ink, outlines, held));
  for (const surface of surfaces) carrierOf(surface.on).add(drawSurface(surface, ink));
  for (const handle of handles) carrierOf(handle.on).add(drawHandle(handle, ink));
  return {
    root,
    outlines,
    held,
    pose({ placements }) {
      for (const [on, carrier] of carriers) {
        const placement = on === null ? undefined : placements[on];
        if (placement !== undefined) setPlacement(carrier, placement.rotation, placement.shift);
      }
    },
    dispose: () => disposeUnder(root),
  };
}

function drawBody(body: Body, ink: Ink, outlines: Outline[], held: Object3D[]): Group {
  const group = new Group();
  const geometry = toned(geometryOf(body.shape));
  const veil = face(geometry, ink.depth, LAYER.bodyDepth);
  const paper = face(geometry, ink.face, LAYER.bodyFaces);
  veil.raycast = () => {};
  paper.userData = { on: body.on, body: body.name };
  held.push(paper);
  const edges = edgesOf(geometry, ink.edge, LAYER.bodyEdges);
  group.add(veil, paper, edges, sameLines(edges, ink.hidden, LAYER.hiddenEdges));
  if (body.shape.kind === 'cylinder') {
    const { base, radius, height } = body.shape;
    const { outline } = cylinderOutline(radius, height, [
      [ink.edge, LAYER.bodyEdges],
      [ink.hidden, LAYER.hiddenEdges],
    ]);
    outline.holder.position.set(...base);
    group.add(outline.holder);
    outlines.push(outline);
  }
  return group;
}

function geometryOf(shape: Body['shape']) {
  if (shape.kind === 'cylinder') {
    const { base, radius, height } = shape;
    const round = new CylinderGeometry(radius, radius, height, 48);
    return round.rotateX(Math.PI / 2).translate(base[0], base[1], base[2] + height / 2);
  }
  const { from, to } = shape;
  const size = (i: 0 | 1 | 2): number => Math.abs(to[i] - from[i]);
  const middle = (i: 0 | 1 | 2): number => (to[i] + from[i]) / 2;
  return new BoxGeometry(size(0), size(1), size(2)).translate(middle(0), middle(1), middle(2));
}

function drawSurface({ from, to, height }: Surface, ink: Ink): Object3D {
  const corners = [
    [from[0], from[1], height],
    [to[0], from[1], height],
    [to[0], to[1], height],
    [from[0], to[1], height],
  ] as const;
  const around = corners.flatMap((corner, i) => [corner, corners[(i + 1) % 4] ?? corner]);
  return lines(around, ink.quietDashed, LAYER.quiet);
}

/** A ring about the grip: only its middle is known. m */
const GRIP = 0.035;

function drawHandle({ at }: Handle, ink: Ink): Object3D {
  const made = lines(circle(GRIP), ink.quiet, LAYER.quiet);
  made.position.set(...at);
  return made;
}
