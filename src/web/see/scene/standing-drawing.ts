/** How the cart stands: support, tipping lines, fall line, weight and push. */

import { BufferAttribute, BufferGeometry, Group, Mesh } from 'three';
import type { Pose, PosedCart } from '../../../analysis/index.js';
import type { Vec2, Vec3 } from '../../../document/index.js';
import { nearestLine } from '../../../figure/index.js';
import type { Ink } from './ink.js';
import { LAYER } from './ink.js';
import { arrow, circle, disposeUnder, lines, movableLine, setLine } from './solids.js';

export interface Size {
  /** m: of the cart; arrows are drawn in proportion */
  readonly length: number;
}

/** m: a fall point further off than this many sizes of the cart is not drawn out to. */
const FARTHEST = 2.5;

export function drawStanding(castors: number, size: Size, ink: Ink) {
  const root = new Group();
  const support = drawSupport(castors, ink);
  const tipping = Array.from({ length: castors }, () => ({
    usual: movableLine(ink.tipping, LAYER.marks),
    governing: movableLine(ink.governing, LAYER.marks),
  }));
  const fall = movableLine(ink.fall, LAYER.marks);
  const foot = drawFoot(size, ink);
  const push = arrow(ink.mark, ink.arrow, size.length * 0.06);
  const press = arrow(ink.mark, ink.arrow, size.length * 0.06);
  root.add(support.root, fall, foot, push.root, press.root);
  for (const { usual, governing } of tipping) root.add(usual, governing);
  return {
    root,
    pose(posed: PosedCart, pose: Pose): void {
      support.pose(posed.support);
      poseTipping(tipping, posed);
      const to = shownFall(posed, size);
      setLine(fall, posed.centreOfMass, to);
      foot.position.set(...to);
      foot.visible = to[2] === 0;
      const { tail, head } = pushArrow(pose, size);
      push.set(tail, head);
      const pressed = pressArrow(pose, size);
      press.set(pressed.tail, pressed.head);
    },
    dispose(): void {
      disposeUnder(root);
    },
  };
}

/** Where the fall line is drawn to: its foot, or as far towards it as makes sense. */
export function shownFall({ centreOfMass, fallPoint }: PosedCart, { length }: Size): Vec3 {
  const [x, y, z] = centreOfMass;
  const [fx, fy] = fallPoint;
  const away = Math.hypot(fx - x, fy - y);
  if (away <= FARTHEST * length) return [fx, fy, 0];
  const share = (FARTHEST * length) / away;
  return [x + share * (fx - x), y + share * (fy - y), z * (1 - share)];
}

/** m: its point is where the push acts. */
export function pushArrow(
  { push }: Pose,
  { length }: Size,
): { readonly tail: Vec3; readonly head: Vec3 } {
  if (push === null) return { tail: [0, 0, 0], head: [0, 0, 0] };
  const [x, y, z] = push.point;
  const reach = 0.28 * length;
  const tail: Vec3 = [
    x - reach * Math.cos(push.direction),
    y - reach * Math.sin(push.direction),
    z,
  ];
  return { tail, head: push.point };
}

export function pressArrow(
  { press }: Pose,
  { length }: Size,
): { readonly tail: Vec3; readonly head: Vec3 } {
  if (press === null) return { tail: [0, 0, 0], head: [0, 0, 0] };
  const [x, y, z] = press.point;
  return { tail: [x, y, z + 0.24 * length], head: press.point };
}

type TippingPens = readonly {
  readonly usual: ReturnType<typeof movableLine>;
  readonly governing: ReturnType<typeof movableLine>;
}[];

function poseTipping(pens: TippingPens, posed: PosedCart): void {
  const nearest = nearestLine(posed);
  pens.forEach(({ usual, governing }, i) => {
    const line = posed.lines[i];
    usual.visible = false;
    governing.visible = false;
    if (line === undefined) return;
    setLine(line === nearest ? governing : usual, onFloor(line.from), onFloor(line.to));
  });
}

function onFloor([x, y]: Vec2): Vec3 {
  return [x, y, 0];
}

/** A fan of as many corners as there can be, so that it is never made anew. */
function drawSupport(castors: number, ink: Ink) {
  const most = Math.max(3, castors);
  const geometry = new BufferGeometry();
  const corners = new BufferAttribute(new Float32Array(3 * most), 3);
  geometry.setAttribute('position', corners);
  geometry.setIndex(Array.from({ length: most - 2 }, (_, i) => [0, i + 1, i + 2]).flat());
  const root = new Mesh(geometry, ink.support);
  root.renderOrder = LAYER.support;
  root.frustumCulled = false;
  root.raycast = () => {};
  return {
    root,
    pose(support: readonly Vec2[]): void {
      root.visible = support.length >= 3;
      support.slice(0, most).forEach(([x, y], i) => {
        corners.setXYZ(i, x, y, 0);
      });
      corners.needsUpdate = true;
      geometry.setDrawRange(0, 3 * Math.max(0, Math.min(most, support.length) - 2));
    },
  };
}

/** Where the fall line meets the floor: a cross in a ring. */
function drawFoot({ length }: Size, ink: Ink) {
  const radius = 0.022 * length;
  const arm = 1.7 * radius;
  const cross: readonly Vec3[] = [
    [-arm, 0, 0],
    [arm, 0, 0],
    [0, -arm, 0],
    [0, arm, 0],
  ];
  return lines([...circle(radius), ...cross], ink.mark, LAYER.marks);
}
