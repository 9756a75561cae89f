/** A user's requirement file: sets of their own, and confirmations. */

import type { z } from 'zod';
import { applyPartially } from './apply-file.js';
import { builtInSets } from './built-in-sets.js';
import type { Problem, RequirementFile, SetDraft, ValueConfirmation } from './draft.js';
import {
  confirmationSchema,
  FILE_VERSION,
  fileSchema,
  setSchema,
  VERSION_KEY,
} from './file-schema.js';
import type { ReadResult } from './issue.js';
import type { PlacedProblem } from './issue-places.js';
import { issuesOf, visible } from './issue-places.js';
import type { RequirementSet } from './requirement-set.js';
import type { YamlResult } from './yaml-text.js';
import { readYaml } from './yaml-text.js';

/**
 * Reads and checks the whole file: its form, every figure, and that its sets and confirmations go with
 * the built-in sets. Never throws; all issues come in the order of the file.
 *
 * @param text the file; a byte order mark at its start is passed over
 * @param file its name, for the issues
 */
export function readRequirementFile(
  text: string,
  file: string,
  builtIns: readonly RequirementSet[] = builtInSets,
): ReadResult<RequirementFile> {
  const body = text.startsWith('\ufeff') ? text.slice(1) : text;
  const yaml = readYaml(body);
  if (yaml.kind === 'invalid') {
    const problems = yaml.problems.map((each) => ({ ...each, path: 'the file' }));
    return { kind: 'invalid', issues: issuesOf(problems, body, file) };
  }
  const problems = versionProblems(yaml.data);
  const read = problems.length === 0 ? readData(yaml.data, builtIns) : { problems, value: null };
  if (read.value !== null && read.problems.length === 0) {
    return { kind: 'ok', value: read.value, warnings: [] };
  }
  const placed = read.problems.map((each) => placeOf(each, yaml));
  return { kind: 'invalid', issues: issuesOf(placed, body, file) };
}

function placeOf(
  problem: Problem,
  yaml: Extract<YamlResult, { readonly kind: 'ok' }>,
): PlacedProblem {
  const { code, path, at, actual, allowed } = problem;
  const offset = path.length === 0 ? null : yaml.offsetOf(path, at);
  // a number as it is written: .nan, 1e999
  const written = actual === null || at === 'key' ? null : yaml.sourceAt(path);
  return { code, offset, path: pathText(path, yaml.data), actual: written ?? actual, allowed };
}

interface ReadData {
  readonly problems: readonly Problem[];
  readonly value: RequirementFile | null;
}

function readData(data: unknown, builtIns: readonly RequirementSet[]): ReadData {
  const parsed = fileSchema.safeParse(data);
  const problems = parsed.success
    ? []
    : parsed.error.issues.flatMap((each) => problemsOf(each, data));
  const sets = listIn(data, 'sets').map((each) => readSet(each));
  const confirmations = listIn(data, 'confirmations').map((each) => readConfirmation(each));
  const unreadable = new Set(
    sets.flatMap((set, index) => (set === null ? idOf(listIn(data, 'sets')[index]) : [])),
  );
  const applied = applyPartially(builtIns, { sets, confirmations, unreadable });
  return {
    problems: [...problems, ...applied.problems],
    value: {
      sets: sets.filter((each) => each !== null),
      confirmations: confirmations.filter((each) => each !== null),
    },
  };
}

function readSet(data: unknown): SetDraft | null {
  const parsed = setSchema.safeParse(data);
  return parsed.success ? parsed.data : null;
}

function readConfirmation(data: unknown): ValueConfirmation | null {
  const parsed = confirmationSchema.safeParse(data);
  return parsed.success ? { ...parsed.data, reads: String(parsed.data.reads) } : null;
}

function isMap(data: unknown): data is Readonly<Record<string, unknown>> {
  return typeof data === 'object' && data !== null && !Array.isArray(data);
}

function fieldOf(data: unknown, key: string): unknown {
  return isMap(data) && Object.hasOwn(data, key) ? data[key] : undefined;
}

