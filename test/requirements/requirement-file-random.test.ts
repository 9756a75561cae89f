import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  applyRequirementFile,
  builtInSets,
  readRequirementFile,
  requirementSentence,
} from '../../src/requirements/index.js';

const SEED = 20261125;

const VALID = `standstill requirements: 1
sets:
  - id: house
    title: House rules
    based on: iec-60601-1-3.2
    clauses:
      - id: unwanted-movement-push
        values:
          weight-fraction: {value: 20 %, basis: seen, note: ours}
      - id: steep
        clause: "7"
        title: Steep
        asks: It does not tip.
        question: overbalance
        positions: all
        conditions: [mobile]
        values: {incline: {value: 20 deg, basis: seen}}
confirmations:
  - {set: house, clause: steep, value: incline, reads: 20 deg, who: A, when: 2026-11-02, copy: B}
`;

/** Reads, and holds what every result must be: sets without a NaN, or issues that say where. */
function judged(text: string): 'ok' | 'invalid' {
  const read = readRequirementFile(text, 'f.yaml');
  if (read.kind === 'invalid') {
    expect(read.issues.length).toBeGreaterThan(0);
    const lines = text.split('\n').length;
    for (const issue of read.issues) {
      expect(issue.line ?? 1).toBeGreaterThanOrEqual(1);
      expect(issue.line ?? 1).toBeLessThanOrEqual(lines);
      expect(issue.allowed).not.toBe('');
      expect(requirementSentence(issue)).not.toMatch(/\p{Cc}|undefined|NaN|\[object/u);
    }
    return 'invalid';
  }
  const sets = applyRequirementFile(builtInSets, read.value);
  const values = sets.flatMap((set) => set.clauses.flatMap((clause) => clause.values));
  expect(values.every((value) => Number.isFinite(value.value))).toBe(true);
  return 'ok';
}

const pieces = [
  ': ',
  '- ',
  '{',
  '}',
  '[',
  ']',
  ',',
  '"',
  "'",
  '\n',
  '\n  ',
  '#',
  '&a ',
  '*a',
  '!!x ',
];
const words = [
  '-5',
  '1e999',
  '.nan',
  'null',
  '~',
  'true',
  '9'.repeat(50),
  '5 kg',
  '°',
  '\u202e',
  'id',
];

/** One edit of a text: a stretch of it is cut out, doubled, or replaced by something hostile. */
const edit = fc.record({
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  length: fc.integer({ min: 0, max: 12 }),
  by: fc.oneof(
    fc.constantFrom(...pieces, ...words, ''),
    fc.string({ maxLength: 5, unit: 'binary' }),
  ),
  double: fc.boolean(),
});

describe(`random requirement files (seed ${SEED})`, () => {
  it('are read or refused with the place', () => {
    expect(judged(VALID)).toBe('ok');
    let read = 0;
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 3 }), (edits) => {
        let text = VALID;
        for (const { at, length, by, double } of edits) {
          const start = Math.floor(at * text.length);
          const cut = text.slice(start, start + length);
          const put = double ? cut + cut : by;
          text = text.slice(0, start) + put + text.slice(start + length);
        }
        if (judged(text) === 'ok') read += 1;
      }),
      { seed: SEED, numRuns: 1500 },
    );
    // some edits only touch free text: were none read, the edits would be too coarse to test much
    expect(read).toBeGreaterThan(20);
  });

  it('of any data are read or refused with the place', () => {
    const key = fc.constantFrom(
      'id',
      'title',
      'clauses',
      'values',
      'incline',
      'value',
      'set',
      '__proto__',
    );
    const { tree } = fc.letrec((tie) => ({
      tree: fc.oneof(
        { maxDepth: 5, withCrossShrink: true },
        fc.constantFrom('5 deg', 'seen', 'iec-60601-1-3.2', 'overbalance', 7, null, true, ''),
        fc.array(tie('tree'), { maxLength: 4 }),
        fc.dictionary(key, tie('tree'), { maxKeys: 5 }),
      ),
    }));
    fc.assert(
      fc.property(tree, tree, (sets, confirmations) => {
        // JSON is YAML
        const text = JSON.stringify({ 'standstill requirements': 1, sets, confirmations });
        expect(judged(text)).toMatch(/^(ok|invalid)$/);
      }),
      { seed: SEED, numRuns: 1000 },
    );
  });
});
