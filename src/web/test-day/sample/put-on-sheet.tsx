/** The adjusted masses written into the cart that is open on the sheet, where it is the same cart. */

import { useState } from 'react';
import type { CartEdit } from '../../../document/index.js';
import type { Reconciliation } from '../../../judgement/index.js';
import type { Subject } from '../../../test-record/index.js';
import { recordOf } from '../../../test-record/index.js';
import { useWorkbench, useWorkbenchStore } from '../../kit/use-workbench.js';
import { isSameCart } from '../plan/revisions.js';
import { useTestDay } from '../use-test-day.js';

interface PutOnSheetProps {
  readonly reconciliation: Reconciliation;
  /** that the sample is built to */
  readonly revision: Subject;
}

export function PutOnSheet({ reconciliation: { edits, fits }, revision }: PutOnSheetProps) {
  const workbench = useWorkbenchStore();
  const [isPut, setPut] = useState(false);
  const content = useTestDay((s) =>
    s.state === null ? null : (recordOf(s.state, 'cart', revision)?.content ?? null),
  );
  const text = useWorkbench((s) => s.text);
  const partsLists = useWorkbench((s) => s.partsLists);
  if (isPut) {
    return (
      <p className="kit-soft" role="status">
        The adjusted masses stand on the sheet, not saved yet; Undo there takes them back.
      </p>
    );
  }
  if (!fits || edits.length === 0 || content === null) return null;
  if (!isSameCart({ text, partsLists }, content)) return null;
  const put = (): void => {
    if (workbench.getState().edit('masses as weighed', rounded(edits))) setPut(true);
  };
  return (
    <div className="form-answers">
      <button type="button" className="kit-button" onClick={put}>
        Put the adjusted masses on the sheet
      </button>
      <span className="kit-soft">Tolerances stay as they are.</span>
    </div>
  );
}

/** Six figures: a gram of a tonne. A file with sixteen says what nobody measured. */
function rounded(edits: readonly CartEdit[]): readonly CartEdit[] {
  return edits.map((edit) =>
    edit.kind === 'part mass' ? { ...edit, mass: Number(edit.mass.toPrecision(6)) } : edit,
  );
}
