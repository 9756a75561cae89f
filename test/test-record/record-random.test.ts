import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { EntryBody, KeptEntry, NewEntry, ProjectState } from '../../src/test-record/index.js';
import {
  admit,
  chained,
  isContent,
  projectState,
  verifyChain,
  withEntries,
  withPending,
} from '../../src/test-record/index.js';
import { keptEntries, sampleId, sampleProject } from './sample-entries.js';

const project = sampleProject();
const BODIES: readonly EntryBody[] = [
  ...project.entries.map(({ body }) => body),
  { kind: 'review', statement: 'Seen.' },
  { kind: 'withdrawal' },
];

/** What somebody tries to write: on a record that is there or a new one, knowing it as it is or was. */
interface Attempt {
  readonly body: number;
  readonly record: number;
  /** how many entries of the record have come since its writer looked */
  readonly missed: number;
  readonly begins: boolean;
  /** an entry that was sent is sent again */
  readonly repeats: boolean;
  readonly why: string;
}

const attempts = fc.array(
  fc.record<Attempt>({
    body: fc.nat(BODIES.length - 1),
    record: fc.nat(1000),
    missed: fc.constantFrom(0, 0, 0, 1, 2),
    begins: fc.boolean(),
    repeats: fc.constantFrom(false, false, false, true),
    why: fc.constantFrom('', 'misread'),
  }),
  { maxLength: 60 },
);

function attempted(state: ProjectState, number: number, attempt: Attempt): NewEntry {
  const records = [...state.records.values()];
  const record = records[attempt.record % records.length];
  if (record === undefined) throw new Error('no records');
  if (attempt.repeats) return stripped(record.entries[0] as KeptEntry);
  const wanted = BODIES[attempt.body] as EntryBody;
  if (attempt.begins) return project.further(number, wanted);
  const known = record.entries.at(-1 - attempt.missed) ?? (record.entries[0] as KeptEntry);
  const body = isContent(wanted) ? record.content : wanted;
  const { subject } = record;
  return project.further(number, body, { subject, base: known.id, why: attempt.why });
}

function stripped(entry: KeptEntry): NewEntry {
  const { sequence: _, received: __, previous: ___, hash: ____, ...written } = entry;
  return written;
}

interface Outcome {
  readonly kept: readonly KeptEntry[];
  readonly state: ProjectState;
  readonly kinds: ReadonlySet<string>;
}

/** A store in small: what is admitted is kept. */
function written(tries: readonly Attempt[]): Outcome {
  const kept = [...keptEntries(project.entries)];
  let state = projectState(kept);
  const kinds = new Set<string>();
  for (const [i, attempt] of tries.entries()) {
    const entry = attempted(state, 100 + i, attempt);
    const admission = admit(state, entry);
    kinds.add(admission.kind);
    if (admission.kind !== 'admitted') continue;
    const next = chained(entry, kept.at(-1) ?? null, entry.at);
    kept.push(next);
    state = withEntries(state, [next]);
  }
  return { kept, state, kinds };
}

test('whatever is tried, no two entries kept follow the same one, and none is kept twice (seed 41)', () => {
  const seen = new Set<string>();
  fc.assert(
    fc.property(attempts, (tries) => {
      const { kept, kinds } = written(tries);
      for (const kind of kinds) seen.add(kind);
      const bases = kept.flatMap(({ base }) => base ?? []);
      expect(new Set(bases).size).toBe(bases.length);
      expect(new Set(kept.map(({ id }) => id)).size).toBe(kept.length);
    }),
    { seed: 41, numRuns: 100 },
  );
  // the attempts are such that every answer comes up
  expect([...seen].sort()).toEqual(['admitted', 'already', 'conflict', 'refused']);
});

