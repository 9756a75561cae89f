import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import type { CheckReport } from '../../src/analysis/index.js';
import { reportJson } from '../../src/cli/report-json.js';
import { degrees, SAMPLE_CART, SAMPLE_REPORT } from './sample-report.js';

const schema = JSON.parse(
  readFileSync(new URL('../../schema/report-1.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv2020({ allErrors: true, strictTypes: false }).compile(schema);

function jsonOf(report: CheckReport) {
  return JSON.parse(reportJson(report, SAMPLE_CART, '0.1.0'));
}

function withFirst(changes: Partial<CheckReport['findings'][number]>): CheckReport {
  const [first, ...others] = SAMPLE_REPORT.findings;
  if (first === undefined) throw new Error('the sample has no findings');
  return { ...SAMPLE_REPORT, findings: [{ ...first, ...changes }, ...others] };
}

describe('the JSON report', () => {
  test('agrees with its schema', () => {
    validate(jsonOf(SAMPLE_REPORT));
    expect(validate.errors).toBeNull();
  });

  test('names the unit beside each value, SI', () => {
    const [first] = jsonOf(SAMPLE_REPORT).findings;
    expect(first.demand).toEqual({ value: Math.PI / 18, unit: 'rad', dimension: 'angle' });
    expect(first.worst.movers).toEqual([
      { name: 'lift', value: 0, unit: 'm', dimension: 'length' },
      { name: 'arm', value: Math.PI / 2, unit: 'rad', dimension: 'angle' },
    ]);
  });

  test('writes a capacity without limit as a word', () => {
    const value = jsonOf(withFirst({ capacity: { ...degrees(1), value: Infinity } }));
    validate(value);
    expect(validate.errors).toBeNull();
    expect(value.findings[0].capacity.value).toBe('unlimited');
  });

  test('refuses to write a number that is none', () => {
    const report = withFirst({ capacity: { ...degrees(1), value: Number.NaN } });
    expect(() => reportJson(report, SAMPLE_CART, '0.1.0')).toThrow('NaN');
  });

  test('holds no character that a terminal acts on, and loses none', () => {
    const cart = 'a\u001b[2J\u009b\u202e\u2028\u{e0041}b';
    const text = reportJson({ ...SAMPLE_REPORT, cart }, SAMPLE_CART, '0.1.0');
    expect(text.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u);
    expect(JSON.parse(text).cart).toBe(cart);
  });

  test.each([
    ['an unknown verdict', { verdict: 'passes' }],
    ['a missing field', { because: undefined }],
    ['a field that is not in the schema', { colour: 'red' }],
    ['a bare number where an amount is due', { demand: 10 }],
    ['an unknown way to fail', { mode: { kind: 'explodes' } }],
  ])('the schema refuses %s', (_what, changes) => {
    const value = jsonOf(SAMPLE_REPORT);
    const spoilt = { ...value.findings[0], ...changes };
    expect(validate(JSON.parse(JSON.stringify({ ...value, findings: [spoilt] })))).toBe(false);
  });
});
