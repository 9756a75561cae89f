import { describe, expect, test } from 'vitest';
import type { CartEdit } from '../../src/document/index.js';
import { combineEdits, editCart, readStudyFile, sentence } from '../../src/document/index.js';
import { lineOf, spoiled } from './small-cart.js';
import {
  CART,
  readSmallStudy,
  SMALL_CATALOGUE,
  SMALL_STUDY,
  smallCatalogue,
} from './small-study.js';

const { plan, issues } = readSmallStudy(SMALL_STUDY);

/** Labels, costs and edits of the options of a factor. */
function optionsOf(name: string) {
  const factor = plan?.factors.find((each) => each.name === name);
  if (factor === undefined)
    throw new Error(`no factor ${name}: ${issues.map(sentence).join('\n')}`);
  return factor.options;
}

function editedCart(edits: readonly CartEdit[]) {
  return editCart(CART, combineEdits(CART, edits));
}

describe('a study file', () => {
  test('is read whole, and names the files it speaks of', () => {
    expect(issues.map(sentence)).toEqual([]);
    expect(plan).toMatchObject({
      name: 'Small study',
      only: ['overbalance'],
      currency: 'EUR',
      proofs: 4,
      aims: [
        { of: 'mass', wanted: 'least' },
        { of: 'margin', wanted: 'greatest' },
      ],
    });
    expect(plan?.margin).toBeCloseTo(0.1, 15);
    const file = readStudyFile(SMALL_STUDY, 'small.study.yaml');
    expect(file).toMatchObject({
      kind: 'ok',
      value: { cart: 'small.cart.yaml', catalogues: ['castors.csv'], requirements: null },
    });
  });

  test('varies castors by catalogue: kind, tread, brake, mass, height; mass and cost of each', () => {
    const [grey, soft] = optionsOf('castors');
    expect([grey?.label, grey?.cost, soft?.label, soft?.cost]).toEqual([
      ...['grey 100', 22.5, 'soft, 125', 33],
    ]);
    const changed = editedCart(soft?.edits ?? []);
    expect(changed.castors[0]).toMatchObject({
      name: 'front left',
      wheelDiameter: 0.125,
      trail: 0.038,
      rating: null,
      stiffness: 3e5,
      tread: 'soft',
      lock: 'total',
      brakeTorque: 12,
    });
    // 1 lbf in is 0.112 984 8 N m (NIST SP 811, appendix B.8)
    expect(changed.castors[0]?.swivelMoment).toBeCloseTo(3 * 0.1129848, 6);
    expect(changed.castors[2]).toMatchObject({ name: 'rear', trail: 0, swivelMoment: 0 });
    expect(changed.floor.friction.map(({ tread }) => tread)).toEqual(['grey rubber', 'soft']);
    expect(changed.parts[0]?.mass).toBeCloseTo(2.4, 12);
    // Wheels larger by 25 mm: all but what stands on the floor is so much higher.
    expect(changed.parts[1]?.at[2]).toBeCloseTo(0.925, 12);
    // The brake of the first row, of the castors that have one.
    const torques = editedCart(grey?.edits ?? []).castors.map(({ brakeTorque }) => brakeTorque);
    expect(torques).toEqual([10, null, 10]);
  });

  test('varies locks by layout: a castor that is not named has none', () => {
    const [first, second] = optionsOf('locks');
    const locks = (edits: readonly CartEdit[]) =>
      editedCart(edits).castors.map(({ lock, brakeTorque }) => [lock, brakeTorque]);
    expect([first?.cost, second?.cost]).toEqual([5, null]);
    expect(locks(first?.edits ?? [])).toEqual([
      ['total', 12],
      ['none', null],
      ['none', null],
    ]);
    expect(locks(second?.edits ?? [])).toEqual([
      ['none', null],
      ['wheel', null],
      ['none', null],
    ]);
  });

  test('varies places outwards from the middle; a castor on the middle line stays', () => {
    const [, wider] = optionsOf('wider by');
    expect(wider?.label).toBe('25 mm');
    expect(editedCart(wider?.edits ?? []).castors.map(({ at }) => at)).toEqual([
      [0.25, 0.245],
      [0.25, -0.245],
      [-0.25, 0],
    ]);
    expect(optionsOf('longer by').map(({ label }) => label)).toEqual([
      ...['0 mm', '10 mm', '20 mm', '30 mm'],
    ]);
    const [, longer] = optionsOf('longer by');
    expect(editedCart(longer?.edits ?? []).castors[2]?.at[0]).toBeCloseTo(-0.26, 12);
  });

  test('varies ballast, with its cost', () => {
    expect(optionsOf('ballast')).toEqual([
      { label: '0 kg', edits: [], cost: 0 },
      {
        label: '2 kg',
        edits: [{ kind: 'add part', name: 'ballast', mass: 2, at: [0, 0, 0.08], on: null }],
        cost: 6,
      },
    ]);
  });

  test('varies the payload: masses of parts, and loads in every position', () => {
    const [full] = optionsOf('payload');
    const changed = editedCart(full?.edits ?? []);
    expect(changed.parts[1]?.mass).toBe(6);
    for (const { loads } of changed.positions) {
      expect(loads).toEqual({
        bag: { least: 3, most: 3, mayBeAbsent: false },
        supplies: { least: 0, most: 0, mayBeAbsent: false },
      });
    }
  });

  test('varies limits, signs and friction', () => {
    expect(optionsOf('arm in use').map(({ label, edits }) => [label, edits])).toEqual([
      [
        'at most 400 mm',
        [{ kind: 'position mover', position: 'in use', mover: 'lift', from: 0.1, to: 0.4 }],
      ],
      [
        'at most 300 mm',
        [{ kind: 'position mover', position: 'in use', mover: 'lift', from: 0.1, to: 0.3 }],
      ],
    ]);
    expect(optionsOf('signs')[1]).toEqual({
      label: 'no pushing',
      edits: [{ kind: 'add marking', marking: 'no pushing' }],
      cost: 1,
    });
    expect(optionsOf('floor')[0]?.edits).toEqual([
      { kind: 'friction', tread: 'grey rubber', value: 0.4, tolerance: 0.1, basis: 'measured' },
    ]);
  });

  test('expands every lock over its castors, the last castor fastest', () => {
    const text = `standstill study: 1
name: Every lock
cart: small.cart.yaml
margin: 0 %
proofs: 1
wanted: [greatest margin]
vary:
  - name: locks
    every lock:
      locks: [none, wheel]
      castors: [front left, front right]
      brake torque: 9 Nm
      cost of a lock: 2
    cost: 7
`;
    const { plan: every, issues: none } = readSmallStudy(
      text.replace('margin: 0 %', 'currency: EUR\nmargin: 0 %'),
    );
    expect(none.map(sentence)).toEqual([]);
    expect(every?.factors[0]?.options.map(({ label, cost }) => [label, cost])).toEqual([
      ['no locks', 0],
      ['front right wheel', 2],
      ['front left wheel', 2],
      ['front left wheel, front right wheel', 4],
    ]);
  });
});