test('the state is the same folded at once, one by one, in two parts, and as pending (seed 42)', () => {
  fc.assert(
    fc.property(attempts, fc.nat(1000), (tries, at) => {
      const { kept, state } = written(tries);
      expect(projectState(kept)).toEqual(state);
      const cut = 1 + (at % (kept.length - 1));
      const half = projectState(kept.slice(0, cut));
      expect(withEntries(half, kept.slice(cut))).toEqual(state);
      const top = withPending(half, kept.slice(cut).map(stripped));
      expect([...top.records.values()].map(seenOf)).toEqual(
        [...state.records.values()].map(seenOf),
      );
    }),
    { seed: 42, numRuns: 60 },
  );

  function seenOf(
    record: ProjectState['records'] extends ReadonlyMap<string, infer R> ? R : never,
  ) {
    const { entries, ...rest } = record;
    return { ...rest, entries: entries.map(({ id }) => id) };
  }
});

test('what was kept and read back is a whole chain, and the same state (seed 43)', () => {
  fc.assert(
    fc.property(attempts, (tries) => {
      const { kept, state } = written(tries);
      const back = JSON.parse(JSON.stringify(kept)) as readonly KeptEntry[];
      expect(verifyChain(back).kind).toBe('whole');
      expect(projectState(back)).toEqual(state);
    }),
    { seed: 43, numRuns: 40 },
  );
});

test('a change of any one value, at any depth of any entry, is found in that entry', () => {
  let changes = 0;
  for (const written of project.entries.slice(1)) {
    // a chain of two, as a whole one each time would be long to verify
    const chain = keptEntries([project.entry('project'), written]);
    const [first, entry] = chain as [KeptEntry, KeptEntry];
    for (const path of leavesOf(entry)) {
      const tampered = structuredClone(entry);
      change(tampered, path);
      const report = verifyChain([first, tampered]);
      expect(report, path.join('.')).toMatchObject({ kind: 'broken', sequence: 2 });
      changes += 1;
    }
  }
  expect(changes).toBeGreaterThan(1000);
});

test('any field taken away from an entry, or added to it, is found (seed 44)', () => {
  const chain = keptEntries(project.entries);
  const maps = chain.flatMap((entry, i) => mapsOf(entry).map((path) => [i, path] as const));
  fc.assert(
    fc.property(fc.nat(maps.length - 1), fc.boolean(), fc.nat(50), (at, adds, which) => {
      const [i, path] = maps[at] as (typeof maps)[number];
      const tampered = structuredClone(chain[i] as KeptEntry);
      const map = path.reduce<unknown>((value, step) => (value as never)[step], tampered) as Record<
        string,
        unknown
      >;
      const keys = Object.keys(map);
      if (adds || keys.length === 0) map.further = null;
      else delete map[keys[which % keys.length] ?? ''];
      const entries = chain.map((each, index) => (index === i ? tampered : each));
      expect(verifyChain(entries)).toMatchObject({ kind: 'broken', sequence: i + 1 });
    }),
    { seed: 44, numRuns: 300 },
  );
});

type Path = readonly (string | number)[];

function leavesOf(value: unknown, path: Path = []): readonly Path[] {
  if (typeof value !== 'object' || value === null) return [path];
  return Object.entries(value).flatMap(([key, each]) => leavesOf(each, [...path, key]));
}

function mapsOf(value: unknown, path: Path = []): readonly Path[] {
  if (typeof value !== 'object' || value === null) return [];
  const within = Object.entries(value).flatMap(([key, each]) => mapsOf(each, [...path, key]));
  return Array.isArray(value) ? within : [path, ...within];
}

/** The value at a path becomes another one of its kind. */
function change(root: unknown, path: Path): void {
  const map = path.slice(0, -1).reduce<unknown>((value, step) => (value as never)[step], root);
  const key = path.at(-1) ?? '';
  const there: unknown = (map as Record<string, unknown>)[key];
  (map as Record<string, unknown>)[key] = otherThan(there);
}

function otherThan(value: unknown): unknown {
  if (typeof value === 'string') return value === '' ? ' ' : `${value.slice(0, -1)}\u2007`;
  if (typeof value === 'number') return value === 0 ? Number.MIN_VALUE : value * (1 + 2 ** -52);
  return typeof value === 'boolean' ? !value : sampleId(9, 9);
}
