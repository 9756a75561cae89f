/** How likely each finding passes, and the one number for all together. */

import { clauseTitle } from '../../analysis/index.js';
import type { Probability, ToleranceFinding, ToleranceReport } from '../../tolerances/index.js';
import { intervalText, passing, percent, spreadingTexts } from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';

export interface ToleranceProbabilitiesProps {
  readonly report: ToleranceReport;
  readonly units: UnitSystem;
}

export function ToleranceProbabilities({ report, units }: ToleranceProbabilitiesProps) {
  const asked = report.findings.filter(({ kind }) => kind !== 'never asked');
  const never = report.findings.filter(({ kind }) => kind === 'never asked');
  return (
    <section className="act-section">
      <h3>How likely each passes</h3>
      <ul className="plain act-chances">
        {report.together !== null && (
          <li className="act-chance">
            <strong>All together</strong>
            <Chance probability={report.together} />
          </li>
        )}
        {asked.map((finding) => (
          <li key={finding.id} className="act-chance">
            <strong>{clauseTitle(finding.clause, finding.title)}</strong>
            {finding.probability === null ? (
              <p className="act-unsure">Not known: {finding.reason}</p>
            ) : (
              <Chance probability={finding.probability} />
            )}
            <p className="kit-soft">{spreadText(finding, units)}</p>
          </li>
        ))}
      </ul>
      {never.length > 0 && (
        <details>
          <summary>
            Never asked: {never.length} {never.length === 1 ? 'clause' : 'clauses'}
          </summary>
          <ul className="act-list">
            {never.map(({ id, clause, title, reason }) => (
              <li key={id}>
                {clauseTitle(clause, title)}: {reason}
              </li>
            ))}
          </ul>
        </details>
      )}
    </section>
  );
}

/** A line from 0 to 1 with the 95 % interval on it. */
function Chance({ probability }: { readonly probability: Probability }) {
  const { value, from, to } = probability;
  return (
    <div className="act-chance-line">
      <span>
        {passing(probability)}{' '}
        <span className="kit-soft">95 % interval: {intervalText(probability)}</span>
      </span>
      <svg viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect className="act-chance-track" x="0" y="2" width="100" height="2" />
        <rect className="act-chance-value" x="0" y="2" width={100 * value} height="2" />
        <rect
          className="act-chance-interval"
          x={100 * from}
          y="0"
          width={Math.max(0.6, 100 * (to - from))}
          height="6"
        />
      </svg>
    </div>
  );
}

/** Demand, capacity and reserve with how they spread. */
function spreadText(finding: ToleranceFinding, units: UnitSystem): string {
  const { reserve, applied } = finding;
  const spread = (which: 'demand' | 'capacity'): string[] => {
    const texts = spreadingTexts(finding, which, units);
    if (texts === null) return [];
    const u = texts.standard.length === 0 ? '' : ` (u ${texts.standard.join(' / ')})`;
    return [`${which} ${texts.mean.join(' / ')}${u}`];
  };
  const show = (value: number): string => value.toFixed((reserve?.mean ?? 0) < 10 ? 3 : 1);
  return [
    ...spread('demand'),
    ...spread('capacity'),
    ...(reserve === null
      ? []
      : [
          `reserve ${show(reserve.mean)}, 95 % of the trials ${show(reserve.symmetric.from)} to ${show(reserve.symmetric.to)}`,
        ]),
    ...(applied < 1 && applied > 0 ? [`asked in ${percent(applied)} of the trials`] : []),
  ].join('; ');
}
