/** An instrument as the form has it, and as the record keeps it. */

import type { InstrumentKind } from '../../../test-plan/index.js';
import type { InstrumentBody } from '../../../test-record/index.js';

/** Everything as typed; '' is nothing. */
export interface InstrumentFields {
  /** '': not chosen yet */
  readonly instrument: InstrumentKind | '';
  readonly name: string;
  readonly serial: string;
  readonly certificate: string;
  readonly calibrated: string;
  readonly due: string;
  readonly uncertainty: string;
  readonly coverage: string;
  readonly resolution: string;
  readonly from: string;
  readonly to: string;
  readonly notes: string;
}

export const NEW_INSTRUMENT: InstrumentFields = {
  instrument: '',
  name: '',
  serial: '',
  certificate: '',
  calibrated: '',
  due: '',
  uncertainty: '',
  coverage: '2',
  resolution: '',
  from: '',
  to: '',
  notes: '',
};

export function fieldsOf(body: InstrumentBody): InstrumentFields {
  const { kind: _, ...fields } = body;
  return {
    ...fields,
    calibrated: body.calibrated ?? '',
    due: body.due ?? '',
    uncertainty: body.uncertainty ?? '',
    coverage: String(body.coverage),
    resolution: body.resolution ?? '',
    from: body.from ?? '',
    to: body.to ?? '',
  };
}

/** A body of what was typed, to be checked as the store would: what is not a number or not chosen stays
 * wrong in it, so that it is refused and not filled in. */
export function bodyOfFields(fields: InstrumentFields): InstrumentBody {
  const text = fields.coverage.trim().replace(',', '.');
  return {
    kind: 'instrument',
    // an empty kind is refused by the check of the body
    instrument: fields.instrument as InstrumentKind,
    name: fields.name.trim(),
    serial: fields.serial.trim(),
    certificate: fields.certificate.trim(),
    calibrated: orNull(fields.calibrated),
    due: orNull(fields.due),
    uncertainty: orNull(fields.uncertainty),
    coverage: text === '' ? Number.NaN : Number(text),
    resolution: orNull(fields.resolution),
    from: orNull(fields.from),
    to: orNull(fields.to),
    notes: fields.notes,
  };
}

function orNull(typed: string): string | null {
  const text = typed.trim();
  return text === '' ? null : text;
}
