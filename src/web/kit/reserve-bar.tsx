/** A reserve as a bar from 0 to 2 with a line at 1, where what the cart can do is just what is asked. Light
 * enough to follow a drag: nothing changes that would lay the page out again. */

import './reserve-bar.css';

/** The reserve at the end of every bar; more is drawn as an arrow. */
export const RESERVE_END = 2;

export interface ReserveBarProps {
  /** null: not known */
  readonly found: number | null;
  readonly proven: number | null;
  readonly provenIsOld?: boolean;
  readonly posed?: number | null;
}

/** Decoration: the row beside it says the numbers. */
export function ReserveBar({ found, proven, provenIsOld = false, posed = null }: ReserveBarProps) {
  const sure = proven === null || provenIsOld ? 0 : Math.min(found ?? 0, proven);
  return (
    <span className="reserve-bar" aria-hidden="true">
      <span className="reserve-bar-track" />
      <span className="reserve-bar-found" style={{ clipPath: upTo(found ?? 0) }} />
      <span className="reserve-bar-sure" style={{ clipPath: upTo(sure) }} />
      <span className="reserve-bar-one" />
      {proven !== null && (
        <Mark at={proven} kind={provenIsOld ? 'reserve-bar-proven is-old' : 'reserve-bar-proven'} />
      )}
      {posed !== null && <Mark at={posed} kind="reserve-bar-posed" />}
      {found !== null && found > RESERVE_END && <span className="reserve-bar-beyond" />}
    </span>
  );
}

function Mark({ at, kind }: { readonly at: number; readonly kind: string }) {
  return (
    <span className="reserve-bar-at" style={{ transform: `translateX(${100 * share(at)}%)` }}>
      <span className={kind} />
    </span>
  );
}

function upTo(reserve: number): string {
  return `inset(0 ${100 - 100 * share(reserve)}% 0 0)`;
}

/** Of the bar's length, to a thousandth. */
function share(reserve: number): number {
  const part = Math.min(1, Math.max(0, reserve / RESERVE_END));
  return Math.round(part * 1000) / 1000;
}
