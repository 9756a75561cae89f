/** Problems of entries: place, value, what is allowed, and the sentence that says so. */

import { visible } from '../requirements/index.js';
import type { EntryProblem, EntryProblemCode } from './entry.js';

type Path = EntryProblem['path'];

/**
 * @param value what stands there; undefined: nothing
 * @param remark what is wrong with it, as a verb: 'is missing'
 */
export function problemOf(
  code: EntryProblemCode,
  path: Path,
  value: unknown,
  remark: string,
  allowed: string,
): EntryProblem {
  const actual = shown(value);
  const what = blankRemark(value, remark) ?? (actual === null ? remark : `${actual} ${remark}`);
  const message = `${placeWords(path)}: ${visible(what)}; allowed: ${visible(allowed)}`;
  return { code, path, actual, allowed, message };
}

const REFUSED = /^is (?:no reason|not allowed|not what is due here)/;

/** What was left blank is missing, whatever stands for blank in an entry; null: it is not blank. */
function blankRemark(value: unknown, remark: string): string | null {
  if (!REFUSED.test(remark)) return null;
  if (value === '' || value === null) return remark.replace(REFUSED, 'is missing');
  return Array.isArray(value) && value.length === 0 ? remark.replace(REFUSED, 'is empty') : null;
}

const LONGEST_SHOWN = 80;

function shown(value: unknown): string | null {
  if (value === undefined) return null;
  if (typeof value === 'string') return `"${shortened(value)}"`;
  if (Array.isArray(value)) return `a list of ${value.length}`;
  if (typeof value !== 'object' || value === null) return shortened(String(value));
  const keys = Object.keys(value).slice(0, 4).map(shortened);
  return keys.length === 0 ? 'a map with nothing in it' : `a map with ${keys.join(', ')}`;
}

function shortened(text: string): string {
  const seen = visible(text.slice(0, LONGEST_SHOWN + 1));
  return seen.length <= LONGEST_SHOWN ? seen : `${seen.slice(0, LONGEST_SHOWN - 3)}...`;
}

/** 'readings 2, load' of ['body', 'readings', 1, 'load']; 'repeats 1, item 2' of two numbers in a row. They
 * count from 1. */
export function placeWords(path: Path): string {
  const steps = path[0] === 'body' && path.length > 1 ? path.slice(1) : path;
  const words = steps.map((step, i) => {
    if (typeof step === 'string') return `${i === 0 ? '' : ', '}${shortened(plainWords(step))}`;
    return typeof steps[i - 1] === 'string' ? ` ${step + 1}` : `, item ${step + 1}`;
  });
  return words.length === 0 ? 'the entry' : words.join('');
}

/** 'contact uncertainty' of contactUncertainty; a name of the user's is left as it is */
function plainWords(step: string): string {
  return /^[a-z]+(?:[A-Z][a-z]*)+$/.test(step)
    ? step.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`)
    : step;
}

export function pathSteps(path: readonly PropertyKey[]): Path {
  return path.map((step) => (typeof step === 'symbol' ? String(step) : step));
}

export function valueAt(json: unknown, path: Path): unknown {
  return path.reduce<unknown>((at, step) => {
    if (typeof at !== 'object' || at === null || !Object.hasOwn(at, step)) return undefined;
    return (at as Readonly<Record<string | number, unknown>>)[step];
  }, json);
}

/** Nothing that an entry holds is deeper, and none has as many values. */
const MOST_DEPTH = 40;
const MOST_VALUES = 500_000;

/**
 * What is in the way of reading it at all: values that JSON cannot hold, a name that objects keep for
 * themselves, or more than any entry has. null: nothing.
 */
export function plainProblem(json: unknown): EntryProblem | null {
  let values = 0;
  return visit(json, []);

  function visit(value: unknown, path: Path): EntryProblem | null {
    values += 1;
    if (values > MOST_VALUES) return fault([], 'has too many values', `at most ${MOST_VALUES}`);
    if (path.length > MOST_DEPTH) return fault(path, 'is too deep', `${MOST_DEPTH} levels`);
    if (typeof value !== 'object' || value === null) return scalarFault(value, path);
    if (Array.isArray(value)) return firstFault(value.entries(), path);
    const prototype: unknown = Object.getPrototypeOf(value);
    if (prototype !== null && Object.getPrototypeOf(prototype) !== null) {
      return fault(path, 'is an object of a class', 'plain JSON');
    }
    if (Object.hasOwn(value, '__proto__')) {
      return fault([...path, '__proto__'], 'is no name for a field', 'any other name');
    }
    return firstFault(Object.entries(value), path);
  }

  function firstFault(
    entries: Iterable<readonly [string | number, unknown]>,
    path: Path,
  ): EntryProblem | null {
    for (const [step, value] of entries) {
      const found = visit(value, [...path, step]);
      if (found !== null) return found;
    }
    return null;
  }
}

function scalarFault(value: unknown, path: Path): EntryProblem | null {
  const isJson =
    value === null ||
    typeof value === 'string' ||
    typeof value === 'boolean' ||
    (typeof value === 'number' && Number.isFinite(value));
  return isJson ? null : problemOf('shape', path, String(value), 'is not JSON', 'plain JSON');
}

function fault(path: Path, remark: string, allowed: string): EntryProblem {
  return problemOf('shape', path, undefined, remark, allowed);
}
