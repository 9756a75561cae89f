/** The tilted part of a weighing: what is lifted, and the lower castors' readings at each angle. */

import { useMemo } from 'react';
import { quantityText } from '../../../analysis/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { QuantityField } from '../form/fields.js';
import { withUnit } from '../form/typed-number.js';
import { Sum } from './level-table.js';
import type { CellProblem } from './reading-cell.js';
import { CellProblems, enterGoesOn, ReadingCell } from './reading-cell.js';
import { InclinometerField } from './scale-fields.js';
import type { TiltRow } from './weighing-draft.js';
import { keptTilts, lowerOf, poseOfDraft, tippingTilt } from './weighing-draft.js';
import { TiltGuide } from './weighing-guide.js';
import type { WeighingPartProps } from './weighing-state.js';

export function TiltFields(props: WeighingPartProps) {
  const { value, change } = props;
  return (
    <fieldset className="sample-part">
      <legend>Tilted</legend>
      <label className="sample-check">
        <input
          type="checkbox"
          checked={value.isTilted}
          onChange={(event) => change({ isTilted: event.target.checked })}
        />
        <span>Weighed tilted too, for the height of the centre of mass</span>
      </label>
      {value.isTilted && (
        <>
          <TiltGuide />
          <Lifted {...props} />
          <TippingCaution {...props} />
          <div className="form-fields">
            <AxisFields {...props} />
            <InclinometerField {...props} />
          </div>
          <TiltTable {...props} />
        </>
      )}
    </fieldset>
  );
}

function Lifted({ cart, value, change, told }: WeighingPartProps) {
  const { lifted } = value;
  const problem = told(lifted.join(''), 'tilt', 'lifted');
  return (
    <fieldset className="sample-lifted">
      <legend>Castors lifted onto blocks</legend>
      {cart.castors.map(({ name }) => (
        <label key={name} className="sample-check">
          <input
            type="checkbox"
            checked={lifted.includes(name)}
            onChange={(event) =>
              change({
                lifted: event.target.checked
                  ? [...lifted, name]
                  : lifted.filter((each) => each !== name),
              })
            }
          />
          <span>{name}</span>
        </label>
      ))}
      {problem !== null && <p className="kit-problem">{problem}</p>}
    </fieldset>
  );
}

function TippingCaution({ cart, value }: WeighingPartProps) {
  const units = useWorkbench((s) => s.units);
  const angle = useMemo(
    () => tippingTilt(cart, poseOfDraft(cart, value), value.lifted),
    [cart, value],
  );
  if (angle === null) return null;
  return (
    <p className="sample-tipping" role="status">
      By the model it falls over its lower castors at about{' '}
      <strong>{quantityText(angle, 'angle', units)}</strong>: a prediction. Stay well below, and
      mind that the sample may be top-heavier than the model.
    </p>
  );
}

function AxisFields({ cart, value, change, told }: WeighingPartProps) {
  const isUneven = new Set(cart.castors.map(({ wheelDiameter }) => wheelDiameter)).size > 1;
  return (
    <>
      <QuantityField
        label="Height of the axles (wheel radius)"
        dimension="length"
        example="50 mm"
        value={value.axisHeight}
        problem={told(value.axisHeight, 'tilt', 'axisHeight')}
        onChange={(axisHeight) => change({ axisHeight })}
      />
      <QuantityField
        label="Standard uncertainty of that height"
        dimension="length"
        example="1 mm"
        value={value.axisHeightUncertainty}
        problem={told(value.axisHeightUncertainty, 'tilt', 'axisHeightUncertainty')}
        onChange={(axisHeightUncertainty) => change({ axisHeightUncertainty })}
      />
      {isUneven && (
        <p className="kit-problem is-wide">
          The wheels differ in size. The height from tilts is right only where all axles are at one
          height.
        </p>
      )}
    </>
  );
}

