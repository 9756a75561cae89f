/** Where labels go so that they hide neither each other nor what they speak of. */

import { TEXT_SIZE } from './figure-style.js';
import type { Box, Point } from './picture.js';
import { away, between, distanceOf, overlap, squareAt } from './picture.js';
import { fitText, textWidth } from './text-width.js';

/** px from one line of a label to the next. */
export const LINE_HEIGHT = 13;

export interface LabelWish {
  readonly key: string;
  /** the first is set stronger where `strong` says so */
  readonly lines: readonly string[];
  readonly strong?: boolean;
  /** what it speaks of */
  readonly at: Point;
  /** px to keep from it */
  readonly reach: number;
  /** rad: the side it would rather be on, counter-clockwise from the right */
  readonly towards: number;
}

export interface PlacedLabel {
  readonly key: string;
  readonly lines: readonly string[];
  readonly strong: boolean;
  readonly box: Box;
  /** from what it speaks of to the label, where it stands further off */
  readonly leader: readonly [Point, Point] | null;
}

/** Tried in this order; of equals the first wins, so that a picture is always the same. */
const TURNS = [0, 30, -30, 60, -60, 95, -95, 130, -130, 180].map((turn) => (turn * Math.PI) / 180);
/** px further out */
const STEPS = [0, 12, 26, 44, 66];

/** Costs in px of way: being hidden is worse than being far. */
const COST = { outside: 40, label: 6, obstacle: 0.4, step: 0.8, turn: 8 } as const;

/** px beyond its reach: from here on a line leads from the label to what it speaks of. */
const LEADER_FROM = 20;

const WIDEST_LABEL = 210;

/** Of a kind of thing: more labels than this would leave nothing of the drawing, so there are none. */
const MOST_OF_A_KIND = 24;

export function fewEnough<Thing>(things: readonly Thing[]): readonly Thing[] {
  return things.length > MOST_OF_A_KIND ? [] : things;
}

/**
 * @param wishes most important first: the later give way to the earlier
 * @param within px: where all labels must lie
 * @param obstacles what should not be covered
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  within: Box,
  obstacles: readonly Box[],
): readonly PlacedLabel[] {
  const placed: PlacedLabel[] = [];
  const widest = Math.min(WIDEST_LABEL, within.right - within.left);
  for (const wish of wishes) {
    const lines = wish.lines.map((line) => fitText(line, widest, TEXT_SIZE.label, 600));
    const taken = placed.map(({ box }) => box);
    placed.push(bestPlace({ ...wish, lines }, within, taken, obstacles));
  }
  return placed;
}

function bestPlace(
  wish: LabelWish,
  within: Box,
  taken: readonly Box[],
  obstacles: readonly Box[],
): PlacedLabel {
  const size = labelSize(wish.lines);
  let best: { readonly box: Box; readonly cost: number } | null = null;
  for (const step of STEPS) {
    for (const turn of TURNS) {
      const wished = boxBeside(wish, size, wish.towards + turn, wish.reach + step);
      const box = pushedInto(wished, within);
      const moved = Math.abs(box.left - wished.left) + Math.abs(box.top - wished.top);
      const way = COST.step * step + COST.turn * Math.abs(turn) + COST.outside * moved;
      // what is hidden only adds to it
      if (best !== null && way >= best.cost) continue;
      const hidden = COST.label * covered(box, taken) + COST.obstacle * covered(box, obstacles);
      if (best === null || way + hidden < best.cost - 1e-6) best = { box, cost: way + hidden };
    }
  }
  const { key, lines, strong = false } = wish;
  const box = best?.box ?? boxBeside(wish, size, wish.towards, wish.reach);
  return { key, lines, strong, box, leader: leaderOf(wish, box) };
}

function covered(box: Box, others: readonly Box[]): number {
  let sum = 0;
  for (const other of others) sum += overlap(box, other);
  return sum;
}

/** The box of the label, `reach` away from the point at its nearest. */
function boxBeside(
  { at }: LabelWish,
  [width, height]: readonly [number, number],
  angle: number,
  reach: number,
): Box {
  const span = (Math.abs(Math.cos(angle)) * width + Math.abs(Math.sin(angle)) * height) / 2;
  const [x, y] = away(at, angle, reach + span);
  return { left: x - width / 2, right: x + width / 2, top: y - height / 2, bottom: y + height / 2 };
}

/** px: width and height. */
function labelSize(lines: readonly string[]): readonly [number, number] {
  const widths = lines.map((line, i) => textWidth(line, TEXT_SIZE.label, i === 0 ? 600 : 400));
  return [Math.max(...widths) + 4, lines.length * LINE_HEIGHT + 2];
}

function pushedInto(box: Box, within: Box): Box {
  const x = shiftInto(box.left, box.right, within.left, within.right);
  const y = shiftInto(box.top, box.bottom, within.top, within.bottom);
  return { left: box.left + x, right: box.right + x, top: box.top + y, bottom: box.bottom + y };
}

function shiftInto(from: number, to: number, least: number, most: number): number {
  if (from < least) return least - from;
  return to > most ? Math.max(most - to, least - from) : 0;
}

function leaderOf({ at, reach }: LabelWish, box: Box): readonly [Point, Point] | null {
  const end: Point = [
    Math.min(box.right, Math.max(box.left, at[0])),
    Math.min(box.bottom, Math.max(box.top, at[1])),
  ];
  const length = distanceOf(at, end);
  if (length < reach + LEADER_FROM) return null;
  return [between(at, end, (reach * 0.7) / length), end];
}

/** A line as small boxes, so that labels keep off it. */
export function boxesAlong(from: Point, to: Point, half = 2): readonly Box[] {
  const count = Math.max(1, Math.ceil(distanceOf(from, to) / 8));
  return Array.from({ length: count + 1 }, (_, i) => squareAt(between(from, to, i / count), half));
}
