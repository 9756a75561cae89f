import { describe, expect, it } from 'vitest';
import type { Remedy } from '../../src/remedies/index.js';
import {
  MARGIN_LIMITS,
  PRECISION_LIMITS,
  percentText,
  typedSeed,
  typedShare,
} from '../../src/web/act/act-wishes.js';
import { effectRows } from '../../src/web/act/effect-rows.js';

describe('what is typed to ask for remedies and tolerances', () => {
  it('is per cent with or without the sign', () => {
    expect(typedShare('10', MARGIN_LIMITS)).toEqual({ kind: 'ok', value: 0.1 });
    expect(typedShare('12,5 %', MARGIN_LIMITS)).toEqual({ kind: 'ok', value: 0.125 });
    expect(typedShare(percentText(0.005), PRECISION_LIMITS)).toEqual({ kind: 'ok', value: 0.005 });
  });

  it.each(['', 'ten', '-1', '101', '1e9', 'NaN'])('is refused as a margin: "%s"', (text) => {
    const typed = typedShare(text, MARGIN_LIMITS);
    expect(typed).toEqual({
      kind: 'problem',
      words: `"${text}" is not allowed; allowed: 0 to 100 %`,
    });
  });

  it('is a whole number for a seed', () => {
    expect(typedSeed('42')).toEqual({ kind: 'ok', value: 42 });
    expect(typedSeed('1.5').kind).toBe('problem');
    expect(typedSeed('-1').kind).toBe('problem');
    expect(typedSeed('99999999999999999999').kind).toBe('problem');
  });
});

describe('what a remedy does to every finding', () => {
  const effect = {
    id: 'a',
    title: 'A',
    before: 0.9,
    after: 1.2,
    proven: 1.1,
    became: 'better',
    reason: 'It applies.',
  } as const;

  it('is shown of what is asked before or after, with the reason where that changed', () => {
    const effects: Remedy['effects'] = [
      effect,
      { ...effect, id: 'b', became: 'not asked', before: null, after: null, proven: null },
      { ...effect, id: 'c', became: 'no longer asked', after: null, reason: 'It is too light.' },
    ];
    expect(effectRows({ effects } as Remedy)).toEqual([
      {
        id: 'a',
        title: 'A',
        became: 'better',
        before: '0.900',
        after: '1.200',
        proven: '1.100',
        reason: '',
      },
      {
        id: 'c',
        title: 'A',
        became: 'no longer asked',
        before: '0.900',
        after: '-',
        proven: '1.100',
        reason: 'It is too light.',
      },
    ]);
  });
});
