import { describe, expect, test, vi } from 'vitest';
import { checkCart } from '../../src/analysis/index.js';
import { readFields } from '../../src/document/index.js';
import { builtInSets } from '../../src/requirements/index.js';
import { isOfNow } from '../../src/web/store/made-of.js';
import { isUnsaved } from '../../src/web/store/unsaved.js';
import type { Bench } from './fake-surroundings.js';
import {
  benchOf,
  exampleBytes,
  exampleText,
  fakeServer,
  fakeStorage,
  versionOf,
} from './fake-surroundings.js';

const ONE_SIDE = 'telehealth-two-locks-one-side.cart.yaml';
const CORNERS = 'telehealth-two-locks-opposite-corners.cart.yaml';
const LAMP = 'lamp.cart.yaml';
const LAMP_TEXT = exampleText('lamp-stand-three-castor.cart.yaml');
const OTHER_TEXT = LAMP_TEXT.replace('Lamp stand, three castors', 'Lamp stand of the pier');

/** A workbench with the lamp stand open, as saved. */
async function lampOpen(server = fakeServer(), storage = fakeStorage()): Promise<Bench> {
  if (!server.files.has(LAMP)) server.files.set(LAMP, LAMP_TEXT);
  const bench = benchOf(server, storage);
  await bench.store.getState().begin();
  await bench.store.getState().openCart(LAMP);
  return bench;
}

const state = ({ store }: Bench) => store.getState();
const words = (bench: Bench) => state(bench).notices.map((notice) => notice.words);
const steps = ({ store }: Bench) => store.temporal.getState();

function setMass(bench: Bench, typed: string): boolean {
  const path = ['parts', 0, 'mass'];
  return state(bench).change('mass of base', [{ kind: 'set', path, value: { typed } }]);
}

/** Until what was begun without waiting for it has come to its end. */
async function settled(): Promise<void> {
  for (let turn = 0; turn < 40; turn += 1) await Promise.resolve();
  await new Promise((resolve) => setTimeout(resolve, 0));
}

