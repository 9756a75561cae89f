/**
 * The lines of a weighing's uncertainty (JCGM 100:2008).
 *
 * Sensitivities are difference quotients (5.1.3, note 2). A source may be many numbers: all readings of one
 * scale, all angles of one inclinometer. Nobody states how much of their uncertainty is one error for all
 * (calibration, zero) and how much is new in each (resolution). So each source counts with the greatest of
 * what it makes when independent and what it makes in each common pattern.
 */

import type { Budget, BudgetLine } from './measured.js';
import { combined, meanOf } from './uncertainty.js';
import type { Outputs, WeighingModel } from './weighing-model.js';
import type { ScaleReading, WeighingInput } from './weighing-record.js';

export type Quantity = 'mass' | 'x' | 'y' | 'height' | 'slope' | 'intercept';

interface Source {
  readonly source: string;
  /** numbers by their index in the model's vector, standard uncertainty and step of the quotient */
  readonly parts: readonly Part[];
  /** common errors, standard deviation by part, of one sign with each other */
  readonly together: readonly (readonly number[])[];
}

interface Part {
  readonly index: number;
  readonly u: number;
  readonly step: number;
}

type Line = Omit<BudgetLine, 'contribution'>;

/** Share of the size of a number by which it is changed: the error of a quotient is its square, 6e-8. */
const STEP = 2 ** -12;

/** The budget of each quantity; of height, slope and intercept only where there are tilts. */
export function weighingBudgets(
  input: WeighingInput,
  model: WeighingModel,
): (quantity: Quantity) => Budget {
  const slopes = sourcesOf(input, model).map((source) => withSensitivities(source, model));
  return (quantity) =>
    combined(amountOf(model.outputs, quantity), [
      ...slopes.flatMap((source) => sourceLine(source, quantity)),
      ...repeatLine(input, model, quantity),
      ...scatterLine(model, quantity),
    ]);
}

function amountOf(outputs: Outputs, quantity: Quantity): number {
  if (quantity === 'mass' || quantity === 'x' || quantity === 'y') {
    return outputs[quantity];
  }
  if (outputs.tilt === null) {
    throw new Error(`weighingBudgets: ${quantity} of a weighing without tilts`);
  }
  return outputs.tilt[quantity];
}

function sourcesOf(input: WeighingInput, model: WeighingModel): readonly Source[] {
  return [
    ...scaleSources(input, model),
    ...placeSources(input, model),
    ...(model.outputs.tilt === null ? [] : tiltSources(input, model)),
  ];
}

/** One for each scale: whatever it showed, level and tilted. */
function scaleSources({ contacts, level, tilt }: WeighingInput, model: WeighingModel): Source[] {
  const { places } = model;
  const step = STEP * model.outputs.mass;
  const parts = new Map<string, Part[]>();
  const add = (reading: ScaleReading, index: number, share: number) => {
    const name = scaleName(reading);
    parts.set(name, [...(parts.get(name) ?? []), { index, u: share * reading.u, step }]);
  };
  contacts.forEach(({ castor }, i) => {
    const here = (readings: readonly ScaleReading[]) =>
      readings.filter((reading) => reading.castor === castor);
    for (const readings of level.repeats) {
      for (const reading of here(readings)) {
        add(reading, places.level(i), 1 / level.repeats.length);
      }
    }
    tilt?.tilts.forEach(({ lower }, j) => {
      for (const reading of here(lower)) {
        add(reading, places.tilted(j, i), 1);
      }
    });
  });
  return [...parts].map(([source, all]) => {
    const merged = mergedByIndex(all);
    return { source, parts: merged, together: [merged.map((part) => part.u)] };
  });
}

function scaleName({ castor, scale }: ScaleReading): string {
  return scale === undefined ? `scale under '${castor}'` : `scale '${scale}'`;
}

/** Repeats of one castor on one scale share its error: their shares of the mean add up. */
function mergedByIndex(parts: readonly Part[]): readonly Part[] {
  const merged = new Map<number, Part>();
  for (const part of parts) {
    const before = merged.get(part.index);
    merged.set(part.index, { ...part, u: part.u + (before?.u ?? 0) });
  }
  return [...merged.values()];
}

function placeSources({ contacts }: WeighingInput, { places }: WeighingModel): Source[] {
  const xs = contacts.map((contact) => contact.at[0]);
  const ys = contacts.map((contact) => contact.at[1]);
  const size = Math.max(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys));
  const step = STEP * (size > 0 ? size : 1);
  return contacts.map(({ castor, u }, i) => ({
    source: `place of castor '${castor}'`,
    parts: [places.x(i), places.y(i)].map((index) => ({ index, u, step })),
    together: [],
  }));
}

