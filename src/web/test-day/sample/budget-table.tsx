/** What an uncertainty is made of, line by line. */

import type { Budget } from '../../../metrology/index.js';
import { expanded, uncertaintyText } from '../../../metrology/index.js';
import type { Dimension } from '../../../units/index.js';
import { useWorkbench } from '../../kit/use-workbench.js';
import { useTestDay } from '../use-test-day.js';
import { sourceWords } from './source-words.js';

interface BudgetTableProps {
  readonly title: string;
  readonly budget: Budget;
  readonly dimension: Dimension;
}

export function BudgetTable({ title, budget, dimension }: BudgetTableProps) {
  const units = useWorkbench((s) => s.units);
  const state = useTestDay((s) => s.state);
  const { u, dof, lines } = budget;
  const { U, k } = expanded(budget);
  const words = (value: number): string => uncertaintyText(value, dimension, units);
  const largestFirst = [...lines].sort((a, b) => b.contribution - a.contribution);
  return (
    <table className="sample-table">
      <caption>{title}</caption>
      <thead>
        <tr>
          <th scope="col">Source</th>
          <th scope="col">Type</th>
          <th scope="col">Standard uncertainty</th>
          <th scope="col">Share</th>
        </tr>
      </thead>
      <tbody>
        {largestFirst.map(({ source, type, contribution }) => (
          <tr key={`${source} ${type}`}>
            <th scope="row">{sourceWords(source, state)}</th>
            <td>{type}</td>
            <td>{words(contribution)}</td>
            <td>{u === 0 ? '' : `${Math.round(100 * (contribution / u) ** 2)} %`}</td>
          </tr>
        ))}
      </tbody>
      <tfoot>
        <tr>
          <th scope="row">
            Together; expanded {words(U)}, k = {k.toFixed(2)}
            {dof === null ? '' : `, ${Number(dof.toPrecision(2))} degrees of freedom`}
          </th>
          <td />
          <td>{words(u)}</td>
          <td />
        </tr>
      </tfoot>
    </table>
  );
}