describe('opening', () => {
  test('a cart of the folder is read, posed and asked about; nothing is unsaved or undoable', async () => {
    const bench = await lampOpen();
    const { screen, file, cart, pose, reading } = state(bench);
    expect(screen).toBe('sheet');
    expect(file).toMatchObject({ name: LAMP, version: versionOf(LAMP_TEXT) });
    expect(cart?.name).toBe('Lamp stand, three castors');
    expect(reading.issues.filter(({ issue }) => issue.severity === 'error')).toEqual([]);
    expect(pose?.position).toBe(cart?.positions.find(({ kind }) => kind === 'use')?.name);
    expect(bench.fake.questions).toHaveLength(1);
    expect(isUnsaved(state(bench))).toBe(false);
    expect(steps(bench).pastStates).toEqual([]);
  });

  test('the file named on the command line opens by itself, and closed it stays closed', async () => {
    const server = fakeServer();
    server.files.set(LAMP, LAMP_TEXT);
    server.opened = LAMP;
    const bench = benchOf(server);
    await state(bench).begin();
    expect(state(bench).file?.name).toBe(LAMP);
    state(bench).close();
    await settled();
    expect(state(bench)).toMatchObject({ screen: 'start', file: null, text: '' });
  });

  test('an example opens as a copy under a free name, with its parts list, and leaves no draft', async () => {
    const server = fakeServer();
    server.files.set(ONE_SIDE, 'somebody has this name');
    const bench = benchOf(server);
    await state(bench).begin();
    await state(bench).openExample(ONE_SIDE);
    await settled();
    const { file, reading, partsLists } = state(bench);
    expect(file).toMatchObject({
      name: 'telehealth-two-locks-one-side-2.cart.yaml',
      version: null,
      savedText: null,
    });
    expect(reading.cart?.name).toBe('Telehealth cart, two locks on one side');
    expect(partsLists.get('telehealth-parts.csv')?.list?.rows.length).toBeGreaterThan(5);
    state(bench).close();
    await settled();
    expect(server.drafts.size).toBe(0);
    expect(state(bench).folder?.drafts).toEqual([]);
  });

  test('a new cart reads without mistakes and takes a name that no unsaved work has', async () => {
    const server = fakeServer();
    server.drafts.set('new.cart.yaml', { text: 'kept', base: null, saved: '2026-11-24T08:00:00Z' });
    const bench = benchOf(server);
    await state(bench).begin();
    await state(bench).newCart();
    expect(state(bench).file?.name).toBe('new-2.cart.yaml');
    expect(state(bench).reading.cart?.name).toBe('My cart');
    expect(state(bench).reading.issues).toEqual([]);
    expect(server.drafts.get('new.cart.yaml')?.text).toBe('kept');
  });

  test('a file from elsewhere is a cart of the folder that is not saved yet, its list beside it', async () => {
    const bench = benchOf(fakeServer());
    await state(bench).begin();
    const list = { name: 'telehealth-parts.csv', bytes: exampleBytes('telehealth-parts.csv') };
    await state(bench).openText('../a:b.cart.yaml', exampleText(ONE_SIDE), list);
    expect(state(bench).file).toMatchObject({ name: '-a-b.cart.yaml', savedText: null });
    expect(state(bench).reading.cart).not.toBeNull();
    expect(isUnsaved(state(bench))).toBe(false);
  });

  test('of two clicks the last wins, however the answers come', async () => {
    const server = fakeServer();
    server.files.set(LAMP, LAMP_TEXT).set('second.cart.yaml', OTHER_TEXT);
    const bench = benchOf(server);
    await state(bench).begin();
    const slow = server.api.cart;
    vi.spyOn(server.api, 'cart').mockImplementation(async (name) => {
      if (name === LAMP) await settled();
      return slow(name);
    });
    await Promise.all([state(bench).openCart(LAMP), state(bench).openCart('second.cart.yaml')]);
    expect(state(bench).file?.name).toBe('second.cart.yaml');
    expect(state(bench).cart?.name).toBe('Lamp stand of the pier');
  });

  test('a click wins too over one whose parts list is still being read', async () => {
    const bench = benchOf(fakeServer());
    await state(bench).begin();
    const slow = state(bench).openExample('telehealth-four-locks.cart.yaml');
    while (!bench.server.asked.some((each) => each.startsWith('example'))) await Promise.resolve();
    for (let turn = 0; turn < 4; turn += 1) await Promise.resolve();
    await Promise.all([slow, state(bench).newCart()]);
    expect(state(bench).file?.name).toBe('new.cart.yaml');
    expect(state(bench).cart?.name).toBe('My cart');
  });

  test('an answer of the engine about the cart before is not shown with this one', async () => {
    const bench = await lampOpen();
    const [before] = bench.fake.questions;
    await state(bench).newCart();
    const ticket = before?.ticket ?? -1;
    bench.fake.listener().live({ ticket, findings: [], atPose: null, took: 1 });
    expect(state(bench).live).toBeNull();
    const { ticket: now } = state(bench);
    bench.fake.listener().live({ ticket: now, findings: [], atPose: null, took: 1 });
    expect(state(bench).live?.ticket).toBe(now);
  });

  test('a proof of the cart before is not shown with one that cannot be read', async () => {
    const bench = await lampOpen();
    const { ticket } = state(bench);
    bench.server.files.set('broken.cart.yaml', 'name: [');
    await state(bench).openCart('broken.cart.yaml');
    expect(state(bench)).toMatchObject({ cart: null, ticket });
    const finding = { id: 'threshold' } as never;
    bench.fake.listener().proof({ ticket, stage: 'full', finding });
    bench.fake
      .listener()
      .proofEnd({ ticket, stage: 'full', report: { findings: [finding] } as never });
    expect(state(bench).proven.size).toBe(0);
    expect(state(bench).provenUpTo).toBeNull();
  });

  test('a worst that is shown follows the closer proof; another pose is left alone', async () => {
    const bench = await lampOpen();
    const { cart, set, ticket } = state(bench);
    if (cart === null) throw new Error('no cart');
    const [found] = checkCart(cart, set, { only: 'overbalance-use' }).findings;
    if (found?.worst == null) throw new Error('no worst');
    const [mover = ''] = Object.keys(found.worst.movers);
    const turned = (angle: number) => {
      const movers = { ...found.worst?.movers, [mover]: angle };
      return { ...found, worst: { ...found.worst, movers } } as typeof found;
    };
    const proof = (finding: typeof found) =>
      bench.fake.listener().proof({ ticket, stage: 'full', finding });
    proof(turned(0.5));
    state(bench).showWorst(found.id);
    expect(state(bench).pose?.movers[mover]).toBe(0.5);
    proof(turned(0.6));
    expect(state(bench).pose?.movers[mover]).toBe(0.6);
    const own = { ...state(bench).pose } as NonNullable<ReturnType<typeof state>['pose']>;
    state(bench).setPose(own);
    proof(turned(0.7));
    expect(state(bench).pose).toBe(own);
  });

  test('a cart that is not there is told, and what was open stays open', async () => {
    const bench = await lampOpen();
    await state(bench).openCart('gone.cart.yaml');
    expect(state(bench).file?.name).toBe(LAMP);
    expect(words(bench)).toEqual(['gone.cart.yaml: there is no such file']);
  });

  test('a folder that cannot be had is told, and tried again it is there', async () => {
    const server = fakeServer();
    server.gone = true;
    const bench = benchOf(server);
    await state(bench).begin();
    expect(state(bench).folder).toBeNull();
    expect(state(bench).folderProblem).toContain('does not answer');
    server.gone = false;
    await state(bench).begin();
    expect(state(bench).folderProblem).toBeNull();
    expect(state(bench).folder?.folder).toBe('clinic/carts');
  });
});

