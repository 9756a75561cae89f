import type { Body, Handle, Surface, Vec3 } from './cart.js';
import type {
  BodyDraft,
  HandleDraft,
  MoverDraft,
  RectangleDraft,
  SurfaceDraft,
} from './cart-shape.js';
import type { IssueLog } from './issue-log.js';
import type { Names } from './names.js';
import { carrier } from './names.js';
import { aboveFloor } from './parts.js';
import type { Located } from './shape.js';

/** @returns the body, or undefined where it could not be made (the log says why) */
export function readBody(
  draft: BodyDraft,
  movers: Names<MoverDraft>,
  log: IssueLog,
): Body | undefined {
  const { name, pushable } = draft.fields;
  const on = carrier(draft.fields.on, movers, log);
  const shape = readBodyShape(draft, log);
  if (name === undefined || pushable === undefined) return undefined;
  if (on === undefined || shape === undefined) return undefined;
  return { name: name.value, on, shape, pushable: pushable.value };
}

function readBodyShape(draft: BodyDraft, log: IssueLog): Body['shape'] | undefined {
  const { box, cylinder } = draft.fields;
  if (box) {
    const { from, to } = box.value.fields;
    if (from === undefined || to === undefined || !aboveFloor(from, log)) return undefined;
    if (!hasExtent(from, to, log)) return undefined;
    return { kind: 'box', from: from.value, to: to.value };
  }
  if (!cylinder) return undefined;
  const { base, radius, height } = cylinder.value.fields;
  if (base === undefined || radius === undefined || height === undefined) return undefined;
  if (!aboveFloor(base, log)) return undefined;
  return { kind: 'cylinder', base: base.value, radius: radius.value, height: height.value };
}

const LETTERS = ['x', 'y', 'z'];

/** Every coordinate of `to` lies above that of `from`; those that do not are reported. */
function hasExtent(
  from: Located<readonly number[]>,
  to: Located<readonly number[]>,
  log: IssueLog,
): boolean {
  const flat = to.value.flatMap((end, index) => (end > (from.value[index] ?? end) ? [] : [index]));
  for (const index of flat) {
    const start = millimetres(from.value[index] ?? 0);
    log.report({
      code: 'no-extent',
      offset: to.offset,
      path: `${to.path} > ${LETTERS[index]}`,
      actual: `from ${start} to ${millimetres(to.value[index] ?? 0)}`,
      allowed: `more than ${start}, the ${LETTERS[index]} of ${from.path}`,
    });
  }
  return flat.length === 0;
}

function millimetres(value: number): string {
  return `${Number((value * 1000).toPrecision(6))} mm`;
}

/** @returns the surface, or undefined where it could not be made (the log says why) */
export function readSurface(
  draft: SurfaceDraft,
  movers: Names<MoverDraft>,
  log: IssueLog,
): Surface | undefined {
  const { name, foothold, seat } = draft.fields;
  const on = carrier(draft.fields.on, movers, log);
  const stated = foothold ?? seat ?? draft.fields['work surface'];
  const rectangle = stated && readRectangle(stated.value, log);
  if (name === undefined || on === undefined || !rectangle) return undefined;
  const kind = foothold ? 'foothold' : seat ? 'seat' : 'work surface';
  return { name: name.value, kind, on, ...rectangle };
}

function readRectangle(
  draft: RectangleDraft,
  log: IssueLog,
): Pick<Surface, 'from' | 'to' | 'height'> | undefined {
  const { from, to, height } = draft.fields;
  if (from === undefined || to === undefined || height === undefined) return undefined;
  if (!hasExtent(from, to, log)) return undefined;
  return { from: from.value, to: to.value, height: height.value };
}

/** @returns the handle, or undefined where it could not be made (the log says why) */
export function readHandle(
  draft: HandleDraft,
  movers: Names<MoverDraft>,
  log: IssueLog,
): Handle | undefined {
  const { name, pushing, lifting } = draft.fields;
  const on = carrier(draft.fields.on, movers, log);
  const at = pushing
    ? readGrip(pushing.value.fields.at, log)
    : readGrip(lifting?.value.fields.at, log);
  const rating = lifting ? lifting.value.fields.rating : null;
  if (name === undefined || on === undefined || at === undefined) return undefined;
  if (rating === undefined) return undefined;
  const kind = pushing ? 'pushing' : 'lifting';
  return { name: name.value, on, at, kind, rating: rating?.value ?? null };
}

function readGrip(at: Located<Vec3> | undefined, log: IssueLog): Vec3 | undefined {
  return at !== undefined && aboveFloor(at, log) ? at.value : undefined;
}
