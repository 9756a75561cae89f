/** A run in words: how it is set up, what is done, what decides it. */

import { amountText, headingText, listed, pointText, quantityText } from '../analysis/index.js';
import type { UnitSystem } from '../units/index.js';
import { criterionWords, durationWords, isHeld, raisedTo } from './acceptance.js';
import { predictionWords } from './prediction-words.js';
import type { SetUpChange } from './set-up-changes.js';
import { hasStop, setUpChanges } from './set-up-changes.js';
import type { Loading, SetUp, TestPlan, TestRun } from './test-run.js';

export interface RunWords {
  /** one line each: position, movers, loads, castors and locks, floor */
  readonly setUp: readonly { readonly label: string; readonly text: string }[];
  /** numbered steps */
  readonly steps: readonly string[];
  readonly loading: string;
  readonly prediction: string;
  readonly acceptance: readonly string[];
  readonly record: readonly string[];
}

export function runWords(run: TestRun, units: UnitSystem): RunWords {
  const held = isHeld(run);
  const words = predictionWords(run.prediction, run.loading, units);
  return {
    setUp: setUpLines(run, units),
    steps: stepsOf(run, units),
    loading: loadingWords(run, units),
    prediction: [words, provenWords(run, units)].filter((text) => text !== '').join(' '),
    acceptance: run.criteria.map((each) => {
      const note = each.confirmed ? '' : ' (value not confirmed)';
      return `${criterionWords(each, run.loading, held, units)}${note}`;
    }),
    record: run.record,
  };
}

function provenWords({ prediction, criteria }: TestRun, units: UnitSystem): string {
  const { proven } = prediction;
  if (proven === null) return '';
  return criteria.every(({ sense }) => sense === 'at most')
    ? `Proven: no configuration needs more than ${amountText(proven, units)}.`
    : `Proven: no configuration gives way below ${amountText(proven, units)}.`;
}

/** 'forward (0 deg)', 'to the left (90 deg)' */
export function towards(direction: number, units: UnitSystem): string {
  const words = headingText(Math.round(direction * TENTHS) / TENTHS, units);
  return words.replace(/^(left|right)/, 'to the $1').replace(/^back\b(?! and)/, 'backward');
}

/** Tenths of a degree in a radian: nobody sets a heading closer. */
const TENTHS = 1800 / Math.PI;

function moverText(setUp: SetUp, name: string, value: number, units: UnitSystem): string {
  const turns = setUp.turning.includes(name);
  const text = quantityText(value, turns ? 'angle' : 'length', units);
  return turns ? `turned ${text}` : `at ${text}`;
}

function loadText(mass: number, units: UnitSystem): string {
  return mass === 0 ? 'none (absent or empty)' : quantityText(mass, 'mass', units);
}

function setUpLines(run: TestRun, units: UnitSystem): RunWords['setUp'] {
  const { setUp } = run;
  return [
    { label: 'position', text: setUp.position },
    ...Object.entries(setUp.movers).map(([name, value]) => ({
      label: name,
      text: moverText(setUp, name, value, units),
    })),
    ...Object.entries(setUp.loads).map(([name, mass]) => ({
      label: name,
      text: loadText(mass, units),
    })),
    ...castorLines(run, units),
    { label: 'locks', text: locksText(setUp) },
    { label: 'floor', text: setUp.floor },
    ...(hasStop(run) ? [{ label: 'low stop', text: stopText(run.loading) }] : []),
  ];
}

function stopText({ kind }: Loading): string {
  return kind === 'incline' ? 'at the castors downhill' : 'at the castors on the far side';
}

function castorLines({ setUp, pose }: TestRun, units: UnitSystem): RunWords['setUp'] {
  const { without } = pose;
  const there = setUp.castors.filter(({ name }) => name !== without);
  const free = there.filter(({ swivel, name }) => swivel === null && name in pose.swivels);
  return [
    ...turnedAlike(there).map(({ names, angle }) => ({
      label: names.length === 1 ? `castor ${names[0]}` : `castors ${listed(names)}`,
      text: `wheel${names.length > 1 ? 's' : ''} trailing ${towards(angle, units)}`,
    })),
    ...(free.length === 0
      ? []
      : [{ label: castorsNamed(free.map(({ name }) => name)), text: 'free to trail' }]),
    ...(without === null ? [] : [{ label: `castor ${without}`, text: 'taken off' }]),
  ];
}

