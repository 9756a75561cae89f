/** Words and marks over the drawing in space: put by projection, out of each other's way. */

import { useFrame, useThree } from '@react-three/fiber';
import type { ReactElement, RefObject } from 'react';
import { memo, useEffect, useImperativeHandle, useMemo, useRef } from 'react';
import type { Object3D } from 'three';
import { Vector3 } from 'three';
import type { Vec3 } from '../../../document/index.js';
import type { LabelWish } from '../../../figure/index.js';
import {
  CentreOfMassMark,
  figureStyle,
  fitText,
  LINE_HEIGHT,
  placeLabels,
  TEXT_SIZE,
} from '../../../figure/index.js';
import type { SceneLabel } from './scene-labels.js';
import { pictureRim } from './scene-view.js';

/** What the frame of the drawing moves. */
export interface OverlayHandle {
  /** @param toPicture m, cart frame, to px */
  readonly follow: (
    toPicture: (point: Vec3) => readonly [number, number],
    size: { readonly width: number; readonly height: number },
  ) => void;
}

interface OverlayProps {
  readonly labels: readonly SceneLabel[];
  readonly centreOfMass: Vec3;
  /** m: where the fall line is drawn to */
  readonly foot: Vec3;
  readonly handle: RefObject<OverlayHandle | null>;
}

/** ms without movement after which labels look for better places: while it moves they stay put
 * beside what they speak of. */
const SETTLED = 140;
/** px: widest label */
const WIDEST = 168;
const BAR = 44;

export function SceneOverlay({ labels, centreOfMass, foot, handle }: OverlayProps): ReactElement {
  const root = useRef<SVGSVGElement>(null);
  const shown = useMemo(() => labels.map(fitted), [labels]);
  const latest = useRef({ labels: shown, centreOfMass, foot });
  latest.current = { labels: shown, centreOfMass, foot };
  const placing = useRef(createPlacing());
  useImperativeHandle(handle, () => ({
    follow: (toPicture, size) => {
      const { current } = root;
      if (current !== null) placing.current.follow(current, latest.current, toPicture, size);
    },
  }));
  useEffect(() => placing.current.stop, []);
  return (
    <svg ref={root} className="scene-overlay fig" aria-hidden="true">
      {shown.map(({ key }) => (
        <path key={key} data-leader={key} {...figureStyle.faint} />
      ))}
      <g data-mark="centre of mass">
        <CentreOfMassMark at={[0, 0]} />
      </g>
      {shown.map((each) => (
        <LabelText key={each.key} label={each} />
      ))}
    </svg>
  );
}

function fitted(label: SceneLabel): SceneLabel {
  return {
    ...label,
    lines: label.lines.map((line) => fitText(line, WIDEST, TEXT_SIZE.label, 600)),
  };
}

const LabelText = memo(function LabelText({ label }: { readonly label: SceneLabel }) {
  const { key, kind, lines, share } = label;
  const rows = lines.length + (share === null ? 0 : 0.6);
  const top = (-rows * LINE_HEIGHT) / 2;
  const strong = kind !== 'size';
  return (
    <g data-label={key} className={`scene-label is-${kind}`}>
      {lines.map((line, i) => (
        <text
          // biome-ignore lint/suspicious/noArrayIndexKey: lines have no other identity
          key={i}
          {...figureStyle[strong && i === 0 ? 'strongLabel' : 'label']}
          textAnchor="middle"
          y={top + TEXT_SIZE.label + i * LINE_HEIGHT}
        >
          {line}
        </text>
      ))}
      {share === null ? null : <LoadBar share={share} top={top + lines.length * LINE_HEIGHT + 2} />}
    </g>
  );
}, saysSame);

function saysSame(a: { readonly label: SceneLabel }, b: { readonly label: SceneLabel }): boolean {
  return a.label.share === b.label.share && a.label.lines.join('\n') === b.label.lines.join('\n');
}

function LoadBar({ share, top }: { readonly share: number; readonly top: number }) {
  const at = { x: -BAR / 2, y: top, height: 5 };
  return (
    <>
      <rect className="scene-bar-all" {...at} width={BAR} />
      <rect className="scene-bar" {...at} width={BAR * share} />
    </>
  );
}

interface Shown {
  readonly labels: readonly SceneLabel[];
  readonly centreOfMass: Vec3;
  readonly foot: Vec3;
}

type Offset = readonly [number, number];

