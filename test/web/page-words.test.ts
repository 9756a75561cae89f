import { readdirSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { CART_FILE_LIMITS } from '../../src/document/index.js';
import { findingRows, overallOf } from '../../src/web/findings/finding-rows.js';
import type { Difference } from '../../src/web/header/line-difference.js';
import { lineDifference } from '../../src/web/header/line-difference.js';
import { momentWords } from '../../src/web/header/moment-words.js';
import { overallWords } from '../../src/web/header/overall-verdict.js';
import { commandOf } from '../../src/web/header/shortcuts.js';
import { chosenOf } from '../../src/web/start/chosen-files.js';
import { exampleShows, inOrder } from '../../src/web/start/example-shows.js';
import { sizeWords } from '../../src/web/start/size-words.js';
import {
  besideName,
  cartNameOf,
  cartNameProblem,
  freeCartName,
} from '../../src/web/store/cart-name.js';
import { seededRandom } from '../reference/random.js';
import { exampleBytes, exampleText } from './fake-surroundings.js';

describe('the difference of two texts', () => {
  const kinds = ({ lines }: Difference) => lines.map(({ kind, text }) => `${kind} ${text}`);

  test('tells changed lines with two equal lines around', () => {
    const one = 'a\nb\nc\nd\ne\nf\ng\n';
    expect(kinds(lineDifference(one, one.replace('d', 'D')))).toEqual([
      'left out 1',
      'same b',
      'same c',
      'one d',
      'other D',
      'same e',
      'same f',
      'left out 1',
    ]);
  });

  test('of equal texts is nothing, also with other line ends', () => {
    expect(lineDifference('a\nb\n', 'a\r\nb')).toMatchObject({ one: 0, other: 0 });
  });

  test('rebuilds both of 200 random pairs of texts (seed 17)', () => {
    const random = seededRandom(17);
    const made = () =>
      Array.from({ length: 1 + Math.floor(random() * 12) }, () => 'abc'[Math.floor(random() * 3)]);
    for (let pair = 0; pair < 200; pair += 1) {
      const [one, other] = [made(), made()];
      const { lines } = lineDifference(one.join('\n'), other.join('\n'));
      const without = (kind: 'one' | 'other') => {
        let at = 0;
        const source = kind === 'one' ? other : one;
        return lines.flatMap(({ kind: is, text }) => {
          if (is === kind) return [];
          if (is !== 'left out') {
            at += 1;
            return [text];
          }
          const count = Number(text);
          at += count;
          return source.slice(at - count, at);
        });
      };
      expect(without('other')).toEqual(one);
      expect(without('one')).toEqual(other);
    }
  });

  test('of two long texts that share nothing ends soon, as all changed', () => {
    const long = (letter: string) => `${letter}\n`.repeat(5000);
    expect(lineDifference(long('a'), long('b'))).toMatchObject({ one: 5000, other: 5000 });
  });
});

describe('a moment', () => {
  test.each([
    ['2026-11-25T09:59:30Z', 'less than a minute ago'],
    ['2026-11-25T09:58:30Z', '1 minute ago'],
    ['2026-11-25T09:15:00Z', '45 minutes ago'],
    ['2026-11-25T07:00:00Z', '3 hours ago'],
    ['nonsense', 'at a time that is not known'],
  ])('%s is %s', (moment, words) => {
    expect(momentWords(moment, '2026-11-25T10:00:00Z')).toBe(words);
  });

  test('of another day, or of a clock that is ahead, is told by date', () => {
    expect(momentWords('2026-11-20T10:00:00', '2026-11-25T10:00:00')).toBe(
      'on 2026-11-20 at 10:00',
    );
    expect(momentWords('2026-11-26T10:00:00', '2026-11-25T10:00:00')).toBe(
      'on 2026-11-26 at 10:00',
    );
  });
});

describe('the size of a file', () => {
  test.each([
    [0, '0 bytes'],
    [999, '999 bytes'],
    [4321, '4.3 kB'],
    [123_456, '123 kB'],
    [999_600, '1.0 MB'],
    [52_428_800, '52.4 MB'],
  ])('%d is %s', (bytes, words) => {
    expect(sizeWords(bytes)).toBe(words);
  });
});

describe('a key', () => {
  const key = (name: string, ctrl = false, shift = false, alt = false) => {
    return { key: name, ctrl, shift, alt };
  };
  test.each([
    [key('z', true), 'undo'],
    [key('Z', true, true), 'redo'],
    [key('y', true), 'redo'],
    [key('s', true), 'save'],
    [key('S', true, true), 'save as'],
    [key('?', false, true), 'help'],
    [key('z'), null],
    [key('s', true, false, true), null],
    [key('F5'), null],
  ])('%o asks for %s', (pressed, command) => {
    expect(commandOf(pressed, false)).toBe(command);
  });

  test('? is a letter where letters are typed', () => {
    expect(commandOf(key('?', false, true), true)).toBeNull();
    expect(commandOf(key('s', true), true)).toBe('save');
  });
});

describe('a name for a cart file', () => {
  test('gets the ending that it lacks', () => {
    expect(['lamp', ' lamp.yaml ', 'lamp.cart.yml', ''].map(cartNameOf)).toEqual([
      'lamp.cart.yaml',
      'lamp.cart.yaml',
      'lamp.cart.yml',
      '',
    ]);
  });

  test.each([
    ['', /needed/],
    ['.cart.yaml', /needed/],
    ['a/b.cart.yaml', /cannot hold \//],
    ['a\u202eb.cart.yaml', /invisible/],
    ['.hidden.cart.yaml', /begin or end/],
    ['con.cart.yaml', /device/],
    ['Lamp.cart.yaml', /lamp\.cart\.yaml exists/],
    [`${'é'.repeat(100)}.cart.yaml`, /too long: 210 bytes/],
  ])('%s is refused in words', (name, words) => {
    expect(cartNameProblem(name, ['lamp.cart.yaml'])).toMatch(words);
  });

  test('that is free is as near to the wanted one as may be', () => {
    expect(freeCartName('lamp.cart.yaml', ['Lamp.cart.yaml'])).toBe('lamp-2.cart.yaml');
    expect(freeCartName('../../etc/x.yaml', [])).toBe('-..-etc-x.cart.yaml');
    expect(freeCartName('', [])).toBe('cart.cart.yaml');
    expect(freeCartName('nul', [])).toBe('cart.cart.yaml');
    expect(freeCartName('ä'.repeat(300), []).length).toBe(60 + '.cart.yaml'.length);
  });

  test('of a parts list beside another keeps its ending', () => {
    expect(besideName('lists/parts.csv', (name) => name === 'lists/parts-2.csv')).toBe(
      'lists/parts-3.csv',
    );
    expect(besideName('parts', () => false)).toBe('parts-2');
  });
});

describe('files chosen on this machine', () => {
  const name = 'telehealth-two-locks-one-side.cart.yaml';
  const cart = { name, bytes: new TextEncoder().encode(exampleText(name)) };
  const list = { name: 'mine.csv', bytes: new Uint8Array(exampleBytes('telehealth-parts.csv')) };

  test('are a cart with its parts list, under the name that the cart gives', () => {
    expect(chosenOf([list, cart])).toMatchObject({
      kind: 'ready',
      name,
      partsList: { name: 'telehealth-parts.csv', bytes: list.bytes },
    });
  });

  test('lack the parts list that the cart names', () => {
    expect(chosenOf([cart])).toMatchObject({ kind: 'list wanted', list: 'telehealth-parts.csv' });
  });

  test.each([
    ['no cart', [list], /none is among these/],
    ['two carts', [cart, cart], /one cart file/],
    ['a picture', [{ name: 'a.png', bytes: new Uint8Array() }], /neither/],
    ['bytes that are no text', [{ name: 'a.yaml', bytes: Uint8Array.of(0xff) }], /UTF-8/],
    [
      'too much',
      [{ name: 'a.yaml', bytes: new Uint8Array(CART_FILE_LIMITS.bytes + 1) }],
      /allowed: at most/,
    ],
    ['a list nobody names', [{ name: 'a.yaml', bytes: new Uint8Array() }, list], /names no parts/],
  ])('with %s are refused in words', (_, files, words) => {
    const chosen = chosenOf(files);
    expect(chosen.kind === 'refused' && chosen.problem).toMatch(words);
  });
});

describe('the examples', () => {
  test('each say what they show, in an order of their own', () => {
    const folder = new URL('../../examples/', import.meta.url);
    const names = readdirSync(folder).filter((each) => each.endsWith('.cart.yaml'));
    expect(names.filter((each) => exampleShows(each) === null)).toEqual([]);
    const [first] = inOrder([{ name: 'other' }, ...names.map((each) => ({ name: each }))]);
    expect(first?.name).toBe('telehealth-two-locks-one-side.cart.yaml');
  });

  test('do not show what is on every object', () => {
    expect(exampleShows('constructor')).toBeNull();
  });
});

describe('the verdict over all findings', () => {
  const finding = (id: string, verdict: string, applies = true) => {
    const of = { id, verdict, applicability: { applies, reason: '' }, sense: 'at least' };
    const known = { ...of, demand: null, capacity: null, bound: null, frictionNeeded: null };
    return [id, { finding: { ...known, proof: { kind: 'bound' }, because: '' }, stage: 'full' }];
  };
  const live = (...reserves: readonly (number | null)[]) => {
    const findings = reserves.map((reserve, index) => {
      return { id: String(index), applies: true, reserve, own: reserve, reason: '', demand: null };
    });
    return { findings, atPose: [] };
  };
  /** of three clauses, as the page has it */
  const wordsOf = (of: object, asked = 3, frictionAssumed = false) => {
    const clauses = Array.from({ length: asked }, (_, index) => {
      return { id: String(index), title: '', question: { kind: 'overbalance' }, alternative: null };
    });
    const state = {
      ...{ cart: {}, reading: { cart: {} }, setProblem: null, set: { clauses }, units: 'SI' },
      ...{ live: null as ReturnType<typeof live> | null, proven: new Map(), provenUpTo: null },
      ...of,
    };
    const findings = state.live?.findings ?? null;
    const input = { ...state, findings, atPose: null, before: new Map(), frictionAssumed };
    return overallWords(overallOf(findingRows(input as never)), state as never);
  };

  test('is none without a cart or a set', () => {
    expect(wordsOf({ cart: null }).head).toBe('not judged');
    expect(wordsOf({ setProblem: 'x' }).head).toBe('not judged');
    expect(wordsOf({}).head).toBe('judging');
  });

  test('is what was found as long as it is not proven', () => {
    expect(wordsOf({ live: live(2, 1, 3) })).toMatchObject({
      verdict: null,
      head: 'none falls short',
      detail: 'found, proof running',
      isSettled: false,
    });
  });

  test('is "fails" with the first finding that falls short, as in the rows', () => {
    const fails = { verdict: 'fails', detail: '1 of 3 findings, proof running' };
    expect(wordsOf({ live: live(2, 0.9, null) })).toMatchObject(fails);
    const proven = new Map([finding('0', 'fails'), finding('1', 'holds')] as never);
    expect(wordsOf({ live: live(0.5, 2, 3), proven })).toMatchObject(fails);
    expect(wordsOf({ proven, provenUpTo: 'full' }, 2)).toMatchObject({
      verdict: 'fails',
      detail: '1 of 2 findings',
      isSettled: true,
    });
  });

  test('is never "holds" before all is proven', () => {
    const proven = new Map([finding('0', 'holds')] as never);
    expect(wordsOf({ live: live(2, 3), proven }, 2).verdict).toBeNull();
    expect(wordsOf({ live: live(2), proven, provenUpTo: 'quick' }, 1)).toMatchObject({
      verdict: 'holds',
      detail: 'the one finding, proven',
      isSettled: true,
    });
  });

  test('says that it is of the cart before the mistake', () => {
    const proven = new Map([finding('0', 'holds')] as never);
    const state = { reading: { cart: null }, proven, provenUpTo: 'full' };
    expect(wordsOf(state, 1)).toMatchObject({
      detail: expect.stringMatching(/as before the mistake$/),
      isSettled: false,
    });
  });

  test.each([
    [['holds', 'depends on friction'], 'depends on friction', 'depends on friction'],
    [['not decided', 'depends on friction'], 'not decided', 'not decided'],
    [['not applicable'], null, 'not judged'],
  ])('of %o proven is %s', (verdicts, verdict, head) => {
    const isAsked = verdicts[0] !== 'not applicable';
    const proven = new Map(
      verdicts.map((each, index) => finding(String(index), each, isAsked)) as never,
    );
    expect(wordsOf({ proven, provenUpTo: 'full' }, verdicts.length)).toMatchObject({
      verdict,
      head,
    });
  });
});
