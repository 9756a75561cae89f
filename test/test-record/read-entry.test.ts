import { describe, expect, test } from 'vitest';
import { config } from 'zod';
import type { EntryProblem } from '../../src/test-record/index.js';
import { canonicalJson, readEntry } from '../../src/test-record/index.js';
import { SMALL_CART } from '../document/small-cart.js';
import type { SampleName } from './sample-entries.js';
import { samplePlan, sampleProject } from './sample-entries.js';

// the page reads entries this way: its content policy forbids code made from text
config({ jitless: true });

const project = sampleProject();

// biome-ignore lint/suspicious/noExplicitAny: an entry is spoiled in any place
type Spoil = (entry: any) => void;

function spoiled(name: SampleName, spoil: Spoil): unknown {
  const json: unknown = JSON.parse(JSON.stringify(project.entry(name)));
  spoil(json);
  return json;
}

function problems(json: unknown): readonly EntryProblem[] {
  const read = readEntry(json);
  return read.kind === 'ok' ? [] : read.problems;
}

function placesOf(json: unknown): readonly string[] {
  return problems(json).map(({ code, path }) => `${code} ${path.join('.')}`);
}

describe('entries of every kind', () => {
  test.each(project.entries.map((entry, i) => [`${i + 1}: ${entry.body.kind}`, entry] as const))(
    'are read as they were written, %s',
    (_, entry) => {
      const read = readEntry(JSON.parse(JSON.stringify(entry)));
      expect(read.kind === 'ok' && canonicalJson(read.entry)).toBe(canonicalJson(entry));
    },
  );

  test('are all of the kinds there are', () => {
    expect(new Set(project.entries.map(({ body }) => body.kind)).size).toBe(12);
  });
});

