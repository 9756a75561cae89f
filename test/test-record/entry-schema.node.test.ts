import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { entryJsonSchema, readEntry } from '../../src/test-record/index.js';
import { samplePlan, sampleProject } from './sample-entries.js';

const FILE = new URL('../../schema/record-entry-1.schema.json', import.meta.url);
const project = sampleProject();

describe('the schema of an entry', () => {
  const isEntry = new Ajv2020({ strict: false, validateFormats: false }).compile(
    entryJsonSchema() as object,
  );

  test('is the one that is published', async () => {
    const text = `${JSON.stringify(entryJsonSchema(), null, 2)}\n`;
    await expect(text).toMatchFileSnapshot(FILE.pathname);
  });

  test.each(project.entries.map((entry, i) => [`${i + 1}: ${entry.body.kind}`, entry] as const))(
    'takes what the reader takes, %s',
    (_, entry) => {
      isEntry(JSON.parse(JSON.stringify(entry)));
      expect(isEntry.errors).toBeNull();
    },
  );

  test('refuses a field more, a field less, another kind, and a quantity without a unit', () => {
    const push = project.entry('push run');
    const spoiled: readonly object[] = [
      { ...push, further: 1 },
      { ...push, who: undefined },
      { ...push, body: { ...push.body, kind: 'x' } },
      { ...push, body: { ...push.body, readings: [{ load: '12' }] } },
      { ...push, id: push.id.toUpperCase().replace('4000', 'A000') },
    ];
    for (const each of spoiled) {
      const json: unknown = JSON.parse(JSON.stringify(each));
      expect(isEntry(json)).toBe(false);
      expect(readEntry(json).kind).toBe('refused');
    }
  });

  test('takes a plan of many runs', () => {
    const plan = project.entry('plan A');
    const json = { ...plan, body: { ...plan.body, plan: samplePlan(10) } };
    expect(isEntry(JSON.parse(JSON.stringify(json)))).toBe(true);
  });
});
