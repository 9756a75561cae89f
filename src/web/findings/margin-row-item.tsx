/** A finding as a row: drawn again only when something that it says has changed. */

import { memo, useEffect, useRef } from 'react';
import type { Finding } from '../../analysis/index.js';
import { reserveText } from '../../analysis/index.js';
import { ReserveBar } from '../kit/reserve-bar.js';
import { useWorkbenchStore } from '../kit/use-workbench.js';
import { VerdictWord } from '../kit/verdict.js';
import { FindingInFull } from './finding-in-full.js';
import type { FindingRow } from './finding-rows.js';

export interface MarginRowItemProps {
  readonly row: FindingRow;
  readonly isOpen: boolean;
  /** the last proof of it, also of the cart as it was; null: none yet */
  readonly last: Finding | null;
}

export const MarginRowItem = memo(function MarginRowItem({
  row,
  isOpen,
  last,
}: MarginRowItemProps) {
  const store = useWorkbenchStore();
  const { id, title, verdict, words, amounts, remark, reserve } = row;
  const detail = `finding-${id}`;
  const item = useRef<HTMLLIElement>(null);
  useEffect(() => {
    // a finding may be chosen elsewhere, and one at the lower edge would open out of sight
    if (isOpen) item.current?.scrollIntoView({ block: 'nearest' });
  }, [isOpen]);
  return (
    <li ref={item} className="margin-row" data-open={isOpen || undefined}>
      <button
        type="button"
        className="margin-row-button"
        aria-expanded={isOpen}
        aria-controls={detail}
        onClick={() => store.getState().choose(isOpen ? null : id)}
      >
        <span className="margin-row-line">
          <span className="margin-row-title">{title}</span>
          <span className="margin-row-reserve">
            <span className="kit-hidden">reserve </span>
            {reserve}
          </span>
        </span>
        <span className="margin-row-says">
          <VerdictWord verdict={verdict} words={words} />
          <span className="margin-row-amounts">{amounts}</span>
        </span>
        <ReserveBar {...row} />
        {remark !== '' && <span className="margin-row-remark">{remark}</span>}
        <span className="kit-hidden">{marksText(row)}</span>
      </button>
      {isOpen && (
        <div id={detail} className="margin-row-detail">
          {last === null ? (
            <p className="kit-soft">The first proof of this finding is running.</p>
          ) : (
            <FindingInFull finding={last} row={row} />
          )}
        </div>
      )}
    </li>
  );
});

/** The marks of the bar, for who does not see them. */
function marksText({ proven, provenIsOld, posed }: FindingRow): string {
  const texts: string[] = [];
  if (proven !== null) {
    texts.push(
      `${provenIsOld ? 'proven before the last change' : 'proven'} ${reserveText(proven)}`,
    );
  }
  if (posed !== null) texts.push(`in the pose shown ${reserveText(posed)}`);
  return texts.join(', ');
}
