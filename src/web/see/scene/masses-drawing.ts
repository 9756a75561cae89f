/** Parts and loads as balls of steel of their mass, where they are. */

import type { Material } from 'three';
import {
  BackSide,
  Group,
  InstancedMesh,
  Matrix4,
  Quaternion,
  SphereGeometry,
  Vector3,
} from 'three';
import type { PosedCart, PosedMass } from '../../../analysis/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import { ballRadius } from './scene-view.js';

export interface MassesDrawing {
  readonly root: Group;
  /** `userData.masses`: by instance */
  readonly held: readonly InstancedMesh[];
  readonly pose: (posed: PosedCart) => void;
  readonly dispose: () => void;
}

/** m: a ball of a gram still has to be seen and taken hold of. */
const LEAST_RADIUS = 0.006;
/** m: the ink about a ball. */
const RIM = 0.0018;
/** Scale of a load that is absent: nothing is seen of it. */
const NOTHING = 1e-6;

export function drawMasses(parts: number, loads: number, ink: Ink): MassesDrawing {
  const root = new Group();
  const ball = new SphereGeometry(1, 24, 16);
  ink.rim.side = BackSide;
  const balls = (count: number, paper: Material) => {
    const rim = instances(ball, ink.rim, count, LAYER.massRims);
    const fill = instances(ball, paper, count, LAYER.masses);
    rim.raycast = () => {};
    root.add(rim, fill);
    return { rim, fill };
  };
  const drawn = { part: balls(parts, ink.part), load: balls(loads, ink.load) };
  return {
    root,
    held: [drawn.part.fill, drawn.load.fill],
    pose({ masses }) {
      for (const kind of ['part', 'load'] as const) {
        const { rim, fill } = drawn[kind];
        const own = masses.filter((each) => each.kind === kind);
        put(rim, own, RIM);
        put(fill, own, 0);
        fill.userData = { masses: own };
      }
    },
    dispose() {
      ball.dispose();
      for (const { rim, fill } of Object.values(drawn)) {
        rim.dispose();
        fill.dispose();
      }
    },
  };
}

function instances(ball: SphereGeometry, paper: Material, count: number, layer: number) {
  const mesh = new InstancedMesh(ball, paper, count);
  mesh.renderOrder = layer;
  mesh.frustumCulled = false;
  return mesh;
}

const matrix = new Matrix4();
const place = new Vector3();
const size = new Vector3();
const unturned = new Quaternion();

function put(mesh: InstancedMesh, masses: readonly PosedMass[], rim: number): void {
  masses.slice(0, mesh.count).forEach(({ mass, at }, i) => {
    const radius = mass > 0 ? Math.max(LEAST_RADIUS, ballRadius(mass)) + rim : NOTHING;
    matrix.compose(place.set(...at), unturned, size.setScalar(radius));
    mesh.setMatrixAt(i, matrix);
  });
  mesh.instanceMatrix.needsUpdate = true;
  // of the places of before
  mesh.boundingSphere = null;
}