describe('an entry is refused', () => {
  test.each<[string, SampleName, Spoil, string, string?]>([
    ['for an id in capitals', 'note', (e) => (e.id = e.id.replace('4000', 'A000')), 'value id'],
    ['for an id that is none', 'note', (e) => (e.base = 'x'), 'value base'],
    ['for a name that is blank', 'note', (e) => (e.who = ' \u200b '), 'value who'],
    ['for a name that nobody sees', 'note', (e) => (e.who = '\u3164\u2800'), 'value who'],
    ['for a name of two lines', 'note', (e) => (e.who = 'a\nb'), 'value who'],
    ['for a field that is missing', 'note', (e) => delete e.why, 'shape why'],
    ['for a field that is not known', 'note', (e) => (e.body.extra = 1), 'shape body.extra'],
    ['for a kind that is not known', 'note', (e) => (e.body.kind = 'x'), 'shape body.kind'],
    ['for a body that is none', 'note', (e) => (e.body = []), 'shape body'],
    ['for a time without zone', 'note', (e) => (e.at = '2026-11-25T09:30:00.000'), 'value at'],
    ['for a time elsewhere', 'note', (e) => (e.at = '2026-11-25T09:30:00.000+01:00'), 'value at'],
    ['for a time without milliseconds', 'note', (e) => (e.at = '2026-11-25T09:30:00Z'), 'value at'],
    ['for a day that never was', 'push run', day('2026-02-29T09:30:00.000Z'), 'value body.taken'],
    ['for an hour that never is', 'push run', day('2026-02-28T24:00:00.000Z'), 'value body.taken'],
    ['for what is yet to come', 'push run', day('2027-02-28T09:30:00.000Z'), 'value body.taken'],
    ['for a date in another form', 'gauge', (e) => (e.body.due = '02.03.2027'), 'value body.due'],
    ['for 30 February', 'gauge', (e) => (e.body.due = '2028-02-30'), 'value body.due'],
    ['for 29 February 2100', 'gauge', (e) => (e.body.due = '2100-02-29'), 'value body.due'],
    ['for another century', 'gauge', (e) => (e.body.due = '0207-03-02'), 'value body.due'],
    ['for a due date before the calibration', 'gauge', due, 'value body.due'],
    ['for a mass where a force is due', 'push run', load('12 kg'), 'value body.readings.0.load'],
    ['for pounds where a force is due', 'push run', load('12 lb'), 'value body.readings.0.load'],
    ['for a number without a unit', 'push run', load('12'), 'value body.readings.0.load'],
    ['for a bare number', 'push run', load(12), 'shape body.readings.0.load'],
    ['for a force below 0', 'push run', load('-12 N'), 'value body.readings.0.load'],
    ['for a slipped decimal point', 'push run', load('369000 N'), 'value body.readings.0.load'],
    ['for an ambiguous number', 'push run', load('1,234 N'), 'value body.readings.0.load'],
    [
      'for a text too long to be a quantity',
      'push run',
      load(`${'1'.repeat(99)} N`),
      'value body.readings.0.load',
    ],
    ['for a reading that says nothing', 'push run', empty, 'value body.readings.0'],
    ['for a way of giving way that held', 'push run', held, 'value body.readings.0.mode'],
    ['for no readings', 'push run', (e) => (e.body.readings = []), 'value body.readings'],
    [
      'for a temperature without a unit',
      'push run',
      (e) => (e.body.temperature = '21'),
      'value body.temperature',
    ],
    [
      'for a temperature out of range',
      'push run',
      (e) => (e.body.temperature = '210 degC'),
      'value body.temperature',
    ],
    ['for a photo that is no image', 'sample A', media('text/html'), 'value body.photos.0.media'],
    ['for a photo of 60 MB', 'sample A', bytes(60e6), 'value body.photos.0.bytes'],
    ['for an empty file', 'sample A', bytes(0), 'value body.photos.0.bytes'],
    ['for a hash in capitals', 'sample A', hash('A'.repeat(64)), 'value body.photos.0.hash'],
    ['for a hash that is short', 'sample A', hash('a'.repeat(63)), 'value body.photos.0.hash'],
    [
      'for an uncertainty of another kind',
      'gauge',
      stated('uncertainty', '0.1 mm'),
      'value body.uncertainty',
    ],
    ['for an uncertainty of 0', 'gauge', stated('uncertainty', '0 N'), 'value body.uncertainty'],
    [
      'for an uncertainty beyond the range',
      'gauge',
      stated('uncertainty', '400 N'),
      'value body.uncertainty',
    ],
    ['for a range upside down', 'gauge', stated('to', '-1 N'), 'value body.to'],
    [
      'for a coverage factor of 0.2',
      'gauge',
      (e) => (e.body.coverage = 0.2),
      'value body.coverage',
    ],
    ['for a castor on two scales', 'weighing', onTwo, 'value body.scales.1.castors.0'],
    [
      'for a castor not weighed',
      'weighing',
      (e) => e.body.repeats[1].pop(),
      'value body.repeats.1',
    ],
    [
      'for a castor weighed twice',
      'weighing',
      twice,
      'value body.repeats.0.1.castor',
      'value body.repeats.0',
    ],
    [
      'for a tilt that lifts all',
      'weighing',
      (e) => e.body.tilt.lifted.push('rear'),
      'value body.tilt.lifted',
    ],
    [
      'for a tilt downward',
      'weighing',
      (e) => (e.body.tilt.tilts[0].angle = '-3 deg'),
      'value body.tilt.tilts.0.angle',
    ],
    [
      'for a cart file that cannot be read',
      'cart A',
      (e) => (e.body.text = 'a: ['),
      'value body.text',
    ],
    ['for a cart file with a slip', 'cart A', cartText('20 kg', '20'), 'value body.text'],
    ['for a parts list that is missing', 'cart A', listed, 'value body.partsLists'],
    ['for a control character', 'note', (e) => (e.body.text = 'a\u001b[2Jb'), 'value body.text'],
    ['for a zero character', 'note', (e) => (e.body.text = 'a\u0000b'), 'value body.text'],
    ['for half a character', 'note', (e) => (e.body.text = 'a\ud800b'), 'value body.text'],
    ['for a text too long', 'note', (e) => (e.body.text = 'a'.repeat(10_001)), 'value body.text'],
    ['for a note without text', 'note', (e) => (e.body.text = '\n'), 'value body.text'],
    [
      'for a change that is none',
      'diagnosis',
      (e) => (e.body.edits[0].lock = 'glue'),
      'value body.edits.0.lock',
    ],
    [
      'for two runs of one id',
      'plan A',
      (e) => (e.body.plan.runs[1].id = e.body.plan.runs[0].id),
      'value body.plan.runs.1.id',
      'value body.plan.equipment.0.runs.0',
    ],
    [
      'for a run of no clause',
      'plan A',
      (e) => (e.body.plan.runs[1].finding = 'x'),
      'value body.plan.runs.1.finding',
    ],
    [
      'for a field the plan has not',
      'plan A',
      (e) => (e.body.plan.runs[1].x = 1),
      'shape body.plan.runs.1.x',
    ],
    [
      'for a field of a run missing',
      'plan A',
      (e) => delete e.body.plan.runs[0].pose.without,
      'shape body.plan.runs.0.pose.without',
    ],
    [
      'for a risk of 0',
      'plan A',
      (e) => (e.body.plan.rule = { kind: 'shared risk', greatestRisk: 0 }),
      'value body.plan.rule.greatestRisk',
    ],
    [
      'for a question not known',
      'plan A',
      (e) => (e.body.plan.requirementSet.clauses[0].question.kind = 'x'),
      'shape body.plan.requirementSet.clauses.0.question.kind',
    ],
  ])('%s', (_, name, spoil, ...places) => {
    expect(placesOf(spoiled(name, spoil))).toEqual(places);
  });

  test('with every problem at once, each with place, value and what is allowed', () => {
    const json = spoiled('push run', (e) => {
      e.body.readings[1].load = '12 kg';
      e.body.readings[2].movement.further = '-3 mm';
      e.body.temperature = '21';
      e.who = '';
    });
    expect(problems(json).map(({ message }) => message)).toEqual([
      'who: is missing; allowed: who writes it: 1 to 200 characters on one line',
      'readings 2, load: "12 kg" is no such quantity; allowed: an angle with its unit, from 0 deg to 90 deg, such as 10 deg; or a force with its unit, from 0 N to 50000 N, such as 150 N',
      'readings 3, movement, further: "-3 mm" is out of range; allowed: a length with its unit, from 0 mm to 10 m, such as 12 mm',
      'temperature: "21" is no temperature; allowed: a temperature in degC, degF, K, from -40 degC to 60 degC, such as 21 degC',
    ]);
    expect(problems(json)[1]).toMatchObject({
      code: 'value',
      path: ['body', 'readings', 1, 'load'],
      actual: '"12 kg"',
    });
  });

  test('with what the units have to say', () => {
    const json = spoiled('friction', (e) => (e.body.readings[2].force = '36 lb'));
    expect(problems(json)[0]?.message).toContain('write lbf for a force');
  });

  test.each([null, undefined, 5, 'x', true, [], () => 1, Symbol('a'), 10n, new Date(0), new Map()])(
    'when it is no map at all (%#)',
    (json) => {
      const [problem, ...more] = problems(json);
      expect(more).toEqual([]);
      expect(problem).toMatchObject({ code: 'shape', path: [] });
    },
  );

  test.each<[string, Spoil, readonly (string | number)[]]>([
    ['a number that is none', (e) => (e.body.coverage = Number.NaN), ['body', 'coverage']],
    ['undefined', (e) => (e.body.coverage = undefined), ['body', 'coverage']],
    ['a field named __proto__', (e) => own(e.body, '__proto__', 1), ['body', '__proto__']],
    ['an object of a class', (e) => (e.body.notes = new Date(0)), ['body', 'notes']],
  ])('for what JSON cannot hold: %s', (_, spoil, path) => {
    const [problem, ...more] = problems(spoiled('gauge', spoil));
    expect(more).toEqual([]);
    expect(problem).toMatchObject({ code: 'shape', path });
  });

  test('when it is deeper than any entry, or has more in it', () => {
    let deep: unknown = 'x';
    for (let i = 0; i < 10_000; i++) deep = [deep];
    expect(problems(spoiled('note', (e) => (e.body.text = deep)))[0]?.message).toContain(
      'too deep',
    );
    const many = spoiled('note', (e) => (e.body.text = new Array(600_000).fill(0)));
    expect(problems(many)[0]?.message).toContain('too many values');
  });

  test('with no more than 100 problems', () => {
    const json = spoiled('push run', (e) => {
      e.body.readings = new Array(400).fill(0);
      e.body.readings = e.body.readings.map(() => ({ load: 1 }));
    });
    expect(problems(json).length).toBe(100);
  });
});

