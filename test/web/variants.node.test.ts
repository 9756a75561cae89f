import { expect, it } from 'vitest';
import { benchOf, exampleBytes, exampleText, fakeServer } from './fake-surroundings.js';

const LAMP = 'lamp-stand-three-castor.cart.yaml';
const TELEHEALTH = 'telehealth-two-locks-one-side.cart.yaml';

async function opened() {
  const server = fakeServer();
  server.files.set(LAMP, exampleText(LAMP));
  server.files.set(TELEHEALTH, exampleText(TELEHEALTH));
  server.lists.set('telehealth-parts.csv', exampleBytes('telehealth-parts.csv').toString('base64'));
  const bench = benchOf(server);
  await bench.store.getState().openCart(LAMP);
  return { ...bench, state: () => bench.store.getState() };
}

it('keeps the sheet as a variant and puts it back as one step of undo', async () => {
  const { state } = await opened();
  const before = state().text;
  state().keepVariant('as built');
  const [variant] = state().variants;
  expect(variant).toMatchObject({ name: 'as built', text: before, report: null, problem: null });
  state().replaceText('another name', before.replace(/^name: .*$/m, 'name: Other'));
  const after = state().text;
  expect(after).not.toBe(before);
  state().takeVariant(variant?.id ?? -1);
  expect(state().text).toBe(before);
  expect(state().made).toBe('variant as built');
  state().undo();
  expect(state().text).toBe(after);
});

it('reads another cart of the folder as a variant, with its parts list', async () => {
  const { state } = await opened();
  const id = await state().loadVariant('folder', TELEHEALTH);
  const variant = state().variants.find((each) => each.id === id);
  expect(variant?.cart.parts.length).toBeGreaterThan(5);
  expect([...(variant?.partsLists.keys() ?? [])]).toEqual(['telehealth-parts.csv']);
  expect(variant?.set.id).toBe(state().set.id);
  state().takeVariant(id ?? -1);
  expect(state().reading.cart?.name).toBe(variant?.cart.name);
});

it('says why a file cannot be read as a variant, and adds none', async () => {
  const { state, server } = await opened();
  server.files.set('broken.cart.yaml', 'standstill: 1\nname: Broken\n');
  expect(await state().loadVariant('folder', 'broken.cart.yaml')).toBeNull();
  expect(state().variants).toEqual([]);
  expect(state().notices.at(-1)).toMatchObject({ kind: 'problem' });
  expect(state().notices.at(-1)?.words).toMatch(/^broken\.cart\.yaml cannot be read: /);
});

it('puts the report of a check beside its variant, and checks again when asked', async () => {
  const { state, fake } = await opened();
  state().keepVariant('as built');
  const report = { verdict: 'holds', findings: [] };
  fake.endTask(report);
  await expect.poll(() => state().variants[0]?.report).toBe(report);
  state().judgeVariant(state().variants[0]?.id ?? -1);
  expect(state().variants[0]?.report).toBeNull();
});