describe('changes', () => {
  test('change the text and no other line, and ask the engine anew', async () => {
    const bench = await lampOpen();
    expect(setMass(bench, '21.5 lb')).toBe(true);
    const lines = state(bench).text.split('\n');
    const before = LAMP_TEXT.split('\n');
    expect(lines.filter((line, index) => line !== before[index])).toEqual(['    mass: 21.5 lb']);
    // 0.45359237 kg: the international avoirdupois pound
    expect(state(bench).cart?.parts[0]?.mass).toBeCloseTo(21.5 * 0.45359237, 12);
    expect(bench.fake.questions).toHaveLength(2);
    expect(state(bench).proven.size).toBe(0);
    expect(isUnsaved(state(bench))).toBe(true);
  });

  test('that change nothing are no step to undo', async () => {
    const bench = await lampOpen();
    setMass(bench, '21.5 lb');
    expect(setMass(bench, '21.5 lb')).toBe(true);
    expect(steps(bench).pastStates).toHaveLength(1);
    expect(bench.fake.questions).toHaveLength(2);
  });

  test('that cannot be made are refused with the reason, and the text stays', async () => {
    const bench = await lampOpen();
    const change = { kind: 'set', path: ['parts', 99, 'mass'], value: { typed: '1 kg' } } as const;
    expect(state(bench).change('mass of nothing', [change])).toBe(false);
    expect(state(bench).text).toBe(LAMP_TEXT);
    expect(state(bench).notices).toHaveLength(1);
    expect(state(bench).notices[0]).toMatchObject({ kind: 'problem' });
    expect(words(bench)[0]).toMatch(/^mass of nothing: /);
  });

  test('of the cart that cannot be made are refused, and the drag before them is over', async () => {
    const bench = await lampOpen();
    const part = state(bench).cart?.parts[0]?.name ?? '';
    state(bench).drag([{ kind: 'part mass', part, mass: 30 }]);
    expect(state(bench).edit('mass', [{ kind: 'part mass', part, mass: -3 }])).toBe(false);
    expect(state(bench)).toMatchObject({ preview: [], text: LAMP_TEXT });
    expect(state(bench).shown).toEqual(state(bench).cart);
    expect(words(bench)).toHaveLength(1);
  });

  test('that break the file keep the drawing of the last cart, with the mistakes by field', async () => {
    const bench = await lampOpen();
    setMass(bench, 'heavy');
    const { reading, cart } = state(bench);
    expect(reading.cart).toBeNull();
    expect(cart?.name).toBe('Lamp stand, three castors');
    expect(reading.issues.map(({ path }) => path)).toContainEqual(['parts', 0, 'mass']);
    expect(bench.fake.questions).toHaveLength(1);
    state(bench).undo();
    expect(state(bench).reading.cart).not.toBeNull();
  });

  test('of the whole text that is no YAML are one step, and undone come back', async () => {
    const bench = await lampOpen();
    state(bench).replaceText('text', '{{{');
    expect(state(bench).reading.fields).toBeNull();
    expect(state(bench).reading.issues.length).toBeGreaterThan(0);
    state(bench).undo();
    expect(state(bench).text).toBe(LAMP_TEXT);
  });
});

describe('undo and redo', () => {
  test('go over every text and say what each step was', async () => {
    const bench = await lampOpen();
    const texts = [LAMP_TEXT];
    for (const typed of ['20 lb', '21 lb', '22 lb']) {
      setMass(bench, typed);
      texts.push(state(bench).text);
    }
    expect(state(bench).made).toBe('mass of base');
    for (const text of [...texts].reverse().slice(1)) {
      state(bench).undo();
      expect(state(bench).text).toBe(text);
    }
    state(bench).undo();
    expect(state(bench).text).toBe(LAMP_TEXT);
    for (const text of texts.slice(1)) {
      state(bench).redo();
      expect(state(bench).text).toBe(text);
    }
    expect(steps(bench).futureStates).toEqual([]);
  });

  test('with nothing to go back to ask nothing of the engine', async () => {
    const bench = await lampOpen();
    state(bench).undo();
    state(bench).redo();
    expect(bench.fake.questions).toHaveLength(1);
  });

  test('bring a parts list back with the text that named it', async () => {
    const bench = await lampOpen();
    const csv = new TextEncoder().encode('name,mass (kg),x (mm),y (mm),z (mm)\nbase,10,0,0,60\n');
    await state(bench).attachPartsList('parts.csv', csv);
    expect(readFields(state(bench).text)).toMatchObject({
      entries: expect.arrayContaining([
        { key: 'parts list', node: expect.objectContaining({ text: 'parts.csv' }) },
      ]),
    });
    expect(state(bench).partsLists.has('parts.csv')).toBe(true);
    state(bench).undo();
    expect(state(bench).text).toBe(LAMP_TEXT);
    expect(state(bench).partsLists.has('parts.csv')).toBe(false);
    state(bench).redo();
    expect(state(bench).partsLists.get('parts.csv')?.list?.rows).toHaveLength(1);
  });

  test('during a drag give up the drag and no step', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    const part = state(bench).cart?.parts[0]?.name ?? '';
    state(bench).drag([{ kind: 'part mass', part, mass: 30 }]);
    state(bench).undo();
    expect(state(bench).preview).toEqual([]);
    expect(steps(bench).pastStates).toHaveLength(1);
  });
});

