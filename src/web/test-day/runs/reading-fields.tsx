/** One reading of a run. */

import type { TestRun } from '../../../test-plan/index.js';
import { loadDimension } from '../../../test-record/index.js';
import { QuantityField, TextField } from '../form/fields.js';
import { TapChoice } from '../form/tap-choice.js';
import type { Asked, ReadingDraft, RunUnits } from './run-draft.js';
import { ANGLE_UNIT, loadUnit } from './run-draft.js';
import { TraceField } from './trace-field.js';

interface ReadingFieldsProps {
  readonly number: number;
  readonly run: TestRun;
  readonly asked: Asked;
  /** of bare numbers */
  readonly units: RunUnits;
  readonly reading: ReadingDraft;
  readonly problemAt: (field: readonly (string | number)[]) => string | null;
  readonly onChange: (part: Partial<ReadingDraft>) => void;
}

const MODES = [
  { value: 'tips', words: 'it tips' },
  { value: 'slides', words: 'it slides' },
  { value: 'pivots', words: 'it pivots' },
  { value: 'rolls', words: 'it rolls' },
  { value: 'other', words: 'otherwise: say it in the note' },
] as const;

const RESULTS = [
  { value: 'held', words: 'it stood still' },
  { value: 'gave way', words: 'it gave way' },
] as const;

const DONE = [
  { value: 'yes', words: 'yes' },
  { value: 'no', words: 'no' },
] as const;

const MOVEMENTS = [
  { field: 'elastic', label: 'Elastic movement' },
  { field: 'creepage', label: 'Creepage' },
  { field: 'pivoting', label: 'Pivoting' },
  { field: 'further', label: 'Further movement (counts)' },
] as const;

export function ReadingFields(props: ReadingFieldsProps) {
  const { number, asked, units, reading, problemAt, onChange } = props;
  return (
    <fieldset className="run-reading">
      <legend>Reading {number}</legend>
      <div className="form-fields">
        {asked.load && <LoadFields {...props} />}
        {asked.movement &&
          MOVEMENTS.map(({ field, label }) => (
            <QuantityField
              key={field}
              label={label}
              dimension="length"
              unit={units.length}
              example="12 mm"
              value={reading[field]}
              problem={problemAt(['movement', field])}
              onChange={(value) => onChange({ [field]: value })}
            />
          ))}
        {asked.forceToMove && (
          <QuantityField
            label="Greatest force to move it"
            dimension="force"
            unit={units.force}
            example="85 N"
            value={reading.forceToMove}
            problem={problemAt(['forceToMove'])}
            onChange={(forceToMove) => onChange({ forceToMove })}
          />
        )}
        {asked.castorLoad && (
          <QuantityField
            label="Load of the castor"
            dimension="mass"
            unit={units.mass}
            example="24.6 kg"
            value={reading.castorLoad}
            problem={problemAt(['castorLoad'])}
            onChange={(castorLoad) => onChange({ castorLoad })}
          />
        )}
        {asked.done && (
          <TapChoice
            label="Done as asked, and it stood"
            value={reading.done}
            among={DONE}
            problem={problemAt(['done'])}
            onChange={(done) => onChange({ done })}
          />
        )}
        <TextField
          label="Note"
          value={reading.note}
          problem={problemAt(['note'])}
          wide
          onChange={(note) => onChange({ note })}
        />
      </div>
      {asked.trace && (
        <TraceField
          trace={reading.trace}
          problem={problemAt(['trace'])}
          onChange={(trace, suggested) => {
            const load = suggested !== null && asked.load ? { load: suggested } : {};
            onChange({ trace, ...load });
          }}
        />
      )}
    </fieldset>
  );
}

function LoadFields({ run, units, reading, problemAt, onChange }: ReadingFieldsProps) {
  const isAngle = loadDimension(run.loading) === 'angle';
  return (
    <>
      <TapChoice
        label="What happened"
        value={reading.result}
        among={RESULTS}
        problem={problemAt(['result'])}
        onChange={(result) => onChange({ result })}
      />
      <QuantityField
        label={loadLabel(isAngle, reading.result)}
        dimension={isAngle ? 'angle' : 'force'}
        unit={loadUnit(run, units)}
        example={isAngle ? '10.2 deg' : '120 N'}
        value={reading.load}
        problem={problemAt(['load'])}
        onChange={(load) => onChange({ load })}
      />
      <QuantityField
        label="Direction, if not as planned"
        dimension="angle"
        unit={ANGLE_UNIT}
        example="90 deg (to the left)"
        value={reading.direction}
        problem={problemAt(['direction'])}
        onChange={(direction) => onChange({ direction })}
      />
      {reading.result === 'gave way' && (
        <TapChoice
          label="How it gave way"
          value={reading.mode}
          among={MODES}
          problem={problemAt(['mode'])}
          wide
          onChange={(mode) => onChange({ mode })}
        />
      )}
    </>
  );
}

function loadLabel(isAngle: boolean, result: ReadingDraft['result']): string {
  const what = isAngle ? 'angle' : 'force';
  return result === 'gave way' ? `At which ${what}` : `Greatest ${what} reached`;
}