describe('hostile text', () => {
  test.each([
    '<script>alert(1)</script>',
    "'; DROP TABLE entries; --",
    '=HYPERLINK("http://x")',
    '../../etc/passwd',
    '\u202egnp.exe',
    '👩‍🔬 Ünïcödé Ωλ 木',
    '{{constructor}}',
  ])('is taken as text: %s', (text) => {
    const json = spoiled('note', (e) => {
      e.who = text;
      e.body.text = `${text}\n\t${text}`;
    });
    const read = readEntry(json);
    expect(read.kind === 'ok' && read.entry.who).toBe(text);
  });

  test('does not reach a terminal through a message', () => {
    const json = spoiled('note', (e) => (e.who = '\u001b[2J\u009b1m'));
    expect(problems(json)[0]?.message).toMatch(/^[\x20-\x7e]*$/);
  });
});

describe('a thermometer', () => {
  test.each([
    ['0.5 K', '-10 degC', '50 degC', true],
    ['1 degF', '0 degF', '120 degF', true],
    ['0.5 kg', '-10 degC', '50 degC', false],
  ])('states %s, %s to %s', (uncertainty, from, to, isRead) => {
    const json = spoiled('gauge', (e) => {
      Object.assign(e.body, {
        instrument: 'thermometer',
        uncertainty,
        resolution: '0.1 K',
        from,
        to,
      });
    });
    expect(readEntry(json).kind).toBe(isRead ? 'ok' : 'refused');
  });
});

