/** What a weighing comes to: mass, centre of mass, how well they are known, and what is doubtful. */

import type { Budget, WeighingOutcome, WeighingResult } from '../../../metrology/index.js';
import { differenceText, expanded, measuredText } from '../../../metrology/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { BudgetTable } from './budget-table.js';
import { TiltChart } from './tilt-chart.js';

export function WeighingOutcomeView({ outcome }: { readonly outcome: WeighingOutcome }) {
  if (outcome.kind === 'ok') return <WeighingResultView result={outcome.result} />;
  return <Problems problems={outcome.problems} />;
}

export function Problems({ problems }: { readonly problems: readonly string[] }) {
  return (
    <ul className="sample-remarks" aria-label="What stands against a result">
      {problems.map((each) => (
        <li key={each} className="kit-problem">
          {each}
        </li>
      ))}
    </ul>
  );
}

export function Remarks({ remarks }: { readonly remarks: readonly string[] }) {
  if (remarks.length === 0) return null;
  return (
    <ul className="sample-remarks" aria-label="Remarks">
      {remarks.map((each) => (
        <li key={each}>{each}</li>
      ))}
    </ul>
  );
}

interface Quantity {
  readonly title: string;
  readonly budget: Budget;
  readonly dimension: 'mass' | 'length';
}

function quantitiesOf({ mass, x, y, height }: WeighingResult): readonly Quantity[] {
  return [
    { title: 'Mass', budget: mass, dimension: 'mass' },
    { title: 'Centre of mass, x forward', budget: x, dimension: 'length' },
    { title: 'Centre of mass, y to the left', budget: y, dimension: 'length' },
    ...(height === null
      ? []
      : [
          {
            title: 'Centre of mass, height above the floor',
            budget: height,
            dimension: 'length' as const,
          },
        ]),
  ];
}

function WeighingResultView({ result }: { readonly result: WeighingResult }) {
  const units = useWorkbench((s) => s.units);
  const quantities = quantitiesOf(result);
  const { line } = result;
  return (
    <>
      <dl className="sample-measured">
        {quantities.map(({ title, budget, dimension }) => (
          <div key={title}>
            <dt>{title}</dt>
            <dd>{measuredText(budget, dimension, units)}</dd>
            <dd className="kit-soft">k = {expanded(budget).k.toFixed(2)}</dd>
          </div>
        ))}
        {result.height === null && (
          <div>
            <dt>Height</dt>
            <dd className="kit-soft">not measured without tilts</dd>
          </div>
        )}
      </dl>
      <Remarks remarks={result.remarks} />
      {line !== null && (
        <figure className="sample-chart">
          <TiltChart line={line} units={units} />
          <figcaption>
            Slope {measuredText(line.slope, 'mass', units)} for a tangent of 1.{' '}
            {line.intercept.u === 0
              ? 'The line is drawn through the level weighing.'
              : `On the level it is off by ${measuredText(line.intercept, 'mass', units)}.`}
            {line.upDown !== null &&
              ` Up less down: ${differenceText(line.upDown, line.intercept.u, 'mass', units)}.`}
          </figcaption>
        </figure>
      )}
      <details className="sample-guide">
        <summary>Uncertainty budgets</summary>
        <p className="kit-soft">
          Measured value ± expanded uncertainty, about 95 % coverage (JCGM 100). The mass is what
          the scales show.
        </p>
        {quantities.map((each) => (
          <BudgetTable key={each.title} {...each} />
        ))}
      </details>
    </>
  );
}
