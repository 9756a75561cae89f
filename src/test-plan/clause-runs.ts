/** From a finding to the runs that test it: how the cart is posed and what is done to it. */

import type { Finding, Pose } from '../analysis/index.js';
import {
  holdingRose,
  leanPlaces,
  optionalValue,
  poseCart,
  poseOfWorst,
  pushPlaces,
  requiredValue,
  startPose,
  travelDirection,
  wrapped,
} from '../analysis/index.js';
import type { Cart, Vec3 } from '../document/index.js';
import { buildMassModel, positionDomain, worstHandleLoads } from '../engine/index.js';
import type { Clause, RequirementSet } from '../requirements/index.js';
import { askedForce, clauseOf, predictRun, propulsionOf } from './predict-run.js';
import type { Loading } from './test-run.js';
import type { Pushed, Tip } from './tipping-run.js';
import {
  allTurned,
  beyond,
  facing,
  inclineTip,
  pushTip,
  stopTip,
  turnedToTip,
} from './tipping-run.js';

/** A run before it is written up. */
export interface RunDraft {
  readonly purpose: string;
  readonly governs: boolean;
  readonly pose: Pose;
  readonly loading: Loading;
}

export type ClauseRuns =
  | { readonly kind: 'runs'; readonly runs: readonly [RunDraft, ...RunDraft[]] }
  | { readonly kind: 'none'; readonly reason: string };

/** What the runs of a clause are made from. */
interface Making {
  readonly cart: Cart;
  readonly set: RequirementSet;
  readonly clause: Clause;
  readonly finding: Finding;
  readonly directions: 'worst' | 'sides';
}

export const WORST_FOUND = 'worst found';

/** The four sides of a cart, rad. */
const SIDES: readonly { readonly angle: number; readonly towards: string }[] = [
  { angle: 0, towards: 'forward' },
  { angle: Math.PI / 2, towards: 'to the left' },
  { angle: Math.PI, towards: 'backward' },
  { angle: -Math.PI / 2, towards: 'to the right' },
];

/** rad: a side nearer to the worst direction than this is that run again. Half of the way to the next of
 * eight headings. */
const SAME_SIDE = Math.PI / 8;

function sidesBeside(directions: Making['directions'], worst: number) {
  if (directions === 'worst') return [];
  return SIDES.filter(({ angle }) => Math.abs(wrapped(angle - worst)) > SAME_SIDE + 1e-9);
}

export function clauseRuns(
  cart: Cart,
  set: RequirementSet,
  finding: Finding,
  directions: 'worst' | 'sides',
): ClauseRuns {
  if (!finding.applicability.applies) return none(finding.applicability.reason);
  const making = { cart, set, clause: clauseOf(set, finding.id), finding, directions };
  const { question } = making.clause;
  switch (question.kind) {
    case 'overbalance':
      return overbalanceRuns(making);
    case 'horizontal force':
    case 'combined force':
      return pushRuns(making);
    case 'downward force':
      return pressRuns(making);
    case 'propulsion':
      return propulsionRuns(making);
    case 'threshold':
      return thresholdRuns(making);
    case 'holding on incline':
    case 'holding against push':
      return holdingRuns(making);
    case 'castor load':
      return castorLoadRuns(making);
    case 'castor missing':
      return question.test === 'ratings' ? none(RATINGS) : missingRuns(making);
    case 'handles':
      return handleRuns(making);
  }
}

const RATINGS =
  'It compares the ratings of the castors with the mass at its heaviest: weigh the sample; nothing is run.';

function none(reason: string): ClauseRuns {
  return { kind: 'none', reason };
}

function runs(first: RunDraft, ...others: readonly RunDraft[]): ClauseRuns {
  return { kind: 'runs', runs: [first, ...others] };
}

/** Nothing worst was found, or no way in which it is worst: the finding says why. */
function nothingFound({ finding }: Making): ClauseRuns {
  return none([finding.because, ...finding.notes.slice(0, 1)].join(' '));
}

function worstPose({ cart, set, finding }: Making): Pose | null {
  return poseOfWorst(cart, set, finding, 'demand');
}

