import { describe, expect, it } from 'vitest';
import { readPastedCells } from '../../src/document/index.js';

describe('the cells of a paste', () => {
  const rows = (text: string) => {
    const read = readPastedCells(text);
    return read.kind === 'ok' ? read.rows : read.reason;
  };

  it('are parted by tabs, semicolons or commas, and not by decimal commas', () => {
    expect(rows('a\t1,5 kg\r\n"b\nc"\t\t2 mm\n')).toEqual([
      ['a', '1,5 kg'],
      ['b\nc', '', '2 mm'],
    ]);
    expect(rows('a;1,5 kg;x')).toEqual([['a', '1,5 kg', 'x']]);
    expect(rows('1,5 kg\n2,5 kg')).toEqual([['1,5 kg'], ['2,5 kg']]);
    expect(rows('a,1 kg,2 mm')).toEqual([['a', '1 kg', '2 mm']]);
    expect(rows('a\t1\n\nb\t2')).toEqual([['a', '1'], [''], ['b', '2']]);
  });

  it('are refused with their place where a quotation does not end', () => {
    expect(rows('a\t"b')).toBe('line 1, character 3: allowed is a closing "');
  });
});