describe('a drag', () => {
  test('is judged as a drag, leaves the text alone, and dropped it is one step', async () => {
    const bench = await lampOpen();
    const part = state(bench).cart?.parts[0]?.name ?? '';
    for (const mass of [9, 10, 11]) state(bench).drag([{ kind: 'part mass', part, mass }]);
    expect(state(bench).text).toBe(LAMP_TEXT);
    expect(state(bench).shown?.parts[0]?.mass).toBe(11);
    expect(state(bench).cart?.parts[0]?.mass).not.toBe(11);
    expect(bench.fake.questions.slice(1).map(({ dragging }) => dragging)).toEqual([
      true,
      true,
      true,
    ]);
    expect(state(bench).edit('mass of base', [{ kind: 'part mass', part, mass: 11 }])).toBe(true);
    expect(bench.fake.questions.at(-1)).toMatchObject({ dragging: false, edits: [] });
    expect(state(bench).cart?.parts[0]?.mass).toBeCloseTo(11, 9);
    expect(steps(bench).pastStates).toHaveLength(1);
  });

  test('given up brings back the cart, the question and the pose', async () => {
    const bench = benchOf(fakeServer());
    await state(bench).begin();
    await state(bench).openExample(CORNERS);
    const { pose: before } = state(bench);
    if (before === null) throw new Error('no pose');
    const raised = { ...before, movers: { ...before.movers, lift: 0.3 } };
    state(bench).setPose(raised);
    state(bench).drag([{ kind: 'mover range', mover: 'lift', from: 0, to: 0.1 }]);
    expect(state(bench).pose?.movers.lift).toBeCloseTo(0.1, 12);
    state(bench).drag([]);
    expect(state(bench).pose).toEqual(raised);
    expect(state(bench).shown).toEqual(state(bench).cart);
    expect(bench.fake.questions.at(-1)).toMatchObject({ edits: [], dragging: false });
  });

  test('that never began cannot be given up', async () => {
    const bench = await lampOpen();
    state(bench).drag([]);
    expect(bench.fake.questions).toHaveLength(1);
  });
});

describe('the pose', () => {
  test('fits the cart after a mover is removed', async () => {
    const bench = benchOf(fakeServer());
    await state(bench).begin();
    await state(bench).openExample(CORNERS);
    expect(Object.keys(state(bench).pose?.movers ?? {})).toEqual(['lift', 'arm']);
    const text = state(bench).text;
    const without = text
      .replace(/ {2}- name: arm[\s\S]*?\n\n/, '\n')
      .replace(/^ {4}on: arm\n/gm, '')
      .replace(/^(.*)\barm: [^,}]*,? ?/gm, '$1');
    state(bench).replaceText('no arm', without);
    expect(state(bench).reading.issues).toEqual([]);
    expect(Object.keys(state(bench).pose?.movers ?? {})).toEqual(['lift']);
    expect(bench.fake.questions.at(-1)?.pose).toEqual(state(bench).pose);
  });
});