test('a cart file keeps its byte order mark and the ends of its lines', () => {
  const text = `\ufeff${SMALL_CART.replaceAll('\n', '\r\n')}`;
  const read = readEntry(spoiled('cart A', (e) => (e.body.text = text)));
  expect(read.kind === 'ok' && read.entry.body.kind === 'cart' && read.entry.body.text).toBe(text);
});

test('a plan of 60 runs is read whole', () => {
  const json = spoiled('plan A', (e) => (e.body.plan = samplePlan(60)));
  const read = readEntry(json);
  expect(read.kind === 'ok' && read.entry.body.kind === 'plan' && read.entry.body.plan).toEqual(
    samplePlan(60),
  );
});

function day(taken: string): Spoil {
  return (entry) => (entry.body.taken = taken);
}

function due(entry: { body: { due: string } }): void {
  entry.body.due = '2026-03-01';
}

function load(typed: unknown): Spoil {
  return (entry) => (entry.body.readings[0].load = typed);
}

function empty(entry: { body: { readings: Record<string, unknown>[] } }): void {
  const [reading] = entry.body.readings;
  for (const key of Object.keys(reading ?? {})) if (reading !== undefined) reading[key] = null;
  if (reading !== undefined) reading.note = '';
}

function held(entry: { body: { readings: { result: string }[] } }): void {
  const [reading] = entry.body.readings;
  if (reading !== undefined) reading.result = 'held';
}

function media(type: string): Spoil {
  return (entry) => (entry.body.photos[0].media = type);
}

function bytes(count: number): Spoil {
  return (entry) => (entry.body.photos[0].bytes = count);
}

function hash(text: string): Spoil {
  return (entry) => (entry.body.photos[0].hash = text);
}

function stated(field: string, typed: string): Spoil {
  return (entry) => (entry.body[field] = typed);
}

function onTwo(entry: { body: { scales: { castors: string[] }[] } }): void {
  const [scale] = entry.body.scales;
  if (scale !== undefined) entry.body.scales.push({ ...scale, castors: ['front left'] });
}

function twice(entry: { body: { repeats: { castor: string }[][] } }): void {
  const reading = entry.body.repeats[0]?.[1];
  if (reading !== undefined) reading.castor = 'front left';
}

function cartText(from: string, to: string): Spoil {
  return (entry) => (entry.body.text = entry.body.text.replace(from, to));
}

function listed(entry: { body: { text: string } }): void {
  entry.body.text += 'parts list: parts.csv\n';
}

function own(map: object, key: string, value: unknown): void {
  Object.defineProperty(map, key, { value, enumerable: true, configurable: true, writable: true });
}
