/** The studies of examples/: read without a word of complaint, by reader and schema. */

import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import { loadStudy } from '../../src/cli/study-file.js';
import { studyJsonSchema } from '../../src/document/index.js';
import { evaluateVariant, variantCount } from '../../src/studies/index.js';
import { SMALL_STUDY } from '../document/small-study.js';

const FOLDER = fileURLToPath(new URL('../../examples/', import.meta.url));
const SCHEMA = new URL('../../schema/study-file-1.schema.json', import.meta.url);
const EXAMPLES = readdirSync(FOLDER).filter((name) => name.endsWith('.study.yaml'));

const matchesSchema = new Ajv({ strict: false }).compile(studyJsonSchema());

describe('every example of a study', () => {
  test('there are a large and a small one', () => {
    expect(EXAMPLES).toEqual(['lamp-stand.study.yaml', 'telehealth.study.yaml']);
  });

  test.each(EXAMPLES)('%s reads without errors and without warnings', async (file) => {
    const study = await loadStudy(`${FOLDER}${file}`, {});
    expect(study).toMatchObject({ kind: 'ok', warnings: [] });
    if (study.kind !== 'ok') return;
    expect(variantCount(study.value)).toBeGreaterThan(100);
    expect(evaluateVariant(study.value, 1).fault).toBeNull();
  });

  test.each(EXAMPLES)('%s matches the published schema', (file) => {
    matchesSchema(parse(readFileSync(`${FOLDER}${file}`, 'utf8')));
    expect(matchesSchema.errors).toBeNull();
  });
});

test('the published schema of the study file is that of the reader', () => {
  expect(JSON.parse(readFileSync(SCHEMA, 'utf8'))).toEqual(studyJsonSchema());
});

test('the schema takes a study of every kind of factor', () => {
  matchesSchema(parse(SMALL_STUDY));
  expect(matchesSchema.errors).toBeNull();
});