/** Keeps how far each label stands from what it speaks of. */
function createPlacing() {
  const offsets = new Map<string, Offset>();
  let timer: ReturnType<typeof setTimeout> | undefined;
  return { follow, stop: () => clearTimeout(timer) };

  function follow(
    root: SVGSVGElement,
    shown: Shown,
    toPicture: (point: Vec3) => Offset,
    size: { readonly width: number; readonly height: number },
  ): void {
    const at = new Map(shown.labels.map(({ key, at: point }) => [key, toPicture(point)]));
    const centre = toPicture(shown.centreOfMass);
    const marks = [centre, ...at.values(), ...along(centre, toPicture(shown.foot))];
    if (shown.labels.some(({ key }) => !offsets.has(key))) place(shown.labels, at, marks, size);
    write(root, shown.labels, at, centre, size);
    clearTimeout(timer);
    timer = setTimeout(() => {
      place(shown.labels, at, marks, size);
      write(root, shown.labels, at, centre, size);
    }, SETTLED);
  }

  function place(
    labels: readonly SceneLabel[],
    at: ReadonlyMap<string, Offset>,
    marks: readonly Offset[],
    size: { readonly width: number; readonly height: number },
  ): void {
    const centre = marks[0] ?? [0, 0];
    offsets.clear();
    const rim = pictureRim(size.height);
    const within = {
      left: 6,
      top: rim.top,
      right: size.width - 6,
      bottom: size.height - rim.bottom,
    };
    const wishes = labels.map((label) => wishOf(label, at.get(label.key) ?? centre, centre));
    const kept = marks.map((mark) => boxAbout(mark, 9));
    for (const { key, box } of placeLabels(wishes, within, kept)) {
      const [x, y] = at.get(key) ?? centre;
      offsets.set(key, [(box.left + box.right) / 2 - x, (box.top + box.bottom) / 2 - y]);
    }
  }

  function write(
    root: SVGSVGElement,
    labels: readonly SceneLabel[],
    at: ReadonlyMap<string, Offset>,
    centre: Offset,
    size: { readonly width: number; readonly height: number },
  ): void {
    const leaders = root.querySelectorAll<SVGPathElement>('[data-leader]');
    const groups = root.querySelectorAll<SVGGElement>('[data-label]');
    root
      .querySelector('[data-mark]')
      ?.setAttribute('transform', `translate(${centre[0].toFixed(1)} ${centre[1].toFixed(1)})`);
    labels.forEach(({ key, kind, reach, lines }, i) => {
      const [x, y] = at.get(key) ?? centre;
      const [dx, dy] = offsets.get(key) ?? [0, 0];
      // what acts on the cart is told even where its arrow lies beyond the edge
      const isOut =
        kind !== 'acting' && (x < -20 || y < -20 || x > size.width + 20 || y > size.height + 20);
      const [to, from] = [groups[i], leaders[i]];
      to?.setAttribute('transform', `translate(${(x + dx).toFixed(1)} ${(y + dy).toFixed(1)})`);
      to?.classList.toggle('is-out', isOut);
      from?.setAttribute('d', isOut ? '' : leaderPath([x, y], [dx, dy], reach, lines.length));
    });
  }
}

/** Labels of the cart's parts look away from its centre of mass. */
function wishOf({ key, lines, reach, share }: SceneLabel, at: Offset, centre: Offset): LabelWish {
  const [dx, dy] = [at[0] - centre[0], at[1] - centre[1]];
  const towards = Math.hypot(dx, dy) < 4 ? 0.5 : Math.atan2(-dy, dx);
  const rows = share === null ? lines : [...lines, ' '];
  return { key, lines: rows, strong: true, at, reach, towards };
}

/** Points of a line close enough that no label stands on it. */
function along([x, y]: Offset, [tx, ty]: Offset): readonly Offset[] {
  const count = Math.min(30, Math.ceil(Math.hypot(tx - x, ty - y) / 14));
  return Array.from({ length: count }, (_, i): Offset => {
    const share = (i + 1) / count;
    return [x + share * (tx - x), y + share * (ty - y)];
  });
}

function boxAbout([x, y]: Offset, half: number) {
  return { left: x - half, top: y - half, right: x + half, bottom: y + half };
}

/** A line to a label that stands off; none where it is beside what it speaks of. */
function leaderPath([x, y]: Offset, [dx, dy]: Offset, reach: number, rows: number): string {
  const half = (rows * LINE_HEIGHT) / 2;
  const away = Math.hypot(dx, Math.max(0, Math.abs(dy) - half));
  if (away < reach + 62) return '';
  const share = 1 - (half + 4) / Math.max(half + 4, Math.hypot(dx, dy));
  return `M${x.toFixed(1)} ${y.toFixed(1)}L${(x + dx * share).toFixed(1)} ${(y + dy * share).toFixed(1)}`;
}

interface FollowerProps {
  readonly overlay: RefObject<OverlayHandle | null>;
  /** the cart's frame in the picture */
  readonly frame: RefObject<Object3D | null>;
}

const point3 = new Vector3();

/** In the drawing: moves the overlay along with every frame. */
export function OverlayFollower({ overlay, frame }: FollowerProps): null {
  const size = useThree((state) => state.size);
  useFrame(({ camera }) => {
    const { current } = frame;
    if (current === null) return;
    overlay.current?.follow((point) => {
      point3
        .set(...point)
        .applyMatrix4(current.matrixWorld)
        .project(camera);
      return [((point3.x + 1) / 2) * size.width, ((1 - point3.y) / 2) * size.height];
    }, size);
  });
  return null;
}