function castorsNamed(names: readonly string[]): string {
  return names.length === 1 ? `castor ${names[0]}` : `castors ${listed(names)}`;
}

/** rad: castors turned alike to this are named together. */
const ALIKE = 0.01;

function turnedAlike(
  castors: readonly { readonly name: string; readonly swivel: number | null }[],
): readonly { readonly names: readonly string[]; readonly angle: number }[] {
  const groups: { readonly names: string[]; readonly angle: number }[] = [];
  for (const { name, swivel } of castors) {
    if (swivel === null) continue;
    const group = groups.find(({ angle }) => Math.cos(angle - swivel) > Math.cos(ALIKE));
    if (group === undefined) groups.push({ names: [name], angle: swivel });
    else group.names.push(name);
  }
  return groups;
}

function locksText({ castors }: SetUp): string {
  const lockable = castors.filter(({ lock }) => lock !== 'none');
  if (lockable.length === 0) return 'none fitted';
  const on = lockable.filter(({ locked }) => locked);
  if (on.length === 0) return 'off';
  const names = listed(on.map(({ name, lock }) => `${name} (${lock})`));
  return on.length === lockable.length ? `on: ${names}` : `on: ${names}; the others off`;
}

function loadingWords({ loading, pose }: TestRun, units: UnitSystem): string {
  const force = (value: number): string => quantityText(value, 'force', units);
  switch (loading.kind) {
    case 'incline':
      return `incline of ${quantityText(loading.angle, 'angle', units)}, downhill ${towards(loading.downhill, units)}`;
    case 'push': {
      const slant =
        loading.slant < SLANT_SHOWN
          ? 'level'
          : `slanting down ${quantityText(loading.slant, 'angle', units)}`;
      const pressed =
        loading.down === 0 || pose.press === null
          ? ''
          : `, and pressed down with ${force(loading.down)} at ${pointText(pose.press.point, units)}`;
      return `push of ${force(loading.force)} ${towards(loading.direction, units)}, ${slant}, at ${pointText(loading.point, units)}${pressed}`;
    }
    case 'press': {
      const sides = loading.patch.map((side) => quantityText(side, 'length', units)).join(' by ');
      const over = Math.max(...loading.patch) === 0 ? '' : `, spread over ${sides}`;
      return `${force(loading.force)} straight down at ${pointText(loading.point, units)}${over}`;
    }
    case 'propulsion':
      return `pushed ${towards(loading.direction, units)} at a height of ${quantityText(loading.height, 'length', units)}${speedText(loading.speed, loading.speedTolerance, units)}`;
    case 'threshold': {
      const width =
        loading.width === null ? '' : `, ${quantityText(loading.width, 'length', units)} wide`;
      const times = loading.passes === 1 ? 'once' : `${loading.passes} times`;
      return `over a step ${quantityText(loading.height, 'length', units)} high${width}, ${towards(loading.direction, units)}${speedText(loading.speed, loading.speedTolerance, units)}, ${times}`;
    }
    case 'weighing':
      return loading.removed
        ? `${loading.castor} taken off, the cart standing on the others`
        : `scale under ${loading.castor}, all castors at one height`;
    case 'lifting':
      return `${force(loading.force)} up on ${loading.handle}${durationWords(loading.duration)}`;
  }
}

/** rad: a slant below half a degree is not one that a gauge is held at. */
const SLANT_SHOWN = 0.009;

function speedText(speed: number | null, tolerance: number | null, units: UnitSystem): string {
  if (speed === null) return '';
  const about = tolerance === null ? '' : ` (within ${quantityText(tolerance, 'speed', units)})`;
  return `, at ${quantityText(speed, 'speed', units)}${about}`;
}

