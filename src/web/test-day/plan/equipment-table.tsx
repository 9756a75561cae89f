/** What has to be at hand on the day, how fine it has to be, and whether it is among the instruments. */

import { amountText } from '../../../analysis/index.js';
import { rangeText } from '../../../figure/index.js';
import type { Equipment, TestPlan } from '../../../test-plan/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { standingOf, standingWords } from '../instruments/fitting.js';
import type { Instruments } from '../instruments/use-instruments.js';
import { useInstruments } from '../instruments/use-instruments.js';
import { useTestDayStore } from '../use-test-day.js';
import { counted } from './plan-words.js';

export function EquipmentTable({ plan }: { readonly plan: TestPlan }) {
  const store = useTestDayStore();
  const instruments = useInstruments();
  return (
    <>
      <table className="day-plan-equipment">
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col">Range</th>
            <th scope="col">Resolution</th>
            <th scope="col">
              Uncertainty <span className="day-plan-thin">(k = 2)</span>
            </th>
            <th scope="col">Why</th>
            <th scope="col">Among the instruments</th>
          </tr>
        </thead>
        <tbody>
          {plan.equipment.map((each) => (
            <EquipmentRow key={each.id} equipment={each} instruments={instruments} />
          ))}
        </tbody>
      </table>
      <button
        type="button"
        className="kit-button"
        onClick={() => store.getState().show('Instruments')}
      >
        To the instruments
      </button>
    </>
  );
}

interface EquipmentRowProps {
  readonly equipment: Equipment;
  readonly instruments: Instruments;
}

function EquipmentRow({ equipment, instruments: { usable, today } }: EquipmentRowProps) {
  const units = useWorkbench((s) => s.units);
  const { name, resolution, uncertainty, why, runs } = equipment;
  const standing = standingOf(equipment, usable, today);
  return (
    <tr>
      <th scope="row" data-label="What">
        {name}
        <span className="day-plan-thin">for {counted(runs.length, 'run')}</span>
      </th>
      <td data-label="Range">{rangeText(equipment, units) || '-'}</td>
      <td data-label="Resolution">
        {resolution === null ? '-' : `${amountText(resolution, units)} or finer`}
      </td>
      <td data-label="Uncertainty">
        {uncertainty === null ? '-' : `${amountText(uncertainty, units)} or less`}
      </td>
      <td data-label="Why" className="day-plan-equipment-why">
        {why}
      </td>
      <td data-label="Among the instruments">
        <span className="day-plan-standing" data-standing={standing.kind}>
          {standingWords(standing)}
        </span>
      </td>
    </tr>
  );
}
