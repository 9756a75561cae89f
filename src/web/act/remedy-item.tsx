/** One remedy: what changes, by how much, what it does to every finding. */

import { reserveText } from '../../analysis/index.js';
import type { Remedy } from '../../remedies/index.js';
import {
  changesText,
  governsText,
  phraseText,
  raisedText,
  reliesOn,
} from '../../remedies/index.js';
import { useWorkbench } from '../kit/use-workbench.js';
import { VerdictWord } from '../kit/verdict.js';
import { effectRows } from './effect-rows.js';

export interface RemedyItemProps {
  readonly remedy: Remedy;
  /** counted from 1 */
  readonly number: number;
  readonly isFirst: boolean;
  readonly stale: boolean;
  readonly onApply: () => void;
}

export function RemedyItem({ remedy, number, isFirst, stale, onApply }: RemedyItemProps) {
  const units = useWorkbench((s) => s.units);
  const { changes, size, governs, proof } = remedy;
  const isProven = proof.kind === 'proven';
  return (
    <li className="act-remedy" data-stale={stale || undefined}>
      <p className="act-remedy-what">
        <span className="act-remedy-number">{number}</span>
        <span>
          {changes.map(({ lever, words }, i) => (
            <span key={lever} className="act-remedy-change">
              {i > 0 && 'and '}
              {phraseText(words, units)}
            </span>
          ))}
        </span>
      </p>
      <p className="act-remedy-facts">
        <VerdictWord
          verdict={isProven ? 'holds' : 'not decided'}
          words={isProven ? 'proven' : 'found, not proven'}
        />
        <span>by {reliesOn(changes)}</span>
        <span>size {size.toFixed(2)}</span>
        <span>thinnest {reserveText(governs?.reserve ?? null)}</span>
      </p>
      {[...governsText(remedy, units).map((text) => `Then ${text}.`), ...raised(remedy, units)].map(
        (text) => (
          <p key={text} className="kit-soft">
            {text}
          </p>
        ),
      )}
      {proof.kind === 'found only' && (
        <ul className="act-list">
          {proof.reasons.map((reason) => (
            <li key={reason}>Not proven: {reason}</li>
          ))}
        </ul>
      )}
      <button
        type="button"
        className="kit-button"
        disabled={stale}
        aria-label={`Apply remedy ${number}: ${changesText(changes, units)}`}
        onClick={onApply}
      >
        Apply
      </button>
      <details open={isFirst}>
        <summary>What it does to every finding</summary>
        <EffectTable remedy={remedy} />
      </details>
    </li>
  );
}

function raised(remedy: Remedy, units: Parameters<typeof raisedText>[1]): string[] {
  return raisedText(remedy, units).map((text) => `The proof ${text}.`);
}

function EffectTable({ remedy }: { readonly remedy: Remedy }) {
  return (
    <>
      <table className="act-table">
        <thead>
          <tr>
            <th scope="col">finding</th>
            <th scope="col" className="is-number">
              now
            </th>
            <th scope="col" className="is-number">
              with it
            </th>
            <th scope="col" className="is-number">
              proven
            </th>
          </tr>
        </thead>
        <tbody>
          {effectRows(remedy).map(({ id, title, before, after, proven, became, reason }) => (
            <tr key={id}>
              <th scope="row">
                {title}
                {reason !== '' && <span className="act-reason">{reason}</span>}
              </th>
              <td className="is-number">{before}</td>
              <td className="is-number">
                {after}
                <span className={`act-became is-${became.replaceAll(' ', '-')}`}>{became}</span>
              </td>
              <td className="is-number">{proven}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p className="kit-soft">Reserves at the low end of friction; 1 is just enough.</p>
    </>
  );
}