interface Refusal {
  readonly title: string;
  readonly from: string;
  readonly to: string;
  /** the line named holds this; else the comment "# here" */
  readonly at?: string;
  readonly code: string;
  /** part of the sentence */
  readonly says: string;
}

describe('a study file is refused, with its line, for', () => {
  test.each<Refusal>([
    {
      title: 'not being one',
      from: 'standstill study: 1',
      to: 'standstill: 1 # here',
      code: 'not-a-study-file',
      says: 'standstill study: 1',
    },
    {
      title: 'a version to come',
      from: 'standstill study: 1',
      to: 'standstill study: 2 # here',
      code: 'too-new',
      says: '2 is newer than this program reads',
    },
    {
      title: 'an unknown field, with the nearest',
      from: 'proofs: 4',
      to: 'proof: 4 # here\nproofs: 4',
      code: 'unknown-field',
      says: 'nearest: proofs',
    },
    {
      title: 'a margin without a unit',
      from: 'margin: 10 %',
      to: 'margin: 0.1 # here',
      code: 'no-unit',
      says: 'such as 10 %',
    },
    {
      title: 'a cart file outside its folder',
      from: 'cart: small.cart.yaml',
      to: 'cart: ../small.cart.yaml # here',
      code: 'wrong-kind',
      says: 'beside or below the study file',
    },
    {
      title: 'a finding that the set does not have',
      from: 'findings: [overbalance]',
      to: 'findings: [overbalanced] # here',
      code: 'unknown-name',
      says: 'nearest: overbalance',
    },
    {
      title: 'the same aim twice',
      from: '  - greatest margin',
      to: '  - greatest margin\n  - greatest margin # here',
      code: 'duplicate-name',
      says: 'one aim for each',
    },
    {
      title: 'an aim that is none',
      from: '  - least mass',
      to: '  - least money # here',
      code: 'not-a-choice',
      says: 'least mass, least width',
    },
    {
      title: 'a cost that is wanted and not stated',
      from: '  - least mass',
      to: '  - least cost',
      at: '- name: locks',
      code: 'missing-cost',
      says: 'cost: 0 where it costs nothing',
    },
    {
      title: 'costs without a currency',
      from: 'currency: EUR\n',
      to: '',
      at: 'standstill study: 1',
      code: 'missing-field',
      says: 'currency: is missing',
    },
    {
      title: 'a factor of two kinds',
      from: '    widen:',
      to: '    lengthen: {by: [1 mm]} # here\n    widen:',
      code: 'one-of-these',
      says: 'one of lock layouts, every lock',
    },
    {
      title: 'a factor of no kind',
      from: '    markings:\n      - {name: none, signs: []}\n      - {name: no pushing, signs: [no pushing], cost: 1}\n',
      to: '',
      at: '- name: signs',
      code: 'missing-field',
      says: 'one of lock layouts',
    },
    {
      title: 'two factors of one name',
      from: '- name: longer by',
      to: '- name: Wider by # here',
      code: 'duplicate-name',
      says: '"wider by" is taken',
    },
    {
      title: 'two options of one label',
      from: 'by: [0 mm, 25 mm]',
      to: 'by: [25 mm, 2.5 cm] # here',
      code: 'duplicate-name',
      says: '"25 mm" is taken',
    },
    {
      title: 'two factors that set the same',
      from: 'parts: {head: 6 kg}',
      to: 'parts: {base: 6 kg}',
      at: '- name: payload',
      code: 'varied-twice',
      says: '"castors" varies the mass of "base"',
    },
    {
      title: 'a castor that the cart does not have',
      from: 'locks: {front left: total}',
      to: 'locks: {front lift: total} # here',
      code: 'unknown-name',
      says: 'nearest: front left',
    },
    {
      title: 'a lock that does not go with the castor',
      from: 'locks: {front left: total}',
      to: 'locks: {front left: total, rear: total}',
      at: 'name: front left only',
      code: 'fixed-castor',
      says: 'does not go with a fixed castor',
    },
    {
      title: 'a brake torque that nobody states',
      from: '      brake torque: 9 Nm\n      layouts:\n        - name: front left only\n          locks: {front left: total}',
      to: '      layouts:\n        - name: front left only\n          locks: {front left: total, front right: wheel} # here',
      code: 'missing-brake-torque',
      says: 'outlasts the tread',
    },
    {
      title: 'castors moved beyond the middle',
      from: 'by: [0 mm, 25 mm]',
      to: 'by: [0 mm, -230 mm] # here',
      code: 'range-outside',
      says: 'no further inwards than castor "front left" stands from the middle, 220 mm',
    },
    {
      title: 'a ballast by the name of a part',
      from: '      mass: [0 kg, 2 kg]',
      to: '      name: Head\n      mass: [0 kg, 2 kg] # here',
      code: 'duplicate-name',
      says: '"head" is taken',
    },
    {
      title: 'a load in a state that it cannot have',
      from: 'loads: {bag: full, supplies: absent}',
      to: 'loads: {bag: absent} # here',
      code: 'load-state',
      says: 'a fluid of at least 0.5 kg is never absent',
    },
    {
      title: 'a limit beyond what the mover can do',
      from: 'at most: [400 mm, 300 mm]',
      to: 'at most: [400 mm, 500 mm] # here',
      code: 'range-outside',
      says: '0 mm to 400 mm',
    },
    {
      title: 'a limit of the wrong dimension',
      from: 'at most: [400 mm, 300 mm]',
      to: 'at most: [400 mm, 30 deg] # here',
      code: 'wrong-dimension',
      says: 'a length',
    },
    {
      title: 'friction of a tolerance as large as the value',
      from: 'value: 0.4, tolerance: 0.1',
      to: 'value: 0.4, tolerance: 0.4',
      at: 'tolerance: 0.4',
      code: 'tolerance-too-large',
      says: 'less than the value, which is 0.4',
    },
    {
      title: 'a catalogue with costs in another currency',
      from: 'currency: EUR',
      to: 'currency: SEK',
      at: 'file: castors.csv',
      code: 'other-currency',
      says: 'cost [EUR] is not the currency of the study; allowed: cost [SEK] as the heading',
    },
    {
      title: 'a row that the catalogue does not have',
      from: '      file: castors.csv',
      to: '      file: castors.csv\n      rows: [grey 100, grey 125] # here',
      code: 'unknown-name',
      says: 'a castor of castors.csv: grey 100, soft, 125',
    },
    {
      title: 'a catalogue that is not at hand',
      from: '      file: castors.csv',
      to: '      file: others.csv # here',
      code: 'catalogue-not-supplied',
      says: 'others.csv was not supplied',
    },
    {
      title: 'a catalogue of masses that belong to no part',
      from: '      mass of: base\n',
      to: '',
      at: 'file: castors.csv',
      code: 'missing-mass',
      says: 'the part of the cart that these castors are',
    },
    {
      title: 'a tread without friction',
      from: '{tread: soft, value: 0.8',
      to: '{tread: softest, value: 0.8',
      at: 'file: castors.csv',
      code: 'no-friction-for-tread',
      says: '"soft" has no friction stated',
    },
    {
      title: 'larger wheels on some castors only',
      from: 'castors: [front left, front right, rear]',
      to: 'castors: [front left, front right]',
      at: 'file: castors.csv',
      code: 'range-outside',
      says: 'the cart would not stand level',
    },
    {
      title: 'one value from one end to another',
      from: 'values: 4',
      to: 'values: 1',
      at: 'values: 1',
      code: 'too-few',
      says: 'at least 2 values where from and to differ',
    },
  ])('$title', ({ from, to, at, code, says }) => {
    const text = spoiled(from, to, SMALL_STUDY);
    const { plan: none, issues: found } = readSmallStudy(text);
    expect(none).toBeNull();
    expect(found.map((issue) => issue.code)).toContain(code);
    const issue = found.find((each) => each.code === code);
    expect(issue?.line).toBe(lineOf(at ?? '# here', text));
    expect(issue === undefined ? '' : sentence(issue)).toContain(says);
  });

  test('more variants than a study may have', () => {
    const many = `{from: 0 kg, to: 2 kg, values: 2000}`;
    const text = SMALL_STUDY.replace('mass: [0 kg, 2 kg]', `mass: ${many}`)
      .replace('by: [0 mm, 25 mm]', 'by: {from: 0 mm, to: 20 mm, values: 2000}')
      .replace('values: 4', 'values: 100');
    const { issues: found } = readSmallStudy(text);
    const issue = found.find(({ code }) => code === 'too-many-variants');
    expect(issue?.actual).toBe('12800000000');
    expect(issue?.allowed).toBe('at most 100000000 variants');
  });

  test('more options than a table of one factor shows', () => {
    const row = SMALL_CATALOGUE.split('\n')[1] ?? '';
    const rows = Array.from({ length: 2001 }, (_, i) => row.replace('grey 100', `grey ${i}`));
    const catalogue = smallCatalogue([SMALL_CATALOGUE.split('\n')[0], ...rows].join('\n'));
    const { issues: found } = readSmallStudy(SMALL_STUDY, new Map([['castors.csv', catalogue]]));
    expect(found.map(({ code, actual }) => [code, actual])).toEqual([['too-many', '2001 options']]);
  });

  test('an empty file, and one that is no text', () => {
    for (const text of ['', '\u0000', '- 1', '{']) {
      const read = readStudyFile(text, 'empty.study.yaml');
      expect(read.kind).toBe('invalid');
    }
  });
});
