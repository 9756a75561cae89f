/** Readings of a friction test, one a row. */

import { FORCE_UNITS, MASS_UNITS } from '../form/typed-number.js';
import { UnitChoice } from '../form/unit-choice.js';
import type { FrictionDraft, SlipRow } from './friction-draft.js';
import { keptReadings, nextRow } from './friction-draft.js';
import { CellProblems, enterGoesOn, ReadingCell } from './reading-cell.js';

interface SlipTableProps {
  readonly value: FrictionDraft;
  readonly change: (change: Partial<FrictionDraft>) => void;
  readonly told: (text: string, ...path: readonly (string | number)[]) => string | null;
}

export function SlipTable({ value, change, told }: SlipTableProps) {
  const { readings, forceUnit, massUnit } = value;
  const kept = keptReadings(value);
  const hasPulls = readings.some(({ kind }) => kind === 'pull');
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Enter in a cell goes on to the next
    <div className="readings" onKeyDown={enterGoesOn}>
      {hasPulls && (
        <div className="form-fields">
          <UnitChoice
            label="The force gauge shows"
            value={forceUnit}
            among={FORCE_UNITS}
            onChange={(unit) => change({ forceUnit: unit })}
          />
          <UnitChoice
            label="The scale shows"
            value={massUnit}
            among={MASS_UNITS}
            onChange={(unit) => change({ massUnit: unit })}
          />
        </div>
      )}
      <div className="readings-scroll">
        <table className="readings-table">
          <thead>
            <tr>
              <th scope="col">Reading</th>
              <th scope="col">Kind</th>
              <th scope="col">Angle, deg{hasPulls && ` / force, ${forceUnit}`}</th>
              {hasPulls && <th scope="col">Mass that slides, {massUnit}</th>}
              <th scope="col">
                <span className="kit-hidden">Take off</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {readings.map((row, i) => (
              <Row
                // rows have no name of their own; their cells hold no state
                // biome-ignore lint/suspicious/noArrayIndexKey: see above
                key={i}
                {...{ value, change, told, row, hasPulls }}
                number={i + 1}
                place={kept.indexOf(i)}
              />
            ))}
          </tbody>
        </table>
      </div>
      <CellProblems
        problems={kept.flatMap((i, place) =>
          (['angle', 'force', 'mass'] as const).map((field) => ({
            cell: `Reading ${i + 1}, ${field}`,
            message: told(readings[i]?.[field] ?? '', 'readings', place, field),
          })),
        )}
      />
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          data-adds-row
          onClick={() => change({ readings: [...readings, nextRow(readings)] })}
        >
          Add a reading
        </button>
        <span className="kit-soft">
          Enter goes on. Rows without an angle or a force are not recorded.
        </span>
      </div>
    </div>
  );
}

interface RowProps extends SlipTableProps {
  readonly row: SlipRow;
  readonly hasPulls: boolean;
  readonly number: number;
  /** among the rows that are recorded; -1: it is empty */
  readonly place: number;
}

function Row({ value, change, told, row, hasPulls, number, place }: RowProps) {
  const { readings } = value;
  const set = (part: Partial<SlipRow>): void =>
    change({ readings: readings.map((each) => (each === row ? { ...each, ...part } : each)) });
  const read = row.kind === 'pull' ? 'force' : 'angle';
  return (
    <tr>
      <th scope="row">{number}</th>
      <td>
        <select
          className="kit-select"
          aria-label={`Reading ${number}, kind`}
          value={row.kind}
          onChange={(event) => set({ kind: event.target.value === 'pull' ? 'pull' : 'slip angle' })}
        >
          <option value="slip angle">slip angle</option>
          <option value="pull">pull</option>
        </select>
      </td>
      <td>
        <ReadingCell
          label={`Reading ${number}, ${read}`}
          value={row[read]}
          problem={told(row[read], 'readings', place, read)}
          onChange={(text) => set({ [read]: text })}
        />
      </td>
      {hasPulls && (
        <td>
          {row.kind === 'pull' && (
            <ReadingCell
              label={`Reading ${number}, mass`}
              value={row.mass}
              problem={told(row.mass, 'readings', place, 'mass')}
              onChange={(mass) => set({ mass })}
            />
          )}
        </td>
      )}
      <td>
        {readings.length > 1 && (
          <button
            type="button"
            className="kit-button is-quiet"
            aria-label={`Take reading ${number} off`}
            onClick={() => change({ readings: readings.filter((each) => each !== row) })}
          >
            Take off
          </button>
        )}
      </td>
    </tr>
  );
}