describe('drafts', () => {
  test('are kept by the browser at once and by the program a moment later', async () => {
    vi.useFakeTimers();
    try {
      const bench = await lampOpen();
      setMass(bench, '20 lb');
      setMass(bench, '21 lb');
      expect(bench.storage.length).toBe(1);
      expect(bench.server.drafts.size).toBe(0);
      await vi.advanceTimersByTimeAsync(300);
      expect(bench.server.drafts.get(LAMP)?.text).toBe(state(bench).text);
      expect(bench.server.asked.filter((each) => each.startsWith('saveDraft'))).toHaveLength(1);
    } finally {
      vi.useRealTimers();
    }
  });

  test('are offered after a crash, from the browser alone too, and taken they are unsaved work', async () => {
    const before = await lampOpen();
    setMass(before, '20 lb');
    const { text } = state(before);
    const bench = await lampOpen(before.server, before.storage);
    expect(state(bench).text).toBe(LAMP_TEXT);
    expect(state(bench).recovery).toMatchObject({ name: LAMP, fileChanged: false });
    // merely opened, nothing is thrown away
    expect(before.storage.length).toBe(1);
    await state(bench).takeDraft();
    expect(state(bench)).toMatchObject({ text, recovery: null });
    expect(isUnsaved(state(bench))).toBe(true);
    state(bench).undo();
    expect(state(bench).text).toBe(LAMP_TEXT);
  });

  test('of a folder elsewhere that is called the same are not offered, and stay', async () => {
    const before = await lampOpen();
    setMass(before, '20 lb');
    const server = fakeServer();
    server.folderId = 'another';
    const bench = await lampOpen(server, before.storage);
    expect(state(bench)).toMatchObject({ recovery: null, text: LAMP_TEXT });
    setMass(bench, '21 lb');
    const again = await lampOpen(before.server, before.storage);
    expect(state(again).recovery?.draft.text).toBe(state(before).text);
  });

  test('discarded are gone from the browser and the program', async () => {
    const before = await lampOpen();
    setMass(before, '20 lb');
    await state(before).keepWork();
    const bench = await lampOpen(before.server, before.storage);
    await state(bench).dropDraft();
    expect(state(bench).recovery).toBeNull();
    expect(before.storage.length).toBe(0);
    expect(before.server.drafts.size).toBe(0);
  });

  test('decided about later are still there', async () => {
    const before = await lampOpen();
    setMass(before, '20 lb');
    const bench = await lampOpen(before.server, before.storage);
    state(bench).close();
    await settled();
    expect(state(bench).screen).toBe('start');
    expect(state(bench).folder?.drafts.map(({ name }) => name)).toEqual([LAMP]);
    await state(bench).openCart(LAMP);
    expect(state(bench).recovery?.draft.text).toContain('mass: 20 lb');
  });

  test('say when the file has changed since, and saving then asks', async () => {
    const before = await lampOpen();
    setMass(before, '20 lb');
    before.server.files.set(LAMP, OTHER_TEXT);
    const bench = await lampOpen(before.server, before.storage);
    expect(state(bench).recovery?.fileChanged).toBe(true);
    await state(bench).takeDraft();
    await state(bench).save();
    expect(state(bench).conflict?.text).toBe(OTHER_TEXT);
    expect(before.server.files.get(LAMP)).toBe(OTHER_TEXT);
  });

  test('go once the work is undone to what is saved', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    await state(bench).keepWork();
    expect(bench.server.drafts.size).toBe(1);
    state(bench).undo();
    await settled();
    expect(bench.storage.length).toBe(0);
    expect(bench.server.drafts.size).toBe(0);
  });

  test('of a cart never saved stand in the folder and open as what they are', async () => {
    const before = benchOf(fakeServer());
    await state(before).begin();
    await state(before).newCart();
    state(before).change('name', [{ kind: 'set', path: ['name'], value: 'Pier cart' }]);
    const bench = benchOf(before.server, before.storage);
    await state(bench).begin();
    expect(state(bench).folder?.drafts.map(({ name }) => name)).toEqual(['new.cart.yaml']);
    // only the browser has it: the program has to be asked all the same
    await state(before).keepWork();
    await state(bench).openCart('new.cart.yaml');
    expect(state(bench).cart?.name).toBe('Pier cart');
    expect(state(bench).file).toMatchObject({ version: null, savedText: null });
    expect(isUnsaved(state(bench))).toBe(true);
  });

  test('of a cart never saved that only the browser has open too', async () => {
    const before = benchOf(fakeServer());
    await state(before).begin();
    await state(before).newCart();
    before.server.gone = true;
    state(before).change('name', [{ kind: 'set', path: ['name'], value: 'Pier cart' }]);
    await state(before).keepWork();
    before.server.gone = false;
    const bench = benchOf(before.server, before.storage);
    await state(bench).begin();
    await state(bench).openCart('new.cart.yaml');
    expect(state(bench).cart?.name).toBe('Pier cart');
    await state(bench).dropDraftOf('new.cart.yaml');
    expect(state(bench).folder?.drafts).toEqual([]);
  });

  test('bring the parts list that was never saved back with them', async () => {
    const before = benchOf(fakeServer());
    await state(before).begin();
    await state(before).openExample(ONE_SIDE);
    state(before).change('name', [{ kind: 'set', path: ['name'], value: 'Pier cart' }]);
    await state(before).keepWork();
    const bench = benchOf(before.server, before.storage);
    await state(bench).begin();
    await state(bench).openCart(ONE_SIDE);
    expect(state(bench).reading.cart?.name).toBe('Pier cart');
  });

  test('that neither can keep are told as work at risk, until the program answers again', async () => {
    const bench = await lampOpen(fakeServer(), fakeStorage(10));
    bench.server.gone = true;
    setMass(bench, '20 lb');
    await state(bench).keepWork();
    await state(bench).keepWork();
    expect(state(bench).atRisk).toBe(true);
    expect(words(bench)).toHaveLength(1);
    expect(words(bench)[0]).toMatch(/^Unsaved changes are kept nowhere: /);
    bench.server.gone = false;
    await state(bench).lookAtDisk();
    await settled();
    expect(state(bench).atRisk).toBe(false);
    expect(words(bench)).toEqual([
      'The program answers again: unsaved changes are kept on disk too.',
    ]);
  });
});