function stepsOf(run: TestRun, units: UnitSystem): readonly string[] {
  const { repeats } = run;
  const again = repeats === 1 ? [] : [`Do it ${repeats} times in all, set up anew each time.`];
  return ['Set the cart up as listed.', ...doing(run, units), ...again];
}

function doing(run: TestRun, units: UnitSystem): readonly string[] {
  const { loading } = run;
  const held = isHeld(run);
  const raised = raisedTo(run);
  const on = raised === null ? '' : amountText(raised, units);
  switch (loading.kind) {
    case 'incline':
      return held ? heldOnRamp(run, on, units) : tippedOnRamp(loading, on, units);
    case 'push':
      return held ? heldByPush(run, on, units) : tippedByPush(run, on, units);
    case 'press':
      return [
        'Put the restraint on, slack.',
        `Press slowly up to ${loadingWords(run, units)}.`,
        `If it stands, go on to ${on}. If it begins to tip, stop and read the force.`,
      ];
    case 'propulsion':
      return [
        `Hold the gauge level at a height of ${quantityText(loading.height, 'length', units)} and push ${towards(loading.direction, units)}, slowly from rest.`,
        `Read the greatest force to start it, then the force that keeps it going${speedText(loading.speed, loading.speedTolerance, units)}.`,
      ];
    case 'threshold':
      return [
        'Fix the step to the floor, square to the way.',
        `Drive it ${towards(loading.direction, units)} over the step${speedText(loading.speed, loading.speedTolerance, units)}.`,
        `Pass it ${loading.passes === 1 ? 'once' : `${loading.passes} times`}; look after each pass.`,
      ];
    case 'weighing':
      return loading.removed ? missing(loading.castor) : weighed(loading.castor);
    case 'lifting':
      return [
        'Fix the cart down, or load it to the weight that gives the force.',
        `Pull straight up on ${loading.handle} to ${quantityText(loading.force, 'force', units)}${durationWords(loading.duration)}.`,
        'Let go slowly; look for damage.',
      ];
  }
}

function tippedOnRamp(
  { angle, downhill }: Extract<Loading, { readonly kind: 'incline' }>,
  on: string,
  units: UnitSystem,
): readonly string[] {
  return [
    `Stand it on the ramp, still level, so that downhill will be ${towards(downhill, units)}. Put the restraint on, slack, and the low stop below the castors.`,
    `Raise the ramp slowly to ${quantityText(angle, 'angle', units)}; wait until it is at rest.`,
    `If it stands, go on to ${on}. If it begins to tip, stop and read the angle.`,
  ];
}

function heldOnRamp(run: TestRun, on: string, units: UnitSystem): readonly string[] {
  const { loading } = run;
  if (loading.kind !== 'incline') return [];
  return [
    `Stand it on the ramp, still level, so that downhill will be ${towards(loading.downhill, units)}. Put the restraint on, slack. Mark where it stands.`,
    `Raise the ramp slowly to ${quantityText(loading.angle, 'angle', units)}. ${SETTLE}`,
    `If it is held, go on to ${on} or until it moves on; read the angle.`,
  ];
}

const SETTLE =
  'Let it give, creep and pivot until it rests; mark it again and measure what it moves from there.';

function tippedByPush(run: TestRun, on: string, units: UnitSystem): readonly string[] {
  const { loading, pose } = run;
  if (loading.kind !== 'push') return [];
  const stopped = loading.stop
    ? ['Put the restraint on, slack, and the low stop at the castors on the far side.']
    : ['Put the restraint on, slack.'];
  const pressed =
    loading.down > 0 && pose.press !== null
      ? [
          `Press down with ${quantityText(loading.down, 'force', units)} at ${pointText(pose.press.point, units)} all the while.`,
        ]
      : [];
  return [
    ...stopped,
    ...pressed,
    `Push slowly up to ${quantityText(loading.force, 'force', units)}: ${pushWords(loading, units)}.`,
    `If it stands, go on to ${on}. If it begins to tip, stop and read the force.`,
  ];
}

