/** A finding in full, with its working: what `standstill finding` prints, on the page. */

import './finding-in-full.css';
import type { ReactNode } from 'react';
import { memo } from 'react';
import type { Finding, WorkingStep } from '../../analysis/index.js';
import {
  amountText,
  frictionText,
  headingText,
  modeText,
  pointText,
  proofText,
  quantityText,
  worstSettings,
} from '../../analysis/index.js';
import type { UnitSystem } from '../../units/index.js';
import { useWorkbench, useWorkbenchStore } from '../kit/use-workbench.js';
import { CastorTable } from './castor-table.js';
import type { FindingRow } from './finding-rows.js';

export interface FindingInFullProps {
  readonly finding: Finding;
  readonly row: FindingRow;
}

export function FindingInFull({ finding, row }: FindingInFullProps) {
  const { provenIsOld, verdict } = row;
  return (
    <div className="finding-full">
      {provenIsOld ? (
        <p className="kit-soft finding-full-old">
          As it was before the last change; being judged again.
        </p>
      ) : (
        verdict === null && <p className="kit-soft">The closer proof is running.</p>
      )}
      <div data-old={provenIsOld || undefined} className="finding-full-body">
        <Body finding={finding} current={!provenIsOld} />
      </div>
    </div>
  );
}

/** Long, and the same until the next proof: not drawn again while the row follows a drag. */
const Body = memo(function Body({
  finding,
  current,
}: {
  readonly finding: Finding;
  readonly current: boolean;
}) {
  const units = useWorkbench((s) => s.units);
  const { because, castors, working, restsOn, notes } = finding;
  return (
    <>
      <p className="finding-full-because">{because}</p>
      <Worst finding={finding} units={units} current={current} />
      <Section title="Result">
        <Result finding={finding} units={units} />
      </Section>
      {castors.length > 0 && (
        <Section title="Castors at the capacity">
          <CastorTable castors={castors} units={units} />
        </Section>
      )}
      <Section title="What is asked">
        <Asked finding={finding} />
      </Section>
      {working.length > 0 && (
        <Folded title={`Working, ${working.length} ${working.length === 1 ? 'step' : 'steps'}`}>
          <ol className="plain finding-full-steps">
            {working.map((step, i) => (
              <Step key={`${step.text} ${step.formula}`} step={step} number={i + 1} units={units} />
            ))}
          </ol>
        </Folded>
      )}
      {restsOn.length > 0 && (
        <Section title="Rests on">
          <List texts={restsOn} />
        </Section>
      )}
      {notes.length > 0 && (
        <Section title="Notes">
          <List texts={notes} />
        </Section>
      )}
    </>
  );
});

function Section({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <section className="finding-full-section">
      <h3>{title}</h3>
      {children}
    </section>
  );
}

function Folded({ title, children }: { readonly title: string; readonly children: ReactNode }) {
  return (
    <details className="finding-full-section">
      <summary>{title}</summary>
      {children}
    </details>
  );
}

function List({ texts }: { readonly texts: readonly string[] }) {
  return (
    <ul className="finding-full-list">
      {texts.map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
}

function Pairs({ pairs }: { readonly pairs: readonly (readonly [string, string])[] }) {
  return (
    <dl className="finding-full-pairs">
      {pairs.map(([name, text]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  );
}

interface PartProps {
  readonly finding: Finding;
  readonly units: UnitSystem;
}

function Worst({ finding, units, current }: PartProps & { readonly current: boolean }) {
  const store = useWorkbenchStore();
  const cart = useWorkbench((s) => s.cart);
  const { id, worst } = finding;
  if (worst === null || cart === null) return null;
  const show = (): void => {
    const { showWorst, showPane } = store.getState();
    showWorst(id);
    showPane('See');
  };
  const pairs: (readonly [string, string])[] = [
    ['position', worst.position],
    ...some('direction', worst.direction, (each) => headingText(each, units)),
    ...some('force acts at', worst.point, (each) => pointText(each, units)),
    ['mass', quantityText(worst.mass, 'mass', units)],
    ['centre of mass', pointText(worst.centreOfMass, units)],
    ...worstSettings(worst, cart, units),
  ];
  return (
    <Section title="Worst configuration">
      <p>{worst.words}</p>
      <button type="button" className="kit-button" disabled={!current} onClick={show}>
        Show in the drawing
      </button>
      <details>
        <summary>In numbers</summary>
        <Pairs pairs={pairs} />
      </details>
    </Section>
  );
}

function some<T>(
  label: string,
  value: T | null,
  text: (value: T) => string,
): readonly (readonly [string, string])[] {
  return value === null ? [] : [[label, text(value)]];
}

function Result({ finding, units }: PartProps) {
  const { demand, capacity, margin, mode, frictionNeeded, leastFavourable, proof, sense } = finding;
  const pairs: readonly (readonly [string, string])[] = [
    ...some('demand', demand, (each) => amountText(each, units)),
    ...some(sense === 'at least' ? 'capacity' : 'limit', capacity, (each) =>
      amountText(each, units),
    ),
    ...some('margin', margin, (each) => `${each.value < 0 ? '' : '+'}${amountText(each, units)}`),
    ...some('how it fails', mode, (each) => modeText(each, units)),
    ...some('friction', frictionNeeded, frictionText),
    ['worst case', proofText(proof, sense, units)],
    ...some(
      'uneven floor',
      leastFavourable,
      (each) => `${amountText(each.capacity, units)}: ${each.words}`,
    ),
  ];
  return <Pairs pairs={pairs} />;
}

function Asked({ finding: { requirement, applicability } }: { readonly finding: Finding }) {
  const { asks, values, set } = requirement;
  return (
    <>
      <p>{asks}</p>
      <p className="kit-soft">
        {applicability.applies ? 'Applies' : 'Does not apply'}: {applicability.reason} Set {set}.
      </p>
      {values.length > 0 && (
        <table className="finding-full-table">
          <thead>
            <tr>
              <th scope="col">value</th>
              <th scope="col">asked</th>
              <th scope="col">basis</th>
            </tr>
          </thead>
          <tbody>
            {values.map(({ id, text, basis, confirmed }) => (
              <tr key={id}>
                <th scope="row">{id}</th>
                <td>{text}</td>
                <td>{confirmed ? 'confirmed' : `unconfirmed (${basis})`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}

function Step({
  step,
  number,
  units,
}: {
  readonly step: WorkingStep;
  readonly number: number;
  readonly units: UnitSystem;
}) {
  return (
    <li>
      <p>
        {number}. {step.text}
      </p>
      <p className="finding-full-formula">
        {step.formula}
        {step.substituted !== '' && (
          <>
            <br />= {step.substituted}
          </>
        )}
        <br />= <strong>{amountText(step.value, units)}</strong>
      </p>
    </li>
  );
}