describe('saving', () => {
  test('writes the text, drops the draft and says so', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    await state(bench).keepWork();
    await state(bench).save();
    await settled();
    expect(bench.server.files.get(LAMP)).toBe(state(bench).text);
    expect(isUnsaved(state(bench))).toBe(false);
    expect(bench.server.drafts.size + bench.storage.length).toBe(0);
    expect(words(bench)).toEqual([`Saved ${LAMP}.`]);
  });

  test('asked twice at once writes once', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    await Promise.all([state(bench).save(), state(bench).save()]);
    expect(bench.server.asked.filter((each) => each.startsWith('saveCart'))).toHaveLength(1);
  });

  test('leaves what was typed meanwhile unsaved, with a draft', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    bench.server.meanwhile = () => setMass(bench, '21 lb');
    await state(bench).save();
    expect(bench.server.files.get(LAMP)).toContain('mass: 20 lb');
    expect(state(bench).text).toContain('mass: 21 lb');
    expect(isUnsaved(state(bench))).toBe(true);
    expect(bench.storage.length).toBe(1);
  });

  test('does not give its name to the cart that was opened meanwhile', async () => {
    const bench = await lampOpen();
    bench.server.files.set('second.cart.yaml', OTHER_TEXT);
    setMass(bench, '20 lb');
    const saving = state(bench).save();
    await state(bench).openCart('second.cart.yaml');
    await saving;
    expect(state(bench).file?.name).toBe('second.cart.yaml');
    expect(bench.server.files.get('second.cart.yaml')).toBe(OTHER_TEXT);
  });

  test('with the program gone is told, and the work stays unsaved', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    bench.server.gone = true;
    await state(bench).save();
    expect(isUnsaved(state(bench))).toBe(true);
    expect(state(bench).saving).toBe(false);
    bench.server.gone = false;
    await state(bench).save();
    expect(isUnsaved(state(bench))).toBe(false);
  });

  test('as another name takes the work there and leaves the file before alone', async () => {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    expect(await state(bench).saveAs('pier.cart.yaml')).toBe(true);
    await settled();
    expect(state(bench).file?.name).toBe('pier.cart.yaml');
    expect(bench.server.files.get(LAMP)).toBe(LAMP_TEXT);
    expect(bench.server.files.get('pier.cart.yaml')).toContain('mass: 20 lb');
    expect(bench.server.drafts.size + bench.storage.length).toBe(0);
  });

  test('as a name that is taken is refused, and nothing is written', async () => {
    const bench = await lampOpen();
    bench.server.files.set('taken.cart.yaml', OTHER_TEXT);
    expect(await state(bench).saveAs('taken.cart.yaml')).toBe(false);
    expect(bench.server.files.get('taken.cart.yaml')).toBe(OTHER_TEXT);
    expect(state(bench)).toMatchObject({ conflict: null, file: { name: LAMP } });
    expect(words(bench)[0]).toContain('exists already');
  });

  test('an example writes its parts list first', async () => {
    const bench = benchOf(fakeServer());
    await state(bench).begin();
    await state(bench).openExample(ONE_SIDE);
    await state(bench).save();
    const { lists, asked } = bench.server;
    expect(lists.get('telehealth-parts.csv')).toBe(
      exampleBytes('telehealth-parts.csv').toString('base64'),
    );
    expect(asked.indexOf('savePartsList telehealth-parts.csv')).toBeLessThan(
      asked.indexOf(`saveCart ${ONE_SIDE}`),
    );
  });

  test("never writes over another's parts list of the same name", async () => {
    const server = fakeServer();
    const theirs = Buffer.from('name,mass (kg)\nlid,1\n').toString('base64');
    server.lists.set('telehealth-parts.csv', theirs);
    const bench = benchOf(server);
    await state(bench).begin();
    await state(bench).openExample(ONE_SIDE);
    await state(bench).save();
    expect(server.lists.get('telehealth-parts.csv')).toBe(theirs);
    expect(server.lists.has('telehealth-parts-2.csv')).toBe(true);
    expect(server.files.get(ONE_SIDE)).toContain('parts list: telehealth-parts-2.csv');
    expect(state(bench).reading.cart).not.toBeNull();
    expect(isUnsaved(state(bench))).toBe(false);
    expect(words(bench).join(' ')).toContain('saved as telehealth-parts-2.csv');
  });

  test('writes a parts list that was put in place of the one on disk', async () => {
    const server = fakeServer();
    server.files.set(ONE_SIDE, exampleText(ONE_SIDE));
    const bytes = exampleBytes('telehealth-parts.csv');
    server.lists.set('telehealth-parts.csv', bytes.toString('base64'));
    const bench = benchOf(server);
    await state(bench).begin();
    await state(bench).openCart(ONE_SIDE);
    const heavier = Buffer.from(`${bytes.toString('utf8').trimEnd()}\n`);
    const changed = Buffer.concat([heavier, Buffer.from('\n')]);
    expect(await state(bench).attachPartsList('telehealth-parts.csv', changed)).toBe(true);
    expect(isUnsaved(state(bench))).toBe(true);
    await state(bench).save();
    expect(server.lists.get('telehealth-parts.csv')).toBe(changed.toString('base64'));
    expect(isUnsaved(state(bench))).toBe(false);
  });
});

