/** What the plan needs that no instrument of the project does. */

import { useMemo } from 'react';
import { amountText } from '../../../analysis/index.js';
import { rangeText } from '../../../figure/index.js';
import type { Equipment, InstrumentKind } from '../../../test-plan/index.js';
import type { UnitSystem } from '../../../units/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { usePlan } from '../plan/use-plan.js';
import type { Standing } from './fitting.js';
import { standingOf, standingWords } from './fitting.js';
import { useInstruments } from './use-instruments.js';

interface MissingInstrumentsProps {
  readonly onAdd: (kind: InstrumentKind) => void;
}

export function MissingInstruments({ onAdd }: MissingInstrumentsProps) {
  const { plan } = usePlan();
  const units = useWorkbench((s) => s.units);
  const { usable, today } = useInstruments();
  const equipment = plan?.content.plan.equipment;
  const missing = useMemo(
    () =>
      (equipment ?? [])
        .map((each) => ({ each, standing: standingOf(each, usable, today) }))
        .filter(({ standing }) => !isSettled(standing)),
    [equipment, usable, today],
  );
  if (equipment === undefined) return null;
  if (missing.length === 0) {
    return <p className="instruments-settled">All that the plan needs is here and in date.</p>;
  }
  return (
    <section className="instruments-missing" aria-labelledby="instruments-missing">
      <h3 id="instruments-missing">What the plan needs beyond these</h3>
      <ul className="plain">
        {missing.map(({ each, standing }) => (
          <li key={each.id}>
            <span>
              <strong>{each.name}</strong> {needWords(each, units)}
              <br />
              <span className="kit-soft">{standingWords(standing)}</span>
            </span>
            {each.instrument !== null && (
              <AddButton name={each.name} kind={each.instrument} onAdd={onAdd} />
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}

interface AddButtonProps extends MissingInstrumentsProps {
  readonly name: string;
  readonly kind: InstrumentKind;
}

function AddButton({ name, kind, onAdd }: AddButtonProps) {
  return (
    <button
      type="button"
      className="kit-button"
      aria-label={`Add a ${kind} for ${name}`}
      onClick={() => onAdd(kind)}
    >
      Add one
    </button>
  );
}

function isSettled({ kind }: Standing): boolean {
  return kind === 'at hand' || kind === 'no instrument';
}

/** '20 N to 250 N, resolution 1 N or finer, uncertainty 4 N or less' */
export function needWords(equipment: Equipment, units: UnitSystem): string {
  const { resolution, uncertainty } = equipment;
  return [
    rangeText(equipment, units),
    resolution === null ? null : `resolution ${amountText(resolution, units)} or finer`,
    uncertainty === null ? null : `uncertainty ${amountText(uncertainty, units)} (k = 2) or less`,
  ]
    .filter((words) => words !== null && words !== '')
    .join(', ');
}
