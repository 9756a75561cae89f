import { describe, expect, it } from 'vitest';
import type { ValueConfirmation } from '../../src/requirements/index.js';
import {
  addConfirmation,
  applyRequirementFile,
  builtInSets,
  findSet,
  readRequirementFile,
} from '../../src/requirements/index.js';

const CONFIRMATION: ValueConfirmation = {
  set: 'iec-60601-1-3.2',
  clause: 'overbalance-use',
  value: 'incline',
  reads: '5 deg',
  who: 'A. Example: # "quoted"',
  when: '2026-11-02',
  copy: '12',
};

function confirmationsOf(text: string): readonly ValueConfirmation[] {
  const read = readRequirementFile(text, 'f.yaml');
  return read.kind === 'ok' ? read.value.confirmations : [];
}

describe('addConfirmation', () => {
  it('starts a file that reads back as it was said', () => {
    const text = addConfirmation(null, CONFIRMATION);
    expect(text).toMatch(/^# .*\n\nstandstill requirements: 1\n/);
    expect(confirmationsOf(text)).toEqual([CONFIRMATION]);
  });

  it('reaches the value', () => {
    const read = readRequirementFile(addConfirmation(null, CONFIRMATION), 'f.yaml');
    if (read.kind === 'invalid') throw new Error('the file is valid');
    const set = findSet(applyRequirementFile(builtInSets, read.value), CONFIRMATION.set);
    const value = set?.clauses.find((each) => each.id === CONFIRMATION.clause)?.values[0];
    const { who, when, copy } = CONFIRMATION;
    expect(value?.confirmation).toEqual({ who, when, copy });
  });

  const COMMENTED = `# ours
standstill requirements: 1 # first version

confirmations:
  # read together with B.
  - set: iec-60601-1-3.2 # the one on the shelf
    clause: overbalance-transport
    value: incline
    reads: 10 deg
    who: A. Example
    when: 2026-11-01
    copy: a copy whose description is longer than the eighty characters at which lines are folded
# end
`;

  it('keeps every line of the file it adds to', () => {
    const text = addConfirmation(COMMENTED, CONFIRMATION);
    const lines = text.split('\n');
    for (const line of COMMENTED.split('\n')) expect(lines).toContain(line);
    expect(confirmationsOf(text).map((each) => each.clause)).toEqual([
      'overbalance-transport',
      'overbalance-use',
    ]);
  });

  it('replaces a confirmation of the same value where it stands', () => {
    const again = { ...CONFIRMATION, clause: 'overbalance-transport', reads: '10 deg' };
    const text = addConfirmation(COMMENTED, again);
    expect(confirmationsOf(text)).toEqual([again]);
    expect(text).toContain('# read together with B.');
    expect(text).toContain('# the one on the shelf');
  });

  it('adds the list where the file has none yet', () => {
    expect(confirmationsOf(addConfirmation('standstill requirements: 1\n', CONFIRMATION))).toEqual([
      CONFIRMATION,
    ]);
    const emptied = 'standstill requirements: 1\nconfirmations: []\n';
    expect(confirmationsOf(addConfirmation(emptied, CONFIRMATION))).toEqual([CONFIRMATION]);
  });

  it('takes the same confirmation again for no change', () => {
    const once = addConfirmation(COMMENTED, CONFIRMATION);
    expect(addConfirmation(once, CONFIRMATION)).toBe(once);
  });

  it('throws on what is no requirement file', () => {
    expect(() => addConfirmation('a: [', CONFIRMATION)).toThrow(/not YAML/);
    expect(() => addConfirmation('- a\n', CONFIRMATION)).toThrow(/not a map/);
    expect(() => addConfirmation('confirmations: 5\n', CONFIRMATION)).toThrow(/not a list/);
  });
});
