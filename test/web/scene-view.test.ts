import { beforeAll, describe, expect, it } from 'vitest';
import type { Pose } from '../../src/analysis/index.js';
import { startPose } from '../../src/analysis/index.js';
import type { Vec3 } from '../../src/document/index.js';
import { gravityOf, tiltOf, wedgeOf } from '../../src/web/see/scene/incline-drawing.js';
import {
  ballRadius,
  fitParallel,
  floorPart,
  gridMesh,
  outlineAngles,
  VIEW_DIRECTIONS,
  wayOfArrow,
} from '../../src/web/see/scene/scene-view.js';
import { exampleCart } from '../analysis/example-carts.js';

const RIGHT: Vec3 = [1, 0, 0];
const UP: Vec3 = [0, 0, 1];

describe('a fitted picture', () => {
  const points: readonly Vec3[] = [
    [-1, 0, 0],
    [3, 5, 0],
    [0, -5, 2],
  ];

  it('shows all points with room about them, in its middle', () => {
    const size = { width: 800, height: 600 };
    const { pxPerMetre, middle } = fitParallel(points, RIGHT, UP, size);
    // 40 px of room on each side of 4 m across, which is what limits
    expect(pxPerMetre).toBeCloseTo((800 - 80) / 4, 9);
    expect(middle[0]).toBeCloseTo(1, 12);
    expect(middle[2]).toBeCloseTo(1, 12);
  });

  it('stands lower where its upper edge is covered', () => {
    const size = { width: 800, height: 600 };
    const { pxPerMetre, middle } = fitParallel(points, RIGHT, UP, size, { top: 60, bottom: 20 });
    // the middle of the picture is 20 px above what it shows the middle of
    expect(middle[2]).toBeCloseTo(1 + 20 / pxPerMetre, 12);
  });

  it('is looked at along unit vectors', () => {
    for (const direction of Object.values(VIEW_DIRECTIONS)) {
      expect(Math.hypot(...direction)).toBeCloseTo(1, 12);
    }
  });
});

describe('arrow keys', () => {
  it('go the way of the floor that they go in the picture', () => {
    // from the front right and above, as a cart is first shown
    const right: Vec3 = [0.85, 0.53, 0];
    const up: Vec3 = [-0.25, 0.4, 0.88];
    expect(wayOfArrow('ArrowRight', right, up)).toEqual([1, 0]);
    expect(wayOfArrow('ArrowLeft', right, up)).toEqual([-1, 0]);
    expect(wayOfArrow('ArrowUp', right, up)).toEqual([0, 1]);
    expect(wayOfArrow('ArrowDown', right, up)).toEqual([0, -1]);
  });

  it('turn with the view: from ahead, right in the picture is the left of the cart', () => {
    expect(wayOfArrow('ArrowRight', [0, 1, 0], UP)).toEqual([0, 1]);
    expect(wayOfArrow('ArrowUp', [0, 1, 0], [-1, 0, 0.1])).toEqual([-1, 0]);
  });
});

describe('the outline of a cylinder', () => {
  it('lies square to the way of sight in a parallel projection', () => {
    const [first, second] = outlineAngles([0, -0.7], 0.1, false) ?? [0, 0];
    expect(first).toBeCloseTo(-Math.PI, 12);
    expect(second).toBeCloseTo(0, 12);
  });

  it('is touched by the tangents from the eye in a perspective', () => {
    const angles = outlineAngles([2, 0], 1, true) ?? [0, 0];
    for (const angle of angles) {
      const touch = [Math.cos(angle), Math.sin(angle)] as const;
      const sight = [touch[0] - 2, touch[1]] as const;
      expect(touch[0] * sight[0] + touch[1] * sight[1]).toBeCloseTo(0, 12);
    }
  });

  it('is not seen from above or from within', () => {
    expect(outlineAngles([0, 0], 0.1, false)).toBeNull();
    expect(outlineAngles([0.05, 0], 0.1, true)).toBeNull();
  });
});

describe('the floor', () => {
  it('is drawn in whole meshes about the cart', () => {
    const [from, to] = floorPart({ least: [-0.31, -0.2, 0], most: [0.4, 0.2, 1] }, 0.1, 0.25);
    expect(from[0]).toBeCloseTo(-0.6, 12);
    expect(from[1]).toBeCloseTo(-0.5, 12);
    expect(to[0]).toBeCloseTo(0.7, 12);
    expect(to[1]).toBeCloseTo(0.5, 12);
  });

  it('has a mesh of round numbers of the unit', () => {
    expect(gridMesh(1.2, 'SI')).toBe(0.1);
    // 4 in of 25.4 mm: the international inch
    expect(gridMesh(1.2, 'US')).toBeCloseTo(0.1016, 12);
  });
});

describe('an incline', () => {
  let level: Pose;
  let pose: Pose;
  beforeAll(async () => {
    const cart = await exampleCart('telehealth-four-locks.cart.yaml');
    level = startPose(cart, 'in use');
    pose = { ...level, incline: { angle: 0.2, downhill: 2.3 } };
  });

  it('tilts the floor about a level line, downhill going down', () => {
    const { axis, angle } = tiltOf(pose);
    // Rodrigues' rotation of the way downhill about the axis, the two being square to each other
    const downhill: Vec3 = [Math.cos(2.3), Math.sin(2.3), 0];
    const crossed = axis[0] * downhill[1] - axis[1] * downhill[0];
    const height = Math.sin(angle) * crossed;
    expect(height).toBeCloseTo(-Math.sin(0.2), 12);
  });

  it('turns gravity the same way: what is down in the picture is down to the cart', () => {
    const gravity = gravityOf(pose);
    const along = gravity[0] * Math.cos(2.3) + gravity[1] * Math.sin(2.3);
    expect(Math.hypot(...gravity)).toBeCloseTo(1, 12);
    expect(along).toBeCloseTo(Math.sin(0.2), 12);
    expect(gravity[2]).toBeCloseTo(-Math.cos(0.2), 12);
  });

  it('has a wedge whose sides have the angle between them', () => {
    const wedge = wedgeOf(pose, [
      [-1, -0.6],
      [1, 0.6],
    ]);
    expect(wedge).not.toBeNull();
    if (wedge === null) return;
    const { low, high, under } = wedge;
    const way = (to: Vec3): Vec3 => [to[0] - low[0], to[1] - low[1], to[2] - low[2]];
    const [slope, flat] = [way(high), way(under)];
    const dot = slope[0] * flat[0] + slope[1] * flat[1] + slope[2] * flat[2];
    expect(Math.acos(dot / Math.hypot(...slope) / Math.hypot(...flat))).toBeCloseTo(0.2, 9);
    expect(
      wedgeOf(level, [
        [-1, -1],
        [1, 1],
      ]),
    ).toBeNull();
  });
});

describe('a mass as a ball of steel', () => {
  it('has the volume of its mass at 7850 kg/m3', () => {
    // 7850 kg fill a cubic metre, whose ball has a radius of (3 / 4 pi)^(1/3) m
    expect(ballRadius(7850)).toBeCloseTo(0.6203504908994, 12);
    expect(ballRadius(8) / ballRadius(1)).toBeCloseTo(2, 12);
  });
});
