/** What is asked about an instrument, by its kind. */

import type { InstrumentKind } from '../../../test-plan/index.js';
import { dimensionOf, kelvinsIn } from '../../../test-record/index.js';
import type { Dimension } from '../../../units/index.js';
import { formatQuantity, parseQuantity } from '../../../units/index.js';

export interface KindOfInstrument {
  readonly kind: InstrumentKind;
  /** at the head of a sentence */
  readonly words: string;
  /** what it shows; 'temperature' has a zero of its own and is no dimension; null: anything */
  readonly shows: Dimension | 'temperature' | null;
  readonly units: string;
  readonly examples: {
    readonly from: string;
    readonly to: string;
    readonly resolution: string;
    readonly uncertainty: string;
  };
}

function kindOf(
  kind: InstrumentKind,
  words: string,
  shows: KindOfInstrument['shows'],
  units: string,
  [from, to, resolution, uncertainty]: readonly [string, string, string, string],
): KindOfInstrument {
  return { kind, words, shows, units, examples: { from, to, resolution, uncertainty } };
}

export const KINDS_OF_INSTRUMENT: Readonly<Record<InstrumentKind, KindOfInstrument>> = {
  'force gauge': kindOf('force gauge', 'Force gauge', 'force', 'N or lbf', [
    '5 N',
    '500 N',
    '0.1 N',
    '1 N',
  ]),
  inclinometer: kindOf('inclinometer', 'Inclinometer', 'angle', 'deg', [
    '0 deg',
    '90 deg',
    '0.05 deg',
    '0.1 deg',
  ]),
  scale: kindOf('scale', 'Scale', 'mass', 'kg or lb', ['1 kg', '150 kg', '0.05 kg', '0.1 kg']),
  tape: kindOf('tape', 'Tape or rule', 'length', 'mm or in', ['0 mm', '3 m', '1 mm', '1 mm']),
  displacement: kindOf('displacement', 'Displacement gauge', 'length', 'mm or in', [
    '0 mm',
    '100 mm',
    '0.1 mm',
    '0.2 mm',
  ]),
  thermometer: kindOf('thermometer', 'Thermometer', 'temperature', 'degC or degF', [
    '0 degC',
    '50 degC',
    '0.1 degC',
    '0.5 degC',
  ]),
  timer: kindOf('timer', 'Timer', 'time', 's', ['0 s', '3600 s', '0.1 s', '0.2 s']),
  other: kindOf('other', 'Other', null, 'a unit of what it shows', [
    '0 mm',
    '100 mm',
    '1 mm',
    '1 mm',
  ]),
};

/** A quantity as typed, said back in both unit systems, or what is wrong with it. */
export type SaidBack =
  | { readonly kind: 'nothing' }
  | { readonly kind: 'ok'; readonly words: string }
  | { readonly kind: 'problem'; readonly words: string };

/** @param share a share of the reading ('0.5 %') is allowed too, as certificates state it */
export function saidBack(
  typed: string,
  shows: KindOfInstrument['shows'],
  share: boolean,
): SaidBack {
  const text = typed.trim();
  if (text === '') return { kind: 'nothing' };
  if (share && text.endsWith('%')) return shareSaidBack(text);
  if (shows === 'temperature') {
    return kelvinsIn(text) === null
      ? { kind: 'problem', words: `${text}: allowed: a number in degC, degF or K` }
      : { kind: 'ok', words: text };
  }
  const dimension = shows ?? dimensionOf(text, ANYTHING);
  if (dimension === null) {
    return { kind: 'problem', words: `${text}: allowed: a number with its unit, such as 0.1 mm` };
  }
  const read = parseQuantity(text, dimension);
  return read.kind === 'ok'
    ? { kind: 'ok', words: formatQuantity(read.value, dimension, 'both') }
    : { kind: 'problem', words: `${read.message}; allowed: ${read.allowed}` };
}

const ANYTHING: readonly Dimension[] = ['length', 'mass', 'angle', 'force', 'speed', 'time'];

function shareSaidBack(text: string): SaidBack {
  const read = parseQuantity(text, 'ratio');
  return read.kind === 'ok'
    ? { kind: 'ok', words: `${text} of the reading` }
    : { kind: 'problem', words: `${read.message}; allowed: ${read.allowed}` };
}
