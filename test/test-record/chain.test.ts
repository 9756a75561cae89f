import { utf8ToBytes } from '@noble/hashes/utils.js';
import { describe, expect, test } from 'vitest';
import type { KeptEntry } from '../../src/test-record/index.js';
import {
  canonicalJson,
  chainCheck,
  chained,
  contentHash,
  entryHash,
  FIRST_PREVIOUS,
  verifyChain,
} from '../../src/test-record/index.js';
import { keptEntries, sampleProject } from './sample-entries.js';

describe('canonical JSON', () => {
  // RFC 8785, 3.2.2 (input) and 3.2.4 (the same as bytes): the sample of the standard
  test('is the sample of RFC 8785, 3.2.2', () => {
    const input = {
      // the sample writes the first 333333333.33333329 and the last with 26 zeros: the same doubles
      numbers: [333333333.3333333, 1e30, 4.5, 2e-3, 1e-27],
      string: '\u20ac$\u000f\u000aA\'\u0042\u0022\u005c\\"/',
      literals: [null, true, false],
    };
    expect(canonicalJson(input)).toBe(
      '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    );
  });

  // RFC 8785, 3.2.3
  test('has keys in the order of their UTF-16 units, as the sample of RFC 8785, 3.2.3', () => {
    const sorted = canonicalJson({
      '\u20ac': 'Euro Sign',
      '\r': 'Carriage Return',
      '\ufb33': 'Hebrew Letter Dalet With Dagesh',
      '1': 'One',
      '\ud83d\ude00': 'Emoji: Grinning Face',
      '\u0080': 'Control',
      '\u00f6': 'Latin Small Letter O With Diaeresis',
    });
    const values = [...sorted.matchAll(/:"([^"]*)"/g)].map((match) => match[1]);
    expect(values).toEqual([
      'Carriage Return',
      'One',
      'Control',
      'Latin Small Letter O With Diaeresis',
      'Euro Sign',
      'Emoji: Grinning Face',
      'Hebrew Letter Dalet With Dagesh',
    ]);
  });

  // RFC 8785, appendix B
  test.each([
    ['0000000000000000', '0'],
    ['8000000000000000', '0'],
    ['0000000000000001', '5e-324'],
    ['8000000000000001', '-5e-324'],
    ['7fefffffffffffff', '1.7976931348623157e+308'],
    ['ffefffffffffffff', '-1.7976931348623157e+308'],
    ['4340000000000000', '9007199254740992'],
    ['c340000000000000', '-9007199254740992'],
    ['4430000000000000', '295147905179352830000'],
    ['44b52d02c7e14af5', '9.999999999999997e+22'],
    ['44b52d02c7e14af6', '1e+23'],
    ['44b52d02c7e14af7', '1.0000000000000001e+23'],
    ['444b1ae4d6e2ef4e', '999999999999999700000'],
    ['444b1ae4d6e2ef4f', '999999999999999900000'],
    ['444b1ae4d6e2ef50', '1e+21'],
    ['3eb0c6f7a0b5ed8c', '9.999999999999997e-7'],
    ['3eb0c6f7a0b5ed8d', '0.000001'],
    ['41b3de4355555553', '333333333.3333332'],
    ['41b3de4355555554', '333333333.33333325'],
    ['41b3de4355555555', '333333333.3333333'],
    ['41b3de4355555556', '333333333.3333334'],
    ['41b3de4355555557', '333333333.33333343'],
    ['becbf647612f3696', '-0.0000033333333333333333'],
    ['43143ff3c1cb0959', '1424953923781206.2'],
  ])('writes the double %s as %s (RFC 8785, appendix B)', (bits, text) => {
    expect(canonicalJson(doubleOf(bits))).toBe(text);
  });

  test.each([
    ['a number that is none (appendix B: 7fffffffffffffff)', doubleOf('7fffffffffffffff')],
    ['infinity (appendix B: 7ff0000000000000)', doubleOf('7ff0000000000000')],
    ['undefined', undefined],
    ['a field that is undefined', { a: undefined }],
    ['a hole in a list', new Array(2)],
    ['a function', () => 1],
    ['a symbol', Symbol('a')],
    ['a big integer', 10n],
    ['a date', new Date(0)],
    ['a map', new Map([['a', 1]])],
    ['half a character', 'a\ud800'],
    ['half a character in a key', { '\udc00': 1 }],
    ['a list within itself', endless()],
  ])('refuses %s', (_, value) => {
    expect(() => canonicalJson(value)).toThrow(TypeError);
  });

  test('takes whole characters beyond 16 bits, and every name of a field', () => {
    expect(canonicalJson({ b: '\ud83d\ude00', constructor: 1 })).toBe('{"b":"😀","constructor":1}');
  });
});

describe('SHA-256', () => {
  // FIPS 180-4 and its example values (NIST, Cryptographic Standards and Guidelines, Examples with
  // Intermediate Values, SHA256); the empty message: NIST CAVP, SHA256ShortMsg
  test.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
  ])('of "%s" is that of the standard', (text, hash) => {
    expect(contentHash(utf8ToBytes(text))).toBe(hash);
  });
});

