/** What the scales show on the level: a row a weighing, a column a castor. */

import { useMemo } from 'react';
import { poseCart, quantityText } from '../../../analysis/index.js';
import { STANDARD_GRAVITY } from '../../../units/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { MASS_UNITS, sumOf, withUnit } from '../form/typed-number.js';
import { UnitChoice } from '../form/unit-choice.js';
import { CellProblems, enterGoesOn, ReadingCell } from './reading-cell.js';
import type { Texts } from './weighing-draft.js';
import { keptRepeats, poseOfDraft } from './weighing-draft.js';
import type { WeighingPartProps } from './weighing-state.js';

/** Columns that fit a tablet at their full width. */
const MANY = 4;

export function LevelTable({ cart, value, change, told }: WeighingPartProps) {
  const names = cart.castors.map(({ name }) => name);
  const { repeats, unit } = value;
  const kept = keptRepeats(value);
  const problemAt = (i: number, j: number): string | null =>
    told(repeats[i]?.[names[j] ?? ''] ?? '', 'repeats', kept.indexOf(i), j);
  const set = (row: number, shown: Texts): void =>
    change({ repeats: repeats.map((each, i) => (i === row ? shown : each)) });
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: Enter in a cell goes on to the next
    <div className="readings" onKeyDown={enterGoesOn}>
      <UnitChoice
        label="Scales show"
        value={unit}
        among={MASS_UNITS}
        onChange={(next) => change({ unit: next })}
      />
      <div className="readings-scroll">
        <table className="readings-table" data-many={names.length > MANY || undefined}>
          <thead>
            <tr>
              <th scope="col">Weighing</th>
              {names.map((name) => (
                <th key={name} scope="col">
                  {name}, {unit}
                </th>
              ))}
              <th scope="col">In all</th>
            </tr>
          </thead>
          <tbody>
            {repeats.map((shown, i) => (
              // rows have no name of their own, and are only added and taken off at the end
              // biome-ignore lint/suspicious/noArrayIndexKey: see above
              <tr key={i}>
                <th scope="row">{i + 1}</th>
                {names.map((name, j) => (
                  <td key={name}>
                    <ReadingCell
                      label={labelOf(i, name)}
                      value={shown[name] ?? ''}
                      problem={problemAt(i, j)}
                      onChange={(text) => set(i, { ...shown, [name]: text })}
                    />
                  </td>
                ))}
                <td className="readings-sum">
                  <Sum texts={names.map((name) => withUnit(shown[name] ?? '', unit))} />
                </td>
              </tr>
            ))}
          </tbody>
          <Expected cart={cart} value={value} />
        </table>
      </div>
      <CellProblems
        problems={repeats.flatMap((_, i) =>
          names.map((name, j) => ({ cell: labelOf(i, name), message: problemAt(i, j) })),
        )}
      />
      <div className="form-answers">
        <button
          type="button"
          className="kit-button"
          data-adds-row
          onClick={() => change({ repeats: [...repeats, {}] })}
        >
          Add a weighing
        </button>
        {repeats.length > 1 && (
          <button
            type="button"
            className="kit-button"
            onClick={() => change({ repeats: repeats.slice(0, -1) })}
          >
            Take the last weighing off
          </button>
        )}
        <span className="kit-soft">Enter goes on. Rows left empty are not recorded.</span>
      </div>
    </div>
  );
}

function labelOf(row: number, castor: string): string {
  return `Weighing ${row + 1}, ${castor}`;
}

/** To see at once where castors are mixed up, or a unit is wrong. */
function Expected({ cart, value }: Pick<WeighingPartProps, 'cart' | 'value'>) {
  const units = useWorkbench((s) => (s.units === 'US' ? 'US' : 'SI'));
  const { castors, mass } = useMemo(() => poseCart(cart, poseOfDraft(cart, value)), [cart, value]);
  return (
    <tfoot>
      <tr className="readings-expected">
        <th scope="row">Model expects</th>
        {castors.map(({ name, load }) => (
          <td key={name}>
            {load === null ? '' : quantityText(load / STANDARD_GRAVITY, 'mass', units)}
          </td>
        ))}
        <td>{quantityText(mass, 'mass', units)}</td>
      </tr>
    </tfoot>
  );
}

export function Sum({ texts }: { readonly texts: readonly string[] }) {
  // a cell has room for one system
  const units = useWorkbench((s) => (s.units === 'US' ? 'US' : 'SI'));
  const sum = sumOf(texts, 'mass');
  return sum === null ? null : quantityText(sum, 'mass', units);
}