function overbalanceRuns(making: Making): ClauseRuns {
  const { cart, clause, directions } = making;
  const pose = worstPose(making);
  if (pose === null || pose.incline === null) return nothingFound(making);
  const angle = requiredValue(clause, 'incline');
  const draft = (posed: Pose, downhill: number, purpose: string, governs: boolean): RunDraft => ({
    purpose,
    governs,
    pose: { ...posed, incline: { angle, downhill } },
    loading: { kind: 'incline', angle, downhill, locksOn: true, stop: true },
  });
  const sides = sidesBeside(directions, pose.incline.downhill).map(({ angle: side, towards }) => {
    const turned = turnedToTip(cart, pose, (posed) => inclineTip(posed, angle, side));
    return draft(turned, side, `downhill ${towards}`, false);
  });
  return runs(draft(pose, pose.incline.downhill, WORST_FOUND, true), ...sides);
}

function pushRuns(making: Making): ClauseRuns {
  const { cart, clause, directions } = making;
  const pose = worstPose(making);
  if (pose === null || pose.push === null) return nothingFound(making);
  const combined = clause.question.kind === 'combined force';
  const { direction, point } = pose.push;
  const worst: Pushed = {
    point,
    direction,
    force: askedForce(clause, poseCart(cart, pose).mass, 'weight-fraction', 'force-cap'),
    slant: combined ? 0 : Math.atan2(pose.press?.force ?? 0, pose.push.force),
    press: combined ? pose.press : null,
  };
  const sides = sidesBeside(directions, direction).map(({ angle, towards }) => {
    const side = worstPush(making, pose, { ...worst, direction: angle });
    return pushDraft(side.pose, side.pushed, `pushed ${towards}`, false);
  });
  return runs(pushDraft(pose, worst, WORST_FOUND, true), ...sides);
}

function pushDraft(pose: Pose, pushed: Pushed, purpose: string, governs: boolean): RunDraft {
  const { point, direction, force, slant, press } = pushed;
  const slanted = slant === 0 ? null : { point, force: force * Math.sin(slant) };
  return {
    purpose,
    governs,
    pose: {
      ...pose,
      push: { point, direction, force: force * Math.cos(slant) },
      press: press ?? slanted,
    },
    loading: {
      kind: 'push',
      point,
      direction,
      force,
      slant,
      locksOn: true,
      down: press?.force ?? 0,
      stop: true,
    },
  };
}

/** Of all places to push at (and to press on), with the castors turned worst for each, where the cart
 * tips first in the direction. */
function worstPush(
  { cart, clause }: Making,
  pose: Pose,
  pushed: Pushed,
): { readonly pose: Pose; readonly pushed: Pushed } {
  const greatest = requiredValue(clause, 'greatest-height');
  const all = pushesAt(cart, clause, pose, pushed, greatest).map((each) => {
    const tipOf = (posed: ReturnType<typeof poseCart>): Tip => pushTip(posed, each);
    const turned = turnedToTip(cart, pose, tipOf);
    return { pose: turned, pushed: each, ratio: tipOf(poseCart(cart, turned)).ratio };
  });
  const first = all[0];
  if (first === undefined) return { pose, pushed };
  return all.reduce((p, q) => (q.ratio < p.ratio ? q : p), first);
}

function pushesAt(
  cart: Cart,
  clause: Clause,
  pose: Pose,
  pushed: Pushed,
  greatest: number,
): readonly Pushed[] {
  const points = pushPlaces(cart, pose)
    .filter(({ bottom }) => bottom[2] <= greatest)
    .map(({ top, bottom }) => atHeight(bottom, top, greatest));
  if (clause.question.kind !== 'combined force') {
    return points.flatMap((point) =>
      slantsOf(cart, pose, point, pushed.direction).map((slant) => ({ ...pushed, point, slant })),
    );
  }
  const highest = points.reduce((p, q) => (q[2] > p[2] ? q : p), pushed.point);
  const force = askedForce(clause, poseCart(cart, pose).mass, 'down-fraction', 'down-cap');
  const leaning = leanPlaces(cart, pose).filter(({ at }) => at[2] <= greatest);
  return [null, ...leaning.map(({ at }) => ({ point: at, force }))].map((press) => ({
    ...pushed,
    point: highest,
    press,
  }));
}