function listIn(data: unknown, key: string): readonly unknown[] {
  const list = fieldOf(data, key);
  return Array.isArray(list) ? list : [];
}

function idOf(data: unknown): readonly string[] {
  const id = fieldOf(data, 'id');
  return typeof id === 'string' ? [id] : [];
}

function versionProblems(data: unknown): readonly Problem[] {
  const version = fieldOf(data, VERSION_KEY);
  if (version === undefined) {
    const code = data === null ? 'empty-file' : 'not-a-requirement-file';
    const allowed = `a file that starts with "${VERSION_KEY}: ${FILE_VERSION}"`;
    return [{ code, path: [], at: 'value', actual: null, allowed }];
  }
  if (version === FILE_VERSION) return [];
  const isNewer =
    typeof version === 'number' && Number.isInteger(version) && version > FILE_VERSION;
  const code = isNewer ? 'too-new' : 'bad-version';
  const allowed = String(FILE_VERSION);
  return [{ code, path: [VERSION_KEY], at: 'value', actual: shown(version), allowed }];
}

type ZodIssue = z.core.$ZodIssue;

const CODES: Readonly<Partial<Record<ZodIssue['code'], string>>> = {
  invalid_type: 'wrong-kind',
  invalid_union: 'wrong-kind',
  invalid_value: 'not-a-choice',
  too_small: 'bad-text',
  too_big: 'bad-text',
  invalid_format: 'bad-text',
  custom: 'duplicate-name',
};

/** Unknown fields told of one map: finding the place of each takes time of its own. */
const MOST_UNKNOWN = 100;

function problemsOf(issue: ZodIssue, data: unknown): readonly Problem[] {
  const path = issue.path.map((step) => (typeof step === 'symbol' ? String(step) : step));
  const allowed = issue.message;
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.slice(0, MOST_UNKNOWN).map((key) => {
      return { code: 'unknown-field', path: [...path, key], at: 'key', actual: key, allowed };
    });
  }
  const there = path.reduce<unknown>(
    (at, step) =>
      typeof step === 'number' && Array.isArray(at) ? at[step] : fieldOf(at, String(step)),
    data,
  );
  const code = there === undefined ? 'missing-field' : codeOf(issue, there);
  return [{ code, path, at: 'value', actual: shown(there), allowed }];
}

function codeOf(issue: ZodIssue, there: unknown): string {
  if (issue.code === 'custom' && typeof issue.params?.code === 'string') {
    return issue.params.code;
  }
  if (there === null) return 'missing-field';
  if (Array.isArray(there) && issue.code !== 'custom' && issue.code !== 'invalid_type') {
    return 'out-of-limits';
  }
  const isFigure = issue.path.at(-1) === 'value' && issue.path.includes('values');
  if (isFigure && issue.code === 'invalid_type') {
    return typeof there === 'number' ? 'no-unit' : 'not-a-bare-number';
  }
  return CODES[issue.code] ?? 'wrong-kind';
}

function shown(data: unknown): string | null {
  if (data === null || data === undefined) return null;
  if (Array.isArray(data)) return `a list of ${data.length}`;
  if (isMap(data)) return `a map with ${Object.keys(data).slice(0, 4).join(', ') || 'no fields'}`;
  return String(data);
}

/** `sets[1] "house" > clauses[2] "overbalance-use" > values > incline`; indices from 1. */
function pathText(path: Problem['path'], data: unknown): string {
  let at: unknown = data;
  let text = '';
  for (const step of path) {
    if (typeof step === 'number') {
      at = Array.isArray(at) ? at[step] : undefined;
      const [id] = idOf(at);
      text +=
        id === undefined || id.length > 60 ? `[${step + 1}]` : `[${step + 1}] "${visible(id)}"`;
    } else {
      at = fieldOf(at, step);
      text += text === '' ? visible(step) : ` > ${visible(step)}`;
    }
  }
  return text === '' ? 'the file' : text;
}
