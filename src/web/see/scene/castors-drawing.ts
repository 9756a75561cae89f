/** Castors at true size: wheel, fork and stem; what locks is shown by shape as in the plan. */

import type { Object3D } from 'three';
import { BoxGeometry, CylinderGeometry, ExtrudeGeometry, Group, Mesh, Shape } from 'three';
import type { PosedCart, PosedCastor } from '../../../analysis/index.js';
import type { Castor, Vec3 } from '../../../document/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import type { Outline } from './solids.js';
import { cylinderOutline, disposeUnder, edgesOf, face, lines, toned } from './solids.js';

export interface CastorsDrawing {
  readonly root: Group;
  readonly outlines: readonly Outline[];
  /** each with `userData.castor` */
  readonly held: readonly Object3D[];
  readonly pose: (posed: PosedCart) => void;
  readonly dispose: () => void;
}

type Drawn = Pick<Castor, 'name' | 'wheelDiameter' | 'trail' | 'lock' | 'fixedDirection'>;

/** What of the castors their drawing is made from: equal keys, equal drawings. */
export function castorsKey(castors: readonly Castor[]): string {
  return JSON.stringify(
    castors.map(({ name, wheelDiameter, trail, lock, fixedDirection }) => [
      name,
      wheelDiameter,
      trail,
      lock,
      fixedDirection === null,
    ]),
  );
}

export function drawCastors(castors: readonly Drawn[], ink: Ink): CastorsDrawing {
  const root = new Group();
  const outlines: Outline[] = [];
  const held: Object3D[] = [];
  const drawn = new Map<string, Group>();
  for (const castor of castors) {
    const group = drawCastor(castor, ink, outlines, held);
    drawn.set(castor.name, group);
    root.add(group);
  }
  return {
    root,
    outlines,
    held,
    pose(posed) {
      for (const castor of posed.castors) {
        const group = drawn.get(castor.name);
        group?.position.set(castor.stem[0], castor.stem[1], 0);
        // drawn with its contact on x, behind the stem as it rolls
        group?.rotation.set(0, 0, turnOf(castor));
      }
    },
    dispose: () => disposeUnder(root),
  };
}

function turnOf({ swivels, rolls }: PosedCastor): number {
  return swivels ? rolls + Math.PI : rolls;
}

/** Widths and heights over the wheel's diameter: not in the cart file, so drawn at what is usual. */
const WHEEL_WIDTH = 0.28;
const FORK_GAP = 0.045;
const FORK_PLATE = 0.025;
const CROWN = 1.1;
const CROWN_THICK = 0.05;
const STEM_HEIGHT = 0.16;

function drawCastor(castor: Drawn, ink: Ink, outlines: Outline[], held: Object3D[]): Group {
  const group = new Group();
  const { wheelDiameter: d, trail } = castor;
  group.add(drawWheel(castor, ink, outlines), ...drawFork(d, trail, ink), ...drawStem(castor, ink));
  const trace: readonly Vec3[] = [
    [0, 0, 0],
    [trail, 0, 0],
    [-0.08 * d, 0, 0],
    [0.08 * d, 0, 0],
    [0, -0.08 * d, 0],
    [0, 0.08 * d, 0],
  ];
  group.add(lines(trace, ink.quiet, LAYER.floorLines));
  const grip = new Mesh(new CylinderGeometry(0.55 * d, 0.55 * d, 1.35 * d, 12), ink.depth);
  grip.geometry.rotateX(Math.PI / 2).translate(trail / 2, 0, 0.67 * d);
  // there for the pointer only
  grip.layers.set(GRIPS);
  grip.userData = { castor: castor.name };
  held.push(grip);
  group.add(grip);
  return group;
}

/** Layer of what a pointer takes hold of and nobody sees. */
export const GRIPS = 1;