describe('a chain', () => {
  const chain = keptEntries(sampleProject().entries);
  const head = chain.at(-1) as KeptEntry;
  const known = { sequence: head.sequence, hash: head.hash };

  test('begins with 64 zeros and goes on with the hash before', () => {
    expect(chain[0]?.previous).toBe(FIRST_PREVIOUS);
    expect(chain.slice(1).map(({ previous }) => previous)).toEqual(
      chain.slice(0, -1).map(({ hash }) => hash),
    );
  });

  test('has the hash of the canonical JSON of all but the hash', () => {
    const { hash, ...rest } = chain[3] as KeptEntry;
    expect(contentHash(utf8ToBytes(canonicalJson(rest)))).toBe(hash);
    expect(entryHash(chain[3] as KeptEntry)).toBe(hash);
  });

  test('that is as it was is whole, also when it was through JSON and its keys are turned round', () => {
    const whole = { kind: 'whole', entries: chain.length, head: head.hash };
    expect(verifyChain(chain)).toEqual(whole);
    expect(verifyChain(chain.map(turnedRound), known)).toEqual(whole);
    expect(verifyChain([])).toEqual({ kind: 'whole', entries: 0, head: FIRST_PREVIOUS });
  });

  const fourth = chain[3] as KeptEntry;
  const fifth = chain[4] as KeptEntry;

  test.each<[string, readonly KeptEntry[], number]>([
    ['a changed content', changed(3, { ...fourth, who: 'Someone Else' }), 4],
    ['a changed time of arrival', changed(3, { ...fourth, received: '2027-01-01' }), 4],
    ['a changed hash', changed(3, { ...fourth, hash: 'f'.repeat(64) }), 4],
    ['a changed hash before', changed(3, { ...fourth, previous: 'f'.repeat(64) }), 4],
    ['a changed number', changed(3, { ...fourth, sequence: 7 }), 4],
    ['a content changed with its own hash', changed(3, rehashed({ ...fourth, who: 'X' })), 5],
    ['an entry removed', chain.filter((_, i) => i !== 3), 4],
    ['the first removed', chain.slice(1), 1],
    ['two swapped', [...chain.slice(0, 3), fifth, fourth, ...chain.slice(5)], 4],
    ['one put in', [...chain.slice(0, 3), fourth, ...chain.slice(3)], 5],
    [
      'a new one put in',
      [...chain.slice(0, 4), chained(fourth, fourth, 'x'), ...chain.slice(4)],
      6,
    ],
    ['an entry of another project', changed(3, rehashed({ ...fourth, project: 'x' })), 4],
    ['what is not JSON', changed(3, { ...fourth, at: undefined as unknown as string }), 4],
  ])('shows %s', (_, tampered, sequence) => {
    expect(verifyChain(tampered)).toMatchObject({ kind: 'broken', sequence });
  });

  test('says in a sentence what is wrong', () => {
    expect(verifyChain(changed(3, { ...fourth, who: 'X' }))).toEqual({
      kind: 'broken',
      sequence: 4,
      reason: 'entry 4 does not have the content its hash was made of: it was changed',
    });
  });

  test('cut off at its end looks whole without a known head, and broken with one', () => {
    const cut = chain.slice(0, -2);
    expect(verifyChain(cut).kind).toBe('whole');
    expect(verifyChain(cut, known)).toMatchObject({ kind: 'broken', sequence: cut.length + 1 });
    expect(verifyChain([], known)).toMatchObject({ kind: 'broken', sequence: 1 });
  });

  test('written anew from some entry on looks whole without a known head, and broken with one', () => {
    const anew = [...chain.slice(0, 5)];
    for (const entry of chain.slice(5)) {
      anew.push(chained({ ...entry, who: 'X' }, anew.at(-1) ?? null, entry.received));
    }
    expect(verifyChain(anew).kind).toBe('whole');
    expect(verifyChain(anew, known)).toMatchObject({ kind: 'broken', sequence: known.sequence });
  });

  test('may have grown since the head was noted down', () => {
    const early = chain[6] as KeptEntry;
    expect(verifyChain(chain, { sequence: 7, hash: early.hash }).kind).toBe('whole');
  });

  test('read one by one says the same', () => {
    const check = chainCheck();
    expect(chain.map((entry) => check.next(entry)).filter((each) => each !== null)).toEqual([]);
    expect(check.end()).toEqual(verifyChain(chain));
  });

  function changed(index: number, entry: KeptEntry): readonly KeptEntry[] {
    return chain.map((each, i) => (i === index ? entry : each));
  }
});

function doubleOf(bits: string): number {
  const view = new DataView(new ArrayBuffer(8));
  view.setBigUint64(0, BigInt(`0x${bits}`));
  return view.getFloat64(0);
}

function endless(): unknown {
  const list: unknown[] = [];
  list.push(list);
  return list;
}

function rehashed(entry: KeptEntry): KeptEntry {
  return { ...entry, hash: entryHash(entry) };
}

/** The same entry from JSON, every map with its keys the other way round. */
function turnedRound<T>(value: T): T {
  return JSON.parse(JSON.stringify(value), (_, each: unknown) =>
    typeof each === 'object' && each !== null && !Array.isArray(each)
      ? Object.fromEntries(Object.entries(each).reverse())
      : each,
  ) as T;
}
