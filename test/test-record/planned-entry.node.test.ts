import { expect, test } from 'vitest';
import { checkCart } from '../../src/analysis/index.js';
import { readCart } from '../../src/document/index.js';
import { builtInSets, findSet } from '../../src/requirements/index.js';
import { planTests } from '../../src/test-plan/index.js';
import { admit, projectState, readEntry } from '../../src/test-record/index.js';
import { CART_A, keptEntries, sampleProject } from './sample-entries.js';

test('a plan that the program makes of a cart is read whole, and admitted on that cart', () => {
  const set = findSet(builtInSets, 'iec-61010-1-3');
  const cart = readCart(CART_A, 'small-a.cart.yaml');
  if (set === null || cart.kind === 'invalid') throw new Error('no set or no cart');
  const rule = { kind: 'shared risk', greatestRisk: 0.05 } as const;
  const plan = planTests(cart.value, set, checkCart(cart.value, set), { rule });
  expect(plan.runs.length).toBeGreaterThan(3);

  const project = sampleProject();
  const entry = { ...project.entry('plan A') };
  const body = { ...entry.body, plan };
  const read = readEntry(JSON.parse(JSON.stringify({ ...entry, body })));
  if (read.kind === 'refused') throw new Error(read.problems.map(({ message }) => message).join());
  expect(read.entry.body).toEqual(body);
  const state = projectState(keptEntries([project.entry('project'), project.entry('cart A')]));
  expect(admit(state, read.entry)).toEqual({ kind: 'admitted' });
});