/** The point of an upright edge at the height, or at its top where that is lower. */
function atHeight(bottom: Vec3, top: Vec3, height: number): Vec3 {
  if (top[2] <= height) return top;
  const share = (height - bottom[2]) / (top[2] - bottom[2]);
  return [
    bottom[0] + share * (top[0] - bottom[0]),
    bottom[1] + share * (top[1] - bottom[1]),
    height,
  ];
}

/** Level, and the slant with the greatest lever about each line that the castors can be turned to. */
function slantsOf(cart: Cart, pose: Pose, point: Vec3, direction: number): readonly number[] {
  const against = poseCart(cart, allTurned(pose, wrapped(direction + Math.PI)));
  const slants = against.lines.flatMap((line) => {
    const share = facing(line, direction);
    const over = beyond(line, point);
    return share > 0 && over > 0 ? [Math.atan2(over, point[2] * share)] : [];
  });
  return [0, ...slants];
}

function pressRuns(making: Making): ClauseRuns {
  const { clause, cart } = making;
  const pose = worstPose(making);
  if (pose === null || pose.press === null) return nothingFound(making);
  const { point, force } = pose.press;
  const on = surfaceAt(cart, pose, point);
  const narrow = on === 'foothold' ? optionalValue(clause, 'foothold-patch-width') : null;
  const patch = [
    requiredValue(clause, 'patch-length'),
    narrow ?? requiredValue(clause, 'patch-width'),
  ] as const;
  return runs({
    purpose: WORST_FOUND,
    governs: true,
    pose,
    loading: { kind: 'press', point, force, patch },
  });
}

/** m: two heights nearer to each other are those of one surface. */
const SAME_HEIGHT = 1e-6;

/** What a point is on: the surface at its height that it is nearest to the middle of. */
function surfaceAt(cart: Cart, pose: Pose, point: Vec3): string | null {
  const corners = leanPlaces(cart, pose);
  const near = cart.surfaces.map(({ name, kind }) => {
    const own = corners.filter(({ on }) => on === name).map(({ at }) => at);
    const middle = [0, 1].map((axis) => own.reduce((sum, at) => sum + (at[axis] ?? 0), 0) / 4);
    const level = own.every((at) => Math.abs(at[2] - point[2]) < SAME_HEIGHT);
    const off = Math.hypot(point[0] - (middle[0] ?? 0), point[1] - (middle[1] ?? 0));
    return { kind, off: level ? off : Number.POSITIVE_INFINITY };
  });
  const best = near.reduce<(typeof near)[number] | null>(
    (p, q) => (Number.isFinite(q.off) && (p === null || q.off < p.off) ? q : p),
    null,
  );
  return best?.kind ?? null;
}

function propulsionRuns(making: Making): ClauseRuns {
  const { cart, clause } = making;
  const pose = worstPose(making);
  if (pose === null) return nothingFound(making);
  const direction = travelDirection({ cart });
  const top = Math.max(...pushPlaces(cart, pose).map((place) => place.top[2]), 0);
  const greatest = requiredValue(clause, 'greatest-height');
  const height = top > 0 ? Math.min(top, greatest) : greatest;
  const force = propulsionOf(cart, { pose }, direction);
  const swivels = turnedForStart(cart, force.castors, direction);
  const [x, y] = poseCart(cart, pose).centreOfMass;
  return runs({
    purpose: WORST_FOUND,
    governs: true,
    pose: { ...pose, swivels, push: { point: [x, y, height], direction, force: force.start } },
    loading: {
      kind: 'propulsion',
      height,
      direction,
      force: requiredValue(clause, 'force-limit'),
      speed: optionalValue(clause, 'speed'),
      speedTolerance: optionalValue(clause, 'speed-tolerance'),
    },
  });
}

