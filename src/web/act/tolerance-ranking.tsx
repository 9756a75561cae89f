/** Which inputs move the finding most that is least likely to pass; of the others the first one. */

import { useState } from 'react';
import { clauseTitle } from '../../analysis/index.js';
import type { Effect, ToleranceFinding, ToleranceReport } from '../../tolerances/index.js';
import { changeTexts, hasEffect, toleranceText, wholePercent } from '../../tolerances/index.js';
import type { UnitSystem } from '../../units/index.js';

export interface ToleranceRankingProps {
  readonly report: ToleranceReport;
  readonly units: UnitSystem;
}

/** Rows shown of one finding. */
const MOST_EFFECTS = 8;

export function ToleranceRanking({ report, units }: ToleranceRankingProps) {
  const judged = report.findings.filter(
    (finding) => finding.kind === 'judged' && finding.effects.some(hasEffect),
  );
  const [chosen, setChosen] = useState(report.governing);
  const finding = judged.find(({ id }) => id === chosen) ?? judged[0];
  if (finding === undefined) return null;
  return (
    <section className="act-section">
      <h3>What matters most</h3>
      <label className="act-field">
        <span>Finding</span>
        <select
          className="kit-select"
          value={finding.id}
          onChange={(event) => setChosen(event.target.value)}
        >
          {judged.map(({ id, clause, title }) => (
            <option key={id} value={id}>
              {clauseTitle(clause, title)}
              {id === report.governing ? ' (least likely to pass)' : ''}
            </option>
          ))}
        </select>
      </label>
      <Effects finding={finding} report={report} units={units} />
      <p className="kit-soft">
        Lower and upper end: change of the finding with this input alone at either end of its
        tolerance, all others as stated; + is safer. Share: what would stay of the variance of the
        reserve if all other inputs were known exactly (Sobol' total index), with its 95 % interval.
      </p>
    </section>
  );
}

function Effects({
  finding,
  report,
  units,
}: ToleranceRankingProps & { readonly finding: ToleranceFinding }) {
  const all = finding.effects.filter(hasEffect);
  const shown = all.slice(0, MOST_EFFECTS);
  const left = finding.effects.length - shown.length;
  return (
    <>
      <ol className="plain act-effects">
        {shown.map((effect) => {
          const input = report.inputs.find(({ name }) => name === effect.input);
          return (
            <li key={effect.input}>
              <span className="act-effect-name">
                {effect.input}
                {input !== undefined && (
                  <span className="kit-soft"> {toleranceText(input, units, '±')}</span>
                )}
              </span>
              <Share effect={effect} />
              <span className="kit-soft">{endsText(effect, finding, units)}</span>
            </li>
          );
        })}
      </ol>
      {left > 0 && (
        <p className="kit-soft">
          {left} more {left === 1 ? 'input' : 'inputs'} with next to no share.
        </p>
      )}
    </>
  );
}

function Share({ effect: { main, total } }: { readonly effect: Effect }) {
  if (total === null || main === null) return <span className="kit-soft">not ranked</span>;
  const width = Math.max(0, Math.min(1, total.value));
  const ends = `${wholePercent(total.from).replace(' %', '')} to ${wholePercent(total.to)}`;
  return (
    <span className="act-share">
      <svg viewBox="0 0 100 6" preserveAspectRatio="none" aria-hidden="true">
        <rect className="act-chance-track" x="0" y="0" width="100" height="6" />
        <rect className="act-share-value" x="0" y="0" width={100 * width} height="6" />
      </svg>
      <span>
        {wholePercent(total.value)} <span className="kit-soft">({ends})</span>
      </span>
    </span>
  );
}

function endsText({ low, high }: Effect, finding: ToleranceFinding, units: UnitSystem): string {
  const at = (value: number | null, other: number | null): string =>
    changeTexts(value, other, finding, units).texts.join(' / ');
  return `lower end ${at(low, high)}, upper end ${at(high, low)}`;
}
