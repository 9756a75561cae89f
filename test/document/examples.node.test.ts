import { readdirSync, readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { parse } from 'yaml';
import type { Cart, PartsList } from '../../src/document/index.js';
import {
  cartJsonSchema,
  partsListFileOf,
  readCart,
  readPartsList,
  sentence,
  writeStarterCart,
} from '../../src/document/index.js';

const FOLDER = new URL('../../examples/', import.meta.url);
const EXAMPLES = readdirSync(FOLDER).filter((file) => file.endsWith('.cart.yaml'));
const SCHEMA_FILE = new URL('../../schema/cart-1.schema.json', import.meta.url);

function textOf(file: string): string {
  return readFileSync(new URL(file, FOLDER), 'utf8');
}

async function listsFor(text: string): Promise<ReadonlyMap<string, PartsList>> {
  const name = partsListFileOf(text);
  if (name === null) return new Map();
  const result = await readPartsList(readFileSync(new URL(name, FOLDER)), name);
  if (result.kind === 'invalid') throw new Error(result.issues.map(sentence).join('\n'));
  return new Map([[name, result.value]]);
}

async function cartOf(file: string): Promise<Cart> {
  const text = textOf(file);
  const result = readCart(text, file, await listsFor(text));
  if (result.kind === 'invalid') throw new Error(result.issues.map(sentence).join('\n'));
  expect(result.warnings.map(sentence)).toEqual([]);
  return result.value;
}

/** The published schema says where the schema language stands; ajv knows that version by itself. */
const matchesSchema = new Ajv({ strict: false }).compile(cartJsonSchema());

describe('every example', () => {
  test('there are the five carts, one of them in three lock layouts', () => {
    expect(EXAMPLES.sort()).toEqual([
      'fluid-stand-five-star.cart.yaml',
      'kit-trolley-six-castor.cart.yaml',
      'lamp-stand-three-castor.cart.yaml',
      'scanner-cart.cart.yaml',
      'telehealth-four-locks.cart.yaml',
      'telehealth-two-locks-one-side.cart.yaml',
      'telehealth-two-locks-opposite-corners.cart.yaml',
    ]);
  });

  test.each(EXAMPLES)('%s reads without errors and without warnings', async (file) => {
    const cart = await cartOf(file);
    expect(cart.castors.length).toBeGreaterThanOrEqual(3);
  });

  test.each(EXAMPLES)('%s matches the published schema, which it names', (file) => {
    const text = textOf(file);
    expect(text).toMatch(/^# yaml-language-server: \$schema=\.\.\/schema\/cart-1\.schema\.json\n/);
    expect(matchesSchema(parse(text)) || matchesSchema.errors).toBe(true);
  });
});

describe('the telehealth cart in three lock layouts', () => {
  /** The cart without what the three may differ in. */
  async function common(file: string) {
    const { name: _, parts, castors, ...rest } = await cartOf(file);
    return {
      ...rest,
      parts: parts.map(({ massFrom: _from, ...part }) => part),
      castors: castors.map(({ lock: _lock, brakeTorque: _torque, ...castor }) => castor),
    };
  }

  test('is one cart but for its locks', async () => {
    const corners = await common('telehealth-two-locks-opposite-corners.cart.yaml');
    expect(await common('telehealth-two-locks-one-side.cart.yaml')).toEqual(corners);
    expect(await common('telehealth-four-locks.cart.yaml')).toEqual(corners);
  });

  test('takes its masses from a CSV list, from the file itself and from a spreadsheet', async () => {
    const from = async (file: string) => new Set((await cartOf(file)).parts.map((p) => p.massFrom));
    expect(await from('telehealth-two-locks-one-side.cart.yaml')).toEqual(new Set(['parts list']));
    expect(await from('telehealth-four-locks.cart.yaml')).toEqual(new Set(['parts list']));
    const corners = await from('telehealth-two-locks-opposite-corners.cart.yaml');
    expect(corners).toEqual(new Set(['cart file']));
  });

  test.each([
    ['telehealth-two-locks-one-side.cart.yaml', ['front left', 'rear left']],
    ['telehealth-two-locks-opposite-corners.cart.yaml', ['front left', 'rear right']],
    ['telehealth-four-locks.cart.yaml', ['front left', 'front right', 'rear left', 'rear right']],
  ])('%s locks %s', async (file, locked) => {
    const castors = (await cartOf(file)).castors.filter((castor) => castor.lock !== 'none');
    expect(castors.map((castor) => castor.name)).toEqual(locked);
    expect(castors.every((castor) => castor.lock === 'wheel')).toBe(true);
  });
});

test('the scanner cart is heavy enough for the cap of 150 N to bind', async () => {
  const cart = await cartOf('scanner-cart.cart.yaml');
  const bare = cart.parts.reduce((sum, part) => sum + part.mass, 0);
  // 15 % of the weight reaches 150 N at 102.0 kg
  expect(bare).toBeGreaterThan(102);
});

describe('the published schema', () => {
  test('is the one that the reader is made from (scripts/write-schema.ts writes it)', () => {
    expect(JSON.parse(readFileSync(SCHEMA_FILE, 'utf8'))).toEqual(cartJsonSchema());
  });

  test('takes the starter cart', () => {
    expect(matchesSchema(parse(writeStarterCart())) || matchesSchema.errors).toBe(true);
  });

  test.each([
    ['an unknown field', 'mobility: mobile', 'mobility: mobile\ncolour: red'],
    ['a bare number', 'trail: 32 mm', 'trail: 32'],
    ['a wrong unit', 'trail: 32 mm', 'trail: 32 kg'],
    ['a missing mass', '    mass: 18.5 kg\n', ''],
    ['a wrong word', 'mobility: mobile', 'mobility: maybe'],
    [
      'both kinds of mover',
      'on: lift\n    turn:',
      'on: lift\n    slide: {axis: up, from: 0 m, to: 1 m}\n    turn:',
    ],
  ])('refuses %s', (_, from, to) => {
    const text = writeStarterCart();
    expect(text.includes(from)).toBe(true);
    expect(matchesSchema(parse(text.replace(from, to)))).toBe(false);
  });
});
