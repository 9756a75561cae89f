/** What each castor bears and takes at the capacity. */

import type { CastorShare } from '../../analysis/index.js';
import { headingText, quantityText } from '../../analysis/index.js';
import type { UnitSystem } from '../../units/index.js';

export interface CastorTableProps {
  readonly castors: readonly CastorShare[];
  readonly units: UnitSystem;
}

export function CastorTable({ castors, units }: CastorTableProps) {
  const forces = castors.some(({ force }) => force !== null);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a table wider than the pane has to scroll by keyboard
    <section className="finding-full-scroll" tabIndex={0} aria-label="Castors at the capacity">
      <table className="finding-full-table">
        <thead>
          <tr>
            <th scope="col">castor</th>
            <th scope="col" className="is-number">
              load
            </th>
            {forces && (
              <th scope="col" className="is-number">
                takes, of what it can
              </th>
            )}
          </tr>
        </thead>
        <tbody>
          {castors.map((castor) => (
            <tr key={castor.name}>
              <th scope="row">
                {castor.name}
                <br />
                <span className="kit-soft">{standingText(castor, units)}</span>
              </th>
              <td className="is-number">
                {quantityText(castor.load, 'force', units)}
                <br />
                <span className="kit-soft">{percent(castor.share)}</span>
              </td>
              {forces && <ForceCell castor={castor} units={units} />}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function ForceCell({
  castor: { force, limit },
  units,
}: {
  readonly castor: CastorShare;
  readonly units: UnitSystem;
}) {
  if (force === null) return <td className="is-number">-</td>;
  const taken = Math.hypot(...force);
  return (
    <td className="is-number">
      {quantityText(taken, 'force', units)}
      <br />
      <span className="kit-soft">
        {limit === null
          ? 'no limit'
          : `of ${quantityText(limit, 'force', units)}${limit === 0 ? '' : `, ${percent(taken / limit)}`}`}
      </span>
    </td>
  );
}

/** 'lock: total, trails back (180 deg)' */
function standingText({ lock, swivel }: CastorShare, units: UnitSystem): string {
  const lies = swivel === null ? 'fixed' : `trails ${headingText(swivel, units)}`;
  return `${lock === 'none' ? 'no lock' : `${lock} lock`}, ${lies}`;
}

function percent(ratio: number): string {
  return `${Math.round(ratio * 100)} %`;
}
