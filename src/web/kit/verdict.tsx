/** A verdict by word and shape. */

import './verdict.css';
import type { Verdict } from '../../analysis/index.js';
import { VerdictMark } from '../../figure/index.js';

export interface VerdictWordProps {
  /** null: its proof is running */
  readonly verdict: Verdict | null;
  /** default: the verdict's own word */
  readonly words?: string;
}

export function VerdictWord({ verdict, words }: VerdictWordProps) {
  const tone = verdict === null ? 'running' : verdict.replaceAll(' ', '-');
  return (
    <span className={`kit-verdict is-${tone}`}>
      <VerdictShapeOf verdict={verdict} />
      <span>{words ?? verdict ?? 'found, proof running'}</span>
    </span>
  );
}

/** The shape alone, for beside a word: a broken ring while nothing is decided yet. */
export function VerdictShapeOf({ verdict }: Pick<VerdictWordProps, 'verdict'>) {
  if (verdict !== null) return <VerdictMark verdict={verdict} size={14} />;
  return (
    <svg className="kit-verdict-ring" width="14" height="14" viewBox="0 0 16 16" aria-hidden="true">
      <circle cx="8" cy="8" r="6" />
    </svg>
  );
}