function TiltTable(props: WeighingPartProps) {
  const { cart, value, change, told } = props;
  const { tilts, unit } = value;
  const castors = cart.castors.map(({ name }) => name);
  const lower = lowerOf(value, castors);
  const kept = keptTilts(value, castors);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Enter in a cell goes on to the next
    <div className="readings" onKeyDown={enterGoesOn}>
      <div className="readings-scroll">
        <table className="readings-table" data-many={lower.length > 2 || undefined}>
          <thead>
            <tr>
              <th scope="col">Tilt</th>
              <th scope="col">Way</th>
              <th scope="col">Angle, deg</th>
              {lower.map((name) => (
                <th key={name} scope="col">
                  {name}, {unit}
                </th>
              ))}
              <th scope="col">In all</th>
              <th scope="col">
                <span className="kit-hidden">Take off</span>
              </th>
            </tr>
          </thead>
          <tbody>
            {tilts.map((row, i) => (
              <TiltRowFields
                // rows have no name of their own; their cells hold no state
                // biome-ignore lint/suspicious/noArrayIndexKey: see above
                key={i}
                {...props}
                {...{ row, lower }}
                number={i + 1}
                place={kept.indexOf(i)}
              />
            ))}
          </tbody>
        </table>
      </div>
      <CellProblems
        problems={kept.flatMap((i, place) => {
          const row = tilts[i];
          return row === undefined ? [] : rowProblems({ row, number: i + 1, place, lower, told });
        })}
      />
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          data-adds-row
          onClick={() =>
            change({ tilts: [...tilts, { angle: '', way: tilts.at(-1)?.way ?? 'up', shown: {} }] })
          }
        >
          Add a tilt
        </button>
        <span className="kit-soft">
          The castors that are not lifted. Enter goes on. Rows left empty are not recorded.
        </span>
      </div>
    </div>
  );
}

interface RowToTell {
  readonly row: TiltRow;
  readonly number: number;
  /** among the rows that are recorded; -1: it is empty */
  readonly place: number;
  readonly lower: readonly string[];
  readonly told: WeighingPartProps['told'];
}

/** Of the angle, then of each lower castor. */
function rowProblems({ row, number, place, lower, told }: RowToTell): readonly CellProblem[] {
  const { angle, shown } = row;
  return [
    { cell: `Tilt ${number}, angle`, message: told(angle, 'tilt', 'tilts', place, 'angle') },
    ...lower.map((name, j) => ({
      cell: `Tilt ${number}, ${name}`,
      message: told(shown[name] ?? '', 'tilt', 'tilts', place, 'lower', j),
    })),
  ];
}

type TiltRowFieldsProps = WeighingPartProps & RowToTell;

function TiltRowFields({ value, change, told, row, lower, number, place }: TiltRowFieldsProps) {
  const { tilts, unit } = value;
  const [ofAngle, ...ofShown] = rowProblems({ row, number, place, lower, told });
  const set = (part: Partial<TiltRow>): void =>
    change({ tilts: tilts.map((each) => (each === row ? { ...each, ...part } : each)) });
  return (
    <tr>
      <th scope="row">{number}</th>
      <td>
        <select
          className="kit-select"
          aria-label={`Tilt ${number}, way`}
          value={row.way}
          onChange={(event) => set({ way: event.target.value === 'down' ? 'down' : 'up' })}
        >
          <option value="up">up</option>
          <option value="down">down</option>
        </select>
      </td>
      <td>
        <ReadingCell
          label={`Tilt ${number}, angle`}
          value={row.angle}
          problem={ofAngle?.message ?? null}
          onChange={(angle) => set({ angle })}
        />
      </td>
      {lower.map((name, j) => (
        <td key={name}>
          <ReadingCell
            label={`Tilt ${number}, ${name}`}
            value={row.shown[name] ?? ''}
            problem={ofShown[j]?.message ?? null}
            onChange={(text) => set({ shown: { ...row.shown, [name]: text } })}
          />
        </td>
      ))}
      <td className="readings-sum">
        <Sum texts={lower.map((name) => withUnit(row.shown[name] ?? '', unit))} />
      </td>
      <td>
        {tilts.length > 1 && (
          <button
            type="button"
            className="kit-button is-quiet"
            aria-label={`Take tilt ${number} off`}
            onClick={() => change({ tilts: tilts.filter((each) => each !== row) })}
          >
            Take off
          </button>
        )}
      </td>
    </tr>
  );
}
