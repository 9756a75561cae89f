import { describe, expect, it } from 'vitest';
import { allowedValue, isSameFigure, readValue } from '../../src/requirements/value-text.js';
import { VALUE_IDS, VALUE_KINDS } from '../../src/requirements/vocabulary.js';

describe('values', () => {
  it.each(VALUE_IDS)('%s takes its own example and says so', (id) => {
    const { example } = VALUE_KINDS[id];
    expect(readValue(example, id)).toMatchObject({ kind: 'ok', text: example });
    expect(allowedValue(id)).toContain(example);
  });

  it('keep the text and give SI', () => {
    expect(readValue(' 15 % ', 'weight-fraction')).toEqual({
      kind: 'ok',
      value: 0.15,
      text: '15 %',
    });
    expect(readValue(4, 'factor')).toEqual({ kind: 'ok', value: 4, text: '4' });
    expect(readValue('1 min', 'duration')).toMatchObject({ value: 60 });
  });

  it('refuse parts of a count', () => {
    expect(readValue(1.5, 'passes')).toMatchObject({ kind: 'error', code: 'out-of-limits' });
  });

  it('take the limits themselves where the words say so', () => {
    expect(readValue('0 mm', 'patch-width')).toMatchObject({ kind: 'ok', value: 0 });
    expect(readValue('0 mm', 'movement')).toMatchObject({ kind: 'error', code: 'out-of-limits' });
    expect(readValue('100 %', 'weight-fraction')).toMatchObject({ kind: 'ok', value: 1 });
    expect(readValue('100.1 %', 'weight-fraction')).toMatchObject({ kind: 'error' });
    expect(readValue('45 deg', 'incline')).toMatchObject({ kind: 'ok' });
  });

  it('are one figure however the unit is chosen, and two when people tell them apart', () => {
    const inches = readValue('7.874015748031496 in', 'patch-width');
    expect(inches.kind === 'ok' && isSameFigure(inches.value, 0.2)).toBe(true);
    expect(isSameFigure(0.2, 0.200001)).toBe(false);
    expect(isSameFigure(0, 0)).toBe(true);
  });
});
