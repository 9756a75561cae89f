import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import {
  applyRequirementFile,
  builtInSets,
  findSet,
  QUESTIONS,
  readRequirementFile,
  requirementFileSchema,
  requirementSentence,
} from '../../src/requirements/index.js';
import { valueTable } from './value-table.js';

const ROOT = new URL('../../', import.meta.url);
const EXAMPLE = 'examples/requirements/tarn-hollow.requirements.yaml';

function fileText(path: string): string {
  return readFileSync(new URL(path, ROOT), 'utf8');
}

const validate = new Ajv2020({ strict: true, allowUnionTypes: true, allErrors: true }).compile(
  requirementFileSchema(),
);

describe('the published schema', () => {
  // `npx vitest run test/requirements/published-files.node.test.ts -u` writes it anew
  it('is current', async () => {
    const schema = `${JSON.stringify(requirementFileSchema(), null, 2)}\n`;
    await expect(schema).toMatchFileSnapshot('../../schema/requirements-1.schema.json');
  });

  it('takes the example and what the reader takes', () => {
    expect(validate(parse(fileText(EXAMPLE)))).toBe(true);
    expect(validate({ 'standstill requirements': 1 })).toBe(true);
  });

  const clause = (fields: object) => ({
    'standstill requirements': 1,
    sets: [{ id: 'a', title: 'A', clauses: [{ id: 'b', ...fields }] }],
  });

  it.each([
    [{}],
    [{ 'standstill requirements': 2 }],
    [{ 'standstill requirements': 1, colour: 'red' }],
    [clause({ colour: 'red' })],
    [clause({ question: 'pushing' })],
    [clause({ values: { incline: { value: 5, basis: 'seen' } } })],
    [clause({ values: { incline: { value: '5 kg', basis: 'seen' } } })],
    [clause({ values: { incline: { value: '5 deg' } } })],
    [clause({ values: { slope: { value: '5 deg', basis: 'seen' } } })],
    [clause({ values: { factor: { value: '4', basis: 'seen' } } })],
    [clause({ conditions: ['wheels'] })],
  ])('refuses %j', (data) => {
    expect(validate(data)).toBe(false);
    // JSON is YAML
    expect(readRequirementFile(JSON.stringify(data), 'a.yaml').kind).toBe('invalid');
  });
});

describe('the example file', () => {
  const read = readRequirementFile(fileText(EXAMPLE), EXAMPLE);
  const problems = read.kind === 'ok' ? [] : read.issues.map(requirementSentence);

  it('is read without a problem', () => {
    expect(problems).toEqual([]);
  });

  it('confirms two values, and changes and adds what its comments say', () => {
    const sets = read.kind === 'ok' ? applyRequirementFile(builtInSets, read.value) : [];
    const confirmed = (id: string) =>
      findSet(sets, id)?.clauses.flatMap((each) =>
        each.values.filter((v) => v.confirmation !== null),
      );
    expect(confirmed('iec-60601-1-3.2')).toHaveLength(2);
    expect(confirmed('tarn-hollow-field-clinic')).toHaveLength(2);
    const clinic = findSet(sets, 'tarn-hollow-field-clinic');
    const push = clinic?.clauses.find((each) => each.id === 'unwanted-movement-push');
    expect(push?.values.find((each) => each.id === 'weight-fraction')?.value).toBe(0.2);
    expect(clinic?.clauses.at(-1)?.id).toBe('steep-transport');
    expect(findSet(sets, 'tarn-hollow-store-room')?.clauses).toHaveLength(1);
  });
});

describe('docs/requirements.md', () => {
  const text = fileText('docs/requirements.md');

  it.each(builtInSets.map((set) => [set.id, set] as const))(
    'prints every value of %s',
    (_, set) => {
      expect(text).toContain(`\n${valueTable(set)}\n`);
    },
  );

  it('names every question and its values', () => {
    for (const [kind, words] of Object.entries(QUESTIONS)) {
      const row = text.split('\n').find((line) => line.startsWith(`| ${kind} |`));
      expect(row).toBeDefined();
      for (const id of [...Object.keys(words.required), ...Object.keys(words.optional)]) {
        expect(row).toContain(`\`${id}\``);
      }
    }
  });

  it('shows files that can be read', () => {
    const files = [...text.matchAll(/```yaml\n(standstill requirements: 1\n[\s\S]*?)```/g)];
    expect(files.length).toBeGreaterThanOrEqual(2);
    for (const [, file = ''] of files) {
      const shown = readRequirementFile(file, 'docs/requirements.md');
      expect(shown.kind === 'ok' ? [] : shown.issues.map(requirementSentence)).toEqual([]);
    }
  });
});