function heldByPush(run: TestRun, on: string, units: UnitSystem): readonly string[] {
  const { loading } = run;
  if (loading.kind !== 'push') return [];
  return [
    'Put the restraint on, slack. Mark where it stands.',
    `Push slowly up to ${quantityText(loading.force, 'force', units)}: ${pushWords(loading, units)}. ${SETTLE}`,
    `If it is held, go on to ${on} or until it moves on; read the force.`,
  ];
}

function pushWords(
  { direction, slant, point }: Extract<Loading, { readonly kind: 'push' }>,
  units: UnitSystem,
): string {
  const height = quantityText(point[2], 'length', units);
  const level =
    slant < SLANT_SHOWN ? 'level' : `slanting down ${quantityText(slant, 'angle', units)}`;
  return `${towards(direction, units)}, ${level}, ${height} above the floor`;
}

function weighed(castor: string): readonly string[] {
  return [
    `Scale under ${castor}, blocks of the same height under the others; the cart level.`,
    'Locks off once it stands, so that nothing pushes sideways. Read the scale.',
  ];
}

function missing(castor: string): readonly string[] {
  return [
    'Weigh every castor first: the one to be taken off is that which carries most.',
    `Put the restraint on, slack. Jack the cart up at ${castor}, take the castor off, and let it down slowly.`,
    'See whether it stands.',
  ];
}

/** What is changed on the cart from one run to the next, in words; empty: nothing. */
export function changesBetween(
  before: TestRun | null,
  after: TestRun,
  units: UnitSystem,
): readonly string[] {
  const changes = setUpChanges(before, after);
  const castors = changes.flatMap((change) =>
    change.kind === 'castor' && change.to !== null
      ? [{ name: change.name, swivel: change.to }]
      : [],
  );
  const others = changes.flatMap((change) => {
    const text = changeText(change, after, units);
    return text === null ? [] : [text];
  });
  return [
    ...others,
    ...turnedAlike(castors).map(
      ({ names, angle }) =>
        `turn ${castorsNamed(names)} so that ${names.length === 1 ? 'its wheel trails' : 'their wheels trail'} ${towards(angle, units)}`,
    ),
  ];
}

/** null: told elsewhere */
function changeText(
  change: SetUpChange,
  { setUp, loading }: TestRun,
  units: UnitSystem,
): string | null {
  switch (change.kind) {
    case 'ground':
      return change.to === 'ramp' ? 'bring it onto the ramp' : 'bring it onto the level floor';
    case 'covering':
      return change.to === null ? 'take up the covering' : `lay ${change.to} under it`;
    case 'incline':
      return `set the ramp for ${quantityText(change.to, 'angle', units)}`;
    case 'heading':
      return `turn the cart on the ramp: downhill ${towards(change.downhill, units)}`;
    case 'mover':
      return `set ${change.name}: ${moverText(setUp, change.name, change.to, units)}`;
    case 'load':
      return change.to === 0
        ? `take out or empty ${change.name}`
        : `set ${change.name} to ${quantityText(change.to, 'mass', units)}`;
    case 'castor':
      return null;
    case 'locks':
      return [
        change.on.length === 0 ? '' : `locks on: ${listed(change.on)}`,
        change.off.length === 0 ? '' : `locks off: ${listed(change.off)}`,
      ]
        .filter((text) => text !== '')
        .join('; ');
    case 'stop':
      return change.there ? `lay the low stop ${stopText(loading)}` : 'take the low stop away';
    case 'castor off':
      return `take off castor ${change.name}`;
    case 'castor back':
      return `put back castor ${change.name}`;
  }
}

/** A plan's runs that need this equipment, by its id, in their order. */
export function runsNeeding(plan: TestPlan, equipment: string): readonly TestRun[] {
  const ids = new Set(plan.equipment.find(({ id }) => id === equipment)?.runs);
  return plan.runs.filter(({ id }) => ids.has(id));
}
