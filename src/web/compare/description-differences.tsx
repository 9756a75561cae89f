/** What differs in the two descriptions. */

import { useMemo } from 'react';
import type { Cart } from '../../document/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import { cartDifferences } from './cart-differences.js';

export interface DescriptionDifferencesProps {
  readonly a: Cart;
  readonly b: Cart;
  readonly names: readonly [string, string];
}

export function DescriptionDifferences({ a, b, names }: DescriptionDifferencesProps) {
  const units = useWorkbench((s) => s.units);
  const all = useMemo(() => cartDifferences(a, b, units), [a, b, units]);
  return (
    <section className="description-differences">
      <h2>What differs in the description</h2>
      {all.length === 0 ? (
        <p className="kit-soft">Nothing: both describe the same cart.</p>
      ) : (
        <table className="compared-table">
          <thead>
            <tr>
              <th scope="col">Section</th>
              <th scope="col">Thing</th>
              <th scope="col">What</th>
              <th scope="col">A: {names[0]}</th>
              <th scope="col">B: {names[1]}</th>
            </tr>
          </thead>
          <tbody>
            {all.map(({ section, what, field, a: inA, b: inB }) => (
              <tr key={`${section}\n${what}\n${field}`}>
                <td>{section}</td>
                <th scope="row">{what}</th>
                <td>{field}</td>
                <td>{inA}</td>
                <td>{inB}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