function tiltSources({ level, tilt }: WeighingInput, { places }: WeighingModel): Source[] {
  const tilts = tilt?.tilts ?? [];
  const angles = tilts.map(({ u }, j) => ({ index: places.angle(j), u, step: STEP }));
  const axis = { index: places.axisHeight, u: tilt?.axisHeightU ?? 0, step: STEP };
  const { levelU } = level;
  const lean = [places.lean(0), places.lean(1)].map((index) => ({
    index,
    u: levelU ?? 0,
    step: STEP,
  }));
  const steepest = tilts.reduce((most, one) => (one.angle > most.angle ? one : most));
  return [
    ...(levelU === undefined ? [] : [{ source: 'level of the scales', parts: lean, together: [] }]),
    { source: 'height of the tilt axis', parts: [axis], together: [] },
    {
      source: 'angle of the tilts',
      parts: angles,
      // its zero is off: all alike; its scale is off: in proportion to the angle
      together: [
        tilts.map((one) => one.u),
        tilts.map((one) => (steepest.u * one.angle) / steepest.angle),
      ],
    },
  ];
}

interface SourceWithSensitivities extends Source {
  readonly sensitivities: Readonly<Record<Quantity, readonly number[]>>;
}

function withSensitivities(source: Source, model: WeighingModel): SourceWithSensitivities {
  const ends = source.parts.map(
    (part) => [shifted(model, part, 1), shifted(model, part, -1)] as const,
  );
  const of = (quantity: Quantity) =>
    source.parts.map(({ step }, k) => {
      const [up, down] = ends[k] as readonly [Outputs, Outputs];
      return (amountOf(up, quantity) - amountOf(down, quantity)) / (2 * step);
    });
  const none = source.parts.map(() => 0);
  const tilted = model.outputs.tilt !== null;
  return {
    ...source,
    sensitivities: {
      mass: of('mass'),
      x: of('x'),
      y: of('y'),
      height: tilted ? of('height') : none,
      slope: tilted ? of('slope') : none,
      intercept: tilted && model.free ? of('intercept') : none,
    },
  };
}

function shifted(model: WeighingModel, { index, step }: Part, sign: 1 | -1): Outputs {
  const numbers = [...model.numbers];
  numbers[index] = (numbers[index] as number) + sign * step;
  return model.evaluate(numbers);
}

/** No line where the quantity does not depend on the source at all. */
function sourceLine(source: SourceWithSensitivities, quantity: Quantity): readonly Line[] {
  const c = source.sensitivities[quantity];
  if (c.every((one) => one === 0)) {
    return [];
  }
  const us = source.parts.map((part) => part.u);
  const u = Math.max(...us);
  return [
    { source: source.source, type: 'B', u, sensitivity: sensitivityOf(c, us, source), dof: null },
  ];
}

/** Of many numbers: what they make together, over the greatest of their uncertainties. */
function sensitivityOf(c: readonly number[], us: readonly number[], source: Source): number {
  const u = Math.max(...us);
  if (c.length === 1 || u === 0) {
    return c.length === 1 ? (c[0] as number) : Math.hypot(...c);
  }
  const independent = Math.hypot(...c.map((one, k) => one * (us[k] as number)));
  const common = source.together.map((errors) =>
    Math.abs(errors.reduce((sum, error, k) => sum + error * (c[k] as number), 0)),
  );
  return Math.max(independent, ...common) / u;
}

/** Type A: the quantity from each level weighing by itself, everything else as it was. */
function repeatLine(
  { contacts, level }: WeighingInput,
  model: WeighingModel,
  quantity: Quantity,
): readonly Line[] {
  if (level.repeats.length < 2) {
    return [];
  }
  const values = level.repeats.map((readings) => {
    const numbers = [...model.numbers];
    contacts.forEach(({ castor }, i) => {
      const reading = readings.find((one) => one.castor === castor);
      numbers[model.places.level(i)] = reading?.shown ?? 0;
    });
    return amountOf(model.evaluate(numbers), quantity);
  });
  const { u, dof } = meanOf(values);
  return [{ source: 'repeats of the level weighing', type: 'A', u, sensitivity: 1, dof }];
}

/** Type A: the scatter of the tilts about their line as far as the uncertainties of scales and angle, which
 * have lines of their own, do not explain it. */
function scatterLine(model: WeighingModel, quantity: Quantity): readonly Line[] {
  const { tilt } = model.outputs;
  if (tilt === null || tilt.line.scatter === null) {
    return [];
  }
  const { scatter, slopeU, interceptU, degrees } = tilt.line;
  const unexplained = Math.sqrt(Math.max(0, scatter - (model.weighted ? 1 : 0)));
  const source = 'scatter of the tilts about their line';
  const line = (u: number, sensitivity: number): readonly Line[] => [
    { source, type: 'A', u: unexplained * u, sensitivity, dof: degrees },
  ];
  switch (quantity) {
    case 'height':
      return line(slopeU, tilt.base / model.outputs.mass);
    case 'slope':
      return line(slopeU, 1);
    case 'intercept':
      return model.free ? line(interceptU, 1) : [];
    default:
      return [];
  }
}