/** A castor opposes a pull most where the pull points at the corner of what it takes along and across its
 * wheel (docs/theory/rolling.md): turned out of the trailing way by acos(N b / r over the whole). */
function turnedForStart(
  cart: Cart,
  forces: readonly { readonly sustained: number; readonly start: number }[],
  direction: number,
): Pose['swivels'] {
  return Object.fromEntries(
    cart.castors.flatMap(({ name, fixedDirection }, i): [string, number][] => {
      if (fixedDirection !== null) return [];
      const { sustained, start } = forces[i] ?? { sustained: 1, start: 1 };
      const out = start > 0 ? Math.acos(Math.min(1, sustained / start)) : 0;
      return [[name, wrapped(direction + Math.PI + out)]];
    }),
  );
}

/** Forward first: the way it is driven. Where one way is worse, that one governs. */
function thresholdRuns(making: Making): ClauseRuns {
  const { cart, clause, finding, directions } = making;
  const transport = cart.positions.find(({ kind }) => kind === 'transport');
  const pose = worstPose(making) ?? (transport && startPose(cart, transport.name)) ?? null;
  if (pose === null) return nothingFound(making);
  const forward = travelDirection({ cart });
  const ways = [
    { angle: forward, words: 'driven forward' },
    { angle: wrapped(forward + Math.PI), words: 'driven backward' },
  ];
  const drafts = ways.map(({ angle, words }) => {
    const turned = turnedToTip(cart, pose, (posed) => stopTip(posed, angle));
    return {
      words,
      draft: thresholdDraft(clause, turned, angle, words),
      speed: stopTip(poseCart(cart, turned), angle).ratio,
    };
  });
  const [first, second] = drafts as [(typeof drafts)[number], (typeof drafts)[number]];
  const worst = second.speed < first.speed ? second : first;
  const other = worst === first ? second : first;
  const purpose = finding.worst === null ? worst.words : WORST_FOUND;
  const governing = { ...worst.draft, purpose, governs: true };
  return directions === 'worst' ? runs(governing) : runs(governing, other.draft);
}

function thresholdDraft(clause: Clause, pose: Pose, direction: number, purpose: string): RunDraft {
  return {
    purpose,
    governs: false,
    pose,
    loading: {
      kind: 'threshold',
      height: requiredValue(clause, 'step-height'),
      width: optionalValue(clause, 'step-width'),
      direction,
      speed: requiredValue(clause, 'speed'),
      speedTolerance: requiredValue(clause, 'speed-tolerance'),
      passes: optionalValue(clause, 'passes') ?? 1,
    },
  };
}

function holdingRuns(making: Making): ClauseRuns {
  const { cart, set, finding, directions } = making;
  const pose = worstPose(making);
  const direction = pose?.incline?.downhill ?? pose?.push?.direction ?? null;
  if (pose === null || direction === null) return nothingFound(making);
  const governing = governingHolding(making, pose, direction);
  const sides = sidesBeside(directions, direction);
  if (sides.length === 0) return runs(governing);
  const rose = holdingRose(cart, set, finding.id, pose, {
    directions: SIDES.length,
    castors: 'turned the worst way',
  });
  const others = sides.flatMap(({ angle, towards }): RunDraft[] => {
    const ray = rose?.rays.find((each) => Math.abs(wrapped(each.direction - angle)) < 1e-6);
    if (ray === undefined) return [];
    const turned = { ...pose, swivels: { ...pose.swivels, ...ray.swivels } };
    const verb = pose.push === null ? 'downhill' : 'pushed';
    return [holdingDraft(making, turned, angle, `${verb} ${towards}`, false)];
  });
  return runs(governing, ...others);
}

function holdingDraft(
  { clause }: Making,
  pose: Pose,
  direction: number,
  purpose: string,
  governs: boolean,
): RunDraft {
  if (pose.push === null) {
    const angle = requiredValue(clause, 'incline');
    return {
      purpose,
      governs,
      pose: { ...pose, incline: { angle, downhill: direction } },
      loading: { kind: 'incline', angle, downhill: direction, locksOn: true, stop: false },
    };
  }
  const { point, force } = pose.push;
  return {
    purpose,
    governs,
    pose: { ...pose, push: { point, direction, force } },
    loading: {
      kind: 'push',
      point,
      direction,
      force,
      slant: 0,
      locksOn: true,
      down: 0,
      stop: false,
    },
  };
}