function drawWheel({ wheelDiameter: d, trail, lock }: Drawn, ink: Ink, outlines: Outline[]): Group {
  const wheel = new Group();
  const width = WHEEL_WIDTH * d;
  const radius = d / 2;
  wheel.position.set(trail, 0, radius);
  const disc = toned(new CylinderGeometry(radius, radius, width, 40));
  const hub = new CylinderGeometry(0.16 * radius, 0.16 * radius, width * 1.02, 16);
  wheel.add(
    face(disc, ink.castorFace, LAYER.castorFaces),
    edgesOf(disc, ink.edge, LAYER.castorEdges),
    edgesOf(hub, ink.edge, LAYER.castorEdges),
  );
  hub.dispose();
  const { outline } = cylinderOutline(radius, width, [[ink.edge, LAYER.castorEdges]]);
  // its axis from z to y
  outline.holder.rotation.x = -Math.PI / 2;
  outline.holder.position.y = -width / 2;
  wheel.add(outline.holder);
  outlines.push(outline);
  if (lock === 'wheel' || lock === 'total') wheel.add(...drawBrake(radius, width, ink));
  return wheel;
}

/** A wheel that is locked has bars across its tread, and a pedal behind it. */
function drawBrake(radius: number, width: number, ink: Ink): readonly Object3D[] {
  const bars = [-35, -15, 15, 35, 55, 75, 105, 125].flatMap((degrees): readonly Vec3[] => {
    const angle = (degrees * Math.PI) / 180;
    const [x, z] = [radius * 1.01 * Math.cos(angle), radius * 1.01 * Math.sin(angle)];
    return [
      [x, -width / 2, z],
      [x, width / 2, z],
    ];
  });
  const pedal = new BoxGeometry(0.5 * radius, width, 0.1 * radius);
  pedal.rotateY(0.35).translate(radius * 1.12, 0, radius * 0.85);
  return [
    lines(bars, ink.edge, LAYER.castorEdges),
    face(pedal, ink.solid, LAYER.castorFaces),
    edgesOf(pedal, ink.edge, LAYER.castorEdges),
  ];
}

function drawFork(d: number, trail: number, ink: Ink): readonly Object3D[] {
  const side = new Shape();
  side.moveTo(trail - 0.09 * d, 0.46 * d);
  side.lineTo(trail + 0.09 * d, 0.46 * d);
  side.lineTo(0.3 * d, CROWN * d);
  side.lineTo(-0.26 * d, CROWN * d);
  side.closePath();
  const y = (WHEEL_WIDTH / 2 + FORK_GAP) * d;
  return [-y - FORK_PLATE * d, y].flatMap((from) => {
    const plate = new ExtrudeGeometry(side, { depth: FORK_PLATE * d, bevelEnabled: false });
    // drawn in x and y, stands in x and z
    plate.rotateX(Math.PI / 2).translate(0, from + FORK_PLATE * d, 0);
    return solid(toned(plate), ink);
  });
}

/** A swivel that is free to turn has a round head; one that can be locked a square one. */
function drawStem(
  { wheelDiameter: d, lock, fixedDirection }: Drawn,
  ink: Ink,
): readonly Object3D[] {
  const half = (WHEEL_WIDTH / 2 + FORK_GAP + FORK_PLATE) * d;
  const crown = new BoxGeometry(0.56 * d, 2 * half, CROWN_THICK * d);
  crown.translate(0.02 * d, 0, (CROWN + CROWN_THICK / 2) * d);
  if (fixedDirection !== null) return solid(toned(crown), ink);
  const isSquare = lock === 'directional' || lock === 'total';
  const head = isSquare
    ? new BoxGeometry(0.36 * d, 0.36 * d, STEM_HEIGHT * d)
    : new CylinderGeometry(0.18 * d, 0.18 * d, STEM_HEIGHT * d, 24).rotateX(Math.PI / 2);
  head.translate(0, 0, (CROWN + CROWN_THICK + STEM_HEIGHT / 2) * d);
  const block = isSquare
    ? [face(head, ink.solid, LAYER.castorFaces), edgesOf(head, ink.edge, LAYER.castorEdges)]
    : solid(toned(head), ink);
  return [...solid(toned(crown), ink), ...block];
}

function solid(geometry: ReturnType<typeof toned>, ink: Ink): readonly Object3D[] {
  return [
    face(geometry, ink.castorFace, LAYER.castorFaces),
    edgesOf(geometry, ink.edge, LAYER.castorEdges),
  ];
}
