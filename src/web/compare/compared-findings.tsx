/** Every finding of both, with the difference in words. */

import { reserveText } from '../../analysis/index.js';
import type { FindingRow } from '../findings/finding-rows.js';
import { ReserveBar } from '../kit/reserve-bar.js';
import { VerdictWord } from '../kit/verdict.js';
import type { ComparedRow } from './compared-rows.js';
import { comparedRows } from './compared-rows.js';
import type { Side } from './side.js';

export interface ComparedFindingsProps {
  readonly a: Side;
  readonly b: Side;
  readonly chosen: string | null;
  readonly onChoose: (finding: string | null) => void;
}

export function ComparedFindings({ a, b, chosen, onChoose }: ComparedFindingsProps) {
  const rows = comparedRows(a.rows ?? [], b.rows ?? []);
  return (
    <section className="compared-findings">
      <h2>Findings</h2>
      <table className="compared-table">
        <thead>
          <tr>
            <th scope="col">Finding</th>
            <SideHead side={a} />
            <SideHead side={b} />
            <th scope="col">B against A</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr key={row.id} data-chosen={row.id === chosen || undefined}>
              <th scope="row">
                <button
                  type="button"
                  className="compared-choose"
                  aria-pressed={row.id === chosen}
                  title="Draw the worst of this finding below"
                  onClick={() => onChoose(row.id === chosen ? null : row.id)}
                >
                  {row.title}
                </button>
              </th>
              <td>{a.rows === null ? 'being checked' : <SideCell row={row.a} />}</td>
              <td>{b.rows === null ? 'being checked' : <SideCell row={row.b} />}</td>
              <td>{a.rows === null || b.rows === null ? '' : <DifferenceCell row={row} />}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="kit-soft">
        Reserve: capacity over demand, 1 is just enough (the line in each bar); bars end at 2.
        Choose a finding to draw its worst configuration of both.
      </p>
    </section>
  );
}

function SideHead({ side: { letter, name, overall } }: { readonly side: Side }) {
  return (
    <th scope="col">
      <span className="compared-name">
        {letter}: {name}
      </span>
      {overall === null ? (
        <VerdictWord verdict={null} words="being checked" />
      ) : (
        <VerdictWord verdict={overall.verdict} words={overall.words} />
      )}
    </th>
  );
}

function SideCell({ row }: { readonly row: FindingRow | null }) {
  if (row === null) return <span className="kit-soft">no such clause in its set</span>;
  if (!row.asked) return <span className="kit-soft">not asked. {row.reason}</span>;
  const { verdict, words, reserve, amounts, proven, provenIsOld } = row;
  return (
    <div className="compared-cell">
      <div className="compared-line">
        <VerdictWord verdict={verdict} words={words} />
        <strong>
          <span className="kit-hidden">reserve </span>
          {reserve}
        </strong>
      </div>
      <ReserveBar found={row.found} proven={proven} provenIsOld={provenIsOld} />
      <span className="kit-soft">
        {amounts}
        {proven !== null && !provenIsOld && `, proven ${reserveText(proven)}`}
      </span>
    </div>
  );
}

const SHAPES: Readonly<Record<ComparedRow['way'], string>> = {
  more: '\u25b2',
  less: '\u25bc',
  same: '=',
  'not known': '\u00b7',
};

function DifferenceCell({ row: { difference, way } }: { readonly row: ComparedRow }) {
  return (
    <span className={`compared-difference is-${way.replace(' ', '-')}`}>
      <span aria-hidden="true">{SHAPES[way]}</span> {difference}
    </span>
  );
}