/** Where it tips before anything slips, its castors may have to stand otherwise than as they trail: the
 * way in which the model has it go first. */
function governingHolding(making: Making, pose: Pose, direction: number): RunDraft {
  const { cart, set, finding, clause } = making;
  const draft = holdingDraft(making, pose, direction, WORST_FOUND, true);
  if (finding.mode?.kind !== 'tips') return draft;
  const tipOf = (posed: ReturnType<typeof poseCart>): Tip =>
    pose.push === null
      ? inclineTip(posed, requiredValue(clause, 'incline'), direction)
      : pushTip(posed, { ...pose.push, slant: 0, press: null });
  const turned = { ...draft, pose: turnedToTip(cart, draft.pose, tipOf) };
  const reached = ({ pose: posed, loading }: RunDraft): number => {
    const run = { finding: finding.id, loading, pose: posed };
    return predictRun(cart, set, run).capacity?.value ?? Number.POSITIVE_INFINITY;
  };
  return reached(turned) < reached(draft) ? turned : draft;
}

function castorLoadRuns(making: Making): ClauseRuns {
  const { cart, finding } = making;
  const pose = worstPose(making);
  if (pose === null || finding.mode?.kind !== 'overloads') return nothingFound(making);
  const castor = finding.mode.what;
  if (cart.castors.find(({ name }) => name === castor)?.rating == null) {
    return none(
      `The rating of ${castor} is not stated: there is nothing to compare a weighing with.`,
    );
  }
  return runs({
    purpose: WORST_FOUND,
    governs: true,
    pose,
    loading: { kind: 'weighing', castor, removed: false },
  });
}

function missingRuns(making: Making): ClauseRuns {
  const pose = worstPose(making);
  if (pose === null || pose.without === null) return nothingFound(making);
  return runs({
    purpose: WORST_FOUND,
    governs: true,
    pose,
    loading: { kind: 'weighing', castor: pose.without, removed: true },
  });
}

/** Each lifting handle at the most that it bears in the position of the finding. */
function handleRuns(making: Making): ClauseRuns {
  const { cart, clause, finding, directions } = making;
  const pose = worstPose(making);
  if (pose === null || finding.mode?.kind !== 'overloads') return nothingFound(making);
  const governing = finding.mode.what;
  const forces = handleForces(cart, pose.position, requiredValue(clause, 'factor'));
  const draft = (handle: string, force: number): RunDraft => ({
    purpose: handle === governing ? WORST_FOUND : `by ${handle}`,
    governs: handle === governing,
    pose,
    loading: { kind: 'lifting', handle, force, duration: optionalValue(clause, 'duration') },
  });
  const first = draft(governing, finding.demand?.value ?? forces.get(governing) ?? 0);
  if (directions === 'worst') return runs(first);
  const others = [...forces].filter(([name, force]) => name !== governing && force > 0);
  return runs(first, ...others.map(([name, force]) => draft(name, force)));
}

/** N by handle: the greatest over the movers and loads of the position. */
function handleForces(cart: Cart, position: string, factor: number): ReadonlyMap<string, number> {
  const placed = cart.positions.find(({ name }) => name === position);
  if (placed === undefined) return new Map();
  const handles = cart.handles.filter(({ kind }) => kind === 'lifting');
  const points = handles.map(({ on, at }) => ({
    mover: on === null ? -1 : cart.movers.findIndex(({ name }) => name === on),
    at,
  }));
  const domain = positionDomain(cart.movers, cart.loads, placed);
  const { handles: loads } = worstHandleLoads(buildMassModel(cart), domain, points, factor);
  return new Map(handles.map(({ name }, i) => [name, loads[i]?.force ?? 0]));
}
