import { describe, expect, it } from 'vitest';
import type { Placement } from '../../src/analysis/index.js';
import type { Mover, Vec3 } from '../../src/document/index.js';
import type { Axis, Ray } from '../../src/web/see/scene/drag-on-axis.js';
import {
  aboutAxis,
  alongAxis,
  axisOf,
  carriersOf,
  onPlane,
  turnedBack,
  unwound,
} from '../../src/web/see/scene/drag-on-axis.js';
import { seededRandom } from '../reference/random.js';

const UP: Vec3 = [0, 0, 1];

function unit([x, y, z]: Vec3): Vec3 {
  const length = Math.hypot(x, y, z);
  return [x / length, y / length, z / length];
}

function rayThrough(origin: Vec3, point: Vec3): Ray {
  const direction = unit([point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]]);
  return { origin, direction };
}

function mover(name: string, on: string | null, rest: Partial<Mover> = {}): Mover {
  return {
    name,
    kind: 'slide',
    on,
    origin: [0, 0, 0],
    axis: UP,
    from: 0,
    to: 1,
    stops: null,
    ...rest,
  };
}

describe('a drag along an axis', () => {
  it('follows a ray through a point of the axis to that point (200 random, seed 11)', () => {
    const random = seededRandom(11);
    const number = (): number => 2 * random() - 1;
    for (let i = 0; i < 200; i++) {
      const axis: Axis = {
        point: [number(), number(), number()],
        along: unit([number(), number(), number() + 1.5]),
      };
      const value = number();
      const [px, py, pz] = axis.point;
      const [ax, ay, az] = axis.along;
      const point: Vec3 = [px + value * ax, py + value * ay, pz + value * az];
      const ray = rayThrough([5 + number(), number(), number()], point);
      // rounding of numbers of the order of 10, over the squared sine of at least 0.003
      expect(alongAxis(ray, axis)).toBeCloseTo(value, 9);
    }
  });

  it('takes the nearest point of the axis where the ray passes by it', () => {
    const ray: Ray = { origin: [-3, 0.4, 0.7], direction: [1, 0, 0] };
    expect(alongAxis(ray, { point: [0, 0, 0.2], along: UP })).toBeCloseTo(0.5, 12);
  });

  it('says nothing where the axis is seen as a point', () => {
    const ray: Ray = { origin: [0.1, 0, 5], direction: [0, 0, -1] };
    expect(alongAxis(ray, { point: [0, 0, 0], along: UP })).toBeNull();
  });
});

describe('a drag on a plane', () => {
  it('meets it where the ray does', () => {
    const hit = onPlane(rayThrough([1, 2, 3], [0.25, -0.5, 0]), [0, 0, 0], UP);
    expect(hit?.[0]).toBeCloseTo(0.25, 12);
    expect(hit?.[1]).toBeCloseTo(-0.5, 12);
    expect(hit?.[2]).toBeCloseTo(0, 12);
  });

  it('says nothing of a plane seen as a line or behind the eye', () => {
    expect(onPlane({ origin: [0, 0, 1], direction: [1, 0, 0] }, [0, 0, 0], UP)).toBeNull();
    expect(onPlane({ origin: [0, 0, 1], direction: UP }, [0, 0, 0], UP)).toBeNull();
  });
});

describe('a drag about an axis', () => {
  const axis: Axis = { point: [1, 0, 0], along: UP };

  it('turns by the angle to where the pointer is on the plane', () => {
    const grabbed: Vec3 = [1.5, 0, 0.8];
    const angle = 2.1;
    const there: Vec3 = [1 + 0.7 * Math.cos(angle), 0.7 * Math.sin(angle), 0.8];
    expect(aboutAxis(rayThrough([0, -3, 4], there), axis, grabbed)).toBeCloseTo(angle, 12);
  });

  it('goes by the way across the picture where the plane is seen as a line', () => {
    const ray: Ray = { origin: [9, 0.2, 0.8], direction: [-1, 0, 0] };
    // 0.2 m along the tangent of a radius of 0.5 m
    expect(aboutAxis(ray, axis, [1.5, 0, 0.8])).toBeCloseTo(0.4, 12);
  });

  it('says nothing of what is held on the axis', () => {
    expect(aboutAxis({ origin: [0, 0, 5], direction: [0, 0, -1] }, axis, [1, 0, 2])).toBeNull();
  });

  it('goes on turning past half a turn', () => {
    expect(unwound(-3, 3)).toBeCloseTo(2 * Math.PI - 3, 12);
    expect(unwound(3, -3)).toBeCloseTo(3 - 2 * Math.PI, 12);
    expect(unwound(0.1, 4 * Math.PI)).toBeCloseTo(4 * Math.PI + 0.1, 12);
  });
});

describe('movers on movers', () => {
  // a quarter turn to the left, then 0.3 m up
  const placement: Placement = { rotation: [0, -1, 0, 1, 0, 0, 0, 0, 1], shift: [0, 0, 0.3] };

  it('carry the axis of what stands on them', () => {
    const arm = mover('arm', 'mast', { origin: [0.5, 0, 1], axis: [1, 0, 0] });
    const { point, along } = axisOf(arm, { mast: placement });
    expect(point).toEqual([0, 0.5, 1.3]);
    expect(along).toEqual([0, 1, 0]);
  });

  it('turn a way in the cart back into the frame it is drawn in', () => {
    expect(turnedBack([0, 1, 0.2], placement)).toEqual([1, 0, 0.2]);
    expect(turnedBack([0, 1, 0.2], undefined)).toEqual([0, 1, 0.2]);
  });

  it('are told from the nearest to the one on the base', () => {
    const movers = [mover('lift', null), mover('arm', 'lift'), mover('tilt', 'arm')];
    expect(carriersOf(movers, 'tilt').map(({ name }) => name)).toEqual(['tilt', 'arm', 'lift']);
    expect(carriersOf(movers, null)).toEqual([]);
  });
});