describe('a file that another program changes', () => {
  test('is read again where nothing of ours is unsaved, and undo goes back', async () => {
    const bench = await lampOpen();
    bench.server.files.set(LAMP, OTHER_TEXT);
    await state(bench).lookAtDisk();
    expect(state(bench)).toMatchObject({ text: OTHER_TEXT, conflict: null });
    expect(isUnsaved(state(bench))).toBe(false);
    state(bench).undo();
    expect(state(bench).text).toBe(LAMP_TEXT);
    expect(isUnsaved(state(bench))).toBe(true);
  });

  async function conflicting(): Promise<Bench> {
    const bench = await lampOpen();
    setMass(bench, '20 lb');
    bench.server.files.set(LAMP, OTHER_TEXT);
    await state(bench).lookAtDisk();
    expect(state(bench).conflict).toEqual({ text: OTHER_TEXT, version: versionOf(OTHER_TEXT) });
    return bench;
  }

  test('is a conflict with unsaved work: mine writes over it', async () => {
    const bench = await conflicting();
    await state(bench).settle('mine');
    expect(bench.server.files.get(LAMP)).toContain('mass: 20 lb');
    expect(state(bench).conflict).toBeNull();
    expect(isUnsaved(state(bench))).toBe(false);
  });

  test('theirs takes it in, drops the draft, and undo brings mine back', async () => {
    const bench = await conflicting();
    const mine = state(bench).text;
    await state(bench).settle('theirs');
    await settled();
    expect(state(bench).text).toBe(OTHER_TEXT);
    expect(isUnsaved(state(bench))).toBe(false);
    expect(bench.storage.length).toBe(0);
    state(bench).undo();
    expect(state(bench).text).toBe(mine);
  });

  test('later is asked again by the next save and by the next change, not by every look', async () => {
    const bench = await conflicting();
    await state(bench).settle('later');
    await state(bench).lookAtDisk();
    expect(state(bench).conflict).toBeNull();
    await state(bench).save();
    expect(state(bench).conflict?.text).toBe(OTHER_TEXT);
    await state(bench).settle('later');
    bench.server.files.set(LAMP, `${OTHER_TEXT}# more\n`);
    await state(bench).lookAtDisk();
    expect(state(bench).conflict?.text).toContain('# more');
  });

  test('and is gone can be written again', async () => {
    const bench = await lampOpen();
    bench.server.files.delete(LAMP);
    await state(bench).lookAtDisk();
    expect(state(bench).conflict).toEqual({ text: null, version: null });
    await state(bench).settle('theirs');
    expect(state(bench).text).toBe(LAMP_TEXT);
    await state(bench).lookAtDisk();
    await state(bench).settle('mine');
    expect(bench.server.files.get(LAMP)).toBe(LAMP_TEXT);
  });

  /** The parts list beside an open cart becomes another. */
  async function withList(): Promise<{ bench: Bench; before: string; after: string }> {
    const server = fakeServer();
    server.files.set(ONE_SIDE, exampleText(ONE_SIDE));
    const bytes = exampleBytes('telehealth-parts.csv');
    const before = bytes.toString('base64');
    server.lists.set('telehealth-parts.csv', before);
    const bench = benchOf(server);
    await state(bench).begin();
    await state(bench).openCart(ONE_SIDE);
    await state(bench).lookAtDisk();
    expect(state(bench).notices).toEqual([]);
    const after = Buffer.from(`${bytes.toString('utf8').trimEnd()}\n\n`).toString('base64');
    server.lists.set('telehealth-parts.csv', after);
    return { bench, before, after };
  }

  test('as a parts list is read again, also under unsaved work, and undo goes back', async () => {
    const { bench, before, after } = await withList();
    state(bench).change('name', [{ kind: 'set', path: ['name'], value: 'Mine' }]);
    const { ticket } = state(bench);
    await state(bench).lookAtDisk();
    const list = () => state(bench).partsLists.get('telehealth-parts.csv')?.base64;
    expect(list()).toBe(after);
    expect(state(bench).ticket).toBeGreaterThan(ticket);
    expect(words(bench)).toEqual(['telehealth-parts.csv was changed on disk and read again.']);
    state(bench).undo();
    expect(list()).toBe(before);
    state(bench).redo();
    await state(bench).save();
    expect(bench.server.lists).toEqual(new Map([['telehealth-parts.csv', after]]));
  });

  test('as a parts list of ours that is not saved is told, once, and ours stays', async () => {
    const { bench } = await withList();
    const mine = Buffer.from('name,mass (kg),x (mm),y (mm),z (mm)\nlid,1,0,0,100\n');
    expect(await state(bench).attachPartsList('telehealth-parts.csv', mine)).toBe(true);
    await state(bench).lookAtDisk();
    await state(bench).lookAtDisk();
    const { partsLists } = state(bench);
    expect(partsLists.get('telehealth-parts.csv')?.base64).toBe(mine.toString('base64'));
    expect(words(bench).join(' ')).toContain('was changed on disk');
    expect(words(bench)).toHaveLength(1);
  });

  test('is no conflict while the program does not answer', async () => {
    const bench = await lampOpen();
    bench.server.gone = true;
    await state(bench).lookAtDisk();
    expect(state(bench)).toMatchObject({ conflict: null, notices: [] });
  });
});

