/** Model and sample side by side, and the masses that make the sample that was weighed. */

import { quantityText } from '../../../analysis/index.js';
import type { Difference, ReconciledPart, Reconciliation } from '../../../judgement/index.js';
import { differenceText, expanded, measuredText } from '../../../metrology/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { Remarks } from './weighing-result.js';

export function ReconciliationView({
  reconciliation,
}: {
  readonly reconciliation: Reconciliation;
}) {
  const { differences, parts, chiSquared, degrees, fits, remarks } = reconciliation;
  return (
    <>
      <Differences differences={differences} />
      <p className="sample-fit" data-fits={fits}>
        <strong>{fits ? 'Model and sample fit.' : 'Model and sample do not fit.'}</strong>{' '}
        {fits
          ? 'The parts, each within its tolerance, can make the sample that was weighed.'
          : 'The parts within their tolerances cannot make the sample that was weighed.'}{' '}
        <span className="kit-soft">
          Chi-squared {Number(chiSquared.toPrecision(3))} with {degrees} degrees of freedom.
        </span>
      </p>
      <Parts parts={parts} />
      <Remarks remarks={remarks} />
    </>
  );
}

const QUANTITIES = {
  mass: ['Mass', 'mass'],
  x: ['x, forward', 'length'],
  y: ['y, to the left', 'length'],
  height: ['Height', 'length'],
} as const;

function Differences({ differences }: { readonly differences: readonly Difference[] }) {
  const units = useWorkbench((s) => s.units);
  return (
    <div className="sample-scroll">
      <table className="sample-table">
        <caption>Mass and centre of mass as weighed</caption>
        <thead>
          <tr>
            <th scope="col">Quantity</th>
            <th scope="col">Model predicts</th>
            <th scope="col">Measured</th>
            <th scope="col">Difference</th>
            <th scope="col">
              E<sub>n</sub>
            </th>
            <th scope="col">Left after adjusting</th>
          </tr>
        </thead>
        <tbody>
          {differences.map(({ quantity, model, measured, difference, normalised, left }) => {
            const [title, dimension] = QUANTITIES[quantity];
            const { U } = expanded(measured);
            return (
              <tr key={quantity}>
                <th scope="row">{title}</th>
                <td>{measuredText(model, dimension, units)}</td>
                <td>{measuredText(measured, dimension, units)}</td>
                <td>{differenceText(difference, U, dimension, units)}</td>
                <td>{agreementWords(normalised)}</td>
                <td>{differenceText(left, U, dimension, units)}</td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p className="kit-soft">
        ± is the expanded uncertainty, about 95 %. E<sub>n</sub>: the difference over both expanded
        uncertainties together; above 1 they disagree.
      </p>
    </div>
  );
}

function agreementWords(normalised: number): string {
  if (!Number.isFinite(normalised)) return 'no uncertainty';
  return `${normalised.toFixed(2)}, ${normalised > 1 ? 'disagree' : 'agree'}`;
}

function Parts({ parts }: { readonly parts: readonly ReconciledPart[] }) {
  const units = useWorkbench((s) => s.units);
  const loose = parts.filter(({ tolerance }) => tolerance > 0);
  if (loose.length === 0) return null;
  const mass = (value: number): string => quantityText(value, 'mass', units);
  return (
    <div className="sample-scroll">
      <table className="sample-table">
        <caption>Masses of the parts, adjusted within their tolerances</caption>
        <thead>
          <tr>
            <th scope="col">Part</th>
            <th scope="col">Stated</th>
            <th scope="col">Tolerance</th>
            <th scope="col">Adjusted</th>
            <th scope="col">Change</th>
            <th scope="col">At its limit</th>
          </tr>
        </thead>
        <tbody>
          {loose.map(({ name, stated, tolerance, adjusted, u, atLimit }) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              <td>{mass(stated)}</td>
              <td>± {mass(tolerance)}</td>
              <td>{measuredText({ value: adjusted, u, dof: null }, 'mass', units)}</td>
              <td>{differenceText(adjusted - stated, 2 * u, 'mass', units)}</td>
              <td>{atLimit ? <strong>at its limit</strong> : 'no'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
