/** Rules about what belongs to a cart: names in plans, weighings and friction tests are those of the
 * revision they speak of. */

import type { TestRun } from '../test-plan/index.js';
import type { CartNames } from './cart-names.js';
import { cartNames } from './cart-names.js';
import type { EntryProblem } from './entry.js';
import type { EntryBody, FrictionBody, PlanBody, Typed, WeighingBody } from './entry-body.js';
import { problemOf } from './entry-problem.js';
import type { ProjectState } from './project-state.js';
import { recordOf } from './project-state.js';
import { dimensionOf } from './typed-value.js';

type Path = EntryProblem['path'];

export function cartProblems(state: ProjectState, body: EntryBody): readonly EntryProblem[] {
  const names = namesFor(state, body);
  // a reference that leads nowhere is told as such
  if (names === null) return [];
  if (body.kind === 'plan') return planProblems(body, names);
  if (body.kind === 'weighing') return weighingProblems(body, names);
  return body.kind === 'friction' ? frictionProblems(body, names) : [];
}

function namesFor(state: ProjectState, body: EntryBody): CartNames | null {
  const cart = 'sample' in body ? recordOf(state, 'sample', body.sample)?.content.cart : null;
  const subject = body.kind === 'plan' ? body.cart : cart;
  const record = subject == null ? null : recordOf(state, 'cart', subject);
  return record && cartNames(record.content);
}

function planProblems({ plan }: PlanBody, names: CartNames): readonly EntryProblem[] {
  return plan.runs.flatMap((run, i) => runProblems(run, ['body', 'plan', 'runs', i], names));
}

function runProblems(run: TestRun, path: Path, names: CartNames): readonly EntryProblem[] {
  const { setUp, pose, loading } = run;
  const at = [...path, 'setUp'];
  return [
    ...known('position', [setUp.position], names.positions, () => [...at, 'position']),
    ...known('mover', Object.keys(setUp.movers), movers(names), (name) => [...at, 'movers', name]),
    ...known('load', Object.keys(setUp.loads), names.loads, (name) => [...at, 'loads', name]),
    ...known(
      'castor',
      setUp.castors.map(({ name }) => name),
      names.castors,
      (_, i) => [...at, 'castors', i, 'name'],
    ),
    ...known('position', [pose.position], names.positions, () => [...path, 'pose', 'position']),
    ...known('castor that swivels', Object.keys(pose.swivels), names.swivelling, (name) => [
      ...path,
      'pose',
      'swivels',
      name,
    ]),
    ...(loading.kind === 'weighing'
      ? known('castor', [loading.castor], names.castors, () => [...path, 'loading', 'castor'])
      : []),
    ...(loading.kind === 'lifting'
      ? known('handle', [loading.handle], names.handles, () => [...path, 'loading', 'handle'])
      : []),
  ];
}

function weighingProblems(body: WeighingBody, names: CartNames): readonly EntryProblem[] {
  const castors = body.scales.flatMap((scale) => scale.castors);
  return [
    ...known('position', [body.position], names.positions, () => ['body', 'position']),
    ...complete('mover', Object.keys(body.movers), movers(names), ['body', 'movers']),
    ...moverDimensions(body.movers, names),
    ...complete('load', Object.keys(body.loads), names.loads, ['body', 'loads']),
    ...complete('castor that swivels', Object.keys(body.swivels), names.swivelling, [
      'body',
      'swivels',
    ]),
    ...complete('castor', castors, names.castors, ['body', 'scales']),
  ];
}

function moverDimensions(
  given: Readonly<Record<string, Typed>>,
  names: CartNames,
): readonly EntryProblem[] {
  return Object.entries(given).flatMap(([name, typed]) => {
    const due = names.movers.get(name);
    if (due === undefined || dimensionOf(typed, [due]) !== null) return [];
    const how = due === 'length' ? 'slides' : 'turns';
    const allowed = due === 'length' ? 'a length' : 'an angle';
    const path = ['body', 'movers', name];
    return [problemOf('value', path, typed, `is not how far it goes: it ${how}`, allowed)];
  });
}

function frictionProblems({ tread }: FrictionBody, names: CartNames): readonly EntryProblem[] {
  return known('tread', [tread], names.treads, () => ['body', 'tread']);
}

function movers(names: CartNames): ReadonlySet<string> {
  return new Set(names.movers.keys());
}

/** All named are the cart's. */
function known(
  kind: string,
  given: readonly string[],
  there: ReadonlySet<string>,
  pathOf: (name: string, index: number) => Path,
): readonly EntryProblem[] {
  return given.flatMap((name, i) => {
    if (there.has(name)) return [];
    const remark = `is no ${kind} of the cart`;
    return [problemOf('reference', pathOf(name, i), name, remark, listed(there))];
  });
}

/** All named are the cart's, and all of the cart's are named: what is left out of a weighing would count
 * as nothing. */
function complete(
  kind: string,
  given: readonly string[],
  there: ReadonlySet<string>,
  path: Path,
): readonly EntryProblem[] {
  const missing = [...there].filter((name) => !given.includes(name));
  return [
    ...known(kind, given, there, (name) => [...path, name]),
    ...missing.map((name) =>
      problemOf('value', path, undefined, `says nothing of the ${kind} "${name}"`, listed(there)),
    ),
  ];
}

const MOST_LISTED = 20;

function listed(names: ReadonlySet<string>): string {
  const all = [...names];
  if (all.length === 0) return 'none: the cart has none';
  const rest = all.length > MOST_LISTED ? ` and ${all.length - MOST_LISTED} more` : '';
  return `${all.slice(0, MOST_LISTED).join(', ')}${rest}`;
}