describe('the requirement set', () => {
  test('is the one that the file names', async () => {
    const bench = await lampOpen();
    expect(state(bench).set.id).toBe('iec-60601-1-3.2');
    const [other] = builtInSets.filter(({ id }) => id !== 'iec-60601-1-3.2');
    const value = other?.id ?? '';
    state(bench).change('requirement set', [{ kind: 'set', path: ['requirements'], value }]);
    expect(state(bench).set.id).toBe(value);
    expect(bench.fake.questions.at(-1)?.set.id).toBe(value);
    state(bench).undo();
    expect(state(bench).set.id).toBe('iec-60601-1-3.2');
  });

  test.each([
    ['missing', LAMP_TEXT.replace(/^requirements:.*\n/m, ''), 'no requirement set is named'],
    ['unknown', LAMP_TEXT.replace(/^requirements:.*$/m, 'requirements: mine'), 'mine is no'],
  ])('%s is told beside its field, and nothing is judged', async (_, text, said) => {
    const server = fakeServer();
    server.files.set(LAMP, text);
    const bench = await lampOpen(server);
    expect(state(bench).setProblem).toContain(said);
    expect(state(bench).reading.issues.at(-1)).toMatchObject({ path: ['requirements'] });
    expect(bench.fake.questions).toEqual([]);
    expect(state(bench).cart).not.toBeNull();
    const value = 'iec-60601-1-3.2';
    state(bench).change('requirement set', [{ kind: 'set', path: ['requirements'], value }]);
    expect(state(bench).setProblem).toBeNull();
    expect(bench.fake.questions).toHaveLength(1);
  });

  test('is the one that is named where the cart cannot be read', async () => {
    const server = fakeServer();
    const asked = LAMP_TEXT.replace(/^requirements:.*$/m, 'requirements: iec-61010-1-3');
    server.files.set(LAMP, asked.replace(/^mobility:.*\n/m, ''));
    const bench = await lampOpen(server);
    expect(state(bench).reading.cart).toBeNull();
    expect(state(bench).set.id).toBe('iec-61010-1-3');
  });

  test('comes from requirement files of the folder too', async () => {
    const server = fakeServer();
    const text = exampleText('requirements/tarn-hollow.requirements.yaml');
    server.requirements.set('tarn-hollow.requirements.yaml', text);
    const own = LAMP_TEXT.replace(/^requirements:.*$/m, 'requirements: tarn-hollow-field-clinic');
    server.files.set(LAMP, own);
    const bench = await lampOpen(server);
    expect(state(bench).set.title).toBe('Tarn Hollow carts for the field clinic');
    expect(state(bench).setProblem).toBeNull();
    expect(state(bench).sets).toHaveLength(builtInSets.length + 2);
  });

  test('file with a mistake is left out and told', async () => {
    const server = fakeServer();
    server.requirements.set('broken.yaml', 'standstill requirements: 1\nsets: nonsense\n');
    const bench = await lampOpen(server);
    expect(state(bench).sets).toHaveLength(builtInSets.length);
    expect(words(bench)[0]).toMatch(/^Left out: broken\.yaml:2/);
  });
});

describe('a task', () => {
  test('runs, tells how far it is, and ends with what it was made of', async () => {
    const bench = await lampOpen();
    const done = state(bench).findRemedies(0.1, false);
    expect(state(bench).remedies.kind).toBe('running');
    bench.fake.progress(3, 10, 'locks');
    expect(state(bench).remedies).toEqual({ kind: 'running', done: 3, total: 10, what: 'locks' });
    bench.fake.endTask('found');
    await done;
    const { remedies } = state(bench);
    expect(remedies).toMatchObject({ kind: 'done', result: 'found', of: { text: LAMP_TEXT } });
    if (remedies.kind !== 'done') throw new Error('not done');
    expect(isOfNow(remedies.of, state(bench))).toBe(true);
    setMass(bench, '20 lb');
    expect(isOfNow(remedies.of, state(bench))).toBe(false);
    state(bench).undo();
    expect(isOfNow(remedies.of, state(bench))).toBe(true);
    // the same text, with other parts beside it
    const { text, partsLists } = state(bench);
    const lists = new Map(partsLists);
    expect(isOfNow(remedies.of, { ...state(bench), text, partsLists: lists })).toBe(false);
    const set = { ...state(bench).set, title: 'another' };
    expect(isOfNow(remedies.of, { text, partsLists, set })).toBe(false);
  });

  test('stopped is as if it had not begun, also by opening another cart', async () => {
    const bench = await lampOpen();
    const first = state(bench).assessTolerances(0.01, 1);
    state(bench).stopTask('tolerances');
    await first;
    expect(state(bench).tolerances).toEqual({ kind: 'idle' });
    const second = state(bench).findRemedies(0.1, false);
    await state(bench).newCart();
    await second;
    expect(state(bench).remedies).toEqual({ kind: 'idle' });
  });
});

describe('notices', () => {
  test('said again are not said twice, and problems stay', async () => {
    const bench = await lampOpen();
    state(bench).say('It broke.', 'problem');
    for (let n = 0; n < 20; n += 1) state(bench).say(`Saved ${n}.`);
    state(bench).say('It broke.', 'problem');
    expect(words(bench).filter((each) => each === 'It broke.')).toHaveLength(1);
    expect(words(bench).length).toBeLessThan(6);
  });
});

describe('the guide', () => {
  test('left at a step is resumed there by the next page', async () => {
    const bench = await lampOpen();
    expect(state(bench).guideLeft).toBeNull();
    state(bench).setGuide(2);
    state(bench).setGuide(null);
    const next = benchOf(bench.server, bench.storage, bench.preferences);
    expect(state(next)).toMatchObject({ guide: null, guideLeft: 2 });
  });
});
